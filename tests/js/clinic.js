// The other end of the wire, as the contract describes it, in memory. Faults
// are put in by `clinic.fault`, which sees each request and may answer itself.
import { createHash } from "node:crypto";

const RECEIPT = "application/vnd.boutwise.receipt+json";
const sha = (text) => createHash("sha256").update(text).digest("hex");

export function answer(status, body, type = "application/json", headers = {}) {
  const text = typeof body === "string" ? body : JSON.stringify(body);
  return new Response(text, { status, headers: { "Content-Type": type, ...headers } });
}

export function makeClinic({ phoneId, identity = "log-1" } = {}) {
  const clinic = {
    identity, phoneId, state: "active", stored: new Map(), held: new Map(), changes: [],
    photos: new Map(), requests: [], claims: [], named: new Set(), fault: null, unreadable: new Set(), lost: new Set(), announced: 0, serverMs: 0, limits: { entries: 250, bytes: 262144 },
  };
  clinic.fetch = async (address, options) => {
    const request = { address, method: options.method, ...sent(options.body) };
    clinic.requests.push(request);
    const serve = () => route(clinic, request);
    return clinic.fault ? clinic.fault(request, serve, options) : serve();
  };
  clinic.tell = (change) => clinic.changes.push({ version: clinic.changes.length + 1, ...change });
  clinic.pushes = () => clinic.requests.filter(({ address }) => address.endsWith("/push/"));
  return clinic;
}

// A message is text, a photo is bytes.
function sent(body) {
  if (body instanceof ArrayBuffer) return { data: null, bytes: Buffer.from(body), size: body.byteLength };
  return { data: body ? JSON.parse(body) : null, size: body?.length ?? 0 };
}

function route(clinic, { address, method, data, bytes }) {
  if (address.includes("/photos/")) return photo(clinic, new URL(address, "http://clinic"), method, bytes);
  if (address.endsWith("/pairing/")) return pairing(clinic, method);
  if (clinic.state === "revoked" && clinic.revoked && address.endsWith("/push/")) return push(clinic, data);
  if (clinic.state === "revoked") return answer(401, { code: "not_paired", message: "", fields: {} });
  if (address.endsWith("/push/")) return push(clinic, data);
  return pull(clinic, new URL(address, "http://clinic").searchParams.get("cursor"));
}

function pairing(clinic, method) {
  if (method === "POST") return answer(201, { phone_id: clinic.phoneId, state: clinic.state });
  return answer(200, { phone_id: clinic.phoneId, state: clinic.state, log_identity: clinic.identity, high: highOf(clinic), age_s: clinic.age_s ?? 0, revoked: clinic.revoked, patient: { initials: "A. B." } });
}

function custody(clinic, { body, sha256 }) {
  if (sha(body) !== sha256) return { id: null, outcome: "held", sha256, version: null };
  const { id } = JSON.parse(body);
  if (clinic.unreadable.has(id)) return { id: null, outcome: "held", sha256, version: 1, reason: { code: "entry_unreadable", message: "m" } };
  const known = clinic.stored.get(id);
  if (known) return { id, outcome: "already", sha256, version: known.version };
  const version = clinic.stored.size + 1;
  clinic.stored.set(id, { body, version });
  return { id, outcome: "stored", sha256, version };
}

function numbers(clinic) {
  return [...clinic.stored.values()].map(({ body }) => JSON.parse(body).number);
}

const highOf = (clinic) => Math.max(0, clinic.announced, ...numbers(clinic));

function push(clinic, data) {
  const receipts = data.entries.map((item) => custody(clinic, item));
  if (data.claim) clinic.claims.push(data.claim);
  data.have_revision.forEach((id) => clinic.named.add(id));
  clinic.announced = Math.max(clinic.announced, data.high);
  data.lost.forEach((number) => clinic.lost.add(number));
  const high = highOf(clinic);
  const all = new Set([...numbers(clinic), ...clinic.lost]);
  const gaps = Array.from({ length: high }, (_, at) => at + 1).filter((number) => !all.has(number));
  return answer(200, {
    log_identity: clinic.identity, nonce: data.nonce, receipts, high, gaps,
    server_ms: clinic.serverMs, limits: clinic.limits, retry_after_s: null,
  }, RECEIPT);
}

function photo(clinic, { pathname, searchParams }, method, bytes) {
  const id = pathname.split("/").at(-2);
  if (method === "DELETE") {
    clinic.photos.delete(id);
    return answer(200, { id, state: "deleted" }, RECEIPT);
  }
  if (!clinic.stored.has(searchParams.get("entry"))) return answer(409, { code: "photo_entry_unknown", message: "m" });
  clinic.photos.set(id, { bytes, taken_ms: Number(searchParams.get("taken_ms")) });
  return answer(200, { id, sha256: sha(bytes), state: "kept" }, RECEIPT);
}

function pull(clinic, cursor) {
  const from = cursor.startsWith(`${clinic.identity}:`) ? Number(cursor.split(":")[1]) : 0;
  const changes = clinic.changes.slice(from, from + 2);
  const next = from + changes.length;
  return answer(200, { log_identity: clinic.identity, cursor: `${clinic.identity}:${next}`, more: next < clinic.changes.length, changes });
}
