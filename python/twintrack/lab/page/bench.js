// SPDX-License-Identifier: BSD-3-Clause
// The worker of the page: runs the core in real time or at once, and keeps what was done at which tick.
"use strict";

const RATE = 1000;            // controller ticks a second
const LONGEST = 120 * RATE;   // ticks of a run
const EVERY = 5;              // of so many rows one is shown; the record keeps them all
const MOST_BEHIND = 250;      // ticks that are made up for when the page was held up

/** A run or a learn under way: steps the core and does each action at its tick. */
class Bench {
  constructor(core) { this.core = core; this.tick = 0; this.ended = true; }

  /** `given` as lib/web/document.hpp has it; `actions` of an earlier run to be done again. */
  begin(kind, given, actions = []) {
    this.ended = true;
    if (kind === "learn") this.core.learn(given);
    else this.core.keyOn(given);
    Object.assign(this, { tick: 0, ended: false, pedal: null, log: [], shown: 0, waiting: [...actions] });
    this.signals ??= new Map();
    this.signals = new Map(this.core.signals().map((signal, index) => [signal.name, index]));
  }

  act(action) {
    const tick = this.tick;
    if (action.act === "pedal") this.pedal = action.travel;
    if (action.act === "brake") this.core.brake(action.braking);
    if (action.act === "inject") this.core.inject(action.fault);
    if (action.act === "remove") this.core.remove(action.where, action.what);
    if (action.act === "controller") this.core.controller(action.settings);
    this.log.push({ ...action, tick });
  }

  /** So many ticks on, or to the end. */
  advance(ticks) {
    const last = Math.min(this.tick + ticks, LONGEST);
    while (!this.ended && this.tick < last) {
      while (this.waiting.length && this.waiting[0].tick <= this.tick) this.act(this.waiting.shift());
      const next = Math.min(last, this.waiting[0]?.tick ?? last);
      const made = this.core.step(next - this.tick, this.pedal);
      this.ended = made < next - this.tick;
      this.tick += made;
    }
    if (this.tick >= LONGEST) this.ended = true;
  }

  /** Rows not shown yet of the named columns, one of EVERY; null where the bench has no such column. */
  fresh(names) {
    const rows = this.core.rows(), columns = {};
    const count = Math.max(0, Math.ceil((rows - this.shown) / EVERY));
    for (const name of ["time", ...names]) {
      const index = name === "time" ? -1 : this.signals.get(name);
      if (index === undefined) continue;
      const from = this.core.column(index, this.shown), some = new Float64Array(count);
      for (let k = 0; k < count; ++k) some[k] = from[k * EVERY];
      columns[name] = some;
    }
    this.shown += count * EVERY;
    return columns;
  }

  everything() {
    const names = [...this.signals.keys()];
    return { names: ["time", ...names], columns: [-1, ...names.keys()].map((k) => this.core.column(k).slice()) };
  }
}

if (typeof module !== "undefined") module.exports = { Bench, RATE };

/** Only in a worker: answers messages {id, ask, …} by {id, answer} or {id, error}, and sends frames by itself. */
function serve(scope) {
  let bench, timer = null, speed = 1, behind = 0, last = 0, names = [];

  const frame = () => {
    const state = bench.core.state();
    const columns = bench.fresh(names);
    scope.postMessage({ frame: { columns, state, tick: bench.tick, ended: bench.ended } });
  };
  const go = () => {
    const now = performance.now();
    behind = Math.min(behind + (now - last) * speed * RATE / 1000, MOST_BEHIND);
    last = now;
    const ticks = Math.floor(behind);
    behind -= ticks;
    try {
      bench.advance(ticks);
    } catch (error) {
      bench.ended = true;
      scope.postMessage({ trouble: error.message });
    }
    if (bench.ended) pause();
    frame();
  };
  const pause = () => { clearInterval(timer); timer = null; };
  const play = () => {
    if (timer !== null || bench.ended) return;
    last = performance.now();
    timer = setInterval(go, 1000 / 60);
  };

  const asks = {
    async open({ bytes }) {
      const whole = new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip")));
      bench = new Bench(await Core.open(new Uint8Array(await whole.arrayBuffer())));
      return bench.core.names();
    },
    begin({ kind, given, actions, show, paused }) {
      pause();
      names = show;
      behind = 0;
      bench.begin(kind, given, actions);
      frame();
      if (!paused) play();
    },
    act({ action }) {
      if (bench.ended) return;
      bench.act(action);
      if (timer !== null) go();
    },
    play({ at }) { speed = at ?? speed; play(); return timer !== null; },
    pause,
    finish({ seconds }) {
      pause();
      const from = performance.now(), first = bench.tick;
      bench.advance(seconds === undefined ? LONGEST : seconds * RATE);
      const took = (performance.now() - from) / 1000;
      frame();
      return { ticks: bench.tick - first, seconds: took };
    },
    everything() { return bench.everything(); },
    log() { return bench.log ?? []; },
  };
  scope.onmessage = async ({ data }) => {
    try {
      scope.postMessage({ id: data.id, answer: await asks[data.ask](data) });
    } catch (error) {
      scope.postMessage({ id: data.id, error: error.message });
    }
  };
}
