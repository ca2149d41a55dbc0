// SPDX-License-Identifier: BSD-3-Clause
// The page: what is set, what is asked of the worker, what is shown.
"use strict";

const $ = (id) => document.getElementById(id);
const percent = (share) => `${(100 * share).toFixed(share * 100 % 1 ? 1 : 0)} %`;
/** Amount that a fault of the wiring has at first [ohm, V]. */
const USUAL = { series: 1000, leak: 10000, short_to_ground: 0.05, short_to_battery: 0.05, short_to: 0.05,
  ground_offset: 0.5, regulator_offset: -1, regulator_voltage: 3.3 };
/** Faults of the wiring whose place is no wire, with the places there are. */
const ELSEWHERE = { ground_offset: ["controller ground"], regulator_offset: ["pedal regulator", "throttle regulator"],
  regulator_voltage: ["pedal regulator", "throttle regulator"], unplugged: null };
const BY_ITSELF = { scale: 0.5, gain: 0.9, offset: 0.05, noise: 0.01, lag: 0.1, torque: 0.3, shift: 0.03, vacuum_leak: 5e-5 };

/** The worker, asked by messages. */
class CoreWorker {
  constructor(onFrame, onTrouble) {
    const text = $("worker").textContent;
    this.worker = new Worker(URL.createObjectURL(new Blob([text], { type: "text/javascript" })));
    this.asked = new Map();
    this.count = 0;
    this.worker.onmessage = ({ data }) => {
      if (data.frame) return onFrame(data.frame);
      if (data.trouble) return onTrouble(data.trouble);
      const [resolve, reject] = this.asked.get(data.id);
      this.asked.delete(data.id);
      if ("error" in data) reject(new Error(data.error));
      else resolve(data.answer);
    };
    this.worker.onerror = (event) => onTrouble(event.message);
  }
  ask(what, more = {}, moved = []) {
    const id = ++this.count;
    return new Promise((resolve, reject) => {
      this.asked.set(id, [resolve, reject]);
      this.worker.postMessage({ id, ask: what, ...more }, moved);
    });
  }
}

