// Makes a log of `bouts` bouts, each with its skin checks, out of the first one
// that the app saved itself; the app then sends them as any others.
async ({ bouts }) => {
  const shipped = (name) => inside.shipped(name);
  const { sha256, uuidv7 } = await shipped("model/uuid");
  const store = await inside.store();
  const known = await inside.rows();
  const made = [];
  let number = (await inside.meta()).number;
  for (let bout = 1; bout < bouts; bout += 1) {
    const back = Math.floor(bout / 2) + 1;
    const day = new Date(Date.now() - back * 86_400_000);
    const for_date = day.toISOString().slice(0, 10);
    for (const row of known) {
      number += 1;
      const fields = JSON.parse(row.body);
      const id = uuidv7(day.getTime(), crypto.getRandomValues(new Uint8Array(10)));
      const payload = fields.payload.started_at ? { ...fields.payload, started_at: `${for_date}T08:00` } : fields.payload;
      const body = JSON.stringify({ ...fields, id, number, for_date, payload });
      made.push({ ...row, id, number, for_date, body, sha256: await sha256(body), state: "stored", receipt: null });
    }
  }
  await new Promise((good, bad) => {
    const opening = indexedDB.open("boutwise-queue");
    opening.onsuccess = () => {
      const work = opening.result.transaction(["entries", "meta"], "readwrite");
      made.forEach((row) => work.objectStore("entries").put(row));
      work.objectStore("meta").put({ key: "number", value: number });
      work.oncomplete = () => { opening.result.close(); good(); };
      work.onerror = () => bad(work.error);
    };
  });
  await store.close();
  return number;
}
