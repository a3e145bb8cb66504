// Lines of JSON to and from the driver, read and written without letting the
// event loop turn: while the clinic works, the phone's world stands still.
import { readSync, writeSync } from "node:fs";

const part = Buffer.alloc(1 << 16);
let rest = "";
const decoder = new TextDecoder();

export function readLine() {
  for (;;) {
    const end = rest.indexOf("\n");
    if (end >= 0) {
      const line = rest.slice(0, end);
      rest = rest.slice(end + 1);
      return JSON.parse(line);
    }
    const count = readSync(0, part, 0, part.length, null);
    if (count === 0) return null;
    rest += decoder.decode(part.subarray(0, count), { stream: true });
  }
}

export function writeLine(value) {
  const bytes = Buffer.from(`${JSON.stringify(value)}\n`);
  for (let at = 0; at < bytes.length;) at += writeSync(1, bytes, at);
}

export function ask(question) {
  writeLine(question);
  return readLine();
}
