// The pictures: curves over engine speed, the compressor's map, the stations, room to limits.
import { axes, domain, escaped, mark, path, place } from "./svg.mjs";
import { decoded, figure } from "./values.mjs";

/** @typedef {import("./values.mjs").Schema} Schema */
/** @typedef {import("./values.mjs").System} System */
/** @typedef {import("./values.mjs").Look} Look */
/** @typedef {import("./svg.mjs").Scale} Scale */
/** @typedef {import("./frame.mjs").Frame} Frame */
/** @typedef {{name: string, frame: Frame, look: Look}} Series a level, or a kept setting */

/**
 * One picture: what stands still, and what moves.
 * @typedef {Object} Picture
 * @property {string} title
 * @property {number} width
 * @property {number} height
 * @property {(frames: Frame[]) => boolean} fits whether its scales hold the frames
 * @property {(behind: Series[], frames: Frame[]) => string} still draws anew, with scales for them
 * @property {(today: Frame) => string} moving
 * @property {(today: Frame) => string} words what it shows, for those who do not see it
 */

const TODAY = 'class="today"';
// Rounding leaves a choked compressor this much room at most, either way [%].
const LEAST = 1e-9;

/**
 * @param {Look} look
 * @param {string} extra
 */
function stroke(look, extra = "") {
  const colour = look.colour === "#000000" ? "var(--ink)" : look.colour;
  const width = look.strong ? 2.6 : 1.7;
  return `fill="none" stroke="${escaped(colour)}" stroke-width="${width}" stroke-dasharray="${escaped(look.dash)}" ${extra}`;
}

/**
 * A line of a frame with markers every few points.
 * @param {Series} series
 * @param {[number, number][]} points
 */
function level_line(series, points) {
  const colour = series.look.colour === "#000000" ? "var(--ink)" : series.look.colour;
  const fill = `fill="${escaped(colour)}"`;
  const step = Math.max(1, Math.round(points.length / 8));
  const marks = points.filter(([x, y], i) => i % step === 0 && Number.isFinite(x + y))
    .map(([x, y]) => mark(series.look.marker, x, y, 3, fill));
  return `<path d="${path(points)}" ${stroke(series.look)}/>${marks.join("")}`;
}

/**
 * A ring about the held point.
 * @param {number} x
 * @param {number} y
 */
function held_mark(x, y) {
  return Number.isFinite(x + y) ? `<circle class="held" cx="${x}" cy="${y}" r="5.5"/>` : "";
}

/**
 * Rows of the pull, without the held one.
 * @param {Frame} frame
 */
function rows(frame) {
  return Array.from({ length: frame.rows - 1 }, (_, i) => i);
}

/**
 * One column over engine speed.
 * @param {Schema} schema
 * @param {string} name
 * @param {System} system
 * @returns {Picture}
 */
export function curve(schema, name, system) {
  const width = 270, height = 200;
  /** @type {Scale} */
  const x = { low: schema.rpm[0], high: schema.rpm[schema.rpm.length - 1], from: 46, to: width - 10 };
  /** @type {Scale} */
  const y = { low: 0, high: 1, from: height - 34, to: 26 };
  const column = /** @type {import("./values.mjs").Column} */ (schema.columns.find((c) => c.name === name));
  const [unit, , , decimals] = /** @type {import("./values.mjs").Unit} */ (column[system]);
  const words = column.words ?? name;
  const title = unit ? `${words} [${unit}]` : words;
  /**
   * @param {Frame} frame
   * @returns {[number, number][]}
   */
  const points = (frame) => rows(frame).map((row) =>
    [place(x, schema.rpm[row]), place(y, frame.shown(name, row, system))]);
  /** @param {Frame[]} frames */
  const every = (frames) => frames.flatMap((f) => [...rows(f), f.held].map((row) => f.shown(name, row, system)));
  const rpm = (/** @type {Frame} */ f) => f.at("engine_speed", f.held) * 30 / Math.PI;
  return {
    title, width, height,
    fits: (frames) => every(frames).every((v) => !(v < y.low || v > y.high)),
    still: (behind, frames) => {
      [y.low, y.high] = domain(every(frames), name !== "volumetric_efficiency");
      return axes(x, y, { x: "engine speed [rpm]", y: unit, title }, figure)
        + behind.map((s) => level_line(s, points(s.frame))).join("");
    },
    moving: (today) => `<path ${TODAY} d="${path(points(today))}"/>`
      + held_mark(place(x, rpm(today)), place(y, today.shown(name, today.held, system))),
    words: (today) => {
      const known = rows(today).filter((row) => today.solved(row));
      if (!known.length) return `${words}: no point is solved.`;
      const best = known.reduce((a, b) => (today.at(name, b) > today.at(name, a) ? b : a));
      return `${words}: most is ${today.text(name, best, system)} ${unit} at ${figure(schema.rpm[best], 0)} rpm; `
        + `${figure(today.shown(name, today.held, system), decimals)} ${unit} at ${figure(rpm(today), 0)} rpm.`;
    },
  };
}

