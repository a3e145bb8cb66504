// Goes into a page before the app does. Tells in the page's own time when the
// app stood there to be used, and how long each save took to be shown.
globalThis.stopwatch = { usable: null, saves: [] };
(() => {
  const SAVED = "Saved on this phone.";
  let tapped = null;
  const painted = (act) => requestAnimationFrame(() => setTimeout(() => act(performance.now())));
  addEventListener("click", (event) => {
    if (event.target.closest?.("button.primary")) tapped = event.timeStamp;
  }, true);
  const look = () => {
    if (stopwatch.usable === null && document.querySelector(".action .primary, .areas a")) {
      stopwatch.usable = 0;
      painted((at) => { stopwatch.usable = at; });
    }
    if (tapped !== null && document.querySelector(".told")?.textContent === SAVED) {
      const began = tapped;
      tapped = null;
      painted((at) => stopwatch.saves.push(at - began));
    }
  };
  new MutationObserver(look).observe(document, { childList: true, subtree: true, characterData: true });
})();
