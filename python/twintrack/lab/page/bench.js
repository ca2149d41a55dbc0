// SPDX-License-Identifier: BSD-3-Clause
// The worker of the page: runs the core in real time or at once, and keeps what was done at which tick.
"use strict";

const LONGEST = 120;       // [s] of a run
const SHOWN_EVERY = 0.005; // [s] between rows that are shown; the record keeps them all
const MOST_BEHIND = 0.25;  // [s] that are made up for when the page was held up
const FASTEST = 10;        // [1/s] of a foot: half of about 0.2 s from accelerator to brake (../../search/README.md)

/** A run or a learn under way: steps the core and does each action at its tick. */
class Bench {
  constructor(core) { this.core = core; this.tick = 0; this.ended = true; }

  /** `given` as lib/web/document.hpp has it; `actions` of an earlier run to be done again. */
  begin(kind, given, actions = []) {
    this.ended = true;
    if (kind === "learn") this.core.learn(given);
    else this.core.keyOn(given);
    Object.assign(this, { tick: 0, ended: false, pedal: null, goal: null, log: [], shown: 0, waiting: [...actions] });
    this.rate = Math.round(1 / given.bench.control_period);
    this.every = Math.max(1, Math.round(SHOWN_EVERY / given.bench.record_period));
    this.shifted = new Set((given.faults ?? []).map((fault) => `${fault.where} ${fault.what}`));
    const stroke = kind === "run" && given.stroke;
    this.last = Math.min(stroke ? Math.round(stroke.time.at(-1) * this.rate) + 1 : Infinity, LONGEST * this.rate);
    this.signals = new Map(this.core.signals().map((signal, index) => [signal.name, index]));
    this.due();  // before anything that is asked for from now on
  }

  /** Does what is recorded for this tick. */
  due() { while (this.waiting.length && this.waiting[0].tick <= this.tick) this.act(this.waiting.shift()); }

  act(action) {
    const tick = this.tick;
    if (action.act === "pedal") Object.assign(this, { goal: action.travel, last: LONGEST * this.rate });
    if (action.act === "brake") this.core.brake(action.braking);
    if (action.act === "inject") this.core.inject(action.fault);
    if (action.act === "remove") this.core.remove(action.where, action.what);
    if (action.act === "shift") this.shift(action.fault);
    if (action.act === "controller") this.core.controller(action.settings);
    this.log.push({ ...action, tick });
  }

  /** A fault that a slider moves, at one tick; without an amount it is over. */
  shift({ where, what, amount }) {
    const name = `${where} ${what}`;
    if (this.shifted.delete(name)) this.core.remove(where, what);
    if (amount === null) return;
    this.core.inject({ where, what, amount });
    this.shifted.add(name);
  }

  /** The foot on its way to where it was sent, a tick further; on the stroke or at rest it begins where it is. */
  foot() {
    const most = FASTEST / this.rate, from = this.pedal ?? (this.tick ? this.travel() : this.goal);
    this.pedal = Math.abs(this.goal - from) <= most ? this.goal : from + (this.goal > from ? most : -most);
  }

  travel() {
    const index = this.signals.get("pedal.travel");
    return index === undefined ? this.goal : this.core.column(index).at(-1) ?? this.goal;
  }

  /** So many ticks on, or to the end. */
  advance(ticks = Infinity) {
    const wanted = this.tick + ticks;
    while (!this.ended && this.tick < wanted) {
      this.due();
      const moving = this.goal !== this.pedal;
      if (moving) this.foot();
      const next = Math.min(wanted, this.last, this.waiting[0]?.tick ?? Infinity, moving ? this.tick + 1 : Infinity);
      const made = this.core.step(next - this.tick, this.pedal);
      this.ended = made < next - this.tick || next >= this.last;
      this.tick += made;
    }
  }

  /** Rows not shown yet of the named columns, one every 5 ms; null where the bench has no such column. */
  fresh(names) {
    const rows = this.core.rows(), columns = {};
    const count = Math.max(0, Math.ceil((rows - this.shown) / this.every));
    for (const name of ["time", ...names]) {
      const index = name === "time" ? -1 : this.signals.get(name);
      if (index === undefined) continue;
      const from = this.core.column(index, this.shown), some = new Float64Array(count);
      for (let k = 0; k < count; ++k) some[k] = from[k * this.every];
      columns[name] = some;
    }
    this.shown += count * this.every;
    return columns;
  }

  everything() {
    const names = [...this.signals.keys()];
    return { names: ["time", ...names], columns: [-1, ...names.keys()].map((k) => this.core.column(k).slice()) };
  }
}

if (typeof module !== "undefined") module.exports = { Bench };

/** Only in a worker: answers messages {id, ask, …} by {id, answer} or {id, error}, and sends frames by itself. */
function serve(scope) {
  let bench, lanes, run = 0, timer = null, speed = 1, behind = 0, last = 0, names = [];

  const frame = () => {
    const state = bench.core.state();
    const columns = bench.fresh(names);
    scope.postMessage({ frame: { run, columns, state, tick: bench.tick, ended: bench.ended } });
  };
  const go = () => {
    const now = performance.now();
    behind = Math.min(behind + (now - last) * speed * bench.rate / 1000, MOST_BEHIND * Math.max(speed, 1) * bench.rate);
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

  const unpacked = async (bytes) => {
    const whole = new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip")));
    return new Uint8Array(await whole.arrayBuffer());
  };

  const asks = {
    async open({ bytes }) {
      bench = new Bench(await Core.open(await unpacked(bytes)));
      return bench.core.names();
    },
    async scatter({ packed, benches, every }) {
      if (packed) {
        const bytes = await unpacked(packed);
        if (!WebAssembly.validate(bytes)) throw new Error("This browser has no SIMD in WebAssembly, which the scattered benches need.");
        lanes = await Core.open(bytes, "scatter_new");
      }
      let refused = 0, why = "";
      for (const given of benches) {
        try {
          lanes.addBench(given);
        } catch (error) {
          refused += 1;
          why = error.message;
        }
      }
      if (refused === benches.length) throw new Error(`These benches do not run side by side: ${why}`);
      const rows = lanes.runBenches(every), count = benches.length - refused;
      return { time: lanes.opening(-1, rows), openings: Array.from({ length: count }, (_, k) => lanes.opening(k, rows)), refused, why };
    },
    begin({ number, kind, given, actions, show, paused }) {
      pause();
      names = show;
      run = number;
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
      bench.advance(seconds === undefined ? Infinity : Math.round(seconds * bench.rate));
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