/**
 * The compressor's map with the operating line.
 * @param {Schema} schema
 * @param {System} system
 * @returns {Picture}
 */
export function compressor_map(schema, system) {
  const told = /** @type {import("./values.mjs").MapTold} */ (schema.map);
  const width = 500, height = 390;
  const column = /** @type {import("./values.mjs").Column} */ (schema.columns.find((c) => c.name === "corrected_flow"));
  const [unit, factor] = /** @type {import("./values.mjs").Unit} */ (column[system]);
  const flow = decoded(told.flow).map((value) => value * factor);
  const ratio = decoded(told.ratio), efficiency = decoded(told.efficiency);
  const lines = ratio.length / told.places;
  /** @type {Scale} */
  const x = { low: 0, high: domain(flow)[1], from: 46, to: width - 12 };
  /** @type {Scale} */
  const y = { low: 1, high: domain(ratio)[1], from: height - 68, to: 26 };
  /**
   * @param {number} i
   * @returns {[number, number]}
   */
  const at = (i) => [place(x, flow[i]), place(y, ratio[i])];
  /**
   * @param {Frame} frame
   * @returns {[number, number][]}
   */
  const points = (frame) => rows(frame).map((row) =>
    [place(x, frame.shown("corrected_flow", row, system)), place(y, frame.at("pressure_ratio", row))]);
  /** @param {number} end */
  const edge = (end) => path(Array.from({ length: lines }, (_, n) => at(n * told.places + end)));
  return {
    title: "compressor map", width, height,
    fits: () => true,
    still: (behind) => axes(x, y, {
      x: `corrected flow [${unit}]`, y: "", title: "compressor map: pressure ratio, total to total" }, figure)
      + islands(lines, told.places, efficiency, at)
      + speed_lines(told, at)
      + `<path class="edge" d="${edge(0)}"/><path class="edge" stroke-dasharray="2 3" d="${edge(told.places - 1)}"/>`
      + map_words(told, y)
      + behind.map((s) => level_line(s, points(s.frame))).join(""),
    moving: (today) => {
      const [px, py] = [place(x, today.shown("corrected_flow", today.held, system)),
        place(y, today.at("pressure_ratio", today.held))];
      return `<path ${TODAY} d="${path(points(today))}"/>${held_mark(px, py)}`;
    },
    words: (today) => `Held point on the compressor map: corrected flow ${today.text("corrected_flow", today.held, system)} `
      + `${unit}, pressure ratio ${today.text("pressure_ratio", today.held, system)}, surge margin `
      + `${today.text("surge_margin", today.held, system)} %.`,
  };
}

/**
 * Efficiency as tints: the darker, the better, a step every two per cent.
 * @param {number} lines
 * @param {number} places
 * @param {Float64Array} efficiency
 * @param {(i: number) => [number, number]} at
 */
function islands(lines, places, efficiency, at) {
  const best = Math.max(...efficiency.filter(Number.isFinite));
  /** @type {Map<number, string>} tiles by their step, so that few paths are painted */
  const tiles = new Map();
  for (let n = 0; n + 1 < lines; ++n)
    for (let c = 0; c + 1 < places; ++c) {
      const i = n * places + c;
      const corners = [i, i + 1, i + places + 1, i + places];
      const mean = corners.reduce((sum, k) => sum + efficiency[k], 0) / 4;
      const step = Math.floor((best - mean) / 0.02);
      const d = corners.map((k) => at(k).join(" ")).join("L");
      tiles.set(Math.min(step, 10), `${tiles.get(Math.min(step, 10)) ?? ""}M${d}z`);
    }
  const paths = [...tiles].map(([step, d]) => (
    `<path d="${d}" fill-opacity="${(0.34 - 0.03 * step).toFixed(2)}"/>`));
  return `<g class="island">${paths.join("")}</g>`;
}

