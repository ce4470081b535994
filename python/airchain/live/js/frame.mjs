// One solved state: columns over engine speed, the held speed last.
import { decoded, figure } from "./values.mjs";

/** @typedef {import("./values.mjs").Schema} Schema */
/** @typedef {import("./values.mjs").System} System */
/** @typedef {import("./values.mjs").Unit} Unit */
/** @typedef {import("./values.mjs").Told} Told */

export class Frame {
  /**
   * @param {Schema} schema
   * @param {Float64Array} numbers a row a speed, a column a column
   * @param {[number, number]} air pressure and temperature of the open air
   * @param {boolean} by_cycles
   * @param {Float64Array | null} ports degrees, then pressures at intake and exhaust valve and inside
   */
  constructor(schema, numbers, air, by_cycles, ports = null) {
    this.ports = ports;
    this.schema = schema;
    this.numbers = numbers;
    this.air = air;
    this.by_cycles = by_cycles;
    this.width = schema.columns.length;
    this.rows = numbers.length / this.width;
    this.places = new Map(schema.columns.map((column, i) => [column.name, i]));
  }

  /**
   * @param {Schema} schema
   * @param {Told} told
   */
  static of(schema, told) {
    const ports = told.ports ? decoded(told.ports) : null;
    return new Frame(schema, decoded(told.numbers), told.air, told.by_cycles, ports);
  }

  /** The row of the held speed. */
  get held() {
    return this.rows - 1;
  }

  /**
   * One value [SI].
   * @param {string} name
   * @param {number} row
   */
  at(name, row) {
    return this.numbers[row * this.width + /** @type {number} */ (this.places.get(name))];
  }

  /**
   * One value in the unit that is shown.
   * @param {string} name
   * @param {number} row
   * @param {System} system
   */
  shown(name, row, system) {
    const [, factor, offset] = this.unit(name, system);
    return this.at(name, row) * factor + offset;
  }

  /**
   * @param {string} name
   * @param {System} system
   * @returns {Unit}
   */
  unit(name, system) {
    const column = this.schema.columns[/** @type {number} */ (this.places.get(name))];
    return /** @type {Unit} */ (column[system]);
  }

  /**
   * What a column is called.
   * @param {string} name
   */
  words(name) {
    return this.schema.columns[/** @type {number} */ (this.places.get(name))].words ?? name;
  }

  /**
   * Whether a flag stands at a row.
   * @param {string} name
   * @param {number} row
   */
  has(name, row) {
    const flag = this.schema.flags.find((one) => one.name === name);
    const flags = this.at("flags", row);
    return !!flag && Number.isFinite(flags) && Math.floor(flags / flag.bit) % 2 === 1;
  }

  /** @param {number} row */
  solved(row) {
    return this.at("status", row) === 0;
  }

  /**
   * One value as text without unit; a margin whose limit the map does not tell reads so.
   * @param {string} name
   * @param {number} row
   * @param {System} system
   */
  text(name, row, system) {
    if (!this.solved(row)) return "–";
    if (name.endsWith("_margin")) {
      if (this.has(name.replace("_margin", "_not_known"), row)) return "not known";
      const before = this.has(name.replace("_margin", "_estimated"), row) ? "est. " : "";
      return before + figure(this.shown(name, row, system), this.unit(name, system)[3]);
    }
    return figure(this.shown(name, row, system), this.unit(name, system)[3]);
  }

  /** How many points of the pull are solved, what became of the others, and what passes a limit. */
  verdict() {
    const count = this.rows - 1;
    const pull = Array.from({ length: count }, (_, row) => row);
    const solved = pull.filter((row) => this.solved(row));
    const others = this.schema.statuses.map(([words, one, many], code) => {
      const number = pull.filter((row) => this.at("status", row) === code).length;
      return { number: code ? number : 0, words, verb: number === 1 ? one : many };
    }).filter((other) => other.number);
    const told = others.map(({ number, words, verb }, i) => (
      i && others[i - 1].verb === verb ? `${number} ${words}` : `${number} ${verb} ${words}`));
    const first = solved.length === count ? `All ${count} points solved`
      : `${solved.length || "None"} of ${count} points solved`;
    return [[first, ...(told.length ? [told.join(", ")] : [])].join("; ") + ".", this.passed(solved)]
      .join(" ").trim();
  }

  /**
   * Which limits solved points pass, in a sentence; empty where none does.
   * @param {number[]} solved
   */
  passed(solved) {
    const flags = this.schema.flags.filter((flag) => flag.limits);
    const beyond = solved.filter((row) => flags.some((flag) => this.has(flag.name, row)));
    if (!beyond.length) return "";
    const limits = flags.filter((flag) => beyond.some((row) => this.has(flag.name, row)))
      .map((flag) => flag.limits);
    const last = limits.pop();
    const which = limits.length ? `${limits.join(", ")} and ${last}` : last;
    const points = beyond.length === solved.length ? `All ${beyond.length} pass`
      : `${beyond.length} of ${solved.length} ${beyond.length === 1 ? "passes" : "pass"}`;
    return `${points} a limit (${which}): do not run them.`;
  }

  /** Cautions that stand at the held speed. */
  cautions() {
    if (!this.solved(this.held)) return [];
    return this.schema.flags.filter((f) => this.has(f.name, this.held)).map((f) => f.words);
  }
}
