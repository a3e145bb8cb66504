// From one chart's numbers to what Chart.js is asked to draw. The numbers go in as
// they came: what is drawn is what the table beside it and the export say.
const MONDAY = 1;
const AXIS_PX = 52; // the same for all, so that days stand under days

// Each line of a chart has a colour, a shape and a dash of its own.
const LOOKS = [
  { colour: "own", pointStyle: "triangle", borderDash: [] },
  { colour: "other", pointStyle: "circle", borderDash: [6, 4] },
  { colour: "text", pointStyle: "rect", borderDash: [2, 3] },
  { colour: "alarm", pointStyle: "crossRot", borderDash: [10, 3, 2, 3] },
];

export function chartOf(limb, chart, colour) {
  const several = chart.lines.filter(({ end }) => !end).length > 1;
  const text = { color: colour.text, font: { size: 13 } };
  return {
    type: chart.bars ? "bar" : "line",
    data: { labels: limb.days, datasets: datasetsOf(limb, chart, colour) },
    options: {
      animation: false,
      maintainAspectRatio: false,
      spanGaps: false,
      layout: { padding: { top: 16 } }, // for the names of the upright lines
      scales: {
        x: {
          offset: true,
          grid: { color: colour.hair },
          afterBuildTicks: (axis) => { axis.ticks = axis.ticks.filter(({ value }) => isMonday(limb.days[value])); },
          ticks: { ...text, autoSkip: true, maxRotation: 0, callback: (value) => dayWords(limb.days[value]) },
        },
        y: {
          min: 0, ...(chart.unit === "of 10" ? { max: chart.top } : { suggestedMax: chart.top, grace: "5%" }),
          grid: { color: colour.hair },
          ticks: { ...text, precision: 0, maxTicksLimit: 5, ...(chart.unit === "of 10" && { stepSize: 5 }) },
          afterFit: (axis) => { axis.width = AXIS_PX; },
        },
      },
      plugins: {
        legend: { display: several, position: "bottom", align: "start", labels: { ...text, usePointStyle: true, boxWidth: 8, boxHeight: 8, filter: ({ datasetIndex }) => !chart.lines[datasetIndex].end } },
        tooltip: { callbacks: { title: ([item]) => dayWords(limb.days[item.dataIndex]) } },
      },
    },
    plugins: [{ id: "marks", beforeDatasetsDraw: (drawn) => drawMarks(drawn, limb, chart, colour) }],
  };
}

function datasetsOf(limb, chart, colour) {
  const radius = limb.days.length <= 31 ? 5 : limb.days.length <= 100 ? 3 : 2;
  const values = chart.lines.filter(({ end }) => !end);
  return chart.lines.map((line) => {
    const owner = line.end ? values.find(({ name }) => line.name.startsWith(name)) : line;
    const { colour: name, ...look } = LOOKS[values.indexOf(owner) % LOOKS.length];
    const plain = { label: line.name, data: line.values, borderColor: colour[name], clip: false };
    if (line.end) return { ...plain, type: "line", showLine: false, pointStyle: "line", pointRadius: 6, borderWidth: 2 };
    if (chart.bars && line === chart.lines[0]) {
      // A stub shows a 0; a gap shows nothing.
      return { ...plain, backgroundColor: colour[name], minBarLength: 3, pointStyle: "rect", order: 1 };
    }
    if (chart.bars) return { ...plain, ...look, type: "line", showLine: false, pointStyle: "line", pointRadius: radius + 2, borderWidth: 2 };
    const filled = look.pointStyle === "triangle" || look.pointStyle === "rect";
    return { ...plain, ...look, pointRadius: radius, borderWidth: 2, backgroundColor: filled ? colour[name] : "transparent" };
  });
}

// Upright: another revision, a test. Level: goals. And the span of each error.
function drawMarks({ ctx, chartArea: area, scales: { x, y } }, limb, chart, colour) {
  ctx.save();
  ctx.lineWidth = 1.5;
  ctx.font = "12px sans-serif";
  ctx.fillStyle = ctx.strokeStyle = colour.soft;
  for (const { day, kind, label } of limb.marks) {
    const at = x.getPixelForValue(limb.days.indexOf(day));
    ctx.setLineDash(kind === "test" ? [2, 4] : []);
    line(ctx, at, area.top, at, area.bottom);
    ctx.fillText(short(kind, label), at + 3, area.top - 4);
  }
  ctx.setLineDash([10, 5]);
  chart.goals.forEach(({ value, label }, n) => {
    const at = y.getPixelForValue(value);
    line(ctx, area.left, at, area.right, at);
    // One at each end and side, so that two close goals can both be read.
    ctx.textAlign = n ? "right" : "left";
    ctx.fillText(`${value} %: ${label}`, n ? area.right - 4 : area.left + 4, n ? at - 4 : at + 13);
  });
  ctx.setLineDash([]);
  ctx.strokeStyle = colour.text;
  for (const [low, high] of spans(chart)) {
    low.values.forEach((value, day) => {
      if (value !== null) line(ctx, x.getPixelForValue(day), y.getPixelForValue(value), x.getPixelForValue(day), y.getPixelForValue(high.values[day]));
    });
  }
  ctx.restore();
}

function line(ctx, x1, y1, x2, y2) {
  ctx.beginPath();
  ctx.moveTo(x1, y1);
  ctx.lineTo(x2, y2);
  ctx.stroke();
}

function short(kind, label) {
  return kind === "test" ? "T" : `R${label.split(" ").at(-1)}`;
}

// The low and the high end of each error stand one after the other.
function spans({ lines }) {
  return lines.flatMap((one, at) => (one.end === "low" ? [[one, lines[at + 1]]] : []));
}

function dayOf(iso) {
  return new Date(Date.parse(iso));
}

function isMonday(iso) {
  return dayOf(iso).getUTCDay() === MONDAY;
}

export function dayWords(iso) {
  return dayOf(iso).toLocaleDateString("en-GB", { day: "numeric", month: "short", timeZone: "UTC" });
}
