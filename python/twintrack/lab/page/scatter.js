// SPDX-License-Identifier: BSD-3-Clause
// Benches within the usual tolerances, side by side in the lanes: the run that was made, once more with each of them.
"use strict";

const SCATTER_EVERY = 0.02;  // [s] between rows of a faint trace
const MOST_KNOTS = 1500;     // of the foot's movement

/** A bench with draw `k` of the rows {parameter, way, values}; what it does not have is left out. */
function scattered(bench, rows, k) {
  const made = structuredClone(bench);
  for (const { parameter, way, values } of rows) {
    const steps = parameter.replaceAll("[", ".").replaceAll("]", "").split("."), last = steps.pop();
    let place = made;
    for (const step of steps) place = place?.[Array.isArray(place) ? Number(step) - 1 : step];
    if (!place || !(last in place)) continue;
    const one = (own) => (way === "offset" ? own + values[k] : way === "factor" ? own * values[k] : values[k]);
    place[last] = Array.isArray(place[last]) ? place[last].map(one) : one(place[last]);
  }
  return made;
}

/** The foot as it was moved, as a stroke. */
function strokeMade(time, travel) {
  const step = Math.max(4, Math.ceil(time.length / MOST_KNOTS)), knots = [];
  for (let k = 0; k < time.length; k += step) knots.push(k);
  if (knots.at(-1) !== time.length - 1) knots.push(time.length - 1);
  const stroke = { time: knots.map((k) => time[k]), travel: knots.map((k) => travel[k]) };
  return stroke.time[0] > 0 ? { time: [0, ...stroke.time], travel: [travel[0], ...stroke.travel] } : stroke;
}

/** The faults as they came and went: those it began with, then what was done at which tick. */
function faultsMade(given, log, period) {
  const all = (given.faults ?? []).map((fault) => ({ ...fault }));
  for (const { act, tick, fault, where, what } of log) {
    const now = tick * period, place = fault ?? { where, what };
    if (act === "remove" || act === "shift") {
      const before = all.filter((f) => f.where === place.where && f.what === place.what && f.end == null).at(-1);
      if (before) before.end = now;
    }
    if (act === "inject" || (act === "shift" && fault.amount !== null))
      all.push({ ...fault, start: Math.max(fault.start ?? 0, now) });
  }
  return all.filter((f) => f.end == null || f.end > (f.start ?? 0));
}

/** Runs them; {time, openings, refused, why}. */
async function runScattered(lab) {
  const { contents, worker, started } = lab, { time, "pedal.travel": travel } = lab.charts.columns.all();
  if (lab.kind !== "run") throw new Error("A range learn is not scattered: turn the key on and drive.");
  if (time.length < 2) throw new Error("There is no run yet: drive first.");
  const log = await worker.ask("log"), { bench } = started.given;
  if (log.some((action) => action.act === "brake" && action.braking > 0))
    throw new Error("The scattered benches know a released brake only: drive again without it.");
  const given = { ...started.given, stroke: strokeMade(time, travel),
    faults: faultsMade(started.given, log, bench.control_period) };
  const own = { ...bench, controller: lab.controller() };
  const count = contents.scatter[0].values.length;
  const benches = Array.from({ length: count }, (_, k) => ({ ...given, bench: scattered(own, contents.scatter, k) }));
  let packed = null;
  if (!lab.lanes) packed = Uint8Array.from(atob($("lanes").textContent.trim()), (c) => c.charCodeAt(0)).buffer;
  const found = await worker.ask("scatter", { packed, benches, every: SCATTER_EVERY });
  lab.lanes = true;
  return found;
}

/** What they did, in a sentence. */
function scatterSaid({ time, openings, refused, why }) {
  const ends = openings.map((opening) => opening.at(-1));
  let widest = 0, when = 0;
  time.forEach((t, k) => {
    let low = Infinity, high = -Infinity;
    for (const opening of openings) [low, high] = [Math.min(low, opening[k]), Math.max(high, opening[k])];
    if (high - low > widest) [widest, when] = [high - low, t];
  });
  const left = refused ? ` ${refused} could not be run: ${why}` : "";
  return `${openings.length} benches within the usual tolerances of parts and wires, with the range that is learned now (thin lines): `
    + `at the end the blade is ${percent(Math.min(...ends))} to ${percent(Math.max(...ends))} open; `
    + `they are furthest apart at ${when.toFixed(2)} s, by ${percent(widest)} of travel.${left}`;
}

if (typeof module !== "undefined") module.exports = { scattered, strokeMade, faultsMade };
