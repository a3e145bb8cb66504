// The code that ends this phone's waiting after the clinic lifted holds: a MAC
// over the entries that raised them, under a secret of this phone. The clinic's
// lift is the truth; this fits no hold raised later, and so only once.
// Shared cases: fixtures/rules/release.json.

const DIGITS = 8;
const NAMED = "boutwise release 1";
const SETS_OF = 8; // more holds than that: all of them or one of them
export const TRIES = 5;
export const WAIT_MS = 15 * 60_000;

const bytesOf = (hex) => Uint8Array.from(hex.match(/../g), (pair) => Number.parseInt(pair, 16));

async function coder(key) {
  const hmac = await crypto.subtle.importKey("raw", bytesOf(key), { name: "HMAC", hash: "SHA-256" }, false, ["sign"]);
  return async (ids) => {
    const text = [NAMED, ...[...ids].sort()].join("\n");
    const mac = new DataView(await crypto.subtle.sign("HMAC", hmac, new TextEncoder().encode(text)));
    return String(mac.getBigUint64(0) % 10n ** BigInt(DIGITS)).padStart(DIGITS, "0");
  };
}

export const releaseCode = async (key, ids) => (await coder(key))(ids);

// Every set of holds that the clinic may have lifted, the whole first.
function setsOf(ids) {
  if (ids.length > SETS_OF) return [ids, ...ids.map((id) => [id])];
  const count = 2 ** ids.length - 1;
  return Array.from({ length: count }, (_, at) => ids.filter((_id, bit) => (count - at) & (1 << bit)));
}

// What is typed may have spaces or other signs in it.
export const digitsOf = (typed) => typed.normalize("NFKC").replace(/\D/g, "");

export const isWhole = (typed) => digitsOf(typed).length === DIGITS;

// The entries whose holds the code ends, of those that stand here; null when it fits none.
export async function coveredBy({ key, typed, standing }) {
  const code = await coder(key);
  const said = digitsOf(typed);
  for (const ids of setsOf(standing)) if ((await code(ids)) === said) return ids;
  return null;
}

// Tries so far as {count, until_ms}. A clock set back shortens no wait and makes none longer.
export function waitLeft(tries, now) {
  return tries ? Math.min(Math.max(0, (tries.until_ms ?? 0) - now), WAIT_MS) : 0;
}

// One that began before another tab's fifth ends no wait.
export function afterWrong(tries, now) {
  if (waitLeft(tries, now)) return tries;
  const count = (tries?.count ?? 0) + 1;
  return count < TRIES ? { count, until_ms: 0 } : { count: 0, until_ms: now + WAIT_MS };
}
