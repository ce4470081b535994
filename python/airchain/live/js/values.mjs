// Numbers with units: as they are shown, as they are typed, and as the core takes them.

/** @typedef {"trade" | "si"} System */
/** @typedef {string | number} Typed */
/**
 * Label, factor and offset on an SI value, decimals.
 * @typedef {[string, number, number, number]} Unit
 */

/**
 * @typedef {Object} Column
 * @property {string} name
 * @property {string} [words]
 * @property {string} [meaning]
 * @property {Unit} [trade]
 * @property {Unit} [si]
 */

/**
 * Name, numbers of the chain that it sets, what it adds to a line of Python, and what is shown.
 * @typedef {[string, Record<string, number>, string, string]} Option
 */

/**
 * @typedef {Object} Knob
 * @property {string} path
 * @property {string} words
 * @property {number | string} value
 * @property {"page" | "kernel" | "cycles"} how
 * @property {[number | null, number | null, number, number]} [ends] lowest, highest, slider's ends
 * @property {Record<string, number>} [sets]
 * @property {string} [rule]
 * @property {Record<string, number>} [along] angles that go along, by how much more they are [rad]
 * @property {number[]} [shares] effectiveness of a measured cooler, which a knob scales
 * @property {{trade: Unit, si: Unit}} [units] of what is typed: SI = (number + offset) scale
 * @property {Option[]} [options]
 * @property {boolean} [stops] whether the options are places of a slider
 */

/** @typedef {{numbers: string, air: [number, number], by_cycles: boolean, ports: string | null}} Told */
/** @typedef {{colour: string, dash: string, marker: string, strong: boolean}} Look */
/** @typedef {Told & {name: string, words: string, look: Look}} Level */

/** @typedef {{said: string, knocks: boolean}} Knock a sentence, and whether anything knocks */

/**
 * @typedef {Object} KnockTold
 * @property {boolean} known whether cycles could tell
 * @property {string} unknown why they could not
 * @property {Record<string, Knock>} made by level, of the build as it is
 */

/**
 * @typedef {Object} MapTold
 * @property {number} places
 * @property {number[]} lines
 * @property {number} between
 * @property {string} flow
 * @property {string} ratio
 * @property {string} efficiency
 * @property {string} left
 * @property {string} right
 */

/**
 * @typedef {Object} Schema
 * @property {string} title
 * @property {boolean} invented
 * @property {string[]} cautions
 * @property {Column[]} columns
 * @property {[string, string, string][]} statuses in words, and the verbs of one point and of several
 * @property {{name: string, bit: number, words: string, limits: string}[]} flags
 * @property {string[]} curves
 * @property {string[]} read
 * @property {Record<string, string>} limits
 * @property {[string, string][]} stations
 * @property {number[]} rpm
 * @property {Knob[]} knobs
 * @property {Level[]} levels
 * @property {[number, number]} air_places where the open air stands among a chain's numbers
 * @property {Told} reference
 * @property {MapTold | null} map
 * @property {[string, string, string]} code
 * @property {KnockTold} knock
 */

export const RPM = Math.PI / 30;

/**
 * Doubles out of base64.
 * @param {string} text
 * @returns {Float64Array}
 */
export function decoded(text) {
  const plain = atob(text);
  const bytes = new Uint8Array(plain.length);
  for (let i = 0; i < plain.length; ++i) bytes[i] = plain.charCodeAt(i);
  return new Float64Array(bytes.buffer);
}

/** @type {Intl.NumberFormat[]} by decimals: making one takes longer than a frame may. */
const FORMATS = [];

/**
 * A number with thousands parted, a dash where there is none; never -0.
 * @param {number} value
 * @param {number} decimals
 */
export function figure(value, decimals) {
  if (Number.isNaN(value)) return "–";
  if (!Number.isFinite(value)) return value > 0 ? "no limit" : "–";
  FORMATS[decimals] ??= new Intl.NumberFormat("en-US", {
    minimumFractionDigits: decimals, maximumFractionDigits: decimals });
  const text = FORMATS[decimals].format(value);
  return /^-[0.,]*$/.test(text) ? text.slice(1) : text.replace("-", "−");
}

/**
 * SI value of what is typed; NaN where it is no number.
 * @param {Knob} knob
 * @param {Typed} typed
 */
export function si_of(knob, typed) {
  if (!knob.units) return NaN;
  if (typeof typed === "number") return typed;
  for (const [unit, scale, offset] of [knob.units.trade, knob.units.si]) {
    const number = unit ? typed.slice(0, -unit.length - 1) : typed;
    if (!typed.endsWith(` ${unit}`) && unit) continue;
    if (number.trim() === "") continue;
    const value = Number(number);
    if (!Number.isNaN(value)) return (value + offset) * scale;
  }
  return NaN;
}

/**
 * What is typed for a number in a system's unit; rounded to the slider's decimals.
 * @param {Knob} knob
 * @param {number} shown
 * @param {System} system
 * @returns {Typed}
 */
export function typed_of(knob, shown, system) {
  const [unit] = /** @type {{trade: Unit, si: Unit}} */ (knob.units)[system];
  const rounded = Number(shown.toFixed(decimals_of(knob, system)));
  return unit ? `${rounded} ${unit}` : rounded;
}

/**
 * Decimals of a slider: a two-hundredth of its length or finer.
 * @param {Knob} knob
 * @param {System} system
 */
export function decimals_of(knob, system) {
  const [, scale] = /** @type {{trade: Unit, si: Unit}} */ (knob.units)[system];
  const [, , first, last] = /** @type {number[]} */ (knob.ends);
  return Math.min(6, Math.max(0, Math.ceil(-Math.log10((last - first) / scale / 200))));
}

/**
 * An SI value of a slider in a system's unit.
 * @param {Knob} knob
 * @param {number} value
 * @param {System} system
 */
export function shown_of(knob, value, system) {
  const [, scale, offset] = /** @type {{trade: Unit, si: Unit}} */ (knob.units)[system];
  return value / scale - offset;
}
