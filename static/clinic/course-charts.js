// Draws the charts of the patient page and the weekly review. Chart.js comes before as a classic script; the
// numbers stand in the page, so that charts and tables are of one moment.
import { chartOf } from "./course-draw.js";

const REDRAWN_ON = ["(prefers-color-scheme: dark)", "(forced-colors: active)", "print"];

export function startCharts(root, Chart) {
  const data = root.getElementById("course-data");
  if (!data) return;
  const { limbs } = JSON.parse(data.textContent);
  const figures = [...root.querySelectorAll("figure[data-chart]")];
  let charts = [];
  const draw = () => {
    charts.forEach((chart) => chart.destroy());
    const colour = colours(root);
    charts = figures.map((figure) => {
      const limb = limbs[figure.dataset.limb];
      figure.hidden = false;
      return new Chart(figure.querySelector("canvas"), chartOf(limb, limb.charts[figure.dataset.chart], colour));
    });
  };
  for (const query of REDRAWN_ON) matchMedia(query).addEventListener("change", draw);
  draw();
}

function colours(root) {
  const style = getComputedStyle(root.documentElement);
  const of = (name) => style.getPropertyValue(`--color-${name}`).trim();
  return { own: of("primary"), other: of("attention"), alarm: of("alarm"), text: of("text"), soft: of("text-soft"), hair: of("hair") };
}

if (globalThis.Chart) startCharts(document, globalThis.Chart);
