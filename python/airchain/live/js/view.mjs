// The live view: sliders at the left, what they do at the right.
import { Answering, Asking, own_solver } from "./answering.mjs";
import { Control, element } from "./controls.mjs";
import { Drawings } from "./drawings.mjs";
import { Frame } from "./frame.mjs";
import { KnockLine } from "./knock.mjs";
import { compressor_map, curve, port, room, stations } from "./pictures.mjs";
import { legend_items, Readings } from "./readings.mjs";
import { code_of, turned_words } from "./turning.mjs";

/** @typedef {import("./values.mjs").Schema} Schema */
/** @typedef {import("./values.mjs").System} System */
/** @typedef {import("./values.mjs").Typed} Typed */
/** @typedef {import("./turning.mjs").Values} Values */
/** @typedef {import("./pictures.mjs").Series} Series */
/** @typedef {import("./answering.mjs").Ask} Ask */

/**
 * What a view stands on.
 * @typedef {Object} Model
 * @property {Schema} schema
 * @property {ArrayBuffer | Uint8Array | null} code the page's own core
 * @property {Float64Array} numbers the chain for it
 * @property {string} objection why the page must not solve; empty where it may
 * @property {Ask | null} ask the kernel, where there is one
 * @property {import("./knock.mjs").AskKnock | null} ask_knock of it what knocks
 * @property {Record<string, string>} locks why knobs do not move without one
 * @property {(values: Values) => void} [keep] told of every setting that is kept
 * @property {(values: Values) => void} [shown] told of every setting that was come to
 */

const KEPT_DASHES = ["1 3", "5 2 1 2", "3 3"];
/** How long sliders rest before the kernel is told [ms]: its word back would hold up the next move. */
const TELL_AFTER = 100;
const ARROWS = /^(Arrow|Page|Home|End)/;

export class View {
  /**
   * @param {HTMLElement} root
   * @param {Model} model
   */
  constructor(root, model) {
    this.root = root;
    this.model = model;
    this.schema = model.schema;
    /** @type {System} */
    this.system = "trade";
    /** @type {Values} */
    this.values = {};
    this.reference = Frame.of(this.schema, this.schema.reference);
    this.today = this.good_frame = this.reference;
    /** @type {Values} what was answered last */
    this.good = {};
    this.levels = this.schema.levels.map((level) => (
      { name: level.words, look: level.look, frame: Frame.of(this.schema, level) }));
    /** @type {Series[]} */
    this.kept = [];
    this.answering = new Answering(this.schema, null);
    this.asking = model.ask ? new Asking(model.ask) : null;
    this.drawn = 0;
    this.estimated = false;
    /** @type {Control[]} */
    this.controls = this.schema.knobs.map((knob) => new Control(
      knob, model.ask ? "" : model.locks[knob.path] ?? "", this.turned.bind(this)));
    this.drawings = new Drawings();
    this.verdict = element("p", { class: "verdict", role: "status", "aria-live": "polite" });
    this.knock = new KnockLine(model.schema, model.ask_knock);
    this.note = element("p", { class: "note" });
    this.tools = element("div", { class: "tools" });
    this.legend = element("div", { class: "legend" });
    this.readings = new Readings();
    this.cautions = element("ul", { class: "cautions" });
    this.curves = element("div", { class: "curves" });
    this.pictures = element("div", { class: "pictures" });
    this.code = element("pre", { class: "code", "aria-label": "code of what is shown" });
    this.lay_out();
    this.draw_still();
    performance.mark("airchain drawn");
    this.give_keys_back();
  }

  /** Bring the page's own core in; until then and without it the kernel answers. */
  async start() {
    const { code, numbers, objection } = this.model;
    let why = objection;
    if (!why && code) {
      const found = await own_solver(this.schema, code, numbers);
      if (typeof found === "string") why = found;
      else this.answering = new Answering(this.schema, found);
    }
    if (!this.answering.solver && !this.asking)
      for (const control of this.controls) control.main.disabled = control.box.disabled = true;
    this.note.textContent = why;
    this.root.dataset.solves = this.answering.solver ? "page" : "kernel";
  }

  lay_out() {
    this.root.classList.add("airchain-live");
    const head = element("header");
    const invented = this.schema.invented ? " (invented)" : "";
    head.append(element("h2", {}, this.schema.title + invented));
    this.button("Units: trade", (it) => {
      this.system = this.system === "trade" ? "si" : "trade";
      it.textContent = this.system === "trade" ? "Units: trade" : "Units: SI";
      this.draw_still();
    });
    this.button("Keep this", () => this.keep());
    this.button("Back to the start", () => this.reset());
    this.button("Copy as code", (it) => this.copy(it));
    head.append(this.tools, this.verdict, this.knock.root, this.note);
    const knobs = element("form", { class: "knobs", "aria-label": "what can be turned" });
    knobs.addEventListener("submit", (event) => event.preventDefault());
    knobs.append(...this.groups());
    const shown = element("div", { class: "shown" });
    shown.append(this.legend, this.curves, this.pictures, this.code, this.cautions);
    const body = element("div", { class: "body" });
    body.append(knobs, shown);
    this.root.replaceChildren(head, body);
  }

