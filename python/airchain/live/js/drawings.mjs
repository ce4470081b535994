// Pictures on the page, drawn anew only while somebody sees them.
import { element } from "./controls.mjs";
import { escaped } from "./svg.mjs";

/** @typedef {import("./frame.mjs").Frame} Frame */
/** @typedef {import("./pictures.mjs").Picture} Picture */
/** @typedef {import("./pictures.mjs").Series} Series */

/**
 * One picture on the page.
 * @typedef {Object} Drawing
 * @property {Picture} picture
 * @property {HTMLElement} box
 * @property {Element} words for those who do not see it
 * @property {Element} still
 * @property {Element} moving
 * @property {boolean} seen whether it is on the screen, or near
 * @property {Frame | null} shows what it was drawn with
 */

export class Drawings {
  constructor() {
    /** @type {Drawing[]} */
    this.all = [];
    /** @type {Frame | null} */
    this.today = null;
    this.eye = new IntersectionObserver((entries) => {
      for (const { target, isIntersecting } of entries)
        for (const one of this.all.filter(({ box }) => box === target)) this.see(one, isIntersecting);
    }, { rootMargin: "200px" });
    this.on_paper = () => this.all.forEach((one) => this.see(one, true));
    window.addEventListener("beforeprint", this.on_paper);
  }

  /**
   * Pictures in place of those before.
   * @param {Picture[]} pictures
   * @param {Series[]} behind levels, and settings that were kept
   * @param {Frame[]} frames what the scales must hold
   */
  make(pictures, behind, frames) {
    this.eye.disconnect();
    this.all = pictures.map((picture) => {
      const box = element("figure");
      // Two layers, so that what stands still is not painted again.
      const size = `viewBox="0 0 ${picture.width} ${picture.height}"`;
      box.innerHTML = `<svg ${size} role="img" aria-label="${escaped(picture.title)}"><desc></desc><g>${picture.still(behind, frames)}</g></svg>`
        + `<svg ${size} class="moving" aria-hidden="true"><g></g></svg>`;
      const [words, still, moving] = /** @type {Element[]} */ ([
        box.querySelector("desc"), ...box.querySelectorAll("svg > g")]);
      this.eye.observe(box);
      return { picture, box, words, still, moving, seen: true, shows: null };
    });
  }

  /**
   * Scales move only on release, and only those that do not hold what is shown.
   * @param {Series[]} behind
   * @param {Frame} today
   */
  refit(behind, today) {
    const frames = [...behind.map((series) => series.frame), today];
    for (const one of this.all)
      if (!one.picture.fits([today])) {
        one.still.innerHTML = one.picture.still(behind, frames);
        one.shows = null;
      }
  }

  /**
   * @param {Frame} today
   * @param {boolean} released
   */
  show(today, released) {
    this.today = today;
    for (const one of this.all) {
      this.draw(one);
      if (released) one.words.textContent = one.picture.words(today);
    }
  }

  /**
   * @param {Drawing} one
   * @param {boolean} seen
   */
  see(one, seen) {
    one.seen = seen;
    this.draw(one);
  }

  /** @param {Drawing} one */
  draw(one) {
    if (!one.seen || !this.today || one.shows === this.today) return;
    one.moving.innerHTML = one.picture.moving(this.today);
    one.shows = this.today;
  }

  /** Let go of what is held outside the view. */
  end() {
    this.eye.disconnect();
    window.removeEventListener("beforeprint", this.on_paper);
  }
}
