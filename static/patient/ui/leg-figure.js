// The thigh as its owner sees it, sitting and looking down: the knee is far
// (top), the hip is near (bottom). Drawn once for the left limb, mirrored for
// the right; the words are placed, never mirrored.
import { say } from "../model/strings.js";
import { s } from "./dom.js";

const WIDE = 208;
const ROOM = 16; // beside it, for longer words
const HIGH = 224;
const THIGH = "M46 224 C40 172 44 120 58 84 C62 68 68 56 74 46 C88 35 120 35 134 46 C140 56 146 70 148 88 C158 126 160 172 156 224";
const SHIN = "M77 44 C77 30 79 14 80 0 M131 44 C131 30 129 14 128 0";
const MUSCLE = "M72 206 C66 170 70 124 84 92 M140 206 C146 170 142 124 130 92";

// Centre of each pad for the left limb; the outer side is on the left there.
const PADS = {
  upper_outer: { x: 78, y: 168, turn: 8 },
  upper_inner: { x: 128, y: 168, turn: -8 },
  lower_outer: { x: 82, y: 110, turn: 14 },
  lower_inner: { x: 127, y: 110, turn: -12 },
};

const mirrored = (limb, x) => (limb === "left" ? x : WIDE - x);

function pad(limb, code, number) {
  const { x, y, turn } = PADS[code];
  const at = mirrored(limb, x);
  const lean = limb === "left" ? turn : -turn;
  return [
    s("rect", { x: at - 20, y: y - 26, width: 40, height: 52, rx: 10, class: "pad", transform: `rotate(${lean} ${at} ${y})` }),
    s("text", { x: at, y: y + 8, class: "pad-number", "text-anchor": "middle" }, String(number)),
  ];
}

const word = (x, y, words) => s("text", { x, y, class: "leg-word", "text-anchor": "middle" }, words);

// Beside the knee, where the leg is slim; one word below the other.
function sideWords(limb, key, x) {
  return say(key).split(" ").map((one, line) => word(mirrored(limb, x), 62 + line * 18, one));
}

export function legFigure(limb, pads) {
  const flip = limb === "left" ? "" : `translate(${WIDE} 0) scale(-1 1)`;
  const title = say("pads.picture", { limb: say(`limb.${limb}`), pads: pads.map((code, at) => padWord(code, at + 1)).join(" ") });
  return s("svg", { viewBox: `${-ROOM} 0 ${WIDE + 2 * ROOM} ${HIGH}`, class: "leg-figure", role: "img", "aria-label": title },
    s("g", { transform: flip },
      s("path", { d: SHIN, class: "leg-line" }),
      s("path", { d: THIGH, class: "leg-skin" }),
      s("path", { d: MUSCLE, class: "leg-muscle" }),
      s("ellipse", { cx: 104, cy: 64, rx: 20, ry: 17, class: "leg-cap" })),
    pads.map((code, at) => pad(limb, code, at + 1)),
    word(104, 20, say("pads.knee")), word(104, 218, say("pads.hip")),
    sideWords(limb, "pads.outer", 23), sideWords(limb, "pads.inner", 185));
}

export const padWord = (code, number) => say("pads.one", { number, place: say(`pad.${code}`) });