/**
 * Speed lines with their speeds.
 * @param {import("./values.mjs").MapTold} told
 * @param {(i: number) => [number, number]} at
 */
function speed_lines(told, at) {
  return told.lines.map((speed, n) => {
    const first = n * told.between * told.places;
    const points = Array.from({ length: told.places }, (_, c) => at(first + c));
    const [lx, ly] = points[0];
    return `<path class="speed" d="${path(points)}"/>`
      + `<text class="small" x="${lx - 4}" y="${ly + 2}" text-anchor="end">${figure(speed, 0)}</text>`;
  }).join("");
}

/**
 * What the ends of the map are, and what tints and numbers mean.
 * @param {import("./values.mjs").MapTold} told
 * @param {Scale} y
 */
function map_words(told, y) {
  const best = Math.max(...decoded(told.efficiency).filter(Number.isFinite));
  const texts = [
    `full line at the left: ${told.left}; dots at the right: ${told.right}`,
    `numbers: corrected rpm; tint: efficiency, darkest ${figure(100 * best, 0)} %, a step every 2 %`,
  ];
  return texts.map((text, i) =>
    `<text class="small" x="8" y="${y.from + 46 + 14 * i}">${escaped(text)}</text>`).join("");
}

/**
 * Pressure and temperature along the stations at the held speed.
 * @param {Schema} schema
 * @param {"pressure" | "temperature"} quantity
 * @param {System} system
 * @returns {Picture}
 */
export function stations(schema, quantity, system) {
  const width = 500, height = 240;
  const names = schema.stations;
  /** @type {Scale} */
  const x = { low: 0, high: names.length - 1, from: 60, to: width - 40 };
  /** @type {Scale} */
  const y = { low: 0, high: 1, from: height - 72, to: 26 };
  const sample = /** @type {import("./values.mjs").Column} */ (schema.columns.find((c) => c.name === `plenum_${quantity}`));
  const [unit, factor, offset, decimals] = /** @type {import("./values.mjs").Unit} */ (sample[system]);
  const title = `total ${quantity} along the air's way, at the held speed [${unit}]`;
  /** @param {Frame} frame */
  const values = (frame) => names.map(([name], i) => (i === 0
    ? frame.air[quantity === "pressure" ? 0 : 1] : frame.at(`${name}_${quantity}`, frame.held)) * factor + offset);
  /**
   * @param {Frame} frame
   * @returns {[number, number][]}
   */
  const points = (frame) => values(frame).map((value, i) => [place(x, i), place(y, value)]);
  return {
    title, width, height,
    fits: (frames) => frames.flatMap(values).every((v) => !(v < y.low || v > y.high)),
    still: (behind, frames) => {
      [y.low, y.high] = domain(frames.flatMap(values));
      const turned = names.map(([, words], i) => {
        const at = place(x, i);
        return `<text transform="translate(${at} ${y.from + 13}) rotate(-28)" text-anchor="end">${escaped(words)}</text>`;
      });
      const up = axes({ ...x, high: x.low - 1 }, y, { x: "", y: unit, title }, figure)
        .replace(/<text x="[^"]*" y="[^"]*" text-anchor="middle">[^<]*<\/text>/g, "");
      return up + turned.join("") + behind.map((s) => level_line(s, points(s.frame))).join("");
    },
    moving: (today) => {
      const marks = points(today).filter(([px, py]) => Number.isFinite(px + py))
        .map(([px, py]) => `<circle class="held" cx="${px}" cy="${py}" r="3.5"/>`);
      return `<path ${TODAY} d="${path(points(today))}"/>${marks.join("")}`;
    },
    words: (today) => `Total ${quantity}: ` + values(today)
      .map((value, i) => `${names[i][1]} ${figure(value, decimals)} ${unit}`).join(", ") + ".",
  };
}

/**
 * Pressure at a valve over the crank at the held speed, of the build as it was and, where cycles
 * were run, as turned.
 * @param {Schema} schema
 * @param {Frame} reference
 * @param {"intake" | "exhaust"} side
 * @param {System} system
 * @returns {Picture}
 */
