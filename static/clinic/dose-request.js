// From what stands in the form to a question for the dose check; the server
// reads its form the same way (clinician/forms/program_check.py).
const FIGURES = [
  ["frequency_hz", "Frequency"],
  ["phase_duration_us", "Phase duration"],
  ["on_s", "On time"],
  ["off_s", "Off time"],
  ["ramp_up_s", "Ramp up"],
  ["ramp_down_s", "Ramp down"],
];
const LEVELS = ["start", "floor", "ceiling"];
const CHANNELS = [1, 2, 3, 4];
const MORE = { burst_ac: "burst_ms", asymmetric_biphasic: "second_phase_duration_us" };

// `form` maps a field's name to the list of its values, as text.
// known = {weeks, stimulators: {id: {unit}}}
export function questionOf(form, known) {
  const figures = Object.fromEntries(FIGURES.map(([name]) => [name, number(form, name)]));
  figures.bouts_per_day = whole(form, "bouts_per_day");
  figures.electrode_cm2 = areaOf(form) ?? number(form, "electrode_cm2");
  const length = lengthOf(form);
  const days = (form.weekdays ?? []).length;
  const labels = new Map([...FIGURES, ["bouts_per_day", "Bouts a day"], ["electrode_cm2", "Area of one pad"]]);
  const missing = [...labels].filter(([name]) => figures[name] === null).map(([, label]) => label);
  if (!length) missing.push("Contractions a bout");
  if (!days) missing.push("Days of the week");
  if (missing.length) return { request: null, missing };
  const highest = highestLevel(form);
  const stimulator = one(form, "stimulator");
  const request = {
    ...figures, ...length, ...waveformOf(form, figures),
    intensity_ma: known.stimulators[stimulator]?.unit === "level" ? null : highest.value,
    ramps_inside_on: one(form, "ramps_inside_on") !== "no",
    days_per_week: days,
    weeks: whole(form, "weeks") ?? known.weeks,
    family: one(form, "family") || null,
    stimulator: stimulator || null,
  };
  return { request, missing, countedOnly: countedOnly(form), names: { intensity_ma: highest.name, contractions: "contractions_per_bout" } };
}

export function areaOf(form) {
  const shape = one(form, "pad_shape");
  const [wide, high, across] = ["pad_width_cm", "pad_height_cm", "pad_diameter_cm"].map((name) => number(form, name));
  if (shape === "rectangle" && wide !== null && high !== null) return tenth(wide * high);
  if (shape === "round" && across !== null) return tenth((Math.PI * across ** 2) / 4);
  return null;
}

function lengthOf(form) {
  const contractions = whole(form, "contractions_per_bout");
  if (contractions !== null) return { contractions };
  const minutes = number(form, "bout_min");
  return minutes === null ? null : { bout_min: minutes };
}

function countedOnly(form) {
  const more = MORE[one(form, "waveform")];
  return more !== undefined && number(form, more) === null;
}

function waveformOf(form, figures) {
  const waveform = one(form, "waveform");
  if (!(waveform in MORE)) return { waveform };
  const known = number(form, MORE[waveform]);
  if (known === null) return { waveform: "symmetric_biphasic" };
  if (waveform === "burst_ac") return { waveform, burst_ms: known, carrier_hz: 1e6 / (2 * figures.phase_duration_us) };
  return { waveform, [MORE[waveform]]: known };
}

// The highest level stands for the current; its field is where a slip is put right.
function highestLevel(form) {
  let highest = { value: null, name: "start_1" };
  for (const channel of CHANNELS) {
    for (const level of LEVELS) {
      const value = number(form, `${level}_${channel}`);
      if (value !== null && (highest.value === null || value >= highest.value)) highest = { value, name: `${level}_${channel}` };
    }
  }
  return highest;
}

export const one = (form, name) => (form[name] ?? []).at(-1) ?? "";

export function number(form, name) {
  const text = one(form, name).trim();
  const value = Number(text);
  return text === "" || !Number.isFinite(value) ? null : value;
}

function whole(form, name) {
  const value = number(form, name);
  return Number.isInteger(value) ? value : null;
}

const tenth = (value) => Math.round(value * 10) / 10;
