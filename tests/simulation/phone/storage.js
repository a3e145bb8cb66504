// IndexedDB that can fail as browsers do: transactions that abort after their
// requests succeeded, requests that are never answered, a killed process.
import FDBDatabase from "../../js/node_modules/fake-indexeddb/build/esm/FDBDatabase.js";
import FDBFactory from "../../js/node_modules/fake-indexeddb/build/esm/FDBFactory.js";
import FDBTransaction from "../../js/node_modules/fake-indexeddb/build/esm/FDBTransaction.js";

let loop = null;

export function useLoop(given) {
  loop = given;
}

const begin = FDBDatabase.prototype.transaction;
FDBDatabase.prototype.transaction = function transaction(...given) {
  const tx = begin.apply(this, given);
  tx.madeBy = loop.owner;
  if (tx.mode === "readwrite" && this.name === "boutwise-record") tx.madeBy?.phone.wrote("record");
  return tx;
};

const step = FDBTransaction.prototype._start;
FDBTransaction.prototype._start = function start() {
  loop.owner = this.madeBy ?? loop.owner;
  const phone = loop.owner?.phone;
  if (!phone || this.mode === "versionchange") return step.call(this);
  const hung = phone.hangFor(this.db.name);
  if (hung > 0 && this._state !== "finished") {
    this._started = true;
    return loop.storage(() => this._start(), hung);
  }
  const live = this._requests.some(({ request }) => request.readyState !== "done");
  if (!live && this._state !== "finished" && this.mode === "readwrite") {
    this.fault ??= phone.faultOf(this.db.name) ?? "none";
    // The requests have succeeded by now; only the transaction tells.
    if (this.fault !== "none") return this._abort(this.fault);
  }
  return step.call(this);
};

export function makeFactory(phone) {
  const factory = new FDBFactory();
  const open = factory.open.bind(factory);
  factory.open = (name, version) => {
    const hung = phone.hangFor(name);
    if (hung <= 0) return version === undefined ? open(name) : open(name, version);
    const turn = globalThis.setImmediate;
    globalThis.setImmediate = (act) => loop.storage(act, hung);
    try {
      return version === undefined ? open(name) : open(name, version);
    } finally {
      globalThis.setImmediate = turn;
    }
  };
  return factory;
}

// What the database process finishes by itself once a page has asked it to.
function finish(tx) {
  for (const { request, operation } of tx._requests) {
    if (request.readyState !== "done") operation();
  }
}

function undo(tx) {
  for (const act of tx._rollbackLog.reverse()) act();
}

// True when an entry was being written and its transaction was not committed:
// a page that goes away gets no further turn, so this save is lost.
const losesSave = (tx) => tx.saves && tx._state !== "committing" && (tx.fault ?? "none") === "none";

// Every page of the phone is gone at once. `committed` says whether a commit
// that was asked for still happens.
export function stop(factory, committed) {
  let lost = 0;
  for (const db of factory._databases.values()) {
    for (const tx of db.transactions) {
      if (tx._state === "finished") continue;
      if (losesSave(tx)) lost += 1;
      if (tx._state === "committing" && committed) finish(tx);
      else undo(tx);
    }
    db.transactions = [];
    db.connections = [];
  }
  factory._connectionQueues.clear();
  return lost;
}

// The rows of one store as they lie there, without asking.
export function rows(factory, name, store) {
  const raw = factory._databases.get(name)?.rawObjectStores.get(store);
  return raw ? [...raw.records.values()].map(({ value }) => value) : [];
}
