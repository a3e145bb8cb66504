// Our own small pictures. A bout is drawn as the current rises, stays and
// falls; a day's shape is that slope: full, half, crossed, dotted, or absent.
import { s } from "./dom.js";

const SLOPE = "M3 20 L8 6 H16 L21 20 Z";
const HALF = "M3 20 L8 6 H12 V20 Z";
const outline = (more = {}) => s("path", { d: SLOPE, class: "line", ...more });
const full = (d = SLOPE) => s("path", { d, class: "full" });
const stroke = (d) => s("path", { d, class: "line" });

const DAYS = {
  done: () => [full(), outline()],
  partly_done: () => [full(HALF), outline()],
  not_done: () => [outline(), stroke("M7 17 L17 9")],
  still_open: () => [outline({ "stroke-dasharray": "1.5 3" })],
  missed: () => [stroke("M3 20 H21"), stroke("M9 9 L15 15 M15 9 L9 15")],
  not_known_yet: () => [stroke("M9 9 a3 3 0 1 1 4.5 2.6 c-1 .6 -1.5 1.2 -1.5 2.4"), s("circle", { cx: 12, cy: 18.5, r: 1.2, class: "full" })],
  paused: () => [stroke("M9 6 V18 M15 6 V18")],
  not_due: () => [stroke("M6 13 H18")],
};

const ICONS = {
  next: () => [full(), stroke("M3 20 H21")],
  so_far: () => [stroke("M4 20 V13 M10 20 V8 M16 20 V11 M22 20 V4 M2 21 H23")],
  call: () => [stroke("M6 3 h4 l2 5 -2.5 2 a11 11 0 0 0 4.500 4.500 l2 -2.500 5 2 v4 a2 2 0 0 1 -2 2 A16 16 0 0 1 4 5 a2 2 0 0 1 2 -2 Z")],
  stop: () => [stroke("M12 3 L22 20 H2 Z M12 9 V14"), s("circle", { cx: 12, cy: 17, r: 1.1, class: "full" })],
  phone: () => [stroke("M7 2 H17 V22 H7 Z M11 19 H13")],
  clinic: () => [stroke("M3 21 V9 L12 3 L21 9 V21 Z M12 10 V17 M8.500 13.500 H15.500")],
  look: () => [stroke("M2 12 C6 5 18 5 22 12 C18 19 6 19 2 12 Z"), s("circle", { cx: 12, cy: 12, r: 3, class: "line" })],
};

const picture = (parts, name) =>
  s("svg", { viewBox: "0 0 24 24", class: `shape shape-${name}`, "aria-hidden": "true", focusable: "false" }, parts);

export const dayShape = (status) => picture(DAYS[status](), status);
export const icon = (name) => picture(ICONS[name](), name);

// The bouts of a day: as many slopes as are due, the done ones full.
export function boutRow(done, due) {
  const count = Math.max(done, due);
  return s("svg", { viewBox: `0 0 ${count * 24} 24`, class: "bout-row", "aria-hidden": "true", width: count * 40, height: 40 },
    Array.from({ length: count }, (_, at) =>
      s("g", { transform: `translate(${at * 24} 0)` }, DAYS[at < done ? "done" : "still_open"]())));
}
