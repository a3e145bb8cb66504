// One key, one button: what carries data-key is pressed by that key. Never while
// somebody types, and never with a key of the browser's own.
const TYPED = "input, textarea, select, [contenteditable]";

export function startKeys(root) {
  root.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.repeat) return;
    if (event.target.closest(TYPED)) return;
    const found = [...root.querySelectorAll("[data-key]")].find((one) => one.dataset.key === event.key);
    if (!found) return;
    event.preventDefault();
    found.click();
  });
}

startKeys(document);
