// SPDX-License-Identifier: BSD-3-Clause
// The block picture (python/twintrack/pages/block_picture.svg.j2) with the values of now.
"use strict";

const PICTURE_EVERY = 100;  // [ms]: nobody reads figures faster

class BlockPicture {
  /** `places`: how the name of a fault's place begins, and its block (PLACES in python/twintrack/notebook/diagram.py). */
  constructor(place, { picture, formats, places }) {
    this.place = place;
    this.places = places.map(([begins, block]) => [new RegExp(`^(?:${begins})`), block]);
    this.formats = formats;
    place.innerHTML = picture;
    this.shown = 0;
    this.#find();
  }

  /** Other parts: their blocks, the name of the pair, where the blade is closed [rad]. */
  parts(pedal, body) {
    for (const [name, text] of Object.entries({ ...pedal.blocks, ...body.blocks })) {
      const made = document.createElementNS("http://www.w3.org/2000/svg", "g");
      made.innerHTML = text;
      this.#block(name).replaceWith(made.firstElementChild);
    }
    const title = `${pedal.values.name} with ${body.values.name}`;
    this.place.querySelector("svg > text").textContent = this.place.querySelector("svg > title").textContent = title;
    this.place.querySelector("svg").setAttribute("aria-label", `${title}, block by block`);
    this.closed = body.values.mechanics.stops.closed_angle;
    this.#find();
  }

  /** `value(name)` of a signal, NaN where there is none; the faults there are; the names of the reactions; whether it
   *  is the last time for now. */
  show(value, faults, reactions, last) {
    const now = performance.now();
    if (!last && now - this.shown < PICTURE_EVERY) return;
    this.shown = now;
    for (const place of this.values) {
      const name = place.dataset.signal, one = value(name);
      if (!Number.isFinite(one)) place.textContent = "";
      else if (name === "reaction") place.textContent = reactions[Math.round(one)] ?? "";
      else place.textContent = this.#written(name, one);
    }
    const turn = (name, degrees) => {
      if (Number.isFinite(degrees)) this.turned[name].setAttribute("transform", `rotate(${degrees.toFixed(2)})`);
    };
    turn("pedal", 22 * value("pedal.travel") - 24);
    turn("blade", 90 - (value("blade.angle") - this.closed) * 180 / Math.PI);
    const wrong = new Set(faults.map((fault) => this.#blockOf(fault.where)));
    for (const block of this.place.querySelectorAll("g[data-block] > rect")) {
      const there = wrong.has(block.parentNode.dataset.block);
      block.setAttribute("stroke", there ? "#8e0b26" : "#7f8f9d");
      block.setAttribute("stroke-width", there ? 3 : 1.2);
      block.setAttribute("stroke-dasharray", there ? "6 3" : "none");
    }
  }

  #blockOf(where) { return this.places.find(([begins]) => begins.test(where))[1]; }
  #block(name) { return this.place.querySelector(`g[data-block="${name}"]`); }
  #find() {
    this.values = [...this.place.querySelectorAll("[data-signal]")];
    this.turned = { pedal: this.place.querySelector("[data-picture=pedal] > g"),
      blade: this.place.querySelector("[data-picture=blade] > path:last-of-type") };
  }
  #written(name, value) {
    const [unit, digits, factor] = this.formats[name];
    return `${(value * factor).toFixed(digits).replace(/^-(0\.?0*)$/, "$1")} ${unit}`;
  }
}
