// Contrast of every text, and of every control's edge, with the ground it was given, worked out without looking
// at what lies over or under it: what axe leaves open. An expression: (least) => [faults].
(least) => {
  const parts = (colour) => colour.match(/[\d.]+/g).map(Number);
  const light = (colour) => {
    const [red, green, blue] = parts(colour).map((part) => part / 255)
      .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const ratio = (one, other) => {
    const [dark, bright] = [light(one), light(other)].sort((a, b) => a - b);
    return (bright + 0.05) / (dark + 0.05);
  };
  const solid = (colour) => /^rgb/.test(colour) && (parts(colour)[3] ?? 1) === 1;
  const groundOf = (element) => {
    for (let at = element; at; at = at.parentElement) {
      const { backgroundColor } = getComputedStyle(at);
      if (solid(backgroundColor)) return backgroundColor;
    }
    return "rgb(255, 255, 255)";
  };
  // In a picture: the shape that the word stands on, drawn just before it, or the page.
  const shapeUnder = (text) => (text.matches(".pad-number") ? getComputedStyle(text.previousElementSibling).fill : groundOf(text.closest("svg")));
  const faults = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const element = walker.currentNode.parentElement;
    if (!walker.currentNode.data.trim() || !element.checkVisibility() || element.closest("noscript, .quiet, .vh, :disabled")) continue;
    const style = getComputedStyle(element);
    const drawn = element instanceof SVGElement;
    const found = ratio(drawn ? style.fill : style.color, drawn ? shapeUnder(element) : groundOf(element));
    const px = parseFloat(style.fontSize);
    const large = px >= 24 || (px >= 18.66 && Number(style.fontWeight) >= 700);
    if (found < (large ? least.large : least.small)) faults.push(`"${walker.currentNode.data.trim().slice(0, 30)}" has ${found.toFixed(1)}:1`);
  }
  // The edge of what is filled in or chosen: its border, or a ground of its own (WCAG 1.4.11).
  // What the browser draws by itself, a bare radio or box to tick, is its own to see to.
  for (const control of document.querySelectorAll("button, .button, input:not([type=radio], [type=checkbox]), textarea, select, .box")) {
    const box = control.closest(".box") ?? control;
    if (!box.checkVisibility() || box.matches(":disabled, .quiet, .vh, .as-link, [type=hidden]")) continue;
    const { width, height } = box.getBoundingClientRect();
    if (Math.min(width, height) <= 1) continue;
    const { borderTopWidth, borderTopStyle, borderTopColor, backgroundColor } = getComputedStyle(box);
    const bordered = borderTopStyle !== "none" && parseFloat(borderTopWidth) >= 1;
    const edges = [bordered ? borderTopColor : null, backgroundColor].filter((colour) => colour && solid(colour));
    const found = Math.max(0, ...edges.map((colour) => ratio(colour, groundOf(box.parentElement))));
    if (found < least.edge) faults.push(`the edge of "${box.textContent.trim().slice(0, 30) || box.id}" has ${found.toFixed(1)}:1`);
  }
  return faults;
}
