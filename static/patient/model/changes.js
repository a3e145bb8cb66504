// What a patient may say has changed, and which of it stops the bouts until the
// clinic says otherwise.

export const CHANGED = Object.freeze(["medicine", "illness", "operation", "pregnancy", "implant"]);
const STOPS_BOUTS = new Set(["pregnancy", "implant"]);

export const changeStops = (changed = []) => changed.some((one) => STOPS_BOUTS.has(one));
