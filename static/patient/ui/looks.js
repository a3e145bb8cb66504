// How large the words are and how strong the contrast is: as its owner chose,
// on top of what the phone itself is set to.
const MORE = "(prefers-contrast: more)";

export function applyLooks(choices) {
  const high = choices.get("contrast") === "high" || matchMedia(MORE).matches;
  Object.assign(document.documentElement.dataset, { text: choices.get("text"), contrast: high ? "high" : "normal" });
}
