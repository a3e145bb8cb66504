// The lesson before the first bout: short screens, then three questions. It can
// be skipped, and read again from Call.
import { POINTS, STEPS, stepAt } from "../model/lesson.js";
import { say } from "../model/strings.js";
import { oneOf } from "./choice.js";
import { button, h, link, swap } from "./dom.js";
import { icon } from "./shapes.js";

const AGAIN = "again";
const PICTURES = { bout: "next", strength: "so_far", safe: "look" };

function pagePart(page) {
  const points = Array.from({ length: POINTS }, (_, at) => h("li", {}, say(`lesson.${page}_${at + 1}`)));
  return h("section", { class: "card lesson" }, h("h2", {}, icon(PICTURES[page]), say(`lesson.${page}_title`)), h("ul", { class: "facts" }, points));
}

// The answer is told at once; a wrong one is taught again and bars nothing.
function questionPart({ code, answers, right }) {
  const told = h("div", { role: "status" });
  const pick = (answer) => swap(told, h("div", { class: answer === right ? "card" : "card notice" },
    h("p", {}, h("strong", {}, say(answer === right ? "ask.right" : "ask.wrong")), " ", say(`ask.${code}_why`))));
  const options = answers.map((answer) => ({ value: answer, label: say(`ask.${code}_${answer}`) }));
  return [oneOf({ id: `ask-${code}`, legend: say(`ask.${code}`), options, pick }), told];
}

export async function lessonScreen(app, [where, step]) {
  const { number, page, question } = stepAt(Number(step));
  const again = where === AGAIN;
  const leave = async () => {
    const { day } = await app.facts();
    // A store that takes nothing now only means that the lesson comes once more.
    await app.store.meta.set({ lesson_on: day }).catch(() => {});
    app.go(again ? "#call" : `#before/${where}`);
  };
  const on = number < STEPS
    ? link(say("lesson.go"), `#lesson/${where}/${number + 1}`, { class: "button primary" })
    : button(say(again ? "lesson.done" : "lesson.end"), app.once(leave), { class: "button primary" });
  return {
    title: say("lesson.title", { number, of: STEPS }), area: again ? "call" : "next",
    body: [
      page ? pagePart(page) : questionPart(question),
      again ? null : button(say("lesson.skip"), app.once(leave), { class: "as-link" }),
    ],
    action: on,
  };
}
