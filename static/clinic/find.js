// Narrow this page of the panel, as one types, to rows whose text holds every word.
// Sent off, the form finds names in the whole clinic; a name never goes into an address.
export function startFind(root) {
  const box = root.querySelector("[data-find]");
  if (!box) return;
  const rows = [...root.querySelectorAll("[data-find-row]")];
  const said = box.querySelector("[data-find-said]");
  const text = box.querySelector("[data-find-text]");
  text.addEventListener("input", () => {
    const shown = narrow(rows, words(text.value));
    hideEmptyGroups(root);
    said.textContent = text.value.trim() ? `${shown} of ${rows.length} shown` : "";
  });
}

function words(text) {
  return plain(text).split(/\s+/).filter(Boolean);
}

function plain(text) {
  return text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
}

function narrow(rows, wanted) {
  let shown = 0;
  for (const row of rows) {
    const text = plain(row.textContent);
    row.hidden = !wanted.every((word) => text.includes(word));
    if (!row.hidden) shown += 1;
  }
  return shown;
}

function hideEmptyGroups(root) {
  for (const group of root.querySelectorAll(".group")) {
    group.hidden = !group.querySelector("[data-find-row]:not([hidden])");
  }
}
