import assert from "node:assert/strict";
import { test } from "node:test";
import { decoded, figure, si_of, typed_of } from "../../python/airchain/live/js/values.mjs";

const coolant = /** @type {any} */ ({
  path: "cooler.coolant_temperature", words: "coolant", value: 300, how: "page",
  ends: [230, 420, 273.15, 373.15],
  units: { trade: ["degF", 5 / 9, 459.67, 1], si: ["degC", 1, 273.15, 1] },
});
const ratio = /** @type {any} */ ({
  path: "drive.ratio", words: "drive ratio", value: 1.2, how: "page", ends: [0.05, 20, 0.6, 1.5],
  units: { trade: ["", 1, 0, 3], si: ["", 1, 0, 3] },
});

test("a number shows its decimals, thousands parted, and never minus nothing", () => {
  assert.equal(figure(1234.5, 1), "1,234.5");
  assert.equal(figure(-0.01, 1), "0.0");
  assert.equal(figure(-0, 0), "0");
  assert.equal(figure(-3, 0), "−3");
});

test("what is not known reads so", () => {
  assert.equal(figure(NaN, 1), "–");
  assert.equal(figure(Infinity, 1), "no limit");
});

test("typed values are read with their unit, in either system", () => {
  assert.ok(Math.abs(si_of(coolant, "95 degF") - 308.15) < 1e-9);
  assert.ok(Math.abs(si_of(coolant, "35 degC") - 308.15) < 1e-9);
  assert.equal(si_of(ratio, 1.25), 1.25);
});

test("what is no number, or has no unit, is none", () => {
  for (const typed of ["", "warm degF", "95", "95 bar", " degF"])
    assert.ok(Number.isNaN(si_of(coolant, typed)), typed);
});

test("a slider types what it shows, rounded as finely as it moves", () => {
  assert.equal(typed_of(coolant, 95.04, "trade"), "95 degF");
  assert.equal(typed_of(ratio, 1.23456, "si"), 1.235);
});

test("doubles travel as text", () => {
  const numbers = new Float64Array([1.5, -2, NaN, Infinity]);
  const text = Buffer.from(numbers.buffer).toString("base64");
  assert.deepEqual([...decoded(text)], [...numbers]);
});
