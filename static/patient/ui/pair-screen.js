// Pair this phone with the clinic: a code that is typed, or a link that was
// tapped and is redeemed only by another tap.
import { groupedCode } from "../net/pairing.js";
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";
import { copyButton } from "./export.js";
import { FaultList } from "./fault-list.js";
import { installCard, mustInstallFirst, phoneLabel } from "./install.js";
import { otherLanguages } from "./language.js";
import { noStoreScreen } from "./trouble-screen.js";

const ASK_MS = 4_000;

function codeField() {
  const input = h("input", {
    id: "code", class: "code", type: "text", autocomplete: "one-time-code", autocapitalize: "characters",
    spellcheck: "false", "aria-describedby": "code-hint code-fault", maxlength: 24, placeholder: "XXXXX-XXXXX",
  });
  input.addEventListener("input", () => { input.value = groupedCode(input.value); });
  const field = h("div", { class: "field" }, h("label", { for: "code" }, say("pair.code")), h("p", { class: "hint", id: "code-hint" }, say("pair.code_hint")),
    h("p", { class: "fault", id: "code-fault", hidden: true }), input);
  return { field, input };
}

function unsentCard(app, waiting, told) {
  if (!waiting) return null;
  return h("section", { class: "card notice stack" }, h("p", {}, say("pair.unsent", { count: waiting })), copyButton(app, () => { told.exported = true; }));
}

function waitingScreen(app) {
  const ask = async () => {
    const { known, state } = await app.engine.pairing.ask();
    if (!known || state === "waiting") return;
    clearInterval(wait);
    await app.sync({ reset: true });
    app.go("#next");
  };
  const wait = setInterval(() => { if (!document.hidden) ask(); }, ASK_MS);
  return {
    title: say("pair.waiting_title"), area: null, bare: true, left: () => clearInterval(wait),
    body: [h("p", { class: "lead" }, say("pair.waiting")), h("p", {}, say("pair.waiting_hint")), otherLanguages(app), installCard()],
    action: button(say("pair.look_now"), ask, { class: "button primary" }),
  };
}

export async function pairScreen(app) {
  const problem = (await app.isPaired()) ? null : await app.store.reserve.problem();
  if (problem) return noStoreScreen(app, problem);
  const facts = await app.facts();
  if (facts.meta.pairing === "waiting" && !facts.meta.trouble) return waitingScreen(app);
  const token = app.pairToken;
  const told = { exported: false };
  const list = new FaultList();
  const { field, input } = codeField();
  const waiting = facts.waiting + facts.earlier;
  const root = h("form", { class: "form", novalidate: true, on: { submit: (event) => { event.preventDefault(); pair(); } } },
    list.element, h("p", { class: "lead" }, say(token ? "pair.by_link" : "pair.lead")),
    unsentCard(app, waiting, told), token ? null : field, installCard());
  const pair = app.once(async () => {
    const code = token ?? input.value;
    const problem = !token && input.value.length !== 11 ? "pairing_code_invalid" : await redeem(code);
    if (problem) list.show([{ id: "code", words: say(`pair.problem_${problem}`) }], root);
  });
  const redeem = async (code) => {
    const outcome = await app.engine.pairing.redeem(code, phoneLabel(), { exported: told.exported });
    if (!outcome.paired) return outcome.problem;
    app.pairToken = null;
    await app.store.meta.set({ trouble: null });
    if (outcome.state === "active") await app.sync({ reset: true });
    app.go(outcome.state === "active" ? "#next" : "#pair");
    return null;
  };
  return {
    title: say("pair.title"), area: null, bare: !facts.meta.phone_id, body: [mustInstallFirst() ? h("p", { class: "card notice" }, say("pair.install_first")) : null, otherLanguages(app), root],
    action: button(say("pair.go"), pair, { class: "button primary" }),
  };
}
