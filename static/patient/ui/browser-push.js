// The browser's side of reminders: it does as it is told and decides nothing.

// One entry, the phone's language, while its owner wants reminders. The worker
// reads it, and takes it away when it is stopped from the notice.
const CACHE = "boutwise-reminding";
const ENTRY = "/p/reminding";
// The worker's mark: the reminder whose notice was stopped, until the clinic knows.
const STOPPED = "boutwise-stopped";

const manager = async () => (await navigator.serviceWorker.getRegistration("/p/"))?.pushManager;

const letters = (bytes) => btoa(String.fromCharCode(...new Uint8Array(bytes))).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");

const hasKey = (subscription, key) => letters(subscription.options?.applicationServerKey ?? []) === key;

export const browserPush = Object.freeze({
  can: () => Boolean(navigator.serviceWorker && globalThis.PushManager && globalThis.Notification && globalThis.caches),
  permission: () => Notification.permission,
  ask: () => Notification.requestPermission(),
  kept: async () => Boolean(await caches.match(ENTRY, { cacheName: CACHE })),
  keep: async (language) => (await caches.open(CACHE)).put(ENTRY, new Response(language)),
  drop: () => caches.delete(CACHE),
  stopped: async () => (await caches.match("/p/stopped", { cacheName: STOPPED }))?.text(),
  settle: () => caches.delete(STOPPED),
  current: async () => (await manager())?.getSubscription() ?? null,

  // Under the clinic's key: the one there is, or a new one in its place.
  async subscribed(key) {
    const known = await browserPush.current();
    if (known && hasKey(known, key)) return known;
    await known?.unsubscribe();
    return (await manager()).subscribe({ userVisibleOnly: true, applicationServerKey: key });
  },
});
