// One number a bout over the last weeks, with its gaps. It says what was and
// never what will be.
import { daysBetween } from "./day.js";

const JOINED_DAYS = 3; // what lies further apart is not joined by a line

const startOf = ({ payload }) => payload.started_at;
const valuesOf = (bouts, pick, first) => [...bouts].sort((a, b) => startOf(a).localeCompare(startOf(b)))
  .map((bout) => ({ at: daysBetween(first, bout.for_date) + Number(startOf(bout).slice(11, 13)) / 24, value: pick(bout.payload) }))
  .filter(({ value }) => value !== null);

function runsOf(points) {
  const runs = [];
  for (const point of points) {
    const before = runs.at(-1)?.at(-1);
    if (before && point.at - before.at <= JOINED_DAYS) runs.at(-1).push(point);
    else runs.push([point]);
  }
  return runs;
}

// {runs, count, first, last, low, high} or null when there is nothing to draw.
export function trendOf(bouts, pick, firstDay) {
  const points = valuesOf(bouts, pick, firstDay);
  if (!points.length) return null;
  const values = points.map(({ value }) => value);
  return { runs: runsOf(points), count: points.length, first: values[0], last: values.at(-1), low: Math.min(...values), high: Math.max(...values) };
}

export const discomfortOf = ({ discomfort }) => discomfort;

// Of one channel, in the unit it has now: levels and mA are not compared.
export const intensityOf = (channel, unit) => ({ intensity }) =>
  intensity.find((one) => one.channel === channel && one.unit === unit)?.value ?? null;
