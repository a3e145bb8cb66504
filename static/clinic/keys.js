// One-letter keys for whoever works without a pointer. They act only while no
// field has the focus, and can be switched off for this browser (WCAG 2.1.4).
// A control takes part by data-key, and says what it does by data-key-says or its first words.
const OFF = "desk-keys-off";
const ROWS = [["j", "next patient"], ["k", "patient before"], ["o", "open the patient"], ["x", "tick the patient"]];

export function startKeys(root) {
  const help = root.querySelector("[data-keys-help]");
  if (help) startHelp(root, help);
  root.addEventListener("keydown", (event) => {
    if (help?.open || off() || typing(event) || event.repeat) return;
    if (event.key === "?" && help) help.showModal();
    else if (!walk(root, event.key) && !press(root, event.key)) return;
    event.preventDefault();
  });
}

function off() {
  return localStorage.getItem(OFF) !== null;
}

function startHelp(root, help) {
  const on = help.querySelector("[data-keys-on]");
  on.checked = !off();
  on.addEventListener("change", () => (on.checked ? localStorage.removeItem(OFF) : localStorage.setItem(OFF, "1")));
  list(root, help.querySelector("[data-keys-list]"));
  root.querySelector("[data-keys-hint]").hidden = false;
  root.querySelector("[data-keys-open]").addEventListener("click", () => help.showModal());
}

function typing({ target, ctrlKey, metaKey, altKey }) {
  const field = target.matches("input:not([type=checkbox]):not([type=radio]), textarea, select");
  return field || target.isContentEditable || ctrlKey || metaKey || altKey;
}

function list(root, place) {
  const controls = [...root.querySelectorAll("[data-key]")];
  const rows = root.querySelector("[data-find-row]") ? ROWS : [];
  const says = (one) => one.dataset.keySays ?? one.firstChild.textContent.trim();
  const keys = [...rows, ...controls.map((one) => [one.dataset.key, says(one)]), ["?", "these keys"]];
  for (const [key, said] of keys) {
    const [term, text, name] = ["dt", "dd", "kbd"].map((tag) => document.createElement(tag));
    name.textContent = key;
    text.textContent = said;
    term.append(name);
    place.append(term, text);
  }
}

function walk(root, key) {
  const rows = [...root.querySelectorAll("[data-find-row]")].filter((row) => row.checkVisibility());
  if (!rows.length) return false;
  const here = rows.findIndex((row) => row.contains(document.activeElement));
  const link = (row) => row?.querySelector("h3 a");
  if (key === "j") link(rows[Math.min(here + 1, rows.length - 1)])?.focus();
  else if (key === "k") link(rows[here < 0 ? 0 : Math.max(here - 1, 0)])?.focus();
  else if (key === "o" && here >= 0) link(rows[here]).click();
  else if (key === "x" && here >= 0) rows[here].querySelector("input[type=checkbox]").click();
  else return false;
  return true;
}

function press(root, key) {
  const control = [...root.querySelectorAll("[data-key]")].find((one) => one.dataset.key === key);
  if (!control) return false;
  control.focus();
  if (!control.matches("input:not([type=radio], [type=checkbox])")) control.click();
  return true;
}
