// How large a photo may be on its way: enough to see a mark by, small enough
// for a slow link.
export const SIDE_MOST = 1_280;
export const BYTES_MOST = 400_000;

const QUALITIES = [0.85, 0.75, 0.65, 0.55];
const SMALLER = 0.75;
const SIDE_LEAST = 320;

// Never larger than it was.
export function fitted(width, height, side) {
  const by = Math.min(1, side / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * by)), height: Math.max(1, Math.round(height * by)) };
}

// What to try until it fits, best first: first the quality goes down, then the size.
export function* tries(width, height) {
  for (let side = SIDE_MOST; side >= SIDE_LEAST; side *= SMALLER) {
    const size = fitted(width, height, side);
    for (const quality of QUALITIES) yield { ...size, quality };
  }
}
