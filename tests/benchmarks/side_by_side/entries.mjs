// The same bouts for both sides.
export const payload = (at) => ({
  started_at: "2030-03-05T08:00", ended_early: null, minutes: 15, contractions: 15 - (at % 3),
  intensity: [{ channel: 1, value: 40 + (at % 20), unit: "mA" }], exercises: ["quad_set"],
  discomfort: at % 8, knee_pain_before: at % 4, knee_pain_after: at % 5,
});

// What a link of the third generation gives: 400 ms there and back, 1.6 Mbit/s.
export const LINKS = {
  loopback: {},
  "10 % loss": { loss: 0.1 },
  "3G-like, 10 % loss": { loss: 0.1, delayMs: 200, bytesPerS: 200_000 },
};

export function report(side, link, count, began, told) {
  console.log(JSON.stringify({ side, link, entries: count, ms: Math.round(performance.now() - began), ...told }));
}
