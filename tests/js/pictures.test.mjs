import assert from "node:assert/strict";
import { test } from "node:test";
import { room } from "../../python/airchain/live/js/pictures.mjs";

test("a limit that is only reached does not read as passed", () => {
  const schema = /** @type {any} */ ({ limits: { choke_margin: "to choke", speed_margin: "to speed" }, rpm: [7000] });
  const said = (/** @type {number} */ choke) => room(schema, "si").words(/** @type {any} */ ({
    rows: 2, solved: () => true,
    at: (/** @type {string} */ name) => (name === "choke_margin" ? choke : 0.1),
    text: (/** @type {string} */ name) => (name === "choke_margin" ? "0" : "10"),
  }));
  assert.match(said(-1.1e-16), /to choke: 0 %: nothing left\./);
  assert.match(said(0), /to choke: 0 %: nothing left\./);
  assert.match(said(-1e-3), /to choke: 0 %: passed\./);
  assert.match(said(1e-3), /to choke: 0 %\. /);
});
