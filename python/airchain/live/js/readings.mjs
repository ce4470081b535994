// The table of readings at the held speed, and the legend.
import { escaped, mark } from "./svg.mjs";
import { figure } from "./values.mjs";

/** @typedef {import("./values.mjs").System} System */
/** @typedef {import("./frame.mjs").Frame} Frame */
/** @typedef {import("./pictures.mjs").Series} Series */

/**
 * Readings at the held speed, and what changed.
 * @param {Frame} today
 * @param {Frame | null} before at the same speed; nothing where it is not known
 * @param {System} system
 */
export function readings_table(today, before, system) {
  const rpm = figure(today.at("engine_speed", today.held) * 30 / Math.PI, 0);
  const rows = today.schema.read.map((name) => {
    const [unit, , , decimals] = today.unit(name, system);
    const change = before
      ? today.shown(name, today.held, system) - before.shown(name, before.held, system) : NaN;
    const moved = Number.isFinite(change) && Math.abs(change) >= 0.5 * 10 ** -decimals;
    const text = moved ? `${change > 0 ? "+" : "−"}${figure(Math.abs(change), decimals)}` : "";
    return `<tr><th scope="row">${escaped(today.words(name))}</th>`
      + `<td>${escaped(today.text(name, today.held, system))}</td>`
      + `<td>${escaped(unit)}</td><td class="changed">${text}</td></tr>`;
  });
  return `<caption>At ${rpm} rpm; change against the build as it was</caption><thead><tr>`
    + `<th scope="col">reading</th><th scope="col">now</th><th scope="col">unit</th>`
    + `<th scope="col">change</th></tr></thead><tbody>${rows.join("")}</tbody>`;
}

/**
 * What each line is.
 * @param {Series[]} behind
 */
export function legend_items(behind) {
  const sample = (/** @type {string} */ line, /** @type {string} */ spot) => (
    `<svg viewBox="0 0 40 14" aria-hidden="true"><path d="M1 7H39" ${line}/>${spot}</svg>`);
  const items = behind.map(({ look, name }) => {
    const colour = look.colour === "#000000" ? "var(--ink)" : escaped(look.colour);
    const line = `fill="none" stroke="${colour}" stroke-width="${look.strong ? 2.6 : 1.7}" `
      + `stroke-dasharray="${escaped(look.dash)}"`;
    const spot = mark(look.marker, 20, 7, 3, `fill="${colour}"`);
    return `<span>${sample(line, spot)}${escaped(name)}</span>`;
  });
  const held = `<circle class="held" cx="20" cy="7" r="4.5"/>`;
  return `<span>${sample('class="today"', held)}as turned</span>${items.join("")}`;
}
