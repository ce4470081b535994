// Small parts of SVG pictures: scales, ticks, lines with gaps, markers. All text is escaped.

/** @typedef {{low: number, high: number, from: number, to: number}} Scale */

/** @param {string} text */
export function escaped(text) {
  return text.replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`);
}

/**
 * Place of a value on a scale, to a tenth of a pixel.
 * @param {Scale} scale
 * @param {number} value
 */
export function place(scale, value) {
  const share = (value - scale.low) / (scale.high - scale.low);
  return Math.round(10 * (scale.from + share * (scale.to - scale.from))) / 10;
}

/**
 * Round steps over a range, some five of them.
 * @param {number} low
 * @param {number} high
 * @param {number} most
 */
export function ticks(low, high, most = 5) {
  if (!(high > low)) return [low];
  const rough = (high - low) / most;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5].find((n) => n * power >= rough) ?? 10);
  const found = [];
  for (let n = Math.ceil(low / step - 1e-9); n * step <= high + 1e-9 * step; ++n)
    found.push(Number((n * step + 0).toPrecision(12)) + 0);
  return found;
}

/**
 * Decimals that tell ticks apart.
 * @param {number[]} values
 */
export function tick_decimals(values) {
  const step = values.length > 1 ? Math.abs(values[1] - values[0]) : 1;
  return Math.max(0, Math.ceil(-Math.log10(step) - 1e-9));
}

/**
 * A path through points; not finite ones leave a gap.
 * @param {[number, number][]} points in pixels
 */
export function path(points) {
  let text = "";
  let pen = "M";
  for (const [x, y] of points) {
    if (Number.isFinite(x) && Number.isFinite(y)) {
      text += `${pen}${x} ${y}`;
      pen = "L";
    } else pen = "M";
  }
  return text;
}

/** @type {Record<string, (r: number) => string>} */
const MARKS = {
  o: (r) => `M${-r} 0a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`,
  s: (r) => `M${-r} ${-r}h${2 * r}v${2 * r}h${-2 * r}z`,
  "^": (r) => `M0 ${-1.2 * r}L${1.1 * r} ${r}L${-1.1 * r} ${r}z`,
  v: (r) => `M0 ${1.2 * r}L${1.1 * r} ${-r}L${-1.1 * r} ${-r}z`,
  D: (r) => `M0 ${-1.3 * r}L${1.3 * r} 0L0 ${1.3 * r}L${-1.3 * r} 0z`,
  P: (r) => `M${-r / 2} ${-r}h${r}v${r / 2}h${r / 2}v${r}h${-r / 2}v${r / 2}h${-r}v${-r / 2}h${-r / 2}v${-r}h${r / 2}z`,
  X: (r) => `M0 ${-r / 2}L${r / 2} ${-r}L${r} ${-r / 2}L${r / 2} 0L${r} ${r / 2}L${r / 2} ${r}L0 ${r / 2}L${-r / 2} ${r}L${-r} ${r / 2}L${-r / 2} 0L${-r} ${-r / 2}L${-r / 2} ${-r}z`,
};

/**
 * A marker about a place.
 * @param {string} kind as `Look.marker`
 * @param {number} x
 * @param {number} y
 * @param {number} r
 * @param {string} style
 */
export function mark(kind, x, y, r, style) {
  return `<path transform="translate(${x} ${y})" d="${(MARKS[kind] ?? MARKS.o)(r)}" ${style}/>`;
}

/**
 * Axes of a panel with their ticks.
 * @param {Scale} x
 * @param {Scale} y
 * @param {{x: string, y: string, title: string}} words
 * @param {(value: number, decimals: number) => string} figure
 */
export function axes(x, y, words, figure) {
  const across = ticks(x.low, x.high), up = ticks(y.low, y.high);
  const lines = [], texts = [];
  for (const value of across) {
    const at = place(x, value);
    lines.push(`M${at} ${y.from}V${y.to}`);
    texts.push(`<text x="${at}" y="${y.from + 14}" text-anchor="middle">${figure(value, tick_decimals(across))}</text>`);
  }
  for (const value of up) {
    const at = place(y, value);
    lines.push(`M${x.from} ${at}H${x.to}`);
    texts.push(`<text x="${x.from - 5}" y="${at + 3.5}" text-anchor="end">${figure(value, tick_decimals(up))}</text>`);
  }
  return `<path class="grid" d="${lines.join("")}"/>${texts.join("")}`
    + `<text class="title" x="${x.from}" y="${y.to - 9}">${escaped(words.title)}</text>`
    + `<text x="${x.to}" y="${y.from + 29}" text-anchor="end">${escaped(words.x)}</text>`;
}

/**
 * Ends of a scale that holds values with some room.
 * @param {Iterable<number>} values
 * @param {boolean} from_zero
 * @returns {[number, number]}
 */
export function domain(values, from_zero = false) {
  let low = Infinity, high = -Infinity;
  for (const value of values)
    if (Number.isFinite(value)) {
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  if (low > high) return [0, 1];
  const room = 0.06 * (high - low || Math.abs(high) || 1);
  return [from_zero ? Math.min(0, low - room) : low - room, high + room];
}
