// A phone that is paired with a clinic of our own making, for the tests of a sync.
import { makeClinic } from "./clinic.js";
import { PLACE, makePhone } from "./world.js";

export const PHONE = PLACE.phone_id;

export async function paired(more = {}) {
  const clinic = makeClinic({ phoneId: PHONE });
  const phone = makePhone({ fetch: clinic.fetch, ...more });
  await phone.store.meta.set({ phone_id: PHONE, pairing: "active", log_identity: "log-1" });
  return { clinic, ...phone };
}

export const states = async (store) => (await store.entries.all()).map(({ state }) => state);

export const program = (...revisions) => ({
  type: "program",
  program: { id: "p1", state: "active", ended_on: null, pauses: [], revisions: revisions.map((id) => ({ id })) },
});

// As the clinic's own, but for what is given.
export const receiptLike = (data, more) => ({
  log_identity: "log-1", nonce: data.nonce, high: 1, gaps: [], server_ms: 0, limits: {}, retry_after_s: null,
  receipts: data.entries.map(({ body, sha256 }) => ({ id: JSON.parse(body).id, outcome: "stored", sha256, version: 1 })),
  ...more,
});
export const TYPE = "application/vnd.boutwise.receipt+json";
