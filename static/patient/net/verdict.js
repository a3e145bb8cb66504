// What an answer that is no receipt means for the round.

const TOO_MUCH = new Set([408, 413, 502, 504]);
const WAIT = new Set([429, 503]);

// stop: no more requests in this round. halve: try a smaller batch.
export function verdict(reply) {
  if (reply.kind === "offline") return { halve: false, state: "offline" };
  if (reply.kind === "timeout") return { halve: true, state: "offline" };
  const code = reply.body?.code;
  if (reply.status === 401) return { halve: false, state: revokedState(reply.body) };
  if (reply.status === 403 && code === "pairing_waiting") return { halve: false, state: "waiting" };
  if (reply.status === 426) return { halve: false, state: "too_old" };
  if (WAIT.has(reply.status)) return { halve: false, state: "busy", retry_after_s: reply.retry_after_s };
  return { halve: TOO_MUCH.has(reply.status), state: "no_sense" };
}

// Any 401 that does not come from us (a gateway) is no verdict on the pairing.
function revokedState(body) {
  if (body?.code === "phone_revoked") return body.revoked === "stolen" ? "revoked_stolen" : "revoked_replaced";
  return body?.code === "not_paired" ? "not_paired" : "no_sense";
}
