// What knocks, at which speed; the page itself runs no cycles, so it says what it was told or asks.
import { element } from "./controls.mjs";
import { ratio_of } from "./turning.mjs";
import { figure } from "./values.mjs";

/** @typedef {import("./turning.mjs").Values} Values */
/** @typedef {import("./values.mjs").Knock} Knock */
/** @typedef {import("./values.mjs").Schema} Schema */
/** @typedef {{ratio: number, name: string}} Knocked a drive that knocks, all else as the build has it */
/** @typedef {(values: Values) => Promise<Knock | {refused: string}>} AskKnock */

/** How long sliders rest before the kernel is asked [ms]: its cycles would hold up their answers. */
const REST = 700;
const MOVES = "Knock margin not known while sliders move.";
const LOOKED_FOR = "The knock margin is looked for: the cylinder's cycles are run.";
const NOT_HERE = "Knock not known at this setting: a page runs no cycles. A notebook tells it: airchain.live.explore.";

/** What moves the drive alone, or nothing. */
const DRIVE = ["rpm", "level", "drive.pair", "drive.ratio"];
/** Ratios nearer than this share are one. */
const ONE_RATIO = 1e-9;

/**
 * Whether a setting has all but its drive as the build has it.
 * @param {Values} values
 */
const drive_alone = (values) => Object.keys(values).every((path) => DRIVE.includes(path));

/**
 * The drives that are known to knock.
 * @param {Schema} schema
 * @returns {Knocked[]}
 */
export function knocked_of(schema) {
  return Object.entries(schema.knock.made).filter(([, knock]) => knock.knocks)
    .map(([level]) => ({ ratio: ratio_of(schema, level ? { level } : {}), name: level }));
}

/**
 * A warning where a setting is driven no slower than one that knocks already; empty elsewhere.
 * @param {Schema} schema
 * @param {Knocked[]} knocked
 * @param {Values} values
 */
export function knocked_already(schema, knocked, values) {
  const ratio = ratio_of(schema, values);
  // A level is named before the build as it is, whose drive is often that of a level.
  const [first] = knocked.filter((one) => one.ratio <= ratio * (1 + ONE_RATIO))
    .sort((one, other) => one.ratio - other.ratio || Number(!one.name) - Number(!other.name));
  if (!first) return "";
  const at = `drive ratio ${figure(first.ratio, 3)}`;
  const where = first.name ? `${first.name} (${at})` : at;
  const rest = drive_alone(values) ? "" : ", all else as built";
  return `It knocked already at ${where}${rest}, and this drive is no slower.`;
}

/** The sentence on knock. */
export class KnockLine {
  /**
   * @param {Schema} schema
   * @param {AskKnock | null} ask the kernel, where there is one
   */
  constructor(schema, ask) {
    this.schema = schema;
    this.told = schema.knock;
    this.knocked = knocked_of(schema);
    this.ask = ask;
    this.asked = 0;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
    this.root = element("p", { class: "knock", role: "status", "aria-live": "polite" });
  }

  /**
   * Tell of a setting.
   * @param {Values} values
   * @param {boolean} rests whether the sliders were let go
   */
  tell(values, rests) {
    const mine = ++this.asked;
    clearTimeout(this.timer);
    const { known, unknown, made } = this.told;
    const alone = Object.keys(values).every((path) => path === "rpm" || path === "level");
    const before = alone ? made[String(values.level ?? "")] : undefined;
    if (!known) this.say({ said: unknown, knocks: false });
    else if (before) this.say(before);
    else if (!this.ask) this.warn(NOT_HERE, values);
    else if (!rests) this.warn(MOVES, values);
    else this.timer = setTimeout(() => this.look({ ...values }, mine), REST);
  }

  /**
   * @param {Values} values
   * @param {number} mine
   */
  async look(values, mine) {
    this.warn(LOOKED_FOR, values);
    const ask = /** @type {AskKnock} */ (this.ask);
    const answer = await ask(values).catch((error) => ({ refused: String(error) }));
    if (mine !== this.asked) return;
    if ("refused" in answer) return this.warn(answer.refused, values);
    if (answer.knocks && drive_alone(values)) {
      const name = "drive.ratio" in values || "drive.pair" in values ? "" : values.level ?? "";
      this.knocked.push({ ratio: ratio_of(this.schema, values), name: String(name) });
    }
    this.say(answer);
  }

  /**
   * Say why nothing is known, and what knocked already; a warning where nothing but the drive moved.
   * @param {string} why
   * @param {Values} values
   */
  warn(why, values) {
    const already = knocked_already(this.schema, this.knocked, values);
    this.say({ said: `${why} ${already}`.trim(), knocks: already !== "" && drive_alone(values) });
  }

  /** @param {Knock} knock */
  say({ said, knocks }) {
    if (this.root.textContent !== said) this.root.textContent = said;
    this.root.classList.toggle("knocks", knocks);
  }
}
