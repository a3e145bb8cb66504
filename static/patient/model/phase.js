// Where a bout stands, from timestamps only: a count that was asleep is right
// again at once. It counts along with the stimulator and never steers it.

export function cycleOf({ on_s, off_s, ramp_up_s, ramp_down_s, ramps_inside_on }) {
  const plateau = ramps_inside_on ? on_s - ramp_up_s - ramp_down_s : on_s;
  const steps = [["rising", ramp_up_s], ["on", plateau], ["falling", ramp_down_s], ["rest", off_s]];
  return { steps, length_s: steps.reduce((sum, [, seconds]) => sum + seconds, 0) };
}

// {phase, left_s, at_s, contraction, finished} at `elapsed_s` after the start.
export function phaseAt(revision, elapsed_s) {
  const { steps, length_s } = cycleOf(revision);
  const total = revision.contractions_per_bout;
  const passed = Math.floor(elapsed_s / length_s);
  if (passed >= total) return { phase: "over", left_s: 0, at_s: 0, contraction: total, finished: total };
  const at_s = elapsed_s - passed * length_s;
  let end = 0;
  const [phase] = steps.find(([, seconds]) => (end += seconds) > at_s);
  const finished = passed + (phase === "rest" ? 1 : 0);
  return { phase, left_s: Math.ceil(end - at_s), at_s, contraction: passed + 1, finished };
}

// Start of the count moved so that the current contraction begins now.
export function linedUp(revision, startMs, nowMs) {
  const { length_s } = cycleOf(revision);
  const { contraction, phase } = phaseAt(revision, (nowMs - startMs) / 1000);
  const next = phase === "rest" ? contraction : contraction - 1;
  return nowMs - next * length_s * 1000;
}
