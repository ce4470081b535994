// Turns knobs as the view does: what the page's core answers, and the code that is shown for it.
// node turned.mjs WASM IN OUT; IN and OUT are JSON.
import { readFile, writeFile } from "node:fs/promises";
import { Answering, own_solver } from "../../python/airchain/live/js/answering.mjs";
import { code_of } from "../../python/airchain/live/js/turning.mjs";
import { decoded } from "../../python/airchain/live/js/values.mjs";

const [code_file, in_file, out_file] = process.argv.slice(2);
const { schema, numbers, settings } = JSON.parse(await readFile(in_file, "utf8"));
const solver = await own_solver(schema, await readFile(code_file), decoded(numbers));
if (typeof solver === "string") throw new Error(solver);
const answering = new Answering(schema, solver);
const told = settings.map((/** @type {any} */ values) => {
  const frame = answering.solve(values);
  const bytes = Buffer.from(frame.numbers.buffer).toString("base64");
  return { numbers: bytes, air: frame.air, code: code_of(schema, values), verdict: frame.verdict() };
});
await writeFile(out_file, JSON.stringify(told));
