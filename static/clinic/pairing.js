// While a code is on the screen, ask now and then whether a phone appeared.
const EVERY_MS = 3000;
const GIVE_UP_MS = 11 * 60_000; // the code is dead by then

const card = document.querySelector("[data-pairing]");
if (card) watch(card, Date.now());

async function watch(shown, since) {
  const phones = await waiting(shown.dataset.waiting);
  if (phones?.length) announce(shown, phones.at(-1));
  else if (Date.now() - since < GIVE_UP_MS) setTimeout(() => watch(shown, since), EVERY_MS);
  else say(shown, "The code is too old now. Make another one.");
}

// null = could not be asked just now; that is no reason to stop.
async function waiting(url) {
  try {
    const answer = await fetch(url, { headers: { Accept: "application/json" } });
    return answer.ok && !answer.redirected ? (await answer.json()).phones : null;
  } catch {
    return null;
  }
}

function announce(shown, phone) {
  const link = document.createElement("a");
  link.href = phone.url;
  link.className = "button primary";
  link.textContent = "Confirm it";
  say(shown, `A phone appeared: ${phone.label}. `).append(link);
}

function say(shown, text) {
  const line = shown.querySelector("[data-appeared]");
  line.textContent = text;
  return line;
}
