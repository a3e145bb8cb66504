// The same check that runs on save, as one types. Without scripts the button does it.
const WAIT_MS = 400;
const FIGURES = ["lever_arm_m", "body_mass_kg", "preop_uninvolved", "evoked"];
const WORDS = ["unit", "mvic_rule", "method", "other_limb"];
const WEEK_MS = 7 * 24 * 3_600_000;
const INDICES = [
  ["involved_mvic", "MVIC, involved limb", null],
  ["uninvolved_mvic", "MVIC, other limb", null],
  ["nm_per_kg_involved", "Strength by body mass", "Nm/kg"],
  ["lsi_pct", "LSI", "%"],
  ["epic_pct", "EPIC", "%"],
  ["evoked_pct_mvic", "Evoked fraction", "%"],
];
const LEVELS = { within: "Within", notice: "Notice", outside: "Outside" };

export function startStrength(form) {
  const result = form.querySelector("[data-result]");
  let timer = 0;
  let asked = 0;
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(async () => {
      const turn = ++asked;
      const said = await check(form);
      if (turn === asked) result.replaceChildren(...said);
    }, WAIT_MS);
  });
}

async function check(form) {
  const request = requestOf(new FormData(form), form.dataset);
  if (!request.other_limb) return [line("p", "Say how the other limb is; then it counts.")];
  if (!request.involved.length && !request.uninvolved.length && request.evoked === null) {
    return [line("p", "Enter trials, and what comes of them stands here.")];
  }
  try {
    return shown(await post(form, request), request);
  } catch {
    return [line("p", "Could not count just now. Saving works as before.")];
  }
}

export function requestOf(data, course) {
  const figure = (name) => (data.get(name) ? Number(data.get(name)) : null);
  const trials = (limb) => [1, 2, 3, 4, 5].map((n) => figure(`${limb}_${n}`)).filter((v) => v !== null);
  const on = data.get("on");
  return {
    involved: trials("involved"),
    uninvolved: trials("uninvolved"),
    ...Object.fromEntries(FIGURES.map((name) => [name, figure(name)])),
    ...Object.fromEntries(WORDS.map((name) => [name, data.get(name)])),
    evoked_of: data.get("evoked_of") || null,
    pathway: course.pathway,
    weeks_since_start: weeks(course.start, on) ?? 0,
    weeks_since_surgery: weeks(course.surgery, on),
  };
}

// Whole weeks from one ISO day to another; null before it or without one.
function weeks(since, on) {
  const passed = Math.floor((Date.parse(on) - Date.parse(since)) / WEEK_MS);
  return passed >= 0 ? passed : null;
}

async function post(form, request) {
  const answer = await fetch(form.dataset.check, {
    method: "POST",
    headers: {
      "Content-Type": "application/json",
      "X-CSRFToken": form.querySelector("[name=csrfmiddlewaretoken]").value,
    },
    body: JSON.stringify(request),
  });
  return answer.json();
}

function shown(reply, request) {
  if (!reply.findings) return [refused(reply)];
  const known = INDICES.filter(([name]) => reply[name] !== null);
  const list = line("dl", "");
  list.className = "indices";
  list.append(...known.map(([name, label, unit]) => index(label, reply[name], unit ?? request.unit)));
  const findings = line("ul", "");
  findings.className = "findings";
  findings.append(...reply.findings.map(finding));
  return [list, findings];
}

// The slip first: it is what the hand can put right.
function refused(reply) {
  const slips = (reply.slips ?? []).map((slip) => ` Was it ${slip.likely} ${slip.unit}?`);
  const box = line("p", reply.message + slips.join(""));
  box.className = "warn";
  return box;
}

function index(label, value, unit) {
  const row = line("div", "");
  const shownValue = line("dd", "");
  shownValue.append(line("strong", `${cut(value)} ${unit}`));
  row.append(line("dt", label), shownValue);
  return row;
}

// Cut, not rounded: 79.96 must not read as 80.
export function cut(value) {
  const digits = value < 10 ? 100 : 10;
  return Math.floor(value * digits + 1e-6) / digits;
}

function finding({ level, message, source, mark }) {
  const row = line("li", "");
  const word = line("strong", LEVELS[level] ?? level);
  word.className = `level-${level}`;
  const from = line("span", `${source} (${mark})`);
  from.className = "soft";
  row.append(word, ` ${message} `, from);
  return row;
}

function line(tag, text) {
  const element = document.createElement(tag);
  element.textContent = text;
  return element;
}

const form = globalThis.document?.querySelector("[data-strength]");
if (form) startStrength(form);
