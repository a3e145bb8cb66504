// The thigh as its owner sees it, sitting and looking down: the knee is far
// (top), the hip is near (bottom). Drawn once for the left limb, mirrored for
// the right; the words are placed, never mirrored.
import { say } from "../model/strings.js";
import { s } from "./dom.js";

const WIDE = 240;
const HIGH = 250;
const THIGH = "M68 250 C58 190 60 130 74 84 C78 66 84 52 90 40 C104 28 136 28 150 40 C158 54 162 70 164 88 C172 130 176 190 170 250";
const SHIN = "M92 38 C92 24 94 12 96 2 M148 38 C148 24 146 12 144 2";
const MUSCLE = "M84 240 C80 190 84 140 98 96 M154 240 C160 190 156 140 144 96";

// Centre of each pad for the left limb; the outer side is on the left there.
const PADS = {
  upper_outer: { x: 92, y: 196, turn: 8 },
  upper_inner: { x: 148, y: 196, turn: -8 },
  lower_outer: { x: 98, y: 122, turn: 14 },
  lower_inner: { x: 144, y: 122, turn: -12 },
};

const mirrored = (limb, x) => (limb === "left" ? x : WIDE - x);

function pad(limb, code, number) {
  const { x, y, turn } = PADS[code];
  const at = mirrored(limb, x);
  const lean = limb === "left" ? turn : -turn;
  return [
    s("rect", { x: at - 22, y: y - 31, width: 44, height: 62, rx: 10, class: "pad", transform: `rotate(${lean} ${at} ${y})` }),
    s("text", { x: at, y: y + 8, class: "pad-number", "text-anchor": "middle" }, String(number)),
  ];
}

const word = (x, y, key, turn = "") =>
  s("text", { x, y, class: "leg-word", "text-anchor": "middle", transform: turn }, say(key));

function sideWord(limb, key, x) {
  const at = mirrored(limb, x);
  return word(at, 160, key, `rotate(${at < WIDE / 2 ? -90 : 90} ${at} 160)`);
}

export function legFigure(limb, pads) {
  const flip = limb === "left" ? "" : `translate(${WIDE} 0) scale(-1 1)`;
  const title = say("pads.picture", { limb: say(`limb.${limb}`), pads: pads.map((code, at) => padWord(code, at + 1)).join(" ") });
  return s("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, class: "leg-figure", role: "img", "aria-label": title },
    s("g", { transform: flip },
      s("path", { d: SHIN, class: "leg-line" }),
      s("path", { d: THIGH, class: "leg-skin" }),
      s("path", { d: MUSCLE, class: "leg-muscle" }),
      s("ellipse", { cx: 120, cy: 62, rx: 22, ry: 19, class: "leg-cap" })),
    pads.map((code, at) => pad(limb, code, at + 1)),
    word(120, 67, "pads.knee"), word(120, 244, "pads.hip"),
    sideWord(limb, "pads.outer", 30), sideWord(limb, "pads.inner", 206));
}

export const padWord = (code, number) => say("pads.one", { number, place: say(`pad.${code}`) });
