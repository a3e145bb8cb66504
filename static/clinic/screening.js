// Count what is still open, and let Y and N answer the question that has the focus.
export function startScreening(form) {
  const questions = [...form.querySelectorAll("[data-question]")];
  const progress = form.querySelector("[data-progress]");
  const count = () => { progress.textContent = said(questions); };
  form.querySelector("[data-keys]").hidden = false;
  form.addEventListener("change", count);
  form.addEventListener("keydown", (event) => answerByKey(event, questions, count));
  count();
}

function said(questions) {
  const open = questions.filter((question) => !question.querySelector(":checked")).length;
  const yes = questions.filter((question) => question.querySelector("[value=yes]:checked")).length;
  return `${questions.length - open} of ${questions.length} answered, ${yes} yes`;
}

function answerByKey(event, questions, count) {
  const value = { y: "yes", n: "no" }[event.key.toLowerCase()];
  if (!value || event.target.type !== "radio" || event.ctrlKey || event.metaKey || event.altKey) return;
  const question = event.target.closest("[data-question]");
  question.querySelector(`[value=${value}]`).checked = true;
  nextField(question, value, questions)?.focus();
  event.preventDefault();
  count();
}

// After a yes its reason comes first.
function nextField(question, value, questions) {
  if (value === "yes") return question.querySelector("textarea");
  return questions[questions.indexOf(question) + 1]?.querySelector("[type=radio]");
}

const form = document.querySelector("[data-screening]");
if (form) startScreening(form);
