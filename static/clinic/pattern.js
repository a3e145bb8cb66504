// The drawn pattern and the week as plain numbers; the server draws the same
// (clinician/selectors/drawings.py). Nothing here touches a page.
const WIDE = 1000;
const BASE = 96;
const TOP = 8;
const ROOM = 66; // px for the blocks of a day
const BLOCK = 30; // px, the highest block
const GAP = 2;
export const DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

export function cycleS({ on_s, off_s, ramp_up_s, ramp_down_s, ramps_inside_on }) {
  return ramps_inside_on ? on_s + off_s : on_s + off_s + ramp_up_s + ramp_down_s;
}

export function plateauS({ on_s, ramp_up_s, ramp_down_s, ramps_inside_on }) {
  return ramps_inside_on ? on_s - ramp_up_s - ramp_down_s : on_s;
}

// Corners as [seconds, share of full intensity]; none when the ramps do not fit.
export function pattern(timing, cycles = 2) {
  const plateau = plateauS(timing);
  if (plateau < -1e-9) return []; // 0.6 s holds ramps of 0.4 and 0.2 s
  const points = [];
  for (let number = 0; number < cycles; number += 1) {
    const start = number * cycleS(timing);
    const full = start + timing.ramp_up_s;
    const falls = full + plateau;
    points.push([start, 0], [full, 1], [falls, 1], [falls + timing.ramp_down_s, 0]);
  }
  return [...points, [cycles * cycleS(timing), 0]];
}

export function patternPoints(timing) {
  const whole = 2 * cycleS(timing);
  return pattern(timing)
    .map(([at, share]) => `${tenth((WIDE * at) / whole)},${tenth(BASE - (BASE - TOP) * share)}`)
    .join(" ");
}

export function patternMarks(timing) {
  const cycle = cycleS(timing);
  return [["0%", "0 s", "start"], ["50%", `${plain(cycle)} s`, "middle"], ["100%", `${plain(2 * cycle)} s`, "end"]];
}

export function patternWords(timing) {
  return `Two cycles to scale: ${plain(timing.ramp_up_s)} s up, ${plain(plateauS(timing))} s plateau, `
    + `${plain(timing.ramp_down_s)} s down, then ${plain(timing.off_s)} s off; a cycle takes `
    + `${plain(cycleS(timing))} s. The ramps are ${timing.ramps_inside_on ? "inside" : "outside"} the on time.`;
}

// One column a day, one block a bout; the figure above is the day's contractions.
export function weekColumns(weekdays, bouts, contractions) {
  return DAYS.map((name, day) => column(name, day, weekdays.includes(day) ? bouts : 0, contractions));
}

function column(name, day, bouts, contractions) {
  const middle = ((day + 0.5) * 100) / 7;
  const height = bouts ? Math.min(BLOCK, (ROOM - GAP * (bouts - 1)) / bouts) : 0;
  const blocks = Array.from({ length: bouts }, (_, n) => ({
    x: `${(middle - 4).toFixed(2)}%`,
    y: hundredth(84 - (n + 1) * height - n * GAP),
    height: hundredth(height),
  }));
  const countY = blocks.length ? blocks.at(-1).y - 4 : 80;
  return { name, x: `${middle.toFixed(2)}%`, count: bouts * contractions, countY, blocks };
}

export function weekWords(weekdays, bouts, contractions) {
  const names = weekdays.length === DAYS.length ? "Every day" : listed([...weekdays].sort((a, b) => a - b).map((day) => DAYS[day]));
  const aDay = bouts * contractions;
  const aWeek = bouts * weekdays.length;
  return `${names}: ${plural(bouts, "bout")} a day, ${aDay} contractions a day. `
    + `${plural(aWeek, "bout")} and ${aDay * weekdays.length} contractions a week.`;
}

export const plural = (count, noun) => `${count} ${noun}${count === 1 ? "" : "s"}`;

export function listed(parts) {
  return parts.length > 1 ? `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}` : parts.join("");
}

// Six digits at most, no zeros behind, as the server writes a number.
export const plain = (value) => String(Number(value.toPrecision(6)));
const tenth = (value) => Math.round(value * 10) / 10;
const hundredth = (value) => Math.round(value * 100) / 100;
