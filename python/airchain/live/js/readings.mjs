// The table of readings at the held speed, and the legend.
import { element } from "./controls.mjs";
import { escaped, mark } from "./svg.mjs";
import { figure } from "./values.mjs";

/** @typedef {import("./values.mjs").System} System */
/** @typedef {import("./frame.mjs").Frame} Frame */
/** @typedef {import("./pictures.mjs").Series} Series */

/** The table of readings; only what changed is written, so that little is laid out anew. */
export class Readings {
  constructor() {
    this.root = element("table", { class: "readings" });
    this.made = "";
    /** @type {HTMLTableCellElement[]} */
    this.cells = [];
  }

  /**
   * Readings at the held speed, and what changed.
   * @param {Frame} today
   * @param {Frame | null} before at the same speed; nothing where it is not known
   * @param {System} system
   */
  tell(today, before, system) {
    const { read } = today.schema;
    const rpm = figure(today.at("engine_speed", today.held) * 30 / Math.PI, 0);
    if (this.made !== system) {
      this.root.innerHTML = "<caption></caption>" + rows_of(today, system);
      this.cells = [...this.root.querySelectorAll("td")];
      this.made = system;
    }
    write(this.root.caption, `At ${rpm} rpm; change against the build as it was`);
    read.forEach((name, row) => {
      const decimals = today.unit(name, system)[3];
      const change = before
        ? today.shown(name, today.held, system) - before.shown(name, before.held, system) : NaN;
      const moved = Number.isFinite(change) && Math.abs(change) >= 0.5 * 10 ** -decimals;
      const text = moved ? `${change > 0 ? "+" : "−"}${figure(Math.abs(change), decimals)}` : "";
      write(this.cells[3 * row], today.text(name, today.held, system));
      write(this.cells[3 * row + 2], text);
    });
  }
}

/**
 * Rows without their figures.
 * @param {Frame} today
 * @param {System} system
 */
function rows_of(today, system) {
  const rows = today.schema.read.map((name) => (
    `<tr><th scope="row">${escaped(today.words(name))}</th>`
    + `<td></td><td>${escaped(today.unit(name, system)[0])}</td><td class="changed"></td></tr>`));
  return `<thead><tr><th scope="col">reading</th><th scope="col">now</th><th scope="col">unit</th>`
    + `<th scope="col">change</th></tr></thead><tbody>${rows.join("")}</tbody>`;
}

/**
 * @param {Element | null} place
 * @param {string} text
 */
function write(place, text) {
  if (place && place.textContent !== text) place.textContent = text;
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
