// What is lost where the system gives the colours. An expression: () => [faults].
() => {
  const probe = document.body.appendChild(document.createElement("i"));
  probe.style.backgroundColor = "Canvas";
  const canvas = getComputedStyle(probe).backgroundColor;
  probe.remove();
  const light = (colour) => {
    const [red, green, blue] = colour.match(/[\d.]+/g).map(Number).map((part) => part / 255)
      .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  // WCAG 1.4.11: three to one against what lies behind it.
  const stands = (colour) => {
    if (!/^rgb/.test(colour) || /^rgba.*, 0\)$/.test(colour)) return false;
    const [dark, bright] = [light(colour), light(canvas)].sort((a, b) => a - b);
    return (bright + 0.05) / (dark + 0.05) >= 3;
  };
  const shown = (element) => element.checkVisibility() && element.getBoundingClientRect().width > 1;
  const name = (element) => `${element.tagName} ${element.className.baseVal ?? element.className} "${element.textContent.trim().slice(0, 30)}"`;
  const faults = [];
  for (const button of document.querySelectorAll(".button, .box, input:not([type=radio]):not([type=checkbox]), textarea")) {
    const { borderTopStyle, borderTopWidth, borderTopColor } = getComputedStyle(button);
    const edge = borderTopStyle !== "none" && parseFloat(borderTopWidth) > 0 && stands(borderTopColor);
    if (shown(button) && !edge) faults.push(`${name(button)} has no edge`);
  }
  for (const picture of document.querySelectorAll("svg")) {
    if (!shown(picture)) continue;
    const parts = [...picture.querySelectorAll("path, line, polyline, polygon, circle, ellipse, rect, text")];
    const seen = parts.some((part) => { const { fill, stroke } = getComputedStyle(part); return stands(fill) || stands(stroke); });
    if (parts.length && !seen) faults.push(`${name(picture)} in ${name(picture.parentElement)} is not seen`);
  }
  return faults;
}
