// Where a bout stands, from the time that has run: a count that was asleep is
// right again at once. It counts along with the stimulator and never steers it.

const READY_S = 3;

// What the current does in one contraction and the off time after it.
export function cycleOf({ on_s, off_s, ramp_up_s, ramp_down_s, ramps_inside_on }) {
  const plateau = ramps_inside_on ? on_s - ramp_up_s - ramp_down_s : on_s;
  const steps = [["rising", ramp_up_s], ["on", plateau], ["falling", ramp_down_s], ["rest", off_s]];
  return { steps, length_s: steps.reduce((sum, [, seconds]) => sum + seconds, 0) };
}

// [[name, seconds]] one after the other, as {name, from, to}.
function laidOut(steps, start = 0, end = Infinity) {
  let at = start;
  const spans = steps.map(([name, seconds]) => ({ name, from: at, to: Math.min((at += seconds), end) }));
  return spans.filter(({ from, to }) => to > from);
}

// Lift, hold and lower happen while the current is on, and no longer.
function movement({ on_s, ramp_up_s, ramps_inside_on }, tempo) {
  if (!tempo) return [];
  const from = ramps_inside_on ? 0 : ramp_up_s;
  return laidOut([["lift", tempo.lift_s], ["hold", tempo.hold_s], ["lower", tempo.lower_s]], from, from + on_s);
}

// One repetition without current, in the middle of the off time and never more
// than half of it. Common practice, no source: the program says only "yes".
function alone({ voluntary_in_off, on_s, off_s }, length_s) {
  if (!voluntary_in_off) return [];
  const long = Math.min(on_s, off_s / 2);
  const from = length_s - off_s + (off_s - long) / 2;
  return [{ name: "alone", from, to: from + long }];
}

function ready({ off_s }, length_s) {
  return off_s >= 2 * READY_S ? [{ name: "ready", from: length_s - READY_S, to: length_s }] : [];
}

const nameAt = (spans, at) => spans.find(({ from, to }) => from <= at && at < to)?.name ?? null;

// What the patient does, cue by cue, through one cycle: {cue, from, to}.
export function cuesOf(revision, tempo = null) {
  const { steps, length_s } = cycleOf(revision);
  const current = laidOut(steps);
  const own = [...movement(revision, tempo), ...alone(revision, length_s), ...ready(revision, length_s)];
  const cuts = [...new Set([...current, ...own].flatMap(({ from, to }) => [from, to]))].sort((a, b) => a - b);
  const cues = [];
  for (const [at, from] of cuts.slice(0, -1).entries()) {
    const cue = nameAt(own, from) ?? nameAt(current, from);
    const before = cues.at(-1);
    if (before?.cue === cue) before.to = cuts[at + 1];
    else cues.push({ cue, from, to: cuts[at + 1] });
  }
  return cues;
}

// The rest after the last contraction is not waited for.
export function boutLength_s(revision) {
  return revision.contractions_per_bout * cycleOf(revision).length_s - revision.off_s;
}

const lastBegun = (spans, at_s) => spans.findLastIndex(({ from }) => from <= at_s);

// {phase, cue, left_s, at_s, contraction, finished} after `ran_s` of counting.
// `tempoOf(contraction)` is the tempo of the exercise done there, or null.
export function phaseAt(revision, ran_s, tempoOf = () => null) {
  const { steps, length_s } = cycleOf(revision);
  const total = revision.contractions_per_bout;
  if (ran_s >= boutLength_s(revision)) return { phase: "over", cue: "over", left_s: 0, at_s: 0, contraction: total, finished: total };
  const done = Math.floor(ran_s / length_s);
  const at_s = ran_s - done * length_s;
  const current = laidOut(steps);
  const phase = current[lastBegun(current, at_s)].name;
  const cues = cuesOf(revision, tempoOf(done + 1));
  const now = lastBegun(cues, at_s);
  const { cue, to } = cues[now];
  // "Get ready" belongs to the rest: its seconds count down to the current.
  const until = cue === "rest" && cues[now + 1]?.cue === "ready" ? cues[now + 1].to : to;
  return { phase, cue, left_s: Math.ceil(until - at_s), at_s, contraction: done + 1, finished: done + (phase === "rest" ? 1 : 0) };
}

// The time that has run, moved so that the nearest contraction begins now.
export function linedUp_s(revision, ran_s) {
  const { length_s } = cycleOf(revision);
  return Math.min(Math.round(ran_s / length_s), revision.contractions_per_bout - 1) * length_s;
}
