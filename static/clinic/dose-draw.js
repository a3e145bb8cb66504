// Puts an answer of the dose check into the places the server's page has for it.
import { patternMarks, patternPoints, patternWords, weekColumns, weekWords } from "./pattern.js";
import { MARKS, lead, otherBoutMin, shown, toldSource } from "./dose-words.js";

const SVG = "http://www.w3.org/2000/svg";

export function svg(name, attributes, text = "") {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  node.textContent = text;
  return node;
}

export function drawReady(panel, request, reply, weekdays) {
  panel.dataset.state = "ready";
  panel.querySelector("[data-lead]").textContent = lead(reply, request);
  panel.querySelector("[data-ready]").hidden = false;
  const figures = { ...reply, other_bout_min: otherBoutMin(reply, request) };
  for (const place of panel.querySelectorAll("[data-figure]")) {
    place.textContent = shown(figures[place.dataset.figure], place.dataset.kind);
  }
  drawPattern(panel.querySelector("[data-pattern]"), request);
  drawWeek(panel.querySelector("[data-week]"), weekdays, request.bouts_per_day, reply.contractions_per_bout);
}

export function drawMessage(panel, state, message) {
  panel.dataset.state = state;
  panel.querySelector("[data-lead]").textContent = message;
  panel.querySelector("[data-ready]").hidden = true;
}

export function drawFindings(panel, findings, countedOnly, slips) {
  for (const group of panel.querySelectorAll("[data-level]")) {
    const mine = countedOnly ? [] : findings.filter((one) => one.level === group.dataset.level);
    group.hidden = mine.length === 0;
    group.querySelector("[data-many]").textContent = mine.length;
    group.querySelector("ul").replaceChildren(...mine.map(findingItem));
  }
  panel.querySelector("[data-counted-only]").hidden = !countedOnly;
  const loud = findings.some((one) => one.level !== "within");
  panel.querySelector("[data-calm]").hidden = loud || countedOnly || slips > 0;
}

function findingItem(finding) {
  const item = document.getElementById("finding").content.cloneNode(true);
  item.querySelector("[data-message]").textContent = finding.message;
  item.querySelector("[data-source]").textContent = `${toldSource(finding.message, finding.source)} (${MARKS[finding.mark] ?? finding.mark})`.trim();
  return item;
}

// slips: [{sentence, button, field, likely, sure?}]; ticks that stand are kept.
export function drawSlips(panel, slips) {
  const list = panel.querySelector("[data-slip-list]");
  const sure = new Set([...list.querySelectorAll("input:checked")].map((box) => box.value));
  panel.querySelector("[data-slips]").hidden = slips.length === 0;
  list.replaceChildren(...slips.map((slip) => slipItem(slip, sure)));
}

function slipItem(slip, sure) {
  const item = element("li", { className: "slip" }, element("p", { textContent: slip.sentence }));
  const button = element("button", { className: "button", type: "submit", name: "fix", value: `${slip.field}=${slip.likely}`, textContent: slip.button, formNoValidate: true });
  const line = element("p", { className: "actions" }, button);
  if (slip.sure) {
    const box = element("input", { type: "checkbox", name: "sure", value: slip.sure, checked: sure.has(slip.sure) });
    line.append(" ", element("label", { className: "sure" }, box, " I am sure"));
  }
  item.append(line);
  return item;
}

function element(name, properties, ...children) {
  const node = Object.assign(document.createElement(name), properties);
  node.append(...children);
  return node;
}

function drawPattern(figure, timing) {
  const words = patternWords(timing);
  figure.querySelector("svg").setAttribute("aria-label", words);
  figure.querySelector("figcaption").textContent = words;
  figure.querySelector("polyline").setAttribute("points", patternPoints(timing));
  const marks = patternMarks(timing).map(([x, text, anchor]) => svg("text", { x, y: 124, "text-anchor": anchor }, text));
  figure.querySelector(".pattern-marks").replaceChildren(...marks);
}

function drawWeek(figure, weekdays, bouts, contractions) {
  const words = weekWords(weekdays, bouts, contractions);
  figure.querySelector("svg").setAttribute("aria-label", words);
  figure.querySelector("figcaption").textContent = words;
  figure.querySelector(".week-days").replaceChildren(...weekColumns(weekdays, bouts, contractions).flatMap(columnNodes));
}

function columnNodes({ name, x, count, countY, blocks }) {
  return [
    ...blocks.map((block) => svg("rect", { class: "week-block", x: block.x, y: block.y, width: "8%", height: block.height })),
    svg("text", { class: "week-count", x, y: countY, "text-anchor": "middle" }, String(count)),
    svg("text", { x, y: 102, "text-anchor": "middle" }, name),
  ];
}

export function drawNotes(root, notes) {
  const card = root.querySelector("[data-notes]");
  card.hidden = notes.length === 0;
  card.querySelector("[data-note-list]").replaceChildren(...notes.map((textContent) => element("li", { textContent })));
}

