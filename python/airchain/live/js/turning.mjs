// What turned knobs mean: numbers of the chain, refusals, and the lines of Python that do the same.
import { RPM, decimals_of, figure, shown_of, si_of } from "./values.mjs";

/** @typedef {import("./values.mjs").Schema} Schema */
/** @typedef {import("./values.mjs").Knob} Knob */
/** @typedef {import("./values.mjs").Typed} Typed */
/** @typedef {import("./values.mjs").System} System */
/** @typedef {Record<string, Typed>} Values */

/**
 * The knob of a path.
 * @param {Schema} schema
 * @param {string} path
 */
export function knob_of(schema, path) {
  return schema.knobs.find((knob) => knob.path === path);
}

/**
 * What was turned, in words.
 * @param {Schema} schema
 * @param {Values} values
 */
export function turned_words(schema, values) {
  const texts = Object.entries(values).map(([path, typed]) => {
    const knob = knob_of(schema, path);
    const option = knob?.options?.find(([name]) => name === typed);
    return `${knob?.words} ${option?.[3] ?? typed}`;
  });
  return texts.join(", ") || "as it was";
}

/**
 * Where a knob stands [SI].
 * @param {Schema} schema
 * @param {Values} values
 * @param {string} path
 */
export function value_of(schema, values, path) {
  const knob = /** @type {Knob} */ (knob_of(schema, path));
  return path in values ? si_of(knob, values[path]) : Number(knob.value);
}

/**
 * Why a typed value is refused; empty where it is taken.
 * @param {Knob} knob
 * @param {Typed} typed
 * @param {System} system
 */
export function refusal(knob, typed, system) {
  if (!knob.units || !knob.ends) return "";
  const value = si_of(knob, typed);
  const [low, high] = knob.ends;
  const unit = knob.units[system][0];
  if (Number.isNaN(value)) return `${knob.words} = "${typed}"; must be a number`;
  const slack = 1e-12 * Math.abs(value);
  if ((low === null || value >= low - slack) && (high === null || value <= high + slack)) return "";
  const decimals = Math.max(1, decimals_of(knob, system));
  const bound = (/** @type {number} */ end) => figure(shown_of(knob, end, system), decimals);
  const rule = low === null ? `at most ${bound(Number(high))}`
    : high === null ? `at least ${bound(low)}` : `between ${bound(low)} and ${bound(high)}`;
  return `${knob.words} = ${typed}; must be ${rule} ${unit}`.trim();
}

/**
 * Numbers of the chain that turned knobs set, by their place.
 * @param {Schema} schema
 * @param {Values} values
 * @param {(setting: number, altitude: number) => number} station_pressure
 * @returns {Map<number, number>}
 */
export function changes_of(schema, values, station_pressure) {
  /** @type {Map<number, number>} */
  const changes = new Map();
  for (const knob of schema.knobs) {
    if (!(knob.path in values)) continue;
    for (const [name, numbers] of knob.options ?? [])
      if (name === values[knob.path])
        for (const [place, value] of Object.entries(numbers)) changes.set(Number(place), value);
    for (const [place, factor] of Object.entries(knob.sets ?? {})) {
      let value = si_of(knob, values[knob.path]);
      if (knob.rule === "station_pressure")
        value = station_pressure(value_of(schema, values, "ambient.altimeter"),
          value_of(schema, values, "ambient.altitude"));
      changes.set(Number(place), value * factor);
    }
  }
  return changes;
}

/**
 * The drive ratio that a setting stands on; NaN where nothing is driven.
 * @param {Schema} schema
 * @param {Values} values
 */
export function ratio_of(schema, values) {
  const ratio = knob_of(schema, "drive.ratio");
  if (!ratio) return NaN;
  if ("drive.ratio" in values) return si_of(ratio, values["drive.ratio"]);
  const [place] = Object.keys(ratio.sets ?? {});
  const chosen = ["drive.pair", "level"].map((path) => (
    knob_of(schema, path)?.options?.find(([name]) => name === values[path])));
  return Number(chosen.find((option) => option)?.[1][place] ?? ratio.value);
}

/**
 * Engine speeds of a frame [rad/s], the held one last.
 * @param {Schema} schema
 * @param {Values} values
 */
export function speeds_of(schema, values) {
  return [...schema.rpm.map((rpm) => rpm * RPM), value_of(schema, values, "rpm")];
}

/**
 * A text of Python.
 * @param {Typed} typed
 */
function literal(typed) {
  return typeof typed === "number" ? String(typed) : JSON.stringify(typed);
}

/**
 * An angle [rad] in degrees, as a file has it.
 * @param {number} angle
 */
function degrees(angle) {
  return Number((angle * 180 / Math.PI).toFixed(6));
}

/**
 * Lines of Python that make a frame.
 * @param {Schema} schema
 * @param {Values} values
 */
export function code_of(schema, values) {
  const by_cycles = Object.keys(values).some((p) => knob_of(schema, p)?.how === "cycles");
  const [begin, begin_cycles, after] = schema.code;
  let text = by_cycles ? begin_cycles : begin;
  if ("level" in values) text += `.level(${literal(values.level)})`;
  const pair = knob_of(schema, "drive.pair")?.options?.find(([name]) => name === values["drive.pair"]);
  if (pair) text += pair[2];
  const pairs = Object.entries(values)
    .filter(([path]) => !["level", "drive.pair", "drive.ratio", "rpm"].includes(path))
    .flatMap(([path, typed]) => {
      const knob = /** @type {Knob} */ (knob_of(schema, path));
      const { shares } = knob;
      const along = Object.entries(knob.along ?? {}).filter(([other]) => !(other in values))
        .map(([other, more]) => `${literal(other)}: ${literal(`${degrees(si_of(knob, typed) + more)} deg`)}`);
      const value = shares ? `[${shares.map((s) => s * Number(typed)).join(", ")}]` : literal(typed);
      return [`${literal(path)}: ${value}`, ...along];
    });
  if (pairs.length) text += `.replace({${pairs.join(", ")}})`;
  if ("drive.ratio" in values) text += `.with_drive_ratio(${literal(values["drive.ratio"])})`;
  return `${text}\n${after}`;
}

