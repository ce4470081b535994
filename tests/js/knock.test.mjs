import assert from "node:assert/strict";
import { test } from "node:test";
import { KnockLine, knocked_already, knocked_of } from "../../python/airchain/live/js/knock.mjs";
import { ratio_of } from "../../python/airchain/live/js/turning.mjs";

const plain = { trade: ["", 1, 0, 3], si: ["", 1, 0, 3] };
const schema = /** @type {any} */ ({
  knobs: [
    { path: "level", value: "sport", how: "page", options: [["street", { 4: 1.3 }], ["sport", { 4: 1.5 }], ["race", { 4: 1.7 }]] },
    { path: "drive.pair", value: "", how: "page", options: [["40/20 teeth", { 4: 2 }]] },
    { path: "drive.ratio", value: 1.5, how: "page", ends: [0.05, 20, 0.6, 3], sets: { 4: 1 }, units: plain },
  ],
  knock: { known: true, unknown: "", made: {
    "": { said: "It knocks.", knocks: true }, street: { said: "Far.", knocks: false },
    sport: { said: "It knocks.", knocks: true }, race: { said: "It knocks.", knocks: true },
  } },
});

test("a drive ratio is that typed, of the pair, of the level, or as built", () => {
  assert.equal(ratio_of(schema, {}), 1.5);
  assert.equal(ratio_of(schema, { level: "race" }), 1.7);
  assert.equal(ratio_of(schema, { level: "race", "drive.pair": "40/20 teeth" }), 2);
  assert.equal(ratio_of(schema, { level: "race", "drive.ratio": 1.1 }), 1.1);
  assert.ok(Number.isNaN(ratio_of(/** @type {any} */ ({ knobs: [] }), {})));
});

test("a faster drive than one that knocks keeps the warning, a slower one has none", () => {
  const knocked = knocked_of(schema);
  assert.deepEqual(knocked.map((one) => one.name).sort(), ["", "race", "sport"]);
  const already = (/** @type {any} */ values) => knocked_already(schema, knocked, values);
  assert.equal(already({ "drive.ratio": 2.05 }), "It knocked already at sport (drive ratio 1.500), and this drive is no slower.");
  assert.equal(already({ "drive.ratio": 1.49 }), "");
  assert.equal(already({ level: "street", "fuel.lambda": 0.8 }), "");
  assert.match(already({ "fuel.lambda": 0.8 }), /all else as built, and/);
  assert.equal(knocked_already(schema, [], { "drive.ratio": 3 }), "");
});

/**
 * What a line says of settings, one after another.
 * @param {any} ask
 * @param {any[]} settings
 */
async function told(ask, settings) {
  const marks = new Set();
  const root = { textContent: "", append() {}, setAttribute() {},
    classList: { toggle: (/** @type {string} */ name, /** @type {boolean} */ on) => (on ? marks.add(name) : marks.delete(name)) } };
  /** @type {any} */ (globalThis).document = { createElement: () => root };
  const line = new KnockLine(schema, ask);
  const said = [];
  for (const [values, rests] of settings) {
    if (rests) await line.look(values, line.asked);
    else line.tell(values, false);
    said.push([root.textContent, marks.has("knocks")]);
  }
  return said;
}

test("a page warns in red of a faster drive, and only says it where more than the drive moved", async () => {
  const said = await told(null, [[{ "drive.ratio": 2.05 }], [{ "drive.ratio": 2.05, "fuel.lambda": 0.8 }], [{ "drive.ratio": 1.2 }]]);
  assert.match(said[0][0], /Knock not known at this setting.*It knocked already at sport/);
  assert.deepEqual(said.map(([, red]) => red), [true, false, false]);
  assert.match(said[1][0], /all else as built/);
  assert.doesNotMatch(said[2][0], /already/);
});

test("a notebook keeps what it found to knock", async () => {
  schema.knock.made = {};
  const ask = async () => ({ said: "It knocks.", knocks: true });
  const said = await told(ask, [[{ "drive.ratio": 1.8 }], [{ level: "race", "drive.ratio": 1.8 }, true], [{ "drive.ratio": 1.9 }]]);
  assert.deepEqual(said.map(([, red]) => red), [false, true, true]);
  assert.match(said[2][0], /while sliders move. It knocked already at drive ratio 1.800, and/);
});
