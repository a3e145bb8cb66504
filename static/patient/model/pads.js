// How often a set of pads was used, and when it is due: as the clinic counts.
// Shared cases: fixtures/rules/pads.json.
import { addDays, weekday } from "./day.js";

// Common practice, no source; the clinic's own numbers come with its texts.
const USUAL = Object.freeze({ pads_uses: 25, pads_warn: 5 });

// The day of each use, oldest first. `bouts` = [day, how many].
export function usesSince(bouts, newOn) {
  return bouts.filter(([day]) => newOn === null || day >= newOn)
    .flatMap(([day, count]) => Array.from({ length: count }, () => day)).sort();
}

export function wornOn(uses, newOn, warnAt) {
  if (uses.length < warnAt) return null;
  const day = uses[warnAt - 1];
  return newOn ? day : addDays(day, -weekday(day));
}

const byNumber = (a, b) => (a.version ?? Infinity) - (b.version ?? Infinity) || a.number - b.number;

// {uses, of, new_on, due, wont_stick} of one limb, from its standing entries.
export function padsOf(entries, texts) {
  const { pads_uses, pads_warn } = { ...USUAL, ...texts };
  const news = entries.filter(({ kind, payload }) => kind === "note_to_clinic" && payload.pads).sort(byNumber);
  const new_on = news.filter(({ payload }) => payload.pads === "new").at(-1)?.for_date ?? null;
  const bouts = entries.filter(({ kind }) => kind === "bout").map(({ for_date }) => [for_date, 1]);
  const uses = usesSince(bouts, new_on);
  return {
    uses: uses.length, of: pads_uses, new_on,
    due: wornOn(uses, new_on, pads_uses - pads_warn) !== null,
    wont_stick: news.at(-1)?.payload.pads === "wont_stick",
  };
}
