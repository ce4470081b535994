import assert from "node:assert/strict";
import { test } from "node:test";
import { Asking } from "../../python/airchain/live/js/answering.mjs";
import { changes_of, code_of, refusal, turned_words } from "../../python/airchain/live/js/turning.mjs";

const plain = { trade: ["", 1, 0, 3], si: ["", 1, 0, 3] };
const schema = /** @type {any} */ ({
  knobs: [
    { path: "level", words: "level", value: "full", how: "page", options: [["full", {}], ["tame", { 4: 0.8, 5: 2 }]] },
    { path: "drive.ratio", words: "drive ratio", value: 1.2, how: "page", ends: [0.05, 20, 0.6, 1.5], sets: { 4: 1 }, units: plain },
    { path: "ambient.altitude", words: "altitude", value: 100, how: "page", rule: "station_pressure", ends: [-500, 6000, 0, 3000], sets: { 1: 1 },
      units: { trade: ["ft", 0.3048, 0, 0], si: ["m", 1, 0, 0] } },
    { path: "ambient.altimeter", words: "altimeter", value: 1e5, how: "page", rule: "station_pressure", ends: [4e4, 1.1e5, 9e4, 1.05e5], sets: { 1: 1 },
      units: { trade: ["inHg", 3386.389, 0, 2], si: ["kPa", 1000, 0, 2] } },
    { path: "cooler.measured.effectiveness", words: "cooler", value: 1, how: "page", ends: [0, 1.1, 0.5, 1.1], sets: { 2: 0.9 }, shares: [0.8, 0.6], units: plain },
    { path: "cam.duration", words: "duration", value: 4, how: "cycles", ends: [1, 6.5, 3, 5], along: { "cam.seat_duration": 0.5 },
      units: { trade: ["deg", Math.PI / 180, 0, 1], si: ["deg", Math.PI / 180, 0, 1] } },
    { path: "fuel.lambda", words: "lambda", value: 0.86, how: "cycles", ends: [0.5, 1.5, 0.7, 1.1], sets: { 3: 1 }, units: plain },
  ],
  code: ["turned = build.with_surface()", "turned = build.without_surface()", "pull = turned.pull()"],
});
const pressure = (/** @type {number} */ setting, /** @type {number} */ altitude) => setting - 10 * altitude;

test("a level sets its numbers, and a ratio typed besides holds against it", () => {
  assert.deepEqual([...changes_of(schema, { level: "tame" }, pressure)], [[4, 0.8], [5, 2]]);
  assert.equal(changes_of(schema, { level: "tame", "drive.ratio": 1.1 }, pressure).get(4), 1.1);
});

test("altitude and altimeter make the pressure together, whichever was moved", () => {
  assert.equal(changes_of(schema, { "ambient.altitude": "200 m" }, pressure).get(1), 98000);
  const both = { "ambient.altitude": "200 m", "ambient.altimeter": "90 kPa" };
  assert.equal(changes_of(schema, both, pressure).get(1), 88000);
});

test("a setting is told in the words that its choices show", () => {
  const fuel = { path: "fuel.name", words: "fuel", options: [["e", {}, "", "leaded race gasoline"]] };
  const told = (/** @type {any} */ values) => turned_words(/** @type {any} */ ({ knobs: [...schema.knobs, fuel] }), values);
  assert.equal(told({ "fuel.name": "e", "drive.ratio": 1.1 }), "fuel leaded race gasoline, drive ratio 1.1");
  assert.equal(told({}), "as it was");
});

test("a number behind a factor is set behind it", () => {
  assert.equal(changes_of(schema, { "cooler.measured.effectiveness": 0.5 }, pressure).get(2), 0.45);
});

test("code is made of lines, and types what was turned", () => {
  const lines = code_of(schema, { level: "tame", "cooler.measured.effectiveness": 0.5, "drive.ratio": 1.1 });
  assert.equal(lines, 'turned = build.with_surface().level("tame")'
    + '.replace({"cooler.measured.effectiveness": [0.4, 0.3]}).with_drive_ratio(1.1)\npull = turned.pull()');
  assert.match(code_of(schema, { "fuel.lambda": 0.9 }), /without_surface/);
  assert.equal(code_of(schema, { rpm: "5000 rpm" }), "turned = build.with_surface()\npull = turned.pull()");
});

test("a lobe keeps its ramps where its duration is turned", () => {
  assert.match(code_of(schema, { "cam.duration": "180 deg" }),
    /\{"cam\.duration": "180 deg", "cam\.seat_duration": "208\.64789 deg"\}/);
});

test("a refusal names field, value and range in the unit at hand", () => {
  const knob = schema.knobs[2];
  assert.equal(refusal(knob, "9000 m", "si"), "altitude = 9000 m; must be between −500.0 and 6,000.0 m");
  assert.match(refusal(knob, "30000 ft", "trade"), /between −1,640\.4 and 19,685\.0 ft$/);
  assert.match(refusal(knob, "", "si"), /must be a number/);
  assert.equal(refusal(knob, "6000 m", "si"), "");
});

test("of questions that wait only the newest is asked", async () => {
  /** @type {any[]} */
  const asked = [], answered = [];
  /** @type {(() => void)[]} */
  const free = [];
  const asking = new Asking((values) => new Promise((done) => {
    asked.push(values.n);
    free.push(() => done(/** @type {any} */ ({ n: values.n })));
  }));
  const note = (/** @type {any} */ answer) => answered.push(answer.n);
  const first = asking.put({ n: 1 }, note);
  asking.put({ n: 2 }, note);
  asking.put({ n: 3 }, note);
  free[0]();
  await new Promise((done) => setTimeout(done, 5));
  free[1]();
  await first;
  assert.deepEqual(asked, [1, 3]);
  assert.deepEqual(answered, [1, 3]);
  asking.put({ n: 4 }, note);
  assert.deepEqual(asked, [1, 3, 4]);
});

test("a kernel that fails is told as a refusal", async () => {
  const asking = new Asking(() => Promise.reject(new Error("gone")));
  /** @type {any} */
  let said;
  await asking.put({}, (answer) => { said = answer; });
  assert.match(said.refused, /gone/);
});
