// The program form answers while somebody types: the last answer wins, and it
// is said once the typing rests. Without this file the form does the same on a button.
import { areaOf, number, one, questionOf } from "./dose-request.js";
import { drawFindings, drawMessage, drawNotes, drawReady, drawSlips } from "./dose-draw.js";
import { announcement, doubt, firstWeekWords, tempoWords, voidWords } from "./dose-words.js";
import { plain } from "./pattern.js";

const REST_MS = 300;
const SAY_MS = 1500;
const EXERCISES = [1, 2, 3, 4, 5];
const form = document.querySelector("[data-program]");
if (form) start(form, JSON.parse(document.getElementById("known").textContent));

function start(page, known) {
  const panel = page.querySelector("[data-panel]");
  const state = { asking: null, resting: null, saying: null, said: "" };
  const changed = () => {
    followChoices(page, known);
    clearTimeout(state.resting);
    state.resting = setTimeout(() => check(page, panel, known, state), REST_MS);
  };
  page.addEventListener("input", changed);
  page.addEventListener("click", (event) => putRight(event, page, changed));
  followChoices(page, known);
}

export function valuesOf(page) {
  const values = {};
  for (const [name, value] of new FormData(page)) (values[name] ??= []).push(String(value));
  return values;
}

async function check(page, panel, known, state) {
  const values = valuesOf(page);
  const question = questionOf(values, known);
  drawNotes(page, notesOf(values, known));
  state.asking?.abort();
  if (!question.request) {
    drawSlips(panel, []);
    drawMessage(panel, "waiting", `Still needed to count: ${question.missing.join(", ")}.`);
    return;
  }
  state.asking = new AbortController();
  const answer = await ask(page, question.request, state.asking.signal);
  if (answer) show(page, panel, known, state, { values, question, ...answer });
}

// null = a newer question went out, or nobody answered; the page stays as it is.
async function ask(page, request, signal) {
  const token = page.querySelector("[name=csrfmiddlewaretoken]").value;
  try {
    const answer = await fetch(page.dataset.check, {
      method: "POST",
      signal,
      headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": token },
      body: JSON.stringify(request),
    });
    const body = await answer.json();
    return answer.status === 200 || answer.status === 400 ? { ok: answer.ok, body } : null;
  } catch {
    return null;
  }
}

function show(page, panel, known, state, { values, question, ok, body }) {
  const slips = ok ? doubts(values, known) : (body.slips ?? []).map((slip) => slipOf(slip, body, question.names));
  drawSlips(panel, slips);
  if (ok) {
    drawReady(panel, question.request, body, (values.weekdays ?? []).map(Number));
    const findings = question.countedOnly ? [] : body.findings;
    drawFindings(panel, findings, question.countedOnly, slips.length);
    if (question.countedOnly) blankCurrents(panel);
    sayFirstWeek(page, question.request, body);
  } else {
    drawMessage(panel, "impossible", body.message);
  }
  say(panel, state, ok ? announcement(body.findings, slips.length) : slips.length ? announcement([], slips.length) : body.message);
}

function blankCurrents(panel) {
  for (const place of panel.querySelectorAll('[data-kind="short"]')) {
    if (/_uc$|_ma$|_cm2$/.test(place.dataset.figure)) place.textContent = "not known";
  }
}

function slipOf(slip, body, names) {
  const field = names[slip.field] ?? slip.field;
  return { sentence: body.fields[slip.field] ?? body.message, button: `Use ${plain(slip.likely)} ${slip.unit}`, field, likely: plain(slip.likely) };
}

function doubts(values, known) {
  return Object.entries(known.doubts).flatMap(([field, bounds]) => {
    const value = field === "electrode_cm2" ? (areaOf(values) ?? number(values, field)) : number(values, field);
    const found = doubt(value, bounds);
    if (!found) return [];
    const likely = plain(found.likely);
    return [{ sentence: found.sentence, button: `Use ${likely} ${bounds.unit}`, field, likely, sure: `${field}:${plain(value)}` }];
  });
}

function notesOf(values, known) {
  return [...tempoNotes(values), ...voidNotes(values, known), ...exerciseNotes(values, known)];
}

function tempoNotes(values) {
  const onS = number(values, "on_s");
  return EXERCISES.flatMap((n) => {
    const tempo = ["lift", "hold", "lower"].map((part) => number(values, `${part}_${n}`) ?? 0);
    return onS && tempo.some(Boolean) ? [tempoWords(n, tempo, onS)] : [];
  });
}

function voidNotes(values, { before }) {
  if (!before) return [];
  const pads = [...(values.pads ?? [])].sort();
  const changed = [];
  if (values.leads_changed) changed.push("lead");
  if (pads.length && pads.join() !== before.pads.join()) changed.push("pads");
  if (one(values, "stimulator") && one(values, "stimulator") !== before.stimulator) changed.push("stimulator");
  return changed.length ? [voidWords(changed, before.number)] : [];
}

function exerciseNotes(values, known) {
  const said = EXERCISES.flatMap((n) => known.exercises[`${one(values, `exercise_${n}`)}:${one(values, `type_${n}`)}`] ?? []);
  return [...new Set(said)];
}

// Fields that belong to one choice are there only with it; the area follows the size.
function followChoices(page, known) {
  for (const part of page.querySelectorAll("[data-for]")) {
    part.hidden = page.elements[part.dataset.for].value !== part.dataset.is;
  }
  const channels = known.stimulators[page.elements.stimulator.value]?.channels;
  for (const row of page.querySelectorAll("[data-channel]")) {
    const filled = [...row.querySelectorAll("input")].some((box) => box.value !== "");
    row.hidden = Number(row.dataset.channel) > channels && !filled;
  }
  const area = areaOf(valuesOf(page));
  const field = page.elements.electrode_cm2;
  field.readOnly = area !== null;
  if (area !== null) field.value = plain(area);
}

function putRight(event, page, changed) {
  const button = event.target.closest("button[name=fix]");
  if (!button) return;
  event.preventDefault();
  const [name, value] = button.value.split("=");
  if (name === "electrode_cm2") page.elements.pad_shape.value = "area";
  const field = page.elements[name];
  field.value = value;
  field.focus();
  changed();
  page.dispatchEvent(new Event("change"));
}

function sayFirstWeek(page, request, reply) {
  const place = page.querySelector("[data-first-week]");
  if (place) place.textContent = firstWeekWords(reply.contractions_per_bout, request.bouts_per_day);
}

function say(panel, state, words) {
  clearTimeout(state.saying);
  state.saying = setTimeout(() => {
    if (words !== state.said) panel.querySelector("[data-said]").textContent = words;
    state.said = words;
  }, SAY_MS);
}
