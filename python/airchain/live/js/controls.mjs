// Sliders, their number boxes and choices; a refused value says so beside its slider.
import { refusal } from "./turning.mjs";
import { decimals_of, shown_of, si_of, typed_of } from "./values.mjs";

/** @typedef {import("./values.mjs").Knob} Knob */
/** @typedef {import("./values.mjs").System} System */
/** @typedef {import("./values.mjs").Typed} Typed */
/** @typedef {(path: string, typed: Typed | undefined, released: boolean) => void} Turned */

let count = 0;

/**
 * A new element with text.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string>} attributes
 * @param {string} text
 * @returns {HTMLElementTagNameMap[K]}
 */
export function element(tag, attributes = {}, text = "") {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.textContent = text;
  return made;
}

/** One knob on the page. */
export class Control {
  /**
   * @param {Knob} knob
   * @param {string} lock why it does not move; empty where it does
   * @param {Turned} turned called with no value where the knob stands as it was
   */
  constructor(knob, lock, turned) {
    this.knob = knob;
    this.lock = lock;
    this.turned = turned;
    /** @type {System} */
    this.system = "trade";
    this.root = element("div", { class: "knob" });
    this.id = `airchain-knob-${++count}`;
    this.label = element("label", { for: this.id }, knob.words);
    this.refused = element("p", { class: "refused", role: "alert" });
    this.unit = element("span", { class: "unit" });
    this.stop = element("output", { class: "stop", for: this.id });
    /** @type {HTMLInputElement | HTMLSelectElement} */
    this.main = knob.options && !knob.stops ? this.choice(knob.options) : this.slider();
    this.box = element("input", { type: "number", "aria-label": `${knob.words}, as a number` });
    this.main.id = this.id;
    this.root.append(this.label, this.main);
    if (!knob.options) this.root.append(this.box, this.unit);
    if (knob.stops) this.root.append(this.stop);
    this.root.append(this.refused);
    if (lock) {
      this.main.disabled = this.box.disabled = true;
      this.main.title = lock;
    }
    this.listen();
  }

  slider() {
    return element("input", { type: "range" });
  }

  /** @param {import("./values.mjs").Option[]} options */
  choice(options) {
    const select = element("select");
    for (const [name, , , words] of options)
      select.append(element("option", { value: name }, words || "as the file has it"));
    if (options.every(([name]) => name))
      select.append(element("option", { value: "", hidden: "" }, "none of them"));
    return select;
  }

  listen() {
    const { options, stops } = this.knob;
    if (options && stops) {
      const put = (/** @type {boolean} */ released) => {
        const name = options[Number(this.main.value)][0];
        this.turned(this.knob.path, name, released);
      };
      this.main.addEventListener("input", () => put(false));
      this.main.addEventListener("change", () => put(true));
      return;
    }
    if (options) {
      this.main.addEventListener("change", () => {
        const same = this.main.value === this.knob.value;
        this.turned(this.knob.path, same ? undefined : this.main.value, true);
      });
      return;
    }
    this.main.addEventListener("input", () => this.moved(Number(this.main.value), false));
    this.main.addEventListener("change", () => this.moved(Number(this.main.value), true));
    this.box.addEventListener("change", () => this.moved(
      this.box.value === "" ? NaN : Number(this.box.value), true));
  }

  /**
   * @param {number} shown
   * @param {boolean} released
   */
  moved(shown, released) {
    const typed = typed_of(this.knob, shown, this.system);
    const why = Number.isNaN(shown) ? refusal(this.knob, "", this.system)
      : refusal(this.knob, typed, this.system);
    this.say(why);
    if (why) return;
    this.put(shown);
    this.turned(this.knob.path, typed, released);
  }

  /**
   * Say why a value is refused; empty to take it back.
   * @param {string} why
   */
  say(why) {
    if (this.refused.textContent !== why) this.refused.textContent = why;
    this.box.setAttribute("aria-invalid", why ? "true" : "false");
  }

  /**
   * Show where the knob stands.
   * @param {Typed | undefined} typed as typed; nothing for where the build has it
   * @param {System} system
   */
  show(typed, system) {
    this.system = system;
    if (this.knob.stops) return;
    if (this.knob.options) {
      this.main.value = String(typed ?? this.knob.value);
      return;
    }
    const [, , first, last] = /** @type {number[]} */ (this.knob.ends);
    const decimals = decimals_of(this.knob, system);
    const step = String(10 ** -decimals);
    const ends = [first, last].map((end) => shown_of(this.knob, end, system));
    const main = /** @type {HTMLInputElement} */ (this.main);
    main.min = String(Math.floor(ends[0] * 10 ** decimals) / 10 ** decimals);
    main.max = String(Math.ceil(ends[1] * 10 ** decimals) / 10 ** decimals);
    main.step = this.box.step = step;
    this.unit.textContent = /** @type {{trade: [string], si: [string]}} */ (
      /** @type {unknown} */ (this.knob.units))[system][0];
    const value = typed === undefined ? Number(this.knob.value) : si_of(this.knob, typed);
    const shown = shown_of(this.knob, value, system);
    main.value = String(shown);
    this.put(shown);
    this.say("");
  }

  /**
   * Show at which of its places a slider stands by a number, or between which.
   * @param {string} place which of the chain's numbers tells
   * @param {number} value
   */
  stand(place, value) {
    const options = this.knob.options ?? [];
    const off = options.map(([, numbers]) => Math.abs(numbers[place] - value));
    const nearest = off.indexOf(Math.min(...off));
    const main = /** @type {HTMLInputElement} */ (this.main);
    [main.min, main.max, main.step] = ["0", String(options.length - 1), "1"];
    main.value = String(nearest);
    const at = off[nearest] <= 1e-9 * value;
    const words = at ? options[nearest][0] : `none; nearest ${options[nearest][0]}`;
    if (this.stop.textContent !== words) this.stop.textContent = words;
    main.setAttribute("aria-valuetext", words);
  }

  /** @param {number} shown */
  put(shown) {
    const text = shown.toFixed(decimals_of(this.knob, this.system));
    if (document.activeElement !== this.box) this.box.value = text;
    if (Number(this.main.value) !== shown) this.main.value = String(shown);
    this.main.setAttribute("aria-valuetext", `${text} ${this.unit.textContent}`.trim());
  }
}
