// The empty worker, served while BOUTWISE_WORKER is off: it takes over from a
// broken one, drops what that one cached, and goes. The entries of the phone
// lie in IndexedDB, which it never touches; the app goes on with a network.
"use strict";

const PREFIX = "boutwise-p-";

async function leave() {
  const names = (await caches.keys()).filter((name) => name.startsWith(PREFIX));
  await Promise.all(names.map((name) => caches.delete(name)));
  await self.registration.unregister();
}

self.addEventListener("install", () => self.skipWaiting());

self.addEventListener("activate", (event) => event.waitUntil(leave()));
