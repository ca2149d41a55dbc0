// SPDX-License-Identifier: BSD-3-Clause
// The strip charts. Colours: the palette of Okabe and Ito 2008 ("Color Universal Design"); lines differ by dashes too.
"use strict";

const BLACK = "#000000", BLUE = "#0072B2", VERMILLION = "#D55E00", GREEN = "#009E73", PURPLE = "#CC79A7";
const LOOKS = [[BLUE, []], [VERMILLION, [8, 4]], [BLACK, [2, 3]], [GREEN, [10, 3, 2, 3]], [PURPLE, [5, 2]]];
const RPM = 30 / Math.PI;

const STRIPS = [
  { title: "Opening", unit: "%", factor: 100, least: [-5, 105], lines: [["demand", "demand"], ["set_point", "set point"], ["blade.opening", "blade"]] },
  { title: "Pedal tracks", unit: "V", least: [0, 5], lines: [["pedal.track1", "track 1"], ["pedal.track2", "track 2"], ["pedal.track3", "track 3"]] },
  { title: "Throttle tracks", unit: "V", least: [0, 5], lines: [["throttle.track1", "track 1"], ["throttle.track2", "track 2"], ["throttle.track3", "track 3"]] },
  { title: "Duty", unit: "%", factor: 100, least: [-100, 100], lines: [["duty", "duty"]] },
  { title: "Motor current", unit: "A", least: [-3, 3], lines: [["motor.current", "current"]] },
  { title: "Engine speed, no gear engaged", unit: "1/min", factor: RPM, least: [0, 2000], lines: [["engine.speed", "speed"]] },
];
/** What the worker is asked for: of the strips, and of the block picture. */
const SHOWN = [...new Set(["pedal.travel", ...STRIPS.flatMap((strip) => strip.lines.map(([name]) => name)),
  "opening", "supply", "motor.voltage", "blade.angle", "reaction", "controller.awake",
  "engine.idle_set_point", "engine.air_flow", "engine.manifold_pressure"])];

/** Columns that grow; what is drawn are views of their ends. */
class Columns {
  constructor() { this.clear(); }
  clear() { this.length = 0; this.data = {}; }
  append(columns) {
    const more = columns.time.length;
    for (const [name, some] of Object.entries(columns)) {
      let whole = this.data[name];
      if (!whole || whole.length < this.length + more) {
        const larger = new Float64Array(Math.max(4096, 2 * (this.length + more)));
        if (whole) larger.set(whole.subarray(0, this.length));
        this.data[name] = whole = larger;
      }
      whole.set(some, this.length);
    }
    this.length += more;
  }
  has(name) { return name in this.data; }
  end(name, from) { return this.data[name].subarray(from, this.length); }
  all() { return Object.fromEntries(Object.keys(this.data).map((name) => [name, this.end(name, 0)])); }
  last(name) { return this.length && this.has(name) ? this.data[name][this.length - 1] : NaN; }
}

class Charts {
  constructor(place) {
    this.place = place;
    this.columns = new Columns();
    this.span = 10;
    this.strips = [];
    new ResizeObserver(() => this.resize()).observe(place);
  }

