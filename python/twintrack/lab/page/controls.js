// SPDX-License-Identifier: BSD-3-Clause
// The sliders: each is one row here, with what it does to the bench or which fault it stands for.
"use strict";

const times = (value) => `× ${value < 10 ? value.toFixed(2) : value.toFixed(1)}`;
const unit = (digits, name, factor = 1) => (value) => `${(value * factor).toFixed(digits)} ${name}`;

/** A gain as a multiple of the controller's own; 1 leaves it to the controller. */
const gain = (name, label) => ({
  key: name, label, group: "Gains", least: 0.1, most: 10, log: true, own: 1, text: times,
  settings: (value, bench) => (value === 1 ? {} : { [name]: bench.gains[name] * value }),
});
const fault = (key, label, group, where, what, rest) => ({
  key, label, group, own: 1, least: 0.1, most: 10, log: true, text: times, ...rest, fault: [where, what],
  amount: rest?.amount ?? ((value) => value),
});

/** The sliders of a bench with these parameters. */
function sliders(bench) {
  return [
    gain("proportional", "Proportional gain"),
    gain("integral", "Integral gain"),
    gain("derivative", "Derivative gain"),
    { key: "set_point_time", label: "Set-point filter", group: "Filters", least: 0, most: 0.2,
      own: bench.controller.set_point_time, text: unit(0, "ms", 1000), settings: (value) => ({ set_point_time: value }) },
    { key: "observer_pole", label: "Speed observer's pole", group: "Filters", least: 10, most: 400, log: true,
      own: bench.controller.observer_pole, text: unit(0, "1/s"),
      settings: (value) => ({ observer_pole: value, load_pole: Math.min(value, bench.controller.load_pole) }) },
    { key: "filter_time", label: "Input filter (from the next key-on)", group: "Filters", least: 0, most: 0.01,
      own: bench.acquisition.filter_time, text: unit(1, "ms", 1000), acquisition: (value) => ({ filter_time: value }) },
    fault("friction", "Friction", "Body", "body.friction", "scale"),
    fault("return_spring", "Return spring (0: broken)", "Body", "body.return_spring", "scale", { least: 0, most: 3, log: false }),
    fault("opener_spring", "Opener spring (0: broken)", "Body", "body.opener_spring", "scale", { least: 0, most: 3, log: false }),
    fault("supply", "Battery", "Surroundings", "supply", "scale",
      { least: 5, most: 16, log: false, own: bench.supply, text: unit(1, "V"), amount: (value) => value / bench.supply }),
    fault("heat", "Winding warmer by", "Surroundings", "motor", "heat",
      { least: -60, most: 120, log: false, own: 0, text: unit(0, "K") }),
  ].filter((slider) => slider.key !== "observer_pole" || bench.controller.observer_pole > 0);
}

/** One row of the page for a slider; `moved(value)` is called while it moves. */
class Slider {
  constructor(slider, moved) {
    Object.assign(this, slider);
    this.input = document.createElement("input");
    Object.assign(this.input, { type: "range", id: `slider-${this.key}`, min: 0, max: 1000, step: 1 });
    this.shown = document.createElement("output");
    this.shown.htmlFor = this.input.id;
    const label = document.createElement("label");
    label.htmlFor = this.input.id;
    label.textContent = this.label;
    this.row = document.createElement("div");
    this.row.className = "slider";
    this.row.append(label, this.shown, this.input);
    this.set(this.own);
    this.input.addEventListener("input", () => {
      this.#take(this.#value(Number(this.input.value)));
      moved();
    });
  }

  /** To a value, as a link or a button does. */
  set(value) {
    this.input.value = String(this.#place(value));
    this.#take(value);
  }

  #take(value) {
    this.value = value;
    this.shown.textContent = this.text(value);
    this.input.setAttribute("aria-valuetext", this.text(value));
  }

  /** Near the own value the slider holds on to it. */
  #value(place) {
    const own = this.#place(this.own);
    if (Math.abs(place - own) <= 8) return this.own;
    const share = place / 1000;
    return this.log ? this.least * (this.most / this.least) ** share : this.least + (this.most - this.least) * share;
  }

  #place(value) {
    const share = this.log ? Math.log(value / this.least) / Math.log(this.most / this.least)
      : (value - this.least) / (this.most - this.least);
    return Math.round(1000 * Math.min(Math.max(share, 0), 1));
  }
}

/** Options of a select. */
function fill(select, entries) {
  select.replaceChildren(...entries.map(([value, text]) => new Option(text ?? value, value)));
}
