// The patient's worker. It answers two things only, both by GET: navigations
// under /p/ with the one anonymous shell, and the files listed below. It answers
// nothing under /api/, never stores a page with anybody's data, and never takes
// over while a form may be open: the page says when. And it shows reminders, in
// fixed words: what is sent to it holds an id, a letter for which words, and says nothing.
"use strict";

const PREFIX = "boutwise-p-";
const CACHE = PREFIX + "{{ version }}";
const SHELL = "{{ shell_url }}";
const FILES = {{ precache|safe }}; // [address, sha256 or null]
const KNOWN = new Set(FILES.map(([address]) => address));
const REMINDING = "boutwise-reminding"; // the phone's language, while its owner wants reminders
const STOPPED = "boutwise-stopped"; // the notice that was stopped, until the clinic knows
const SAID = {{ said|safe }};
const ICON = "{{ icon }}";
const TYPES = {
  js: ["text/javascript", "application/javascript"],
  css: ["text/css"],
  json: ["application/json"],
  svg: ["image/svg+xml"],
  png: ["image/png"],
};

function typeFits(address, response) {
  const type = (response.headers.get("Content-Type") || "").split(";")[0].trim();
  if (address === SHELL) return type === "text/html";
  return (TYPES[address.split(".").pop()] || []).includes(type);
}

async function hashOf(response) {
  const digest = await crypto.subtle.digest("SHA-256", await response.arrayBuffer());
  return Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// A gateway's page, a redirect or half a file must never become our app.
async function fetchChecked([address, sha256]) {
  const response = await fetch(address, { cache: "reload", redirect: "error", credentials: "omit" });
  const sound = response.status === 200 && response.type === "basic" && !response.redirected;
  if (!sound || !typeFits(address, response)) throw new TypeError("not ours: " + address);
  if (sha256 && (await hashOf(response.clone())) !== sha256) throw new TypeError("other content: " + address);
  return [address, response];
}

// All or nothing: the cache is filled only after every file was checked.
async function fill() {
  const fetched = await Promise.all(FILES.map(fetchChecked));
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(fetched.map(([address, response]) => cache.put(address, response)));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
}

async function dropOld() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
}

async function fromCache(address, request) {
  const cached = await caches.match(address, { cacheName: CACHE });
  return cached || fetch(request);
}

async function spoken() {
  const kept = await caches.match(SHELL + "reminding", { cacheName: REMINDING });
  return kept ? kept.text() : "";
}

function read(data) {
  const [, id, letter] = /^([0-9a-f]{32})([a-z]?)$/.exec(data ? data.text() : "") || [];
  return { id, letter };
}

// Whatever fails, something is shown: a browser takes the permission back otherwise.
async function remind(message) {
  const { id, letter } = read(message);
  const language = await spoken().catch(() => "");
  const said = SAID[language] || SAID["{{ first }}"];
  const actions = [{ action: "stop", title: said.stop }];
  const body = said[letter] || said.{{ usual }};
  await self.registration.showNotification(said.title, { body, tag: "reminder", icon: ICON, lang: language, actions, data: id });
}

function tell(what, data) {
  const headers = { "Content-Type": "application/json", "X-Boutwise": "1" };
  return fetch("/api/v1/" + what, { method: "POST", body: JSON.stringify(data), headers, credentials: "same-origin", redirect: "error" });
}

async function showNext() {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const ours = pages.filter(({ url }) => new URL(url).pathname === SHELL);
  const page = ours.find(({ visibilityState }) => visibilityState === "visible") || ours[0];
  if (!page) return self.clients.openWindow(SHELL + "#next");
  page.postMessage({ type: "show-next" });
  return page.focus();
}

// Every way of being reminded. Without a network too: what the browser has forgotten
// rings no more, and the app tells the clinic at its next start what is marked here.
async function stop(id) {
  const marked = await caches.open(STOPPED);
  await marked.put(SHELL + "stopped", new Response(id));
  await caches.delete(REMINDING);
  const subscription = await self.registration.pushManager.getSubscription();
  if (subscription) await subscription.unsubscribe();
  const told = await tell("reminders/stop/", { reminder: id || null });
  if (told.status === 200 && "stopped" in (await told.json())) await caches.delete(STOPPED);
}

async function renew({ oldSubscription, newSubscription }) {
  const fresh = newSubscription || (await self.registration.pushManager.subscribe(oldSubscription.options));
  await tell("subscription/", fresh);
}

// What fails here for want of a network, the app makes good at its next start.
const later = () => {};

self.addEventListener("push", (event) => event.waitUntil(remind(event.data)));

self.addEventListener("pushsubscriptionchange", (event) => event.waitUntil(renew(event).catch(later)));

self.addEventListener("notificationclick", (event) => {
  const { notification, action } = event;
  notification.close();
  event.waitUntil(action === "stop" ? stop(notification.data || "").catch(later) : showNext());
});

self.addEventListener("install", (event) => event.waitUntil(fill()));

self.addEventListener("activate", (event) => event.waitUntil(dropOld()));

self.addEventListener("message", (event) => {
  if (event.data && event.data.type === "take-over") self.skipWaiting();
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate") {
    if (url.pathname.startsWith(SHELL)) event.respondWith(fromCache(SHELL, request));
    return;
  }
  if (KNOWN.has(url.pathname)) event.respondWith(fromCache(url.pathname, request));
});
