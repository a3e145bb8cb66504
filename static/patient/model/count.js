// The time a bout has run, from two clocks, without the spans of pause. A plain
// record that lies in the bout's draft, so that a killed app counts on.
//
// The wall clock can be set; the page's own clock (mono) cannot, but it ends
// with the page and stands still while some phones sleep. It never runs ahead
// of the time that really passed. So between two looks:
//   - the page was on the screen: mono tells; a wall clock that jumped was set.
//   - the page was away (hidden, frozen, locked): the later of the two; a wall
//     clock that is ahead is taken as sleep, which is common, and not as a
//     clock that was set meanwhile, which is rare.
//   - the page is a new one: only the wall clock is left.
// Between two looks that lie further apart than any bout is long, nobody saw that it
// went on: the other reading is then that it stood still.
// Where the other reading would differ, it is kept as `doubt_ms`, and the
// patient is asked which of the two fits the stimulator.

const TOLD_MS = 2_000;
const LEFT_MS = 3_600_000; // common practice, no source

const markOf = ({ now_ms, mono_ms, run }) => ({ now_ms, mono_ms, run });

export function begun(reading) {
  return { started_ms: reading.now_ms, ran_ms: 0, rested_ms: 0, paused: false, doubt_ms: 0, skips: [], mark: markOf(reading) };
}

// A count that an older version of the app had begun: it knew the start alone.
export function begunBefore(started_ms) {
  return { ...begun({ now_ms: started_ms, mono_ms: 0, run: "" }) };
}

// Of a bout's draft, or null.
export const countIn = ({ count, started_ms }) => count ?? (started_ms ? begunBefore(started_ms) : null);

function passed(mark, { now_ms, mono_ms, run }, away) {
  const wall = Math.max(0, now_ms - mark.now_ms);
  if (run !== mark.run) return { ms: wall, other_ms: 0 };
  const mono = Math.max(0, mono_ms - mark.mono_ms);
  if (mono > LEFT_MS) return { ms: away ? Math.max(mono, wall) : mono, other_ms: 0 };
  return away ? { ms: Math.max(mono, wall), other_ms: mono } : { ms: mono, other_ms: Math.max(mono, wall) };
}

// The count at this reading. `away` when the page was not on the screen all
// the time since the reading before.
export function advanced(count, reading, away = false) {
  const { ms, other_ms } = passed(count.mark, reading, away);
  const mark = markOf(reading);
  if (count.paused) return { ...count, rested_ms: count.rested_ms + ms, mark };
  const differs = other_ms - ms;
  const doubt_ms = Math.abs(differs) > TOLD_MS ? count.doubt_ms + differs : count.doubt_ms;
  return { ...count, ran_ms: count.ran_ms + ms, doubt_ms, mark };
}

// Where it stood when its bout was broken off. Left for longer, nobody saw it go on.
export const brokenOff = (count, reading) => (reading.now_ms - count.mark.now_ms > LEFT_MS ? count : advanced(count, reading, true));

export const paused = (count) => ({ ...count, paused: true });
export const goneOn = (count) => ({ ...count, paused: false });
export const movedTo = (count, ran_ms) => ({ ...count, ran_ms, paused: false, doubt_ms: 0 });
export const skipped = (count, code, contraction) => ({ ...count, skips: [...count.skips, { code, from: contraction }] });

// Which reading fits: the one shown, or the other one.
export const confirmed = (count) => ({ ...count, doubt_ms: 0 });
export const otherRan_ms = ({ ran_ms, doubt_ms }) => Math.max(0, ran_ms + doubt_ms);
