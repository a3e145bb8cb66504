// A link between a phone and its server: counts requests and bytes, and can lose,
// delay and slow them. A lost exchange dies before the server sees it or after it
// answered, turn about.
import http from "node:http";

export async function openLink(target, { loss = 0, delayMs = 0, bytesPerS = Infinity, seed = 1 } = {}) {
  const told = { requests: 0, bytes: 0, lost: 0 };
  let state = seed;
  const chance = () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
  const pass = (size) => new Promise((done) => setTimeout(done, delayMs + (1000 * size) / bytesPerS));
  const to = new URL(target);

  const server = http.createServer(async (request, response) => {
    const body = await whole(request);
    const headBytes = request.rawHeaders.join("").length + request.url.length;
    told.requests += 1;
    told.bytes += headBytes + body.length;
    const losing = chance() < loss;
    const after = losing && told.lost % 2 === 1;
    if (losing) told.lost += 1;
    await pass(headBytes + body.length);
    if (losing && !after) return request.socket.destroy();
    const asked = http.request({ host: to.hostname, port: to.port, path: request.url, method: request.method, headers: { ...request.headers, host: to.host } }, async (reply) => {
      const answer = await whole(reply);
      told.bytes += reply.rawHeaders.join("").length + answer.length;
      await pass(answer.length);
      if (after) return request.socket.destroy();
      response.writeHead(reply.statusCode, reply.rawHeaders);
      response.end(answer);
    });
    asked.on("error", () => request.socket.destroy());
    asked.end(body);
  });
  await new Promise((done) => server.listen(0, "127.0.0.1", done));
  return { url: `http://127.0.0.1:${server.address().port}`, told, close: () => { server.closeAllConnections(); server.close(); } };
}

async function whole(stream) {
  const parts = [];
  for await (const part of stream) parts.push(part);
  return Buffer.concat(parts);
}
