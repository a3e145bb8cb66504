// A small picture of one number over the weeks: points, joined where they are
// near in time, with the same said in words below it.
import { say } from "../model/strings.js";
import { h, s } from "./dom.js";

const WIDE = 320;
const HIGH = 96;
const EDGE = 8;

function drawn({ runs }, top, days) {
  const x = ({ at }) => EDGE + (at / days) * (WIDE - 2 * EDGE);
  const y = ({ value }) => HIGH - EDGE - (value / top) * (HIGH - 2 * EDGE);
  const line = (run) => (run.length > 1 ? s("polyline", { points: run.map((one) => `${x(one).toFixed(1)},${y(one).toFixed(1)}`).join(" "), class: "trend-line" }) : null);
  const dot = (one) => s("rect", { x: x(one) - 3, y: y(one) - 3, width: 6, height: 6, class: "trend-point" });
  return [runs.map(line), runs.flat().map(dot)];
}

// `top` is the highest number of the scale, `words` what the picture shows.
export function trendFigure({ title, trend, top, days, words, ends }) {
  return h("figure", { class: "trend" },
    h("h2", {}, title),
    s("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, class: "trend-picture", role: "img", "aria-label": `${title}. ${words}` },
      s("path", { d: `M${EDGE} ${EDGE} V${HIGH - EDGE} H${WIDE - EDGE}`, class: "trend-frame" }), drawn(trend, top, days)),
    h("p", { class: "scale-ends" }, ends.map((end) => h("span", {}, end))),
    h("figcaption", {}, h("p", {}, words), h("p", { class: "hint" }, say("trend.scale", { top }))));
}
