// Sound and vibration beside the words: short, quiet tones of our own making.
// Neither says anything that the words do not say; each can be turned off.

const TONE_S = 0.14;
const LOUD = 0.25;
// Up when the current comes, down when it ends; the notes of one cue in turn. [Hz]
const NOTES = {
  rising: [523, 659], on: [659], lift: [523, 659], hold: [659], lower: [523], falling: [440], rest: [440, 330], alone: [587, 587],
  ready: [392], over: [440, 523, 659],
};
const SHAKES = {
  rising: [180], on: [60], lift: [180], hold: [60], lower: [60], falling: [60], rest: [80, 80, 80], alone: [180, 80, 180], ready: [40], over: [250, 100, 250],
};

export const canShake = () => typeof navigator.vibrate === "function";

export class Cues {
  #choices;
  #context = null;

  constructor(choices) {
    this.#choices = choices;
  }

  // From a tap: a browser lets no page sound before its first one.
  wake() {
    const Context = globalThis.AudioContext ?? globalThis.webkitAudioContext;
    if (!Context || !this.#choices.get("sound")) return;
    this.#context ??= new Context();
    this.#context.resume?.()?.catch?.(() => {});
  }

  give(cue) {
    if (this.#choices.get("vibration") && canShake()) navigator.vibrate(SHAKES[cue] ?? []);
    if (this.#choices.get("sound") && this.#context?.state === "running") this.#sound(NOTES[cue] ?? []);
  }

  #sound(notes) {
    const from = this.#context.currentTime;
    notes.forEach((note, at) => this.#tone(note, from + at * TONE_S));
  }

  // It swells and fades, so that it does not click.
  #tone(note, from) {
    const tone = this.#context.createOscillator();
    const level = this.#context.createGain();
    tone.frequency.value = note;
    level.gain.setValueAtTime(0, from);
    level.gain.linearRampToValueAtTime(LOUD, from + TONE_S / 4);
    level.gain.linearRampToValueAtTime(0, from + TONE_S);
    tone.connect(level).connect(this.#context.destination);
    tone.start(from);
    tone.stop(from + TONE_S);
  }

  stop() {
    this.#context?.close?.()?.catch?.(() => {});
    this.#context = null;
  }
}
