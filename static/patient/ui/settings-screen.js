// Settings: how the app looks, sounds and speaks, and what is on this phone.
// Each choice counts at once; there is nothing to save.
import { say } from "../model/strings.js";
import { oneOf, someOf } from "./choice.js";
import { h, link } from "./dom.js";
import { copyButton } from "./export.js";
import { languageQuestion } from "./language.js";
import { applyLooks } from "./looks.js";
import { photosHere, waitingOf } from "./photo-list.js";
import { ageWords, heardWords, sentLine } from "./sent-line.js";

const CLOCK_OFF_MS = 300_000;
const TEXT = ["normal", "large", "larger"];
const CONTRAST = ["normal", "high"];
const CUES = ["sound", "vibration"];

const choice = (app, name, values, pick) => oneOf({
  id: name, legend: say(`settings.${name}`), value: app.choices.get(name), pick,
  options: values.map((value) => ({ value, label: say(`settings.${name}_${value}`) })),
});

function lookPart(app) {
  const set = (name) => (value) => { app.choices.set({ [name]: value }); applyLooks(app.choices); };
  return [choice(app, "text", TEXT, set("text")), choice(app, "contrast", CONTRAST, set("contrast"))];
}

function cuePart(app) {
  const options = CUES.map((value) => ({ value, label: say(`settings.cue_${value}`) }));
  const pick = (told) => app.choices.set(Object.fromEntries(CUES.map((name) => [name, told.includes(name)])));
  return someOf({ id: "cues", legend: say("settings.cues"), options, values: CUES.filter((name) => app.choices.get(name)), pick });
}

function onPhone(app, facts, { total, kept, photos }) {
  const { meta, unsent, now_ms } = facts;
  return h("section", { class: "card stack" },
    h("h2", {}, say("call.this_phone")), sentLine(facts),
    h("ul", { class: "facts" },
      h("li", {}, say("settings.kept", { count: total })),
      unsent.length ? [h("li", {}, say("settings.oldest", { age: ageWords(now_ms - unsent[0].saved_ms) })), h("li", {}, heardWords(facts))] : null,
      waitingOf(photos) ? h("li", {}, say("photo.wait", { count: waitingOf(photos) })) : null,
      h("li", {}, say(kept ? "call.kept" : "call.not_kept")),
      meta.initials ? h("li", {}, say("call.paired", { initials: meta.initials })) : null,
      Math.abs(meta.clock_off_ms ?? 0) > CLOCK_OFF_MS ? h("li", {}, say("call.clock")) : null,
      h("li", {}, say("call.version", { build: app.build }))),
    unsent.length + facts.earlier ? copyButton(app) : null,
    photos.length ? link(say("photo.all"), "#photos", { class: "button wide" }) : null);
}

export async function settingsScreen(app) {
  const facts = await app.facts();
  const [own, told] = await Promise.all([app.store.entries.all(), app.store.record.since("")]);
  const mine = own.filter(({ phone_id }) => phone_id === facts.meta.phone_id || phone_id === facts.meta.earlier_mine);
  const total = new Set([...mine, ...told].map(({ id }) => id)).size;
  const photos = await photosHere(app);
  const kept = (await navigator.storage?.persisted?.().catch(() => false)) ?? false;
  return {
    title: say("settings.title"), area: "call", live: true,
    body: [
      h("form", { class: "form" }, lookPart(app), cuePart(app), languageQuestion(app)),
      onPhone(app, facts, { total, kept, photos }),
      h("section", { class: "others" },
        facts.meta.phone_id ? link(say("remind.title"), "#reminders") : null,
        link(say("lesson.again"), "#lesson/again/1"),
        link(say("call.rescue"), `/rescue/?language=${say.language}`),
        facts.meta.phone_id ? link(say("leave.title"), "#leave") : null),
    ],
  };
}
