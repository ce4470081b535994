// Who answers a turned knob: the page's own core, the kernel, or cycles that the kernel runs.
import { Frame } from "./frame.mjs";
import { Solver } from "./solver.mjs";
import { changes_of, knob_of, speeds_of } from "./turning.mjs";
import { decoded } from "./values.mjs";

/** @typedef {import("./values.mjs").Schema} Schema */
/** @typedef {import("./values.mjs").Told} Told */
/** @typedef {import("./turning.mjs").Values} Values */
/** @typedef {{refused: string}} Refused */
/**
 * Asks the kernel.
 * @typedef {(values: Values) => Promise<Told | Refused>} Ask
 */

/** How far the page's first answer may be off the core's [relative]. */
const SAME = 1e-6;

/**
 * The page's own solver, or why it must not answer.
 * @param {Schema} schema
 * @param {ArrayBuffer | Uint8Array} code
 * @param {Float64Array} numbers
 * @returns {Promise<Solver | string>}
 */
export async function own_solver(schema, code, numbers) {
  try {
    const solver = await Solver.of(code, numbers);
    const own = solver.solve(new Map(), speeds_of(schema, {}));
    const core = decoded(schema.reference.numbers);
    const off = own.findIndex((value, i) => !(Object.is(value, core[i]) || value === core[i]
      || Math.abs(value - core[i]) <= SAME * Math.abs(core[i])));
    if (off < 0 && own.length === core.length) return solver;
    return "The page's own core answers otherwise than this package's, so only a kernel solves.";
  } catch (error) {
    return `This browser cannot run the page's own core (${error instanceof Error ? error.message : error}).`;
  }
}

/** One question at a time to the kernel; of those that wait only the newest is asked. */
export class Asking {
  /** @param {Ask} ask */
  constructor(ask) {
    this.ask = ask;
    this.busy = false;
    /** @type {(() => Promise<void>) | null} */
    this.waiting = null;
  }

  /**
   * @param {Values} values
   * @param {(answer: Told | Refused) => void} done not called where the question was never asked
   */
  async put(values, done) {
    const run = async () => {
      done(await this.ask(values).catch((error) => ({ refused: String(error) })));
    };
    if (this.busy) {
      this.waiting = run;
      return;
    }
    this.busy = true;
    await run();
    while (this.waiting) {
      const next = this.waiting;
      this.waiting = null;
      await next();
    }
    this.busy = false;
  }
}

/** Solves in the page where that may be, and estimates where cycles must follow. */
export class Answering {
  /**
   * @param {Schema} schema
   * @param {Solver | null} solver
   */
  constructor(schema, solver) {
    this.schema = schema;
    this.solver = solver;
    /** @type {Float64Array | null} what cycles found over what was looked up, number by number */
    this.ratios = null;
  }

  /**
   * Who answers these values.
   * @param {Values} values
   */
  by(values) {
    const hows = Object.keys(values).map((path) => knob_of(this.schema, path)?.how);
    if (hows.includes("cycles")) return "cycles";
    return hows.includes("kernel") || !this.solver ? "kernel" : "page";
  }

  /**
   * The page's own answer. Throws where the core refuses.
   * @param {Values} values
   */
  solve(values) {
    const solver = /** @type {Solver} */ (this.solver);
    const pressure = solver.station_pressure.bind(solver);
    const changes = changes_of(this.schema, values, pressure);
    const numbers = solver.solve(changes, speeds_of(this.schema, values));
    return new Frame(this.schema, numbers, this.air(changes), false);
  }

  /**
   * The open air of a state.
   * @param {Map<number, number>} changes
   * @returns {[number, number]}
   */
  air(changes) {
    const [pressure, temperature] = this.schema.reference.air;
    const [of_pressure, of_temperature] = this.schema.air_places;
    return [changes.get(of_pressure) ?? pressure, changes.get(of_temperature) ?? temperature];
  }

  /**
   * What cycles will find, by what they found last.
   * @param {Values} values
   */
  estimate(values) {
    const frame = this.solve(values);
    const ratios = this.ratios;
    if (ratios && ratios.length === frame.numbers.length)
      frame.numbers.forEach((value, i) => { frame.numbers[i] = value * ratios[i]; });
    return frame;
  }

  /**
   * Remember what cycles found of values.
   * @param {Values} values
   * @param {Frame} found
   */
  learn(values, found) {
    if (!this.solver) return;
    const looked_up = this.solve(values).numbers;
    this.ratios = looked_up.map((value, i) => {
      const ratio = found.numbers[i] / value;
      return ratio > 0.5 && ratio < 2 ? ratio : 1;
    });
  }
}