export function port(schema, reference, side, system) {
  const width = 500, height = 230;
  const sample = /** @type {import("./values.mjs").Column} */ (schema.columns.find((c) => c.name === "plenum_pressure"));
  const [unit, factor, offset, decimals] = /** @type {import("./values.mjs").Unit} */ (sample[system]);
  const row = side === "intake" ? 1 : 2;
  /** @type {Scale} */
  const x = { low: -120, high: 650, from: 60, to: width - 12 };
  /** @type {Scale} */
  const y = { low: 0, high: 1, from: height - 48, to: 26 };
  /**
   * @param {Float64Array} ports
   * @param {number} which
   */
  const part = (ports, which) => ports.subarray(which * ports.length / 4, (which + 1) * ports.length / 4);
  /** @param {Frame} frame */
  const values = (frame) => (frame.ports ? [...part(frame.ports, row)].map((p) => p * factor + offset) : []);
  /** @param {Frame} frame @returns {[number, number][]} */
  const points = (frame) => values(frame).map((value, i) => [
    place(x, part(/** @type {Float64Array} */ (frame.ports), 0)[i]), place(y, value)]);
  const rpm = figure(reference.at("engine_speed", reference.held) * 30 / Math.PI, 0);
  const title = `pressure at the ${side} valve, at the held speed [${unit}]`;
  return {
    title, width, height,
    fits: (frames) => frames.flatMap(values).every((v) => v >= y.low && v <= y.high),
    still: (_behind, frames) => {
      [y.low, y.high] = domain([reference, ...frames].flatMap(values));
      return axes(x, y, { x: "crank angle after firing top centre [deg]", y: unit, title }, figure)
        + `<path class="speed" d="${path(points(reference))}"/>`
        + `<text class="small" x="60" y="${height - 4}">thin: as it was at ${rpm} rpm; strong: by the cycles that were run last</text>`;
    },
    moving: (today) => `<path ${TODAY} d="${path(points(today))}"/>`,
    words: (today) => {
      const now = values(today.ports ? today : reference);
      return `${title}: from ${figure(Math.min(...now), decimals)} to ${figure(Math.max(...now), decimals)} ${unit}.`;
    },
  };
}

/**
 * Room to each limit at its nearest along the pull, nearest first.
 * @param {Schema} schema
 * @param {System} system
 * @returns {Picture}
 */
export function room(schema, system) {
  const names = Object.keys(schema.limits);
  const width = 500, row_height = 34, height = 44 + row_height * names.length;
  /** @type {Scale} */
  const x = { low: -20, high: 100, from: 190, to: width - 150 };
  /** @param {Frame} frame */
  const nearest = (frame) => names.map((name) => {
    const known = rows(frame).filter((row) => frame.solved(row) && !Number.isNaN(frame.at(name, row)));
    if (!known.length) return { name, value: NaN, text: "not known", row: -1 };
    const row = known.reduce((a, b) => (frame.at(name, b) < frame.at(name, a) ? b : a));
    return { name, value: 100 * frame.at(name, row), text: frame.text(name, row, system), row };
  }).sort((a, b) => (Number.isNaN(a.value) ? 1 : Number.isNaN(b.value) ? -1 : a.value - b.value));
  /** @param {{name: string, value: number, text: string, row: number}} one */
  const said = (one) => (one.text === "not known" || one.text === "no limit" ? one.text
    : one.value < -LEAST ? `${one.text} %: passed`
    : one.value < LEAST ? `${one.text} %: nothing left` : `${one.text} %`);
  return {
    title: "room left to limits", width, height,
    fits: () => true,
    still: () => `<text class="title" x="12" y="17">room left to each limit, where it is least in the pull</text>`,
    moving: (today) => nearest(today).map((one, i) => {
      const top = 30 + row_height * i;
      const known = one.text !== "not known" && one.text !== "no limit";
      const end = place(x, Math.max(-20, Math.min(100, known ? one.value : 0)));
      const zero = place(x, 0);
      const bar = known ? `<rect class="${one.value < LEAST ? "passed" : "room"}" x="${Math.min(zero, end)}" y="${top}" `
        + `width="${Math.max(1.5, Math.abs(end - zero))}" height="20"/>` : "";
      const at = one.row >= 0 && known ? ` at ${figure(schema.rpm[one.row], 0)} rpm` : "";
      return `<text x="12" y="${top + 14}">${escaped(schema.limits[one.name])}</text>${bar}`
        + `<path class="edge" d="M${zero} ${top - 4}v28"/>`
        + `<text x="${Math.max(end, zero) + 6}" y="${top + 14}">${escaped(said(one) + at)}</text>`;
    }).join(""),
    words: (today) => nearest(today).map((one) => `Room ${schema.limits[one.name]}: ${said(one)}.`).join(" "),
  };
}
