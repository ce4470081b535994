// What knocks, at which speed; the page itself runs no cycles, so it says what it was told or asks.
import { element } from "./controls.mjs";

/** @typedef {import("./turning.mjs").Values} Values */
/** @typedef {import("./values.mjs").Knock} Knock */
/** @typedef {(values: Values) => Promise<Knock | {refused: string}>} AskKnock */

/** How long sliders rest before the kernel is asked [ms]: its cycles would hold up their answers. */
const REST = 700;
const MOVES = "Knock margin not known while sliders move.";
const LOOKED_FOR = "The knock margin is looked for: the cylinder's cycles are run.";
const NOT_HERE = "Knock not known at this setting: a page runs no cycles. A notebook tells it: airchain.live.explore.";

/** The sentence on knock. */
export class KnockLine {
  /**
   * @param {import("./values.mjs").KnockTold} told
   * @param {AskKnock | null} ask the kernel, where there is one
   */
  constructor(told, ask) {
    this.told = told;
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
    else if (!this.ask) this.say({ said: NOT_HERE, knocks: false });
    else if (!rests) this.say({ said: MOVES, knocks: false });
    else this.timer = setTimeout(() => this.look({ ...values }, mine), REST);
  }

  /**
   * @param {Values} values
   * @param {number} mine
   */
  async look(values, mine) {
    this.say({ said: LOOKED_FOR, knocks: false });
    const ask = /** @type {AskKnock} */ (this.ask);
    const answer = await ask(values).catch((error) => ({ refused: String(error) }));
    if (mine !== this.asked) return;
    this.say("refused" in answer ? { said: answer.refused, knocks: false } : answer);
  }

  /** @param {Knock} knock */
  say({ said, knocks }) {
    if (this.root.textContent !== said) this.root.textContent = said;
    this.root.classList.toggle("knocks", knocks);
  }
}
