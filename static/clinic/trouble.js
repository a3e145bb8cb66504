// After a refused form the summary takes the focus, so that it is read first.
export function focusTrouble(root) {
  root.querySelector(".trouble, .counted")?.focus();
}
