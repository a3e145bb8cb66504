// A code that the clinic reads out after it lifted a hold, for a phone that has
// no network to hear of it. It ends this phone's waiting and nothing else.
import { afterWrong, coveredBy, isWhole, waitLeft } from "../model/release.js";
import { say } from "../model/strings.js";
import { StoreError } from "../store/db.js";
import { button, h } from "./dom.js";
import { FaultList } from "./fault-list.js";

const MINUTE_MS = 60_000;

const standingIds = ({ holds }) => holds.filter(({ lifted }) => !lifted).map(({ entry_id }) => entry_id);

// The words of a fault, or null when the code was good. A store that does not
// answer in time is no verdict on the code.
const checked = (app, typed) => tryCode(app, typed).catch((error) => {
  if (error instanceof StoreError) return say("release.again");
  throw error;
});

async function tryCode(app, typed) {
  const { meta, holds } = await app.facts();
  const now = app.clock.now();
  const wait = waitLeft(meta.release_tries, now);
  if (wait) return say("release.wait", { count: Math.ceil(wait / MINUTE_MS) });
  const covers = await coveredBy({ key: meta.release_key, typed, standing: standingIds({ holds }) });
  if (!covers) {
    const { until_ms } = await app.store.meta.change("release_tries", (tries) => afterWrong(tries, now));
    return until_ms ? say("release.wait", { count: Math.ceil((until_ms - now) / MINUTE_MS) }) : say("release.wrong");
  }
  const release = { covers, lifted_at: new Date(now).toISOString() };
  await app.store.meta.change("releases", (releases) => [...(releases ?? []), release]);
  await app.store.meta.set({ release_tries: null });
  return null;
}

export async function releaseScreen(app) {
  const facts = await app.facts();
  if (!standingIds(facts).length) return app.go("#next");
  const list = new FaultList();
  const input = h("input", { id: "release-code", type: "text", inputmode: "numeric", autocomplete: "off", maxlength: 14, "aria-describedby": "release-code-fault" });
  const root = h("form", { class: "form", novalidate: true, on: { submit: (event) => event.preventDefault() } }, list.element,
    h("p", { class: "lead" }, say(facts.meta.release_key ? "release.lead" : "release.no_key")),
    facts.meta.release_key ? h("div", { class: "field" }, h("label", { for: "release-code" }, say("release.code")), h("p", { class: "hint" }, say("release.hint")), h("p", { class: "fault", id: "release-code-fault", hidden: true }), input) : null,
    h("p", { class: "hint" }, say("release.only")));
  const use = async () => {
    const words = isWhole(input.value) ? await checked(app, input.value) : say("release.short");
    list.show(words ? [{ id: "release-code", words }] : [], root);
    if (words) return;
    app.frame.tell(say("release.done"));
    app.go("#next");
  };
  return {
    title: say("release.title"), area: "next", body: root,
    action: facts.meta.release_key ? button(say("release.use"), app.once(use), { class: "button primary" }) : null,
  };
}
