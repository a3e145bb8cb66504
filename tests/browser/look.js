// What a screen is measured by. An expression: (limits) => {kind: [faults]}.
({ target = 0, primary = 0, text = 0, body = 0 }) => {
  const CONTROLS = "a[href], button, summary, input:not([type=hidden]), select, textarea";
  const main = document.querySelector("main");

  const shown = (element) => {
    const style = getComputedStyle(element);
    const box = element.getBoundingClientRect();
    const hair = box.width <= 1 || box.height <= 1; // kept for screen readers only
    return style.visibility !== "hidden" && !hair && element.checkVisibility();
  };
  const name = (element) => {
    const words = (element.getAttribute("aria-label") ?? element.textContent ?? "").trim().replace(/\s+/g, " ");
    return `${element.tagName.toLowerCase()}${element.id ? `#${element.id}` : ""} "${words.slice(0, 40)}"`;
  };
  // A choice is as large as the box that takes the tap.
  const area = (control) => (control.closest("label, .box") ?? control).getBoundingClientRect();
  const controls = [...document.querySelectorAll(CONTROLS)].filter(shown);
  const size = ({ width, height }) => `${Math.round(width)}x${Math.round(height)}`;

  const smallTargets = controls
    .map((control) => [control, area(control)])
    .filter(([, box]) => Math.min(box.width, box.height) < target - 0.5)
    .map(([control, box]) => `${name(control)} is ${size(box)}`);

  const primaries = [...document.querySelectorAll(".action .primary")].filter(shown);
  const primaryFaults = primaries
    .map((control) => [control, control.getBoundingClientRect()])
    .filter(([, box]) => box.height < primary || box.top < innerHeight * 0.45 || box.bottom > innerHeight)
    .map(([control, box]) => `${name(control)} is ${size(box)} at ${Math.round(box.top)}`);

  // Every run of text with its boxes on the screen and its size as drawn.
  const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode;
    const parent = node.parentElement;
    if (!node.data.trim() || !shown(parent) || parent.closest(".quiet, .vh, .skip, noscript")) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const drawn = parent instanceof SVGElement ? Math.hypot(parent.getScreenCTM().a, parent.getScreenCTM().b) : 1;
    const px = parseFloat(getComputedStyle(parent).fontSize) * drawn;
    texts.push({ node, parent, px, boxes: [...range.getClientRects()].filter(({ width }) => width > 1) });
  }
  // What sticks to an edge lies over what scrolls below it, on a ground of its own.
  const sticks = (element) => element && (getComputedStyle(element).position === "sticky" || sticks(element.parentElement));
  const words = ({ node }) => `"${node.data.trim().slice(0, 40)}"`;
  const smallText = texts.filter(({ px }) => px < text - 0.1).map((run) => `${words(run)} is ${run.px.toFixed(1)} px`);
  const bodyPx = parseFloat(getComputedStyle(document.body).fontSize);
  if (bodyPx < body) smallText.push(`body is ${bodyPx} px`);

  // Sideways: nothing may need two-way scrolling, and no text may leave its box.
  const sideways = [document.documentElement, main]
    .filter((box) => box && box.scrollWidth > box.clientWidth + 1)
    .map((box) => `${box.tagName} is ${box.scrollWidth} wide in ${box.clientWidth}`);
  for (const run of texts) {
    if (run.boxes.some(({ left, right }) => left < -1 || right > innerWidth + 1)) sideways.push(`${words(run)} leaves the screen`);
  }

  const clips = (style) => /hidden|clip/.test(style.overflowX + style.overflowY);
  // What takes a near miss reaches past its button and holds no words.
  const beyond = (element) => {
    const after = getComputedStyle(element, "::after");
    return after.content !== "none" && after.position === "absolute" ? Math.max(0, -parseFloat(after.bottom) || 0) : 0;
  };
  const clipped = [];
  for (const element of document.body.querySelectorAll("*")) {
    if (element instanceof SVGElement || !shown(element) || !element.textContent.trim() || element.closest(".quiet, .vh")) continue;
    const style = getComputedStyle(element);
    const box = clips(style) || /button|label|summary/i.test(element.tagName) || element.matches(".button, .box, .card, .area, .top-button");
    if (!box || style.display === "inline") continue;
    const spare = 2 + beyond(element);
    if (element.scrollWidth > element.clientWidth + spare || element.scrollHeight > element.clientHeight + spare) clipped.push(`${name(element)} is cut`);
  }

  // Two runs of text on one spot cannot be read. From top to bottom, so that
  // each is held against its neighbours only.
  const overlapping = [];
  const flat = texts.filter(({ parent }) => main?.contains(parent) && !sticks(parent)).flatMap((run) => run.boxes.map((box) => ({ run, box })));
  flat.sort((a, b) => a.box.top - b.box.top);
  for (const [at, { run, box }] of flat.entries()) {
    for (let next = at + 1; next < flat.length && flat[next].box.top < box.bottom; next += 1) {
      const other = flat[next];
      const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
      const down = Math.min(box.bottom, other.box.bottom) - other.box.top;
      const low = Math.min(box.height, other.box.height);
      if (run !== other.run && across > 3 && down > low * 0.5) overlapping.push(`${words(run)} on ${words(other.run)}`);
    }
  }
  return { smallTargets, primary: primaryFaults, smallText, sideways, clipped, overlapping, moving: document.getAnimations().map(({ animationName }) => String(animationName)) };
}
