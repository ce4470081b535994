import assert from "node:assert/strict";
import { test } from "node:test";
import { domain, escaped, path, place, tick_decimals, ticks } from "../../python/airchain/live/js/svg.mjs";

test("ticks are round, within the range, and hold no minus nothing", () => {
  assert.deepEqual(ticks(-1, 1), [-1, -0.5, 0, 0.5, 1]);
  assert.ok(ticks(-1, 1).every((tick) => !Object.is(tick, -0)));
  assert.deepEqual(ticks(3000, 7600), [3000, 4000, 5000, 6000, 7000]);
  assert.deepEqual(ticks(5, 5), [5]);
});

test("ticks are told apart by their decimals", () => {
  assert.equal(tick_decimals([0, 0.5]), 1);
  assert.equal(tick_decimals([0, 1000]), 0);
});

test("a scale places its ends", () => {
  const scale = { low: 0, high: 10, from: 100, to: 0 };
  assert.equal(place(scale, 0), 100);
  assert.equal(place(scale, 10), 0);
});

test("a path leaves a gap where nothing is known", () => {
  assert.equal(path([[0, 0], [1, 1], [2, NaN], [3, 3]]), "M0 0L1 1M3 3");
  assert.equal(path([]), "");
});

test("typed names cannot become markup", () => {
  assert.equal(escaped('<b a="1">&'), "&#60;b a=&#34;1&#34;&#62;&#38;");
});

test("a domain holds its values, and something where there are none", () => {
  const [low, high] = domain([2, NaN, 8]);
  assert.ok(low < 2 && high > 8);
  assert.deepEqual(domain([NaN]), [0, 1]);
  assert.ok(domain([5, 6], true)[0] === 0);
});
