// The chain solved in the page, by the same C++ core compiled to WebAssembly.

/**
 * @typedef {Object} Exports
 * @property {WebAssembly.Memory} memory
 * @property {() => void} _initialize
 * @property {(bytes: number) => number} malloc
 * @property {(place: number) => void} free
 * @property {() => number} airchain_columns
 * @property {() => number} airchain_message
 * @property {(numbers: number, count: number) => number} airchain_chain
 * @property {(chain: number, fields: number, values: number, changes: number, speeds: number,
 *   count: number, out: number) => number} airchain_solve
 * @property {(setting: number, altitude: number) => number} airchain_station_pressure
 */

/** One chain, kept in the core's memory. */
export class Solver {
  /**
   * @param {Exports} core
   * @param {Float64Array} numbers the chain, as Python packed it
   */
  constructor(core, numbers) {
    this.core = core;
    this.columns = core.airchain_columns();
    this.place = 0;
    this.room = 0;
    this.chain = this.with_room(numbers.length, (place) => {
      new Float64Array(core.memory.buffer, place, numbers.length).set(numbers);
      return core.airchain_chain(place, numbers.length);
    });
    if (this.chain < 0) throw new Error(this.message());
  }

  /**
   * @param {ArrayBuffer | Uint8Array} code
   * @param {Float64Array} numbers
   * @returns {Promise<Solver>}
   */
  static async of(code, numbers) {
    const nothing = () => 0;
    const system = { proc_exit: nothing, environ_sizes_get: nothing, environ_get: nothing };
    const made = await WebAssembly.instantiate(code, {
      env: { emscripten_notify_memory_growth: nothing },
      wasi_snapshot_preview1: system,
    });
    const core = /** @type {Exports} */ (/** @type {unknown} */ (made.instance.exports));
    core._initialize();
    return new Solver(core, numbers);
  }

  /**
   * Room for numbers of eight bytes each, kept from one solve to the next.
   * @template T
   * @param {number} count
   * @param {(place: number) => T} use
   * @returns {T}
   */
  with_room(count, use) {
    if (count > this.room) {
      if (this.place) this.core.free(this.place);
      this.place = this.core.malloc(8 * count);
      this.room = count;
    }
    return use(this.place);
  }

  /**
   * Every column at every speed: `columns` numbers of the first speed, then of the second.
   * @param {Map<number, number>} changes numbers of the chain that are set, by their place [SI]
   * @param {ArrayLike<number>} speeds [rad/s]
   * @returns {Float64Array}
   */
  solve(changes, speeds) {
    const n = changes.size;
    const out_count = speeds.length * this.columns;
    return this.with_room(2 * n + speeds.length + out_count, (place) => {
      const buffer = this.core.memory.buffer;
      const values = place + 8 * n;
      const at = values + 8 * n;
      const out = at + 8 * speeds.length;
      new Int32Array(buffer, place, n).set([...changes.keys()]);
      new Float64Array(buffer, values, n).set([...changes.values()]);
      new Float64Array(buffer, at, speeds.length).set(speeds);
      const refused = this.core.airchain_solve(
        this.chain, place, values, n, at, speeds.length, out);
      if (refused) throw new Error(this.message());
      return new Float64Array(this.core.memory.buffer, out, out_count).slice();
    });
  }

  /**
   * Pressure on site [Pa] of an altimeter setting [Pa] at an altitude [m].
   * @param {number} setting
   * @param {number} altitude
   */
  station_pressure(setting, altitude) {
    const pressure = this.core.airchain_station_pressure(setting, altitude);
    if (Number.isNaN(pressure)) throw new Error(this.message());
    return pressure;
  }

  /** What was refused, in words. */
  message() {
    const bytes = new Uint8Array(this.core.memory.buffer, this.core.airchain_message());
    return new TextDecoder().decode(bytes.slice(0, bytes.indexOf(0)));
  }
}
