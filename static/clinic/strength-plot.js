// Both limbs over time, and LSI with its error: what was tested, nothing to come.
// Chart.js comes before as a classic script; the numbers stand in the page.
const DAY_MS = 24 * 3_600_000;
const DARK = matchMedia("(prefers-color-scheme: dark)");
const DRAW = { strength: strengthChart, lsi: lsiChart };

export function startPlots(root, Chart) {
  const data = JSON.parse(root.getElementById("plot-data").textContent);
  const figures = [...root.querySelectorAll("[data-plot]")];
  let charts = [];
  const draw = () => {
    charts.forEach((chart) => chart.destroy());
    charts = figures.map((figure) => {
      figure.hidden = false;
      return new Chart(figure.querySelector("canvas"), DRAW[figure.dataset.plot](data, colours(root)));
    });
  };
  DARK.addEventListener("change", draw);
  draw();
}

function colours(root) {
  const style = getComputedStyle(root.documentElement);
  const of = (name) => style.getPropertyValue(`--color-${name}`).trim();
  return { own: of("primary"), other: of("attention"), text: of("text"), hair: of("hair"), band: of("primary-pale"), soft: of("text-soft") };
}

function strengthChart(data, colour) {
  const own = { borderColor: colour.own, backgroundColor: colour.own, pointStyle: "triangle", pointRadius: 7, borderWidth: 3 };
  const other = { borderColor: colour.other, backgroundColor: "transparent", pointStyle: "circle", pointRadius: 6, borderWidth: 2, borderDash: [6, 4] };
  return chart(data, colour, { title: `MVIC, ${data.unit}` }, [
    { label: "Involved limb", data: points(data, "involved"), ...own },
    { label: "Other limb", data: points(data, "uninvolved"), ...other },
    ...band(data.band, "day", colour, "95 % band of the trend"),
  ]);
}

function lsiChart(data, colour) {
  const fill = data.points.map((point) => (point.lsi_reliable ? colour.own : "transparent"));
  const last = data.points.at(-1).day;
  const error = data.points.filter((point) => point.lsi_low !== null).flatMap(whisker);
  return chart(data, colour, { most: 100, title: "LSI, %" }, [
    { label: "LSI", data: points(data, "lsi"), borderColor: colour.own, borderWidth: 2, pointStyle: "rect", pointRadius: 7, pointBackgroundColor: fill },
    { label: "Measurement error", data: error, borderColor: colour.own, borderWidth: 2, pointStyle: "line", pointRadius: 7 },
    ...data.thresholds.map(({ label, value }, n) => (
      { label, data: [{ x: 0, y: value }, { x: last, y: value }], borderColor: n ? colour.soft : colour.other, borderDash: n ? [2, 4] : [10, 5], borderWidth: 2, pointRadius: 0, pointStyle: "line" }
    )),
  ]);
}

function points(data, name) {
  return data.points.map((point) => ({ x: point.day, y: point[name] }));
}

// Up and down one tested day; the empty point breaks the line before the next.
function whisker({ day, lsi_low: low, lsi_high: high }) {
  return [{ x: day, y: low }, { x: day, y: high }, { x: day, y: null }];
}

function band(rows, x, colour, label) {
  if (!rows.length) return [];
  const edge = (name) => rows.map((row) => ({ x: row[x], y: row[name] }));
  const plain = { pointRadius: 0, pointStyle: "rect", borderWidth: 1, borderColor: colour.soft, backgroundColor: colour.band };
  return [
    { label, data: edge("high"), fill: "+1", ...plain },
    { label: "", data: edge("low"), ...plain },
  ];
}

function chart(data, colour, { most, title }, datasets) {
  const days = data.points.map((point) => point.day);
  const margin = Math.max(1, days.at(-1) * 0.03); // so that no mark is cut; no day to come
  const first = Date.parse(data.first);
  const day = (value) => new Date(first + value * DAY_MS).toLocaleDateString("en-GB", { day: "numeric", month: "short", timeZone: "UTC" });
  const text = { color: colour.text, font: { size: 14 } };
  const grid = { color: colour.hair };
  return {
    type: "line",
    data: { datasets },
    options: {
      animation: false,
      maintainAspectRatio: false,
      spanGaps: false,
      scales: {
        x: {
          type: "linear", grid, min: -margin, max: days.at(-1) + margin,
          afterBuildTicks: (axis) => { axis.ticks = [...new Set(days)].map((value) => ({ value })); },
          ticks: { ...text, autoSkip: true, maxRotation: 60, callback: day },
        },
        y: { min: 0, suggestedMax: most, grid, ticks: text, title: { display: true, text: title, ...text } },
      },
      plugins: {
        legend: { labels: { ...text, usePointStyle: true, filter: (item) => item.text !== "" } },
        tooltip: { callbacks: { title: ([item]) => day(item.parsed.x) } },
      },
    },
  };
}

if (globalThis.Chart) startPlots(document, globalThis.Chart);
