// N documents from one general-purpose offline database to another over HTTP.
import express from "express";
import expressPouchDB from "express-pouchdb";
import PouchDB from "pouchdb";
import memory from "pouchdb-adapter-memory";
import { LINKS, payload, report } from "./entries.mjs";
import { openLink } from "./link.mjs";

PouchDB.plugin(memory);
const [, , link, count] = process.argv;
const InMemory = PouchDB.defaults({ adapter: "memory" });
const app = express();
app.use("/", expressPouchDB(InMemory, { mode: "minimumForPouchDB", inMemoryConfig: true, logPath: "/dev/null" }));
const server = await new Promise((done) => { const one = app.listen(0, "127.0.0.1", () => done(one)); });

const local = new InMemory("phone");
const documents = Array.from({ length: Number(count) }, (_, at) => ({ _id: `entry-${String(at).padStart(6, "0")}`, kind: "bout", for_date: "2030-03-05", payload: payload(at) }));
await local.bulkDocs(documents);
const { url, told, close } = await openLink(`http://127.0.0.1:${server.address().port}`, LINKS[link]);
const remote = new PouchDB(`${url}/clinic`);

const began = performance.now();
for (;;) {
  const done = await local.replicate.to(remote).then(({ ok }) => ok, () => false);
  if (done) break;
}
report("general-purpose", link, Number(count), began, { ...told });
const { doc_count } = await new InMemory("clinic").info();
if (doc_count !== Number(count)) throw new Error(`${doc_count} of ${count} arrived`);
close();
server.close();
process.exit(0);
