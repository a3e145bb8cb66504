// Keeps the form while it is typed, so that a sign-out or a dead battery costs nothing.
const REST_MS = 1500;

const form = document.querySelector("[data-draft]");
if (form) keep(form, form.querySelector("[data-draft-said]"));

function keep(page, said) {
  let resting = null;
  let sending = false;
  const send = () => post(page, said);
  page.addEventListener("input", () => {
    clearTimeout(resting);
    resting = setTimeout(send, REST_MS);
  });
  page.addEventListener("submit", () => {
    sending = true;
    clearTimeout(resting);
  });
  // The page may never come back: send what has not been sent yet.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "hidden" || resting === null || sending) return;
    clearTimeout(resting);
    post(page, said);
  });
}

async function post(page, said) {
  try {
    const answer = await fetch(page.dataset.draft, { method: "POST", body: new URLSearchParams(new FormData(page)), keepalive: true });
    if (answer.redirected) said.textContent = "You are signed out; your draft is kept. Sign in again to save.";
    else said.textContent = answer.ok ? "Draft kept." : "";
  } catch {
    said.textContent = "The draft could not be kept just now.";
  }
}
