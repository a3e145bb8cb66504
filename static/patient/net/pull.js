// Pull until `more` is false. Each page and its cursor are stored together.
import { verdict } from "./verdict.js";

const KEY = /^[0-9a-f]{64}$/;

const pageOf = (reply) =>
  reply.kind === "reply" && reply.status === 200 && Array.isArray(reply.body?.changes)
    && typeof reply.body.cursor === "string" && typeof reply.body.log_identity === "string"
    ? reply.body : null;

export class Pull {
  #api;
  #store;

  constructor({ api, store }) {
    this.#api = api;
    this.#store = store;
  }

  // {state: "pulled", changes} or the state that ended it.
  async run(identity) {
    let seen = 0;
    for (;;) {
      const cursor = await this.#store.record.cursor();
      const { page, state } = await this.#page(cursor);
      if (!page) return state;
      if (page.log_identity !== identity) return { state: "other_log" };
      await this.#keep(page);
      seen += page.changes.length;
      if (!page.more || page.cursor === cursor) return { state: "pulled", changes: seen };
    }
  }

  // A log with another identity: fetch all of it first, then swap at once.
  async anew() {
    const changes = [];
    let cursor = "";
    for (;;) {
      const { page, state } = await this.#page(cursor);
      if (!page) return state;
      changes.push(...page.changes);
      const stuck = page.more && page.cursor === cursor;
      cursor = page.cursor;
      if (page.more && !stuck) continue;
      await this.#keep({ changes, cursor }, true);
      return { state: "pulled", changes: changes.length, log_identity: page.log_identity };
    }
  }

  async #page(cursor) {
    const keyed = await this.#store.meta.get("release_key");
    const reply = await this.#api.get(`sync/pull/?${keyed ? "" : "release=1&"}cursor=${encodeURIComponent(cursor)}`);
    const page = pageOf(reply);
    if (KEY.test(page?.release_key)) await this.#store.meta.set({ release_key: page.release_key });
    return page ? { page } : { page, state: verdict(reply) };
  }

  async #keep({ changes, cursor }, fresh = false) {
    await this.#store.record.apply({ changes, cursor, fresh });
    for (const change of changes) {
      if (change.type !== "entry_state") continue;
      await this.#store.outbox.settle(change.id, change.state, change.reason ?? null);
      if (change.photo_gone) await this.#store.photos.gone(change.photo_gone).catch(() => {});
    }
  }
}
