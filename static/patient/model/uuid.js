// UUID version 7 (RFC 9562 section 5.7) from a moment and ten random bytes.
// Order comes from the entry's number, never from the id, so there is no
// counter within a millisecond and a clock that runs back does no harm.

const hex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");

export function uuidv7(ms, random) {
  const tail = Uint8Array.from(random.slice(0, 10));
  tail[0] = 0x70 | (tail[0] & 0x0f); // version
  tail[2] = 0x80 | (tail[2] & 0x3f); // variant
  const all = Math.floor(ms).toString(16).padStart(12, "0") + hex(tail);
  const groups = [all.slice(0, 8), all.slice(8, 12), all.slice(12, 16), all.slice(16, 20)];
  return [...groups, all.slice(20)].join("-");
}

// The id of another answer to a form whose first answer is stored under `id`. Made
// from what it says: its own second try has the same one again.
export async function idOfAnother(id, payload) {
  const sha = await sha256(`${id} ${JSON.stringify(payload)}`);
  const bytes = sha.match(/../g).map((pair) => Number.parseInt(pair, 16));
  return uuidv7(Number.parseInt(id.replace("-", "").slice(0, 12), 16), bytes);
}

export const sha256 = (text) => sha256OfBytes(new TextEncoder().encode(text));

export async function sha256OfBytes(bytes) {
  return hex(new Uint8Array(await crypto.subtle.digest("SHA-256", bytes)));
}