  /** Knobs that move at once, those that act on release, and those that do not move here. */
  groups() {
    /** @type {Map<string, HTMLElement>} */
    const groups = new Map();
    for (const control of this.controls) {
      const words = control.lock || (control.knob.how === "page" ? ""
        : "These act when they are released.");
      const group = groups.get(words) ?? element(words ? "fieldset" : "div");
      if (words && !groups.has(words)) group.append(element("legend", {}, words));
      groups.set(words, group);
      group.append(control.root);
    }
    return groups.values();
  }

  /**
   * @param {string} text
   * @param {(button: HTMLButtonElement) => void} press
   */
  button(text, press) {
    const made = element("button", { type: "button" }, text);
    made.addEventListener("click", () => press(made));
    this.tools.append(made);
  }

  /** JupyterLab takes arrow keys from sliders unless they are caught before it sees them. */
  give_keys_back() {
    this.keys = (/** @type {KeyboardEvent} */ event) => {
      const at = event.composedPath()[0];
      if (at instanceof Node && this.root.contains(at) && ARROWS.test(event.key))
        event.stopImmediatePropagation();
    };
    window.addEventListener("keydown", this.keys, true);
  }

  /** Let go of what the view holds outside itself. */
  end() {
    if (this.keys) window.removeEventListener("keydown", this.keys, true);
    this.drawings.end();
  }

  /**
   * @param {string} path
   * @param {Typed | undefined} typed
   * @param {boolean} released
   */
  turned(path, typed, released) {
    if (typed === undefined) delete this.values[path];
    else this.values[path] = typed;
    // A drive is told by its level, its pair of gears or its ratio: what is turned last holds.
    if (path === "level") delete this.values["drive.pair"];
    if (path === "drive.pair") delete this.values.level;
    if (path === "level" || path === "drive.pair") delete this.values["drive.ratio"];
    this.released = released;
    if (this.frame_wanted) return;
    this.frame_wanted = true;
    requestAnimationFrame(() => {
      this.frame_wanted = false;
      this.answer(path);
    });
  }

  /**
   * Answer the values as they stand.
   * @param {string} path the knob that was turned
   */
  answer(path) {
    const by = this.answering.by(this.values);
    const values = { ...this.values };
    try {
      if (by === "page") this.answered(values, this.answering.solve(values));
      else if (by === "cycles" && this.answering.solver)
        this.show(this.answering.estimate(values), true);
    } catch (error) {
      this.refuse(path, error instanceof Error ? error.message : String(error));
      return;
    }
    if (by === "page" || !this.asking || (by === "cycles" && !this.released)) return;
    if (by === "cycles") this.say("The cylinder's cycles are run.");
    this.asking.put(values, (answer) => {
      if ("refused" in answer) {
        this.refuse(path, answer.refused);
        return;
      }
      const frame = Frame.of(this.schema, answer);
      if (by === "cycles") this.answering.learn(values, frame);
      this.answered(values, frame);
    });
  }

  /**
   * Show an answer, and come back to it where a later value is refused.
   * @param {Values} values
   * @param {Frame} frame
   */
  answered(values, frame) {
    this.good = values;
    this.good_frame = frame;
    this.show(frame, false);
  }

  /**
   * Say beside the slider why its value is refused; the last good picture stays.
   * @param {string} path
   * @param {string} why
   */
  refuse(path, why) {
    this.values = { ...this.good };
    this.show(this.good_frame, false);
    const control = this.controls.find((one) => one.knob.path === path);
    control?.show(this.values[path], this.system);
    control?.say(why);
    this.say("The last value was refused: what is shown is the one before.");
  }

  /**
   * @param {Frame} frame
   * @param {boolean} estimated
   */
  show(frame, estimated) {
    this.today = frame;
    this.estimated = estimated;
    this.root.classList.toggle("estimate", estimated);
    if (this.released) this.drawings.refit(this.behind, frame);
    this.draw_moving();
  }

  /** Levels, and settings that were kept. */
  get behind() {
    return [...this.levels, ...this.kept];
  }

