// SPDX-License-Identifier: BSD-3-Clause
// The WebAssembly core as JavaScript calls it (lib/web/interface.cpp). Runs in a worker, and in Node for the tests.
"use strict";

class CoreError extends Error {}

class Core {
  /** `bytes` of lab_core.wasm; of lab_lanes.wasm with "scatter_new". */
  static async open(bytes, make = "lab_new") {
    const core = new Core();
    const module = await WebAssembly.compile(bytes);
    const instance = await WebAssembly.instantiate(module, core.#host(module));
    core.exports = instance.exports;
    core.exports._initialize();
    core.lab = core.exports[make]();
    return core;
  }

  keyOn(given) { this.#call("lab_key_on", given); }
  learn(given) { this.#call("lab_learn", given); }
  inject(fault) { this.#call("lab_inject", fault); }
  controller(settings) { this.#call("lab_controller", settings); }
  remove(where, what) {
    const texts = [where, what].map((t) => this.#pass(t));
    this.#check(this.exports.lab_remove(this.lab, ...texts));
    texts.forEach((t) => this.exports.free(t));
  }
  /** Ticks made; `pedal` null: the foot is on its stroke. */
  step(ticks, pedal) { return this.#check(this.exports.lab_step(this.lab, ticks, pedal ?? NaN)); }
  brake(braking) { this.#check(this.exports.lab_brake(this.lab, braking)); }
  /** Numbers in it are texts. */
  state() {
    const state = this.#answer("lab_state");
    return { ...state, codes: state.codes || [], faults: state.faults || [] };
  }
  signals() { return this.#answer("lab_signals").signals; }
  names() { return this.#answer("lab_names"); }
  rows() { return this.#check(this.exports.lab_rows(this.lab)); }
  /** A view of a column, from a row on; good until the next step. -1 is the time [s], -2 the learn's step. */
  column(index, from = 0) {
    const start = this.exports.lab_column(this.lab, index);
    const rows = this.rows();
    if (!start) return new Float64Array(0);
    return new Float64Array(this.exports.memory.buffer, start, rows).subarray(from);
  }

  /** Of the module with lanes: one bench more, then all of them; opening of bench `index`, -1 is the time [s]. */
  addBench(given) { this.#call("scatter_add", given); }
  runBenches(every) { return this.#check(this.exports.scatter_run(this.lab, every)); }
  opening(index, rows) {
    return new Float64Array(this.exports.memory.buffer, this.exports.scatter_column(this.lab, index), rows).slice();
  }

  #call(name, given) {
    const text = this.#pass(JSON.stringify(given));
    const status = this.exports[name](this.lab, text);
    this.exports.free(text);
    this.#check(status);
  }
  #check(status) {
    if (status < 0) throw new CoreError(this.#text(this.exports.lab_error()));
    return status;
  }
  #answer(name) {
    const pointer = this.exports[name](this.lab);  // those without an argument do not mind one
    if (!pointer) throw new CoreError(this.#text(this.exports.lab_error()));
    return JSON.parse(this.#text(pointer));
  }
  #pass(text) {
    const bytes = new TextEncoder().encode(text);
    const at = this.exports.malloc(bytes.length + 1);
    const memory = new Uint8Array(this.exports.memory.buffer, at, bytes.length + 1);
    memory.set(bytes);
    memory[bytes.length] = 0;
    return at;
  }
  #text(at) {
    const memory = new Uint8Array(this.exports.memory.buffer);
    return new TextDecoder().decode(memory.subarray(at, memory.indexOf(0, at)));
  }
  /** What the core may ask of its host: nothing but to end, and an empty environment. */
  #host(module) {
    const zeros = (...places) => {
      const memory = new DataView(this.exports.memory.buffer);
      places.forEach((at) => memory.setUint32(at, 0, true));
      return 0;
    };
    const known = {
      proc_exit: () => { throw new CoreError("the core has stopped; load the page anew"); },
      environ_sizes_get: zeros,
    };
    const host = {};
    for (const { module: space, name } of WebAssembly.Module.imports(module))
      (host[space] ??= {})[name] = known[name] ?? (() => 0);
    return host;
  }
}

if (typeof module !== "undefined") module.exports = { Core, CoreError };
