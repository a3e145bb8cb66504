// Which entries an answer really confirms. Wi-Fi gateways answer 200 to
// anything; so only our own media type, our nonce, the log identity we know,
// an id we sent and the hash we sent count.

import { itemOf } from "./batch.js";

export const RECEIPT_TYPE = "application/vnd.boutwise.receipt+json";
const OUTCOMES = new Set(["stored", "already", "held"]);

// True when the answer is a receipt for exactly this request.
export function isOurs(reply, nonce) {
  return reply.kind === "reply" && reply.status === 200 && reply.type === RECEIPT_TYPE
    && reply.body?.nonce === nonce && typeof reply.body.log_identity === "string"
    && Array.isArray(reply.body.receipts);
}

function matchOf(receipt, rows) {
  if (!OUTCOMES.has(receipt?.outcome)) return null;
  const row = rows.find((one) => itemOf(one).sha256 === receipt.sha256);
  // A body the clinic could not read comes back without an id, by its hash.
  const named = receipt.id === row?.id || (receipt.id === null && receipt.outcome === "held");
  return row && named ? { ...receipt, id: row.id } : null;
}

export function confirmedBy(reply, rows) {
  const { receipts, log_identity, server_ms } = reply.body;
  return receipts
    .map((receipt) => matchOf(receipt, rows))
    .filter(Boolean)
    .map(({ id, outcome, sha256, version, reason = null }) =>
      ({ id, outcome, sha256, version, reason, log_identity, server_ms }));
}
