// The print button is there only where a script can press it.
const button = document.querySelector("[data-print]");
if (button) {
  button.hidden = false;
  button.addEventListener("click", () => window.print());
}
