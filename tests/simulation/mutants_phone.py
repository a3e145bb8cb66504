"""Broken phones."""

from tests.simulation.mutants import Mutant

MUTANTS = [
    Mutant(
        "any_200_is_a_receipt",
        "net/push.js",
        "    if (!isOurs(reply, nonce)) return",
        """    if (reply.status === 200) {
      await this.#store.outbox.confirm(batch.map(({ id }) => ({ id, outcome: "stored" })));
    }
    if (!isOurs(reply, nonce)) return""",
        focus="storm",
    ),
    Mutant(
        "deleted_to_be_sent",
        "store/outbox.js",
        """    return this.#change(ids, (row) =>
      row.state === "stored" ? { ...row, state: "offered", offered_ms } : null);""",
        """    return this.#queue.write(["entries"], ({ entries }, done) => {
      for (const id of ids) entries.delete(id);
      done(offered_ms);
    });""",
    ),
    Mutant(
        "no_commit",
        "store/db.js",
        "tx.commit?.(); };",
        "};",
        focus="kill_while_saving",
    ),
    Mutant(
        "saved_when_the_request_succeeds",
        "store/db.js",
        "{ result = value; tx.commit?.(); };",
        "{ result = value; tx.commit?.(); resolve(value); };",
        focus="storage_fails",
    ),
    Mutant(
        "cursor_before_rows",
        "store/record.js",
        """    return this.#record.write([...ROWS, "single"], (stores, done) => {
      if (fresh) for (const name of [...ROWS, "single"]) stores[name].clear();
      for (const change of changes) put(stores, change);
      stores.single.put({ key: "cursor", value: cursor });
      done();
    });""",
        """    return this.#record.write(["single"], ({ single }, done) => {
      single.put({ key: "cursor", value: cursor });
      done();
    }).then(() => this.#record.write([...ROWS, "single"], (stores, done) => {
      if (fresh) for (const name of ROWS) stores[name].clear();
      for (const change of changes) put(stores, change);
      done();
    }));""",
        focus="kill_while_syncing",
    ),
    Mutant(
        "purged_when_confirmed",
        "store/outbox.js",
        """    return this.#change([...byId.keys()], (row) => {""",
        """    return this.#queue.write(["entries"], ({ entries }, done) => {
      for (const id of byId.keys()) entries.delete(id);
      done();
    });
    return this.#change([...byId.keys()], (row) => {""",
    ),
    Mutant(
        "log_identity_ignored",
        "net/push.js",
        "if (reply.body.log_identity !== identity) return",
        "if (!identity) return",
        focus="failover",
    ),
    Mutant(
        "number_taken_outside_the_transaction",
        "store/entries.js",
        "if (taken !== made.number - 1) return done({ meta: facts.result });",
        "",
        focus="save_in_two_tabs",
    ),
    Mutant(
        "nonce_not_compared",
        "net/receipts.js",
        "reply.body?.nonce === nonce && typeof reply.body.log_identity",
        "nonce && typeof reply.body?.log_identity",
        focus="storm forged_nonce",
    ),
    Mutant(
        "receipt_hash_not_compared",
        "net/receipts.js",
        "rows.find((one) => itemOf(one).sha256 === receipt.sha256)",
        "rows.find(({ id }) => id === receipt.id)",
        focus="storm forged_hash",
    ),
    Mutant(
        "media_type_not_compared",
        "net/receipts.js",
        "reply.type === RECEIPT_TYPE\n",
        'reply.type !== ""\n',
        focus="storm forged_type",
    ),
    Mutant(
        "no_halving",
        "net/push.js",
        "if (!halve || batch.length === 0) return rest;",
        "return rest;",
        focus="giant_entry proxy_shrinks",
    ),
    Mutant(
        "rescue_never_merged",
        "net/round.js",
        "    await this.#store.entries.mergeRescued().catch(() => 0);\n",
        "",
        focus="storage_hangs storage_fails",
    ),
    Mutant(
        "gaps_not_offered_again",
        "net/round.js",
        "    const { offered, lost } = await this.#missing(pushed.last);",
        "    const { offered, lost } = { offered: 0, lost: [] };",
        focus="failover",
    ),
    Mutant(
        "claim_forgets_the_rescue",
        "net/push.js",
        " && rescued?.length === 0",
        "",
        focus="storage_hangs",
    ),
    Mutant(
        "day_from_utc",
        "model/day.js",
        "return localTime(ms, offsetMin).slice(0, 10);",
        "return new Date(ms + 0 * offsetMin).toISOString().slice(0, 10);",
    ),
    Mutant(
        "fresh_pull_clears_nothing",
        "store/record.js",
        "if (fresh) for",
        "if (fresh && !changes) for",
        focus="failover lift",
    ),
    Mutant(
        "confirmed_kept_no_day",
        "store/outbox.js",
        "const KEEP_DAYS = 400;",
        "const KEEP_DAYS = 0;",
        focus="a_day_passes",
    ),
    Mutant(
        "offered_is_as_good_as_sent",
        "store/outbox.js",
        'const WAITING = ["stored", "offered"];',
        'const WAITING = ["stored"];',
        focus="storm",
    ),
    Mutant(
        "rescue_without_a_transaction_end",
        "store/entries.js",
        """const kept = await this.#rescue.write(["entries"], ({ entries }, done) => {""",
        """const kept = fields; this.#rescue.write(["entries"], ({ entries }, done) => {""",
        focus="storage_hangs storage_fails",
    ),
    Mutant(
        "a_queue_that_was_thrown_away_begins_empty",
        "store/link.js",
        "return begin(await this.#asked());",
        "return begin(null);",
        focus="thrown_away",
    ),
    Mutant(
        "an_entry_gets_no_copy",
        "store/entries.js",
        "copy: () => this.#copy(kept, meta)",
        "copy: async () => {}",
        focus="thrown_away",
    ),
]