  /** Strips for what this bench has; `tracks` of pedal and throttle. */
  make(has) {
    this.columns.clear();
    this.faint = null;
    const lines = (strip) => strip.lines.filter(([name]) => has(name));
    const wanted = STRIPS.filter((strip) => lines(strip).length);
    const key = JSON.stringify(wanted.map((strip) => lines(strip)));
    if (key === this.key) return;
    this.key = key;
    this.strips.forEach(({ plot }) => plot.destroy());
    this.place.replaceChildren();
    this.strips = wanted.map((strip) => this.#strip(strip, lines(strip)));
  }

  #strip(strip, lines) {
    const figure = document.createElement("figure");
    const caption = document.createElement("figcaption");
    const values = lines.map(([, label], k) => {
      const item = document.createElement("span");
      item.className = "key";
      const [colour, dashes] = LOOKS[k];
      item.innerHTML = `<svg width="26" height="8" aria-hidden="true"><line x1="0" y1="4" x2="26" y2="4" stroke="${colour}" stroke-width="2.5" stroke-dasharray="${dashes}"/></svg>`;
      item.append(lines.length > 1 ? `${label} ` : "");
      const value = document.createElement("b");
      item.append(value);
      return [item, value];
    });
    caption.append(`${strip.title} [${strip.unit}]`, ...values.map(([item]) => item));
    const canvas = document.createElement("div");
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", `${strip.title} over time: ${lines.map(([, label]) => label).join(", ")}`);
    figure.append(caption, canvas);
    this.place.append(figure);
    const plot = new uPlot(this.#options(strip, lines), [[], ...lines.map(() => [])], canvas);
    return { strip, lines, plot, values: values.map(([, value]) => value) };
  }

  #options(strip, lines) {
    const font = "12px system-ui, sans-serif", axis = { font, stroke: "#1b2733", grid: { stroke: "#d9dfe4", width: 1 } };
    const [low, high] = strip.least;
    const hooks = strip.lines.some(([name]) => name === "blade.opening") ? { drawAxes: [(plot) => this.#drawFaint(plot)] } : {};
    return {
      hooks,
      width: Math.max(200, this.place.clientWidth), height: 118,
      legend: { show: false }, cursor: { show: false }, pxAlign: 0, padding: [6, 14, 0, 0],
      scales: { x: { time: false }, y: { range: (_, least, most) => [Math.min(least ?? low, low), Math.max(most ?? high, high)] } },
      axes: [{ ...axis, size: 24, space: 60, values: (_, ticks) => ticks.map((t) => `${+t.toFixed(3)} s`) },
             { ...axis, size: 54, space: 24 }],
      series: [{}, ...lines.map((_, k) => ({ stroke: LOOKS[k][0], dash: LOOKS[k][1], width: 1.6, points: { show: false } }))],
    };
  }

  draw() {
    const { columns } = this;
    if (!columns.length) return;
    const now = columns.last("time");
    const rows = Math.ceil(this.span * 200) + 1;
    const from = Math.max(0, columns.length - rows);
    const time = columns.end("time", from);
    for (const { strip, lines, plot, values } of this.strips) {
      const factor = strip.factor ?? 1;
      const data = lines.map(([name]) => {
        const some = columns.end(name, from);
        return factor === 1 ? some : some.map((v) => v * factor);
      });
      plot.setData([time, ...data], false);
      plot.batch(() => {
        plot.setScale("x", { min: Math.max(0, now - this.span), max: Math.max(now, this.span) });
      });
      values.forEach((value, k) => {
        const last = columns.last(lines[k][0]) * factor;
        value.textContent = last.toFixed(Math.abs(last) >= 1000 ? 0 : strip.unit === "%" ? 1 : 2).replace(/^-(0\.0*)$/, "$1");
      });
    }
  }

  /** Traces of the blade behind the measured one: {time, openings}, openings as shares. */
  show(faint) {
    this.faint = faint;
    this.draw();
  }
  #drawFaint(plot) {
    if (!this.faint) return;
    const { ctx, bbox } = plot, { time, openings } = this.faint, { min, max } = plot.scales.x;
    const x0 = plot.valToPos(0, "x", true), dx = plot.valToPos(1, "x", true) - x0;
    const y0 = plot.valToPos(0, "y", true), dy = plot.valToPos(100, "y", true) - y0;
    const first = Math.max(0, time.findIndex((t) => t >= min) - 1), last = time.findLastIndex((t) => t <= max) + 2;
    ctx.save();
    ctx.beginPath();
    ctx.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    ctx.clip();
    Object.assign(ctx, { strokeStyle: BLACK, globalAlpha: 0.08, lineWidth: devicePixelRatio });
    for (const opening of openings) {
      ctx.beginPath();
      for (let k = first; k < Math.min(last, time.length); ++k) ctx.lineTo(x0 + dx * time[k], y0 + dy * opening[k]);
      ctx.stroke();
    }
    ctx.restore();
  }

  resize() {
    for (const { plot } of this.strips) {
      const width = Math.max(200, this.place.clientWidth);
      if (plot.width !== width) plot.setSize({ width, height: 118 });
    }
  }
}
