// The browser's edge to its push service, which no test machine can reach: this
// phone subscribes at once, and keeps its subscription over a reload.
(() => {
  const KEPT = "test-push-subscription";
  const shaped = (told) => ({
    ...told.browser,
    options: { applicationServerKey: Uint8Array.from(atob(told.key.replaceAll("-", "+").replaceAll("_", "/")), (one) => one.charCodeAt(0)).buffer },
    unsubscribe: async () => { sessionStorage.removeItem(KEPT); return true; },
  });
  PushManager.prototype.getSubscription = async () => {
    const told = sessionStorage.getItem(KEPT);
    return told ? shaped(JSON.parse(told)) : null;
  };
  PushManager.prototype.subscribe = async ({ userVisibleOnly, applicationServerKey }) => {
    if (!userVisibleOnly) throw new DOMException("every push must be seen", "NotAllowedError");
    const told = { key: applicationServerKey, browser: globalThis.testSubscription };
    sessionStorage.setItem(KEPT, JSON.stringify(told));
    return shaped(told);
  };
})();