  /** Pictures anew, with scales for what is shown. */
  draw_still() {
    const { schema, system } = this;
    const made = schema.curves.map((name) => curve(schema, name, system));
    if (schema.map) made.push(compressor_map(schema, system));
    made.push(stations(schema, "pressure", system), stations(schema, "temperature", system));
    if (this.reference.ports) {
      made.push(port(schema, this.reference, "intake", system));
      made.push(port(schema, this.reference, "exhaust", system));
    }
    if (schema.map) made.push(room(schema, system));
    const { behind } = this;
    const frames = [...behind.map((series) => series.frame), this.today];
    this.drawings.make(made, behind, frames);
    const boxes = this.drawings.all.map(({ box }) => box);
    this.curves.replaceChildren(...boxes.filter((_, i) => made[i].width <= 400));
    this.pictures.replaceChildren(...boxes.filter((_, i) => made[i].width > 400));
    // Readings and room stand together beside the first large picture.
    const side = element("div");
    side.append(this.readings.root);
    const limits = this.pictures.lastElementChild;
    if (schema.map && limits) side.append(limits);
    this.pictures.firstElementChild?.after(side);
    for (const control of this.controls) control.show(this.values[control.knob.path], system);
    this.draw_legend();
    this.released = true;
    this.draw_moving();
  }

  draw_moving() {
    this.drawings.show(this.today, !!this.released);
    this.draw_readings();
    this.knock.tell(this.estimated ? this.values : this.good, !!this.released && !this.estimated);
    if (this.released) {
      this.say(this.estimated ? "An estimate, until the cylinder's cycles are run." : this.said());
      this.code.textContent = code_of(this.schema, this.values);
      this.draw_cautions();
      this.show_ratio();
      if (this.drawn) this.tell_shown();
    }
    this.root.dataset.drawn = String(++this.drawn);
  }

  /** Tell of where the sliders rest, not of every place they pass. */
  tell_shown() {
    clearTimeout(this.telling);
    this.telling = setTimeout(() => this.model.shown?.({ ...this.values }), TELL_AFTER);
  }

  said() {
    const how = this.today.by_cycles ? " From the cylinder's cycles." : "";
    return this.today.verdict() + how;
  }

  /** @param {string} text */
  say(text) {
    if (this.verdict.textContent !== text) this.verdict.textContent = text;
  }

  /** A level or a pair of gears has a drive ratio of its own, where the sliders then stand. */
  show_ratio() {
    const [ratio, pair, level] = ["drive.ratio", "drive.pair", "level"].map((path) => (
      this.controls.find((control) => control.knob.path === path)));
    if (!ratio) return;
    const [place] = Object.keys(ratio.knob.sets ?? {});
    const chosen = [pair, level].map((control) => control?.knob.options?.find(([name]) => (
      name === this.values[control.knob.path]))).find((option) => option);
    const stands = this.values["drive.ratio"] ?? chosen?.[1][place];
    ratio.show(stands, this.system);
    pair?.stand(place, Number(stands ?? ratio.knob.value));
    const none = "drive.ratio" in this.values || "drive.pair" in this.values;
    level?.show(none ? "" : this.values.level, this.system);
  }

  draw_readings() {
    const { today, reference } = this;
    const same = today.at("engine_speed", today.held) === reference.at("engine_speed", reference.held);
    const before = same ? reference : this.reference_now();
    this.readings.tell(today, before, this.system);
  }

  /** The build as it is, at the speed that is held now; nothing where only the kernel knows. */
  reference_now() {
    const { rpm } = this.values;
    return this.answering.solver && rpm !== undefined ? this.answering.solve({ rpm }) : null;
  }

  draw_cautions() {
    const texts = [...this.today.cautions(), ...this.schema.cautions];
    this.cautions.replaceChildren(...texts.map((text) => element("li", {}, text)));
  }

  draw_legend() {
    this.legend.innerHTML = legend_items(this.behind);
  }

  keep() {
    const letter = String.fromCharCode(65 + this.kept.length);
    const name = `kept ${letter}: ${turned_words(this.schema, this.values)}`;
    const dash = KEPT_DASHES[this.kept.length % KEPT_DASHES.length];
    const look = { colour: "var(--kept)", dash, marker: "XPv"[this.kept.length % 3], strong: false };
    this.kept.push({ name, look, frame: this.today });
    this.model.keep?.({ ...this.values });
    this.draw_still();
  }

  reset() {
    this.values = {};
    this.kept = [];
    this.good = {};
    this.today = this.good_frame = this.reference;
    this.estimated = false;
    this.root.classList.remove("estimate");
    this.draw_still();
  }

  /** @param {HTMLButtonElement} button */
  async copy(button) {
    const text = code_of(this.schema, this.values);
    try {
      await navigator.clipboard.writeText(text);
      button.textContent = "Copied";
    } catch {
      // Pages opened from a file may not reach the clipboard: the lines are marked to be copied.
      const range = document.createRange();
      range.selectNodeContents(this.code);
      getSelection()?.removeAllRanges();
      getSelection()?.addRange(range);
      button.textContent = "Marked below";
    }
    setTimeout(() => { button.textContent = "Copy as code"; }, 2000);
  }
}