const lab = {
  faults: [],       // there now, but for those of sliders
  learned: null,    // the learned range
  kind: "run",      // or "learn"
  started: null,    // what the run under way was begun with
  recorded: null,   // a run to replay: {kind, given, actions}
  frame: null,

  async begin() {
    this.contents = JSON.parse($("contents").textContent);
    this.names = { steps: [], reactions: [] };
    this.charts = new Charts($("charts"));
    this.picture = new BlockPicture($("picture"), this.contents);
    this.drawing = new Drawing($("drawing"), (terminal) => this.toggle(terminal));
    this.build();
    this.events();
    try {
      this.worker = new CoreWorker((frame) => this.take(frame), (text) => this.trouble(text));
      const bytes = Uint8Array.from(atob($("core").textContent.trim()), (c) => c.charCodeAt(0)).buffer;
      this.names = await this.worker.ask("open", { bytes }, [bytes]);
      this.lists();
      try {
        await this.open(await fromLink(location.hash));
      } catch (error) {
        if (!location.hash) throw error;
        this.build();
        await this.open(null);
        this.trouble(`${error.message} The page begins as it does without a link.`);
      }
      document.body.dataset.ready = "yes";
    } catch (error) {
      this.trouble(`The page cannot run: ${error.message}`);
    }
  },

  /** Begins as a link says, or anew. */
  async open(state) {
    if (state) this.set(state);
    else if (!this.learned) await this.learnAtOnce();
    this.showLearned();
    await this.keyOn();
    if (state?.recorded) await this.replay(state.recorded);
  },

  trouble(text) { $("trouble").textContent = text; $("trouble").hidden = !text; },
  say(text) { $("said").textContent = text; },

  // What is there to be moved.

  build() {
    const { contents } = this;
    fill($("pedal-part"), Object.keys(contents.pedals).map((name) => [name]));
    fill($("body-part"), Object.keys(contents.bodies).map((name) => [name]));
    [$("pedal-part").value, $("body-part").value] = contents.first;
    this.makeSliders();
    $("feed-forward").checked = contents.bench.controller.feed_forward;
    fill($("wire-fault"), contents.wiring_faults.filter((f) => !(f.what in ELSEWHERE)).map((f) => [f.what, f.what.replaceAll("_", " ")]));
    fill($("spoil"), [["", "nothing"], ...contents.disturbances.map((d) => [d.name, d.name.replaceAll("_", " ")])]);
    this.parts();
    this.wire();
    this.spoil();
    this.learned = contents.learned;
    this.faults = contents.faults.map((fault) => ({ ...fault }));
    this.showFaults();
  },

  makeSliders() {
    const bench = { ...this.contents.bench, gains: this.contents.bodies[$("body-part").value].gains };
    this.sliders = sliders(bench).map((row) => new Slider(row, () => this.moved(row.key)));
    const groups = Object.groupBy ? Object.groupBy(this.sliders, (s) => s.group)
      : this.sliders.reduce((all, s) => ({ ...all, [s.group]: [...(all[s.group] ?? []), s] }), {});
    $("sliders").replaceChildren(...Object.entries(groups).map(([name, rows]) => {
      const set = document.createElement("fieldset"), legend = document.createElement("legend");
      legend.textContent = name;
      set.append(legend, ...rows.map((row) => row.row));
      return set;
    }));
  },

  slider(key) { return this.sliders.find((slider) => slider.key === key); },

  /** After another part was chosen: terminals, and what follows. */
  parts() {
    const pedal = this.contents.pedals[$("pedal-part").value], body = this.contents.bodies[$("body-part").value];
    this.picture.parts(pedal, body);
    const prefixed = (part, name) => part.terminals.map(([, terminal]) =>
      terminal.startsWith("motor") ? terminal : `${name} ${terminal}`);
    const pedals = prefixed(pedal, "pedal"), throttles = prefixed(body, "throttle");
    this.connectors = [...new Set([...pedal.terminals.map(([c]) => `pedal ${c}`), ...body.terminals.map(([c]) => `throttle ${c}`)])];
    const pins = Object.fromEntries(this.contents.bench.wiring.pin_out.map((joint) => [joint.terminal, joint.pin]));
    this.drawing.make([
      { title: "Wires from the pedal to the controller", left: "pedal", right: "controller", terminals: pedals },
      { title: "Wires from the controller to the throttle body", left: "controller", right: "throttle body", terminals: throttles },
      { title: "Wires from the controller to the battery", left: "controller", right: "battery, ground",
        terminals: ["controller supply", "controller ground"] },
    ], pins);
    fill($("wire-with"), [...pedals, ...throttles].map((name) => [name]));
    const other = this.contents.other_faults.filter((f) => !/track3/.test(f.where)
      || this.contents[f.where.startsWith("pedal") ? "pedals" : "bodies"][f.where.startsWith("pedal") ? $("pedal-part").value : $("body-part").value].values.tracks.length > 2);
    const places = this.contents.wiring_faults.filter((f) => f.what in ELSEWHERE)
      .flatMap((f) => (ELSEWHERE[f.what] ?? this.connectors).map((where) => ({ ...f, where })));
    this.others = [...other, ...places].filter((f) => f.where !== "pedal.idle_switch" || pedal.values.idle_switch.fitted);
    fill($("other-fault"), this.others.map((f, k) => [k, `${f.where}: ${f.what.replaceAll("_", " ")}`]));
    this.other();
  },

  wire() {
    const kind = this.contents.wiring_faults.find((f) => f.what === $("wire-fault").value);
    $("with-row").hidden = !["short_to", "exchange"].includes(kind.what);
    this.amount("wire", kind, USUAL[kind.what]);
  },
  other() {
    const kind = this.others[Number($("other-fault").value)];
    this.amount("other", kind, USUAL[kind.what] ?? BY_ITSELF[kind.what]);
  },
  spoil() {
    const kind = this.contents.disturbances.find((d) => d.name === $("spoil").value);
    $("spoil-where-row").hidden = !kind?.places.length;
    if (kind?.places.length) fill($("spoil-where"), kind.places.map((place) => [place]));
    $("spoil-amount-row").hidden = !kind || kind.least === kind.most;
    if (kind) this.amount("spoil", kind, kind.usual);
  },
  /** The field for an amount of a kind of fault. */
  amount(name, kind, usual) {
    const takes = kind.least < kind.most;
    if ($(`${name}-amount-row`)) $(`${name}-amount-row`).hidden = !takes;
    $(`${name}-amount`).disabled = !takes;
    $(`${name}-amount`).value = takes ? (usual ?? kind.most) : "";
    $(`${name}-unit`).textContent = takes && kind.unit ? ` ${kind.unit.replace("ohm", "Ω").replace("*", "·").replace("^2", "²")}` : "";
  },

  lists() {
    const items = (list, names) => list.replaceChildren(...names.map((name) => Object.assign(document.createElement("li"), { textContent: name })));
    items($("ladder"), this.names.reactions);
    items($("steps"), this.names.steps);
  },

  events() {
    const on = (id, event, act) => $(id).addEventListener(event, () => {
      this.trouble("");
      Promise.resolve(act()).catch((error) => this.trouble(error.message));
    });
    on("key-on", "click", () => this.keyOn());
    on("pause", "click", () => this.pause());
    on("stroke", "click", () => this.keyOn("stroke"));
    on("replay", "click", () => this.replay());
    on("finish", "click", () => this.worker.ask("finish", this.foots === "hand" ? { seconds: 10 } : {}));
    on("scatter", "click", () => this.scatter());
    on("csv", "click", () => this.csv());
    on("link", "click", () => this.link());
    on("learn", "click", () => this.learn());
    on("forget", "click", () => { this.learned = null; this.showLearned(); return this.keyOn(); });
    on("own", "click", () => this.allOwn());
    on("pedal", "input", () => this.foot());
    on("brake", "input", () => this.act({ act: "brake", braking: Number($("brake").value) / 100 }));
    on("pedal-part", "change", () => this.otherParts());
    on("body-part", "change", () => this.otherParts());
    on("speed", "change", () => this.worker.ask("play", { at: Number($("speed").value) }));
    on("span", "change", () => { this.charts.span = Number($("span").value); this.charts.draw(); });
    on("wire-fault", "change", () => this.wire());
    on("other-fault", "change", () => this.other());
    on("spoil", "change", () => this.spoil());
    on("add-fault", "click", () => this.addOther());
    on("feed-forward", "change", () => this.moved("feed_forward"));
    const holds = (event) => event.code === "Space" && !/INPUT|SELECT|BUTTON|TEXTAREA|SUMMARY|A/.test(event.target.tagName) && event.target.getAttribute("role") !== "button";
    addEventListener("keydown", (event) => {
      if (!holds(event)) return;
      event.preventDefault();
      if (!event.repeat) { $("pedal").value = 100; this.foot(); }
    });
    addEventListener("keyup", (event) => { if (holds(event)) this.letGo(); });
    for (const end of ["pointerup", "pointercancel"]) $("pedal").addEventListener(end, () => this.letGo());
  },

  // The bench as it is set.

  bench() {
    const { contents } = this, body = contents.bodies[$("body-part").value];
    const acquisition = { ...contents.bench.acquisition };
    for (const slider of this.sliders) Object.assign(acquisition, slider.acquisition?.(slider.value));
    return { ...contents.bench, acquisition, controller: this.controller(),
      pedal: contents.pedals[$("pedal-part").value].values, body: body.values };
  },
  controller() {
    const bench = { gains: this.contents.bodies[$("body-part").value].gains, controller: this.contents.bench.controller };
    const settings = { ...this.contents.bench.controller, feed_forward: $("feed-forward").checked };
    for (const slider of this.sliders) {
      if (!slider.settings || slider.value === slider.own) continue;
      Object.assign(settings, slider.settings(slider.value, bench));
    }
    return settings;
  },
  sliderFaults() {
    return this.sliders.filter((slider) => slider.fault && slider.value !== slider.own)
      .map((slider) => ({ where: slider.fault[0], what: slider.fault[1], amount: slider.amount(slider.value) }));
  },
  given(stroke) {
    const given = { bench: this.bench(), faults: [...this.faults, ...this.sliderFaults()] };
    if (this.learned) given.learned = this.learned;
    if (stroke) given.stroke = stroke;
    return given;
  },

  // What is done.

  async start(kind, given, foot, actions = [], paused = false) {
    this.kind = kind;
    this.foots = foot;
    $("pedal").value = 0;
    $("brake").value = 0;
    $("brake").disabled = kind === "learn";
    $("pause").textContent = "Pause";
    this.started = { kind, given, foot };
    this.forgetMoves();
    const has = (name) => !name.includes("track3") && (name !== "engine.speed" || (given.bench.engine && kind === "run"))
      || (name === "pedal.track3" && given.bench.pedal.tracks.length > 2)
      || (name === "throttle.track3" && given.bench.body.tracks.length > 2);
    this.charts.make(has);
    $("steps").hidden = kind !== "learn";
    const first = foot === "hand" ? [{ tick: 0, act: "pedal", travel: 0 }] : [];
    this.number = (this.number ?? 0) + 1;
    await this.worker.ask("begin", { number: this.number, kind, given, actions: actions.length ? actions : first, show: SHOWN, paused });
  },

  async keyOn(foot = "hand") {
    await this.worker.ask("play", { at: Number($("speed").value) });
    const given = this.given(foot === "stroke" ? this.contents.stroke : null);
    await this.start("run", { ...given, brake: true }, foot);
    this.say(foot === "stroke" ? "The foot makes the stroke." : "The foot is yours.");
  },

  disturbance() {
    const kind = this.contents.disturbances.find((d) => d.name === $("spoil").value);
    if (!kind) return [];
    const one = { name: kind.name };
    if (kind.places.length) one.where = $("spoil-where").value;
    if (kind.least < kind.most) one.amount = Number($("spoil-amount").value);
    return [one];
  },
  async learn() {
    await this.worker.ask("play", { at: Number($("speed").value) });
    $("learn-result").textContent = "";
    await this.start("learn", { ...this.given(null), disturbances: this.disturbance() }, $("foot").value);
    this.say($("foot").value === "hand" ? "When the blade has been to both stops, press the pedal fully and slowly, twice." : "");
  },
  async learnAtOnce() {
    await this.start("learn", this.given(null), "stroke", [], true);
    await this.worker.ask("finish");
  },

  async replay(recorded) {
    const run = recorded ?? (this.started && { ...this.started, actions: await this.worker.ask("log") });
    if (!run) return;
    await this.start(run.kind, run.given, run.foot, run.actions);
    this.say("What was recorded is done again.");
  },

  async pause() {
    const going = $("pause").textContent === "Pause";
    if (going) await this.worker.ask("pause");
    else await this.worker.ask("play");
    $("pause").textContent = going ? "Go on" : "Pause";
  },

  act(action) { return this.worker.ask("act", { action }); },

  foot() {
    const travel = Number($("pedal").value) / 100;
    $("pedal-text").textContent = percent(travel);
    $("pedal").setAttribute("aria-valuetext", percent(travel));
    if (this.foots !== "hand") { this.foots = "hand"; this.started.foot = "hand"; }
    return this.act({ act: "pedal", travel });
  },
  letGo() {
    if (!$("springs-back").checked) return;
    $("pedal").value = 0;
    return this.foot();
  },

  /** What has moved goes to the worker with the next picture, each only as it is then. */
  moved(key) {
    if (this.slider(key)?.acquisition) this.say("The input filter changes when the key is turned on again.");
    this.changed ??= new Set();
    this.changed.add(key);
    this.sending ??= requestAnimationFrame(() => this.send());
  },
  async send() {
    const sliders = [...this.changed].map((key) => this.slider(key));
    this.forgetMoves();
    try {
      if (this.kind === "run" && sliders.some((slider) => !slider || slider.settings))
        await this.act({ act: "controller", settings: this.controller() });
      for (const { fault: [where, what], amount, value, own } of sliders.filter((slider) => slider?.fault))
        await this.act({ act: "shift", fault: { where, what, amount: value === own ? null : amount(value) } });
    } catch (error) {
      this.trouble(error.message);
    }
  },
  forgetMoves() {
    cancelAnimationFrame(this.sending);
    this.sending = null;
    this.changed = new Set();
  },
  allOwn() {
    this.sliders.forEach((slider) => slider.set(slider.own));
    $("feed-forward").checked = this.contents.bench.controller.feed_forward;
    return this.keyOn();
  },

  otherParts() {
    const values = Object.fromEntries(this.sliders.map((slider) => [slider.key, slider.value]));
    this.makeSliders();
    this.sliders.forEach((slider) => slider.set(values[slider.key] ?? slider.own));
    this.faults = [];
    this.parts();
    this.showFaults();
    this.showLearned();
    return this.keyOn();
  },

  async scatter() {
    await this.worker.ask("pause");
    if (!this.frame?.ended) $("pause").textContent = "Go on";
    this.say("The scattered benches are run.");
    const found = await runScattered(this);
    this.charts.show(found);
    this.say(scatterSaid(found));
  },

  // Faults.

  toggle(terminal) {
    this.trouble("");
    const there = this.faults.find((f) => f.where === terminal || f.other === terminal);
    const done = there ? this.mend(there) : this.harm({
      where: terminal, what: $("wire-fault").value,
      ...($("with-row").hidden ? {} : { other: $("wire-with").value }),
      ...($("wire-amount").disabled ? {} : { amount: Number($("wire-amount").value) }),
    });
    done.catch((error) => this.trouble(error.message));
  },
  addOther() {
    const kind = this.others[Number($("other-fault").value)];
    const fault = { where: kind.where, what: kind.what };
    if (!$("other-amount").disabled) fault.amount = Number($("other-amount").value);
    return this.harm(fault);
  },
  async harm(fault) {
    await this.act({ act: "inject", fault });
    this.faults.push(fault);
    this.showFaults();
  },
  async mend(fault) {
    this.faults = this.faults.filter((f) => f !== fault);
    this.showFaults();
    if (this.frame?.state.faults.some((f) => f.where === fault.where && f.what === fault.what))
      await this.act({ act: "remove", where: fault.where, what: fault.what });
  },
  showFaults() {
    this.drawing.show(this.faults);
    $("faults").replaceChildren(...this.faults.map((fault) => {
      const item = document.createElement("li"), mend = document.createElement("button");
      mend.type = "button";
      mend.textContent = "mend";
      mend.setAttribute("aria-label", `mend ${fault.where}: ${inWords(fault)}`);
      mend.addEventListener("click", () => this.mend(fault).catch((error) => this.trouble(error.message)));
      const from = Number(fault.start) ? ` from ${fault.start} s` : "";
      item.append(`${fault.where}: ${inWords(fault)}${from} `, mend);
      return item;
    }));
  },

  // What comes back.

  take(frame) {
    if (frame.run !== this.number) return;  // of a run before, still under way to here
    this.frame = frame;
    this.charts.columns.append(frame.columns);
    if (!this.drawn) {
      this.drawn = true;
      requestAnimationFrame(() => { this.drawn = false; this.show(); });
    }
    if (frame.state.learn && frame.ended) this.learnEnded(frame.state);
  },

  show() {
    const { state, ended } = this.frame;
    this.charts.draw();
    $("clock").textContent = `${Number(state.time).toFixed(2)} s`;
    const reaction = this.names.reactions.indexOf(state.reaction);
    this.mark($("ladder"), state.learn ? -1 : reaction);
    $("standing").textContent = this.standing(state, ended);
    if (state.learn) this.mark($("steps"), this.names.steps.indexOf(state.learn.step));
    if (this.foots === "stroke" && this.frame.tick) {
      const travel = this.charts.columns.last("pedal.travel");
      if (travel >= 0) $("pedal").value = 100 * travel;
    }
    this.codes(state.codes);
    this.picture.show((name) => this.charts.columns.last(name), state.faults, this.names.reactions, ended);
  },
  standing(state, ended) {
    if (state.outcome !== "completed") return `${state.outcome}: ${state.reason}`;
    if (state.learn) return ended ? "the range learn is over" : `range learn: ${state.learn.step}`;
    const what = state.reaction === "none" ? "no reaction" : `reaction: ${state.reaction}`;
    return ended ? `${what}; the run is over, turn the key on again` : what;
  },
  mark(list, index) {
    [...list.children].forEach((item, k) => {
      if (k === index) item.setAttribute("aria-current", "step");
      else item.removeAttribute("aria-current");
    });
  },
  codes(codes) {
    const key = JSON.stringify(codes);
    if (key === this.codesShown) return;
    this.codesShown = key;
    $("codes").replaceChildren(...(codes.length ? codes : [{ code: "none", meaning: "", state: "", confirmed: "" }]).map((code) => {
      const row = document.createElement("tr");
      const at = code.state === "confirmed" || code.state === "healed" ? `${Number(code.confirmed).toFixed(3)} s` : "";
      for (const text of [code.code, code.meaning, code.state, at]) row.insertCell().textContent = text;
      return row;
    }));
    const set = codes.filter((code) => code.state === "confirmed").map((code) => code.code);
    $("news").textContent = set.length ? `Trouble codes set: ${set.join(", ")}` : "No trouble code is set";
  },

  learnEnded(state) {
    const { learn } = state;
    if (learn.over !== "true") return;
    if (learn.accepted === "true") {
      const numbers = (value) => (Array.isArray(value) ? value.map(numbers) : Number(value));
      const { range } = learn;
      this.learned = { ...range, pedal: numbers(range.pedal), throttle: numbers(range.throttle),
        default_opening: Number(range.default_opening), supply: Number(range.supply), learned_at: Number(range.learned_at), count: Number(range.count) };
    }
    $("learn-result").textContent = learn.accepted === "true" ? "Accepted: turn the key on and drive."
      : `Refused in the step "${learn.stopped_in}". ${learn.reason}`;
    this.showLearned();
  },
  showLearned() {
    const range = this.learned;
    const pedal = this.contents.pedals[$("pedal-part").value].values.name, body = this.contents.bodies[$("body-part").value].values.name;
    const stale = range && (range.pedal_name !== pedal || range.body_name !== body);
    $("learned").textContent = !range ? "The controller has learned no range; it does not answer the pedal."
      : `Learned with ${range.pedal_name} and ${range.body_name}${stale ? ": not what is plugged in now" : ""}.`;
    $("learned").classList.toggle("warn", Boolean(!range || stale));
  },

  // What is taken away.

  async csv() {
    const { names, columns } = await this.worker.ask("everything");
    const lines = [names.join(",")];
    for (let k = 0; k < columns[0].length; ++k) lines.push(columns.map((column) => column[k]).join(","));
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([lines.join("\n"), "\n"], { type: "text/csv" }));
    link.download = this.kind === "learn" ? "range-learn.csv" : "run.csv";
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    this.say(`${columns[0].length} rows, one a controller tick.`);
  },

  state() {
    return { pedal: $("pedal-part").value, body: $("body-part").value, learned: this.learned, faults: this.faults,
      sliders: Object.fromEntries(this.sliders.filter((s) => s.value !== s.own).map((s) => [s.key, s.value])),
      feed_forward: $("feed-forward").checked, springs_back: $("springs-back").checked };
  },
  async link() {
    const actions = await this.worker.ask("log");
    const { kind, given, foot } = this.started, { controller, acquisition } = given.bench;
    const begun = { kind, foot, given: { ...given, bench: { controller, acquisition } } };
    const recorded = actions.length > 1 && actions.length <= 3000 ? { ...begun, actions } : undefined;
    const hash = await toLink({ ...this.state(), recorded });
    history.replaceState(null, "", hash);
    try {
      await navigator.clipboard.writeText(location.href);
      this.say("The address of the page now holds this state, and was copied.");
    } catch {
      this.say("The address of the page now holds this state: copy it from there.");
    }
  },
  /** As a link says; throws a sentence for what is not there. */
  set(state) {
    const { contents } = this;
    if (!(state?.pedal in contents.pedals) || !(state.body in contents.bodies))
      throw new Error("The link names parts that this page does not have.");
    $("pedal-part").value = state.pedal;
    $("body-part").value = state.body;
    this.makeSliders();
    for (const [key, value] of Object.entries(state.sliders ?? {})) {
      const slider = this.slider(key);
      if (!slider || !Number.isFinite(value)) throw new Error(`The link sets "${key}", which this page does not have.`);
      slider.set(value);
    }
    $("feed-forward").checked = Boolean(state.feed_forward);
    $("springs-back").checked = Boolean(state.springs_back);
    this.learned = state.learned ?? null;
    this.faults = Array.isArray(state.faults) ? state.faults : [];
    if (!this.faults.every((fault) => typeof fault?.where === "string" && typeof fault.what === "string"))
      throw new Error("The link has a fault without a place or a kind.");
    this.parts();
    this.showFaults();
    this.showLearned();
    const { recorded } = state;
    if (recorded) recorded.given = { ...recorded.given, bench: { ...this.bench(), ...recorded.given?.bench } };
  },
};
