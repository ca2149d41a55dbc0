// SPDX-License-Identifier: BSD-3-Clause
// The drawing of the wiring: each wire is a button that puts a fault there or mends it.
"use strict";

const SVG = "http://www.w3.org/2000/svg";
const ROW = 30, WIDE = 360, BOX = 26;

function element(name, attributes, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
}

/** What is wrong with a wire in words; empty where nothing is. */
function inWords(fault) {
  if (!fault) return "";
  const amount = Number(fault.amount) ? ` ${Number(fault.amount)}` : "";
  return `${fault.what.replaceAll("_", " ")}${fault.other ? ` ${fault.other}` : ""}${amount}`;
}

class Drawing {
  /** `toggle(terminal)` is called when a wire is chosen. */
  constructor(place, toggle) { this.place = place; this.toggle = toggle; this.wires = new Map(); }

  /** One picture for each `{title, left, right, terminals}`; `pins` says where a terminal goes that goes elsewhere. */
  make(pictures, pins) {
    this.wires.clear();
    this.place.replaceChildren(...pictures.map((picture) => this.#picture(picture, pins)));
  }

  #picture({ title, left, right, terminals }, pins) {
    const height = terminals.length * ROW + 34;
    const svg = element("svg", { viewBox: `0 0 ${WIDE} ${height}`, role: "group", "aria-label": title });
    for (const [x, name, anchor] of [[1, left, "start"], [WIDE - BOX - 1, right, "end"]]) {
      svg.append(element("rect", { x, y: 24, width: BOX, height: height - 26, rx: 5, class: "box" }));
      svg.append(element("text", { x: anchor === "start" ? 1 : WIDE - 1, y: 15, "text-anchor": anchor, class: "name" }, name));
    }
    terminals.forEach((terminal, row) => svg.append(this.#wire(terminal, 34 + row * ROW, pins?.[terminal])));
    return svg;
  }

  #wire(terminal, y, pin) {
    const text = pin && !pin.startsWith(terminal) ? `${terminal} → pin ${pin}` : terminal;
    const label = element("text", { x: WIDE / 2, y: y - 1, "text-anchor": "middle" }, text);
    const group = element("g", { class: "wire", role: "button", tabindex: 0, "aria-pressed": "false" },
      element("rect", { x: BOX + 4, y: y - 12, width: WIDE - 2 * BOX - 8, height: ROW - 2, rx: 5, class: "target" }),
      element("line", { x1: BOX + 1, x2: WIDE - BOX - 1, y1: y + 8, y2: y + 8, class: "line" }),
      element("path", { d: `M${WIDE / 2 - 7} ${y + 1}l14 14m0 -14l-14 14`, class: "cross" }),
      label);
    const act = () => this.toggle(terminal);
    group.addEventListener("click", act);
    group.addEventListener("keydown", (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      act();
    });
    this.wires.set(terminal, { group, label, text });
    this.#mark(this.wires.get(terminal), null);
    return group;
  }

  #mark({ group, label, text }, fault) {
    group.classList.toggle("wrong", Boolean(fault));
    group.setAttribute("aria-pressed", String(Boolean(fault)));
    label.textContent = fault ? `${text}: ${inWords(fault)}` : text;
    group.setAttribute("aria-label", fault ? `${text}: ${inWords(fault)}` : `${text}: sound`);
  }

  /** Marks what is wrong now. */
  show(faults) {
    for (const [terminal, wire] of this.wires)
      this.#mark(wire, faults.find((f) => f.where === terminal || f.other === terminal));
  }
}
