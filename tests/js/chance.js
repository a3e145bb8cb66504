// Chance that can be had again: a small generator with a seed (mulberry32).

export function rolls(seed) {
  let state = seed;
  const next = () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const whole = (low, high) => low + Math.floor(next() * (high - low + 1));
  return { next, whole, tenths: (low, high) => whole(Math.round(low * 10), Math.round(high * 10)) / 10, one: (choices) => choices[whole(0, choices.length - 1)] };
}
