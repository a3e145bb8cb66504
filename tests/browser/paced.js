// Stands in for what a headless browser has not: a loudspeaker, a motor, a lamp.
globalThis.given = { tones: 0, shakes: 0, locks: 0, spoken: [] };
globalThis.lampAnswers = true;
globalThis.lamp = { released: true };
const param = { value: 0, setValueAtTime() {}, linearRampToValueAtTime() {} };
globalThis.AudioContext = class {
  state = "running";
  currentTime = 0;
  destination = {};
  resume() { return Promise.resolve(); }
  close() { return Promise.resolve(); }
  createGain() { return { gain: param, connect: (next) => next }; }
  createOscillator() { return { frequency: param, connect: (next) => next, start() { given.tones += 1; }, stop() {} }; }
};
navigator.vibrate = () => { given.shakes += 1; return true; };
Object.defineProperty(navigator, "wakeLock", { value: {
  request: () => {
    given.locks += 1;
    if (!globalThis.lampAnswers) return Promise.reject(new Error("refused"));
    globalThis.lamp = { released: false, addEventListener() {}, release: () => Promise.resolve() };
    return Promise.resolve(lamp);
  },
} });
// What a screen reader would be told, whole sentences as they are set.
new MutationObserver((changes) => {
  for (const { target } of changes) {
    const region = (target.nodeType === 3 ? target.parentElement : target)?.closest?.("main [role=status], main [role=alert], main [aria-live]");
    if (region?.textContent) given.spoken.push(region.textContent);
  }
}).observe(document, { subtree: true, childList: true, characterData: true });
