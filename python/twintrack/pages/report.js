"use strict";
const text = (cell) => cell.dataset.value ?? cell.textContent.trim();
for (const table of document.querySelectorAll("table.data")) {
  const body = table.tBodies[0];
  table.tHead.querySelectorAll("th").forEach((head, column) => {
    head.tabIndex = 0;
    const sort = () => {
      const up = head.getAttribute("aria-sort") !== "ascending";
      for (const other of table.tHead.querySelectorAll("th")) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", up ? "ascending" : "descending");
      const rows = [...body.rows].map((row) => [text(row.cells[column]), row]);
      const compare = (a, b) => {
        const x = parseFloat(a), y = parseFloat(b);
        return !isNaN(x) && !isNaN(y) ? x - y : a.localeCompare(b);
      };
      rows.sort((a, b) => (up ? 1 : -1) * compare(a[0], b[0]));
      body.append(...rows.map((row) => row[1]));
    };
    head.addEventListener("click", sort);
    head.addEventListener("keydown", (event) => event.key === "Enter" && sort());
  });
  const filter = table.closest("figure").querySelector("input.filter");
  filter?.addEventListener("input", () => {
    const words = filter.value.toLowerCase().split(/\s+/);
    for (const row of body.rows) row.hidden = !words.every((word) => row.textContent.toLowerCase().includes(word));
  });
}
const ink = () => getComputedStyle(document.body).color;
const hues = ["#7f8f9d", "#e08214", "#2f6da8", "#01827a", "#7b3294", "#8e0b26"];
const marked = (marks) => ({ hooks: { draw: [(u) => {
  u.ctx.save();
  u.ctx.setLineDash([]);
  u.ctx.strokeStyle = u.ctx.fillStyle = "#c0203e";
  u.ctx.font = `${11 * devicePixelRatio}px sans-serif`;
  const rows = Math.max(1, Math.floor(u.bbox.height / devicePixelRatio / 13) - 1);
  marks.forEach(([x, name], k) => {
    const at = u.valToPos(x, "x", true);
    if (at < u.bbox.left || at > u.bbox.left + u.bbox.width) return;
    u.ctx.beginPath();
    u.ctx.moveTo(at, u.bbox.top);
    u.ctx.lineTo(at, u.bbox.top + u.bbox.height);
    u.ctx.stroke();
    const right = at > u.bbox.left + 0.75 * u.bbox.width;
    u.ctx.textAlign = right ? "right" : "left";
    u.ctx.fillText(name, at + (right ? -4 : 4), u.bbox.top + (12 + 13 * (k % rows)) * devicePixelRatio);
  });
  u.ctx.restore();
}] } });
for (const place of document.querySelectorAll(".chart")) {
  const data = JSON.parse(place.querySelector("script").textContent);
  const axis = (label) => ({ label, stroke: ink, grid: { stroke: "#8884", width: 1 }, ticks: { stroke: "#8888" }, font: "12px sans-serif", labelFont: "12px sans-serif" });
  const size = () => ({ width: place.clientWidth, height: data.high || Math.max(240, Math.min(320, place.clientWidth * 0.6)) });
  const plot = new uPlot({
    ...size(),
    scales: { x: { time: false } },
    axes: [data.together ? { ...axis(null), size: 30 } : axis(data.x_label), { ...axis(data.y_label), size: 56 }],
    series: [{ label: data.x_label }, ...Object.keys(data.curves).map((label, k) => ({
      label, stroke: hues[k % hues.length], width: label === "blade" ? 2 : 1.5, dash: [[], [6, 4], [2, 3]][label === "blade" ? 0 : k % 3], points: { show: data.dots },
    }))],
    cursor: { drag: { x: true, y: false }, ...(data.together && { sync: { key: "together" } }) },
    plugins: [marked(data.marks)],
  }, [data.x, ...Object.values(data.curves)], place);
  place.zoomed = () => ["min", "max"].map((end) => plot.scales.x[end]);
  new ResizeObserver(() => place.clientWidth !== plot.width && plot.setSize(size())).observe(place);
}
