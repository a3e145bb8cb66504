// Drawings of what skin can look like, in hatching, so that they fit every
// skin colour: a square of skin with the pad's place in its middle.
import { s } from "./dom.js";

const lines = (gap) => Array.from({ length: Math.floor(36 / gap) }, (_, at) => `M${14 + at * gap} 14 V50`).join(" ");
const frame = () => s("rect", { x: 2, y: 2, width: 60, height: 60, rx: 8, class: "skin-around" });
const place = (more = {}) => s("rect", { x: 12, y: 12, width: 40, height: 40, rx: 6, class: "skin-place", ...more });
const hatch = (gap) => s("path", { d: lines(gap), class: "skin-hatch" });

const DRAWINGS = {
  same: () => [place({ "stroke-dasharray": "2 4" })],
  slight: () => [hatch(7), place({ "stroke-dasharray": "2 4" })],
  marked: () => [hatch(3), place()],
  even: () => [hatch(5), place()],
  patchy: () => [
    s("path", { d: "M16 18 q8 -4 12 4 q2 8 -6 8 q-10 0 -6 -12 Z M34 32 q10 -4 14 4 q0 10 -9 10 q-10 -2 -5 -14 Z", class: "skin-patch" }),
    place({ "stroke-dasharray": "2 4" })],
  raised: () => [s("path", { d: "M8 46 Q20 46 24 34 Q32 16 40 34 Q44 46 56 46", class: "skin-edge" }), s("path", { d: "M8 53 H56", class: "skin-edge thin" })],
  broken: () => [s("path", { d: "M8 40 H22 L28 30 L33 44 L38 32 L42 40 H56", class: "skin-edge" }), s("path", { d: "M8 50 H56", class: "skin-edge thin" })],
  itchy: () => [place({ "stroke-dasharray": "2 4" }), s("path", { d: "M20 24 l6 6 M30 22 l6 6 M22 36 l6 6 M34 36 l6 6", class: "skin-edge" })],
  sore: () => [place({ "stroke-dasharray": "2 4" }), s("circle", { cx: 32, cy: 32, r: 5, class: "skin-patch" }), s("circle", { cx: 32, cy: 32, r: 12, class: "skin-edge" })],
};

export const skinDrawing = (name) =>
  s("svg", { viewBox: "0 0 64 64", class: "skin-drawing", "aria-hidden": "true", focusable: "false" }, frame(), DRAWINGS[name]());
