// One request, one answer as a value: {kind: "reply", status, type, body,
// retry_after_s} or {kind: "offline" | "timeout"}. Nothing here throws because
// the network is away, and no answer means success by its status alone.

const BASE_MS = 15_000;
const MS_PER_BYTE = 0.1;

// Both forms of Retry-After (RFC 9110 section 10.2.3); null when senseless.
export function retryAfterSeconds(header, nowMs) {
  if (!header) return null;
  const seconds = /^\d+$/.test(header) ? Number(header) : (Date.parse(header) - nowMs) / 1000;
  return Number.isFinite(seconds) && seconds >= 0 ? seconds : null;
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

export class Api {
  #fetch;
  #timer;
  #clock;
  #base;
  #round = new AbortController();

  constructor({ fetch, timer, clock, base = "/api/v1/" }) {
    this.#fetch = fetch;
    this.#timer = timer;
    this.#clock = clock;
    this.#base = base;
  }

  get(path) {
    return this.#send(path, { method: "GET" }, 0);
  }

  post(path, data) {
    const body = JSON.stringify(data);
    const headers = { "Content-Type": "application/json", "X-Boutwise": "1" };
    return this.#send(path, { method: "POST", body, headers }, body.length);
  }

  put(path, bytes, type) {
    const headers = { "Content-Type": type, "X-Boutwise": "1" };
    return this.#send(path, { method: "PUT", body: bytes, headers }, bytes.byteLength);
  }

  remove(path) {
    return this.#send(path, { method: "DELETE", headers: { "X-Boutwise": "1" } }, 0);
  }

  // Runs `work` and ends its requests after `ms`, or when the page is put away.
  async within(ms, work) {
    this.#round = new AbortController();
    const wait = this.#timer.set(() => this.#round.abort("late"), ms);
    try {
      return await work();
    } finally {
      this.#timer.clear(wait);
    }
  }

  stop() {
    this.#round.abort("left");
  }

  async #send(path, options, size) {
    const { signal: round } = this.#round;
    if (round.aborted) return { kind: "offline" };
    const stop = new AbortController();
    let late = false;
    const end = (why) => { late = why === "late"; stop.abort(); };
    const wait = this.#timer.set(() => end("late"), BASE_MS + size * MS_PER_BYTE);
    round.addEventListener("abort", () => end(round.reason));
    const fixed = { credentials: "same-origin", cache: "no-store", redirect: "error", signal: stop.signal };
    try {
      const response = await this.#fetch(this.#base + path, { ...options, ...fixed });
      return await this.#answer(response);
    } catch {
      return { kind: late ? "timeout" : "offline" };
    } finally {
      this.#timer.clear(wait);
    }
  }

  async #answer(response) {
    return {
      kind: "reply",
      status: response.status,
      type: (response.headers.get("Content-Type") ?? "").split(";")[0].trim(),
      retry_after_s: retryAfterSeconds(response.headers.get("Retry-After"), this.#clock.now()),
      body: parsed(await response.text()),
    };
  }
}
