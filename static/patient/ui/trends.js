// Intensity and discomfort of the last weeks, one picture each.
import { discomfortOf, intensityOf, trendOf } from "../model/trend.js";
import { entriesOf } from "../model/today.js";
import { say } from "../model/strings.js";
import { h } from "./dom.js";
import { trendFigure } from "./trend-figure.js";

const FEW = 2; // one bout makes no picture

function intensityFigure(bouts, { revision, base }, { channel, ceiling }) {
  const unit = say(`unit.${revision.unit}`);
  const trend = trendOf(bouts, intensityOf(channel, revision.unit), base.first);
  if (!trend || trend.count < FEW) return null;
  return trendFigure({
    ...base, trend, title: say("trend.intensity", { channel, unit }), top: Math.max(ceiling ?? 0, trend.high) || 1, // a scale up to nothing has no places
    words: say("trend.intensity_words", { count: trend.count, first: trend.first, last: trend.last, unit }),
  });
}

export function trendPart(facts, program, revision, days) {
  const bouts = entriesOf(facts, program).filter(({ kind, for_date }) => kind === "bout" && for_date >= days[0]);
  const base = { first: days[0], days: days.length, ends: [say.day(days[0]), say.day(days.at(-1))] };
  const felt = trendOf(bouts, discomfortOf, base.first);
  if (!revision || !felt || felt.count < FEW) return null;
  const { low, high, last } = felt;
  return h("details", { class: "card" }, h("summary", {}, h("strong", {}, say("trend.title"))),
    revision.intensity.map((one) => intensityFigure(bouts, { revision, base }, one)),
    trendFigure({ ...base, trend: felt, title: say("trend.discomfort"), top: 10, words: say("trend.discomfort_words", { low, high, last }) }),
    h("p", { class: "hint" }, say("trend.gaps")));
}
