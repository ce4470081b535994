// Solves a chain in the page's core: numbers and states from a file of doubles, answers to another.
// node solve.mjs WASM IN OUT; IN holds: count of numbers, numbers, count of states, and for each
// the count of changes, places, values, count of speeds, speeds.
import { readFile, writeFile } from "node:fs/promises";
import { Solver } from "../../python/airchain/live/js/solver.mjs";

const [code_file, in_file, out_file] = process.argv.slice(2);
const bytes = await readFile(in_file);
const all = new Float64Array(bytes.buffer, bytes.byteOffset, bytes.byteLength / 8);
let place = 0;
const list = () => all.slice(place + 1, (place += all[place] + 1));
const solver = await Solver.of(await readFile(code_file), list());
/** @type {number[]} */
const answers = [];
for (let left = all[place++]; left > 0; --left) {
  const places = list(), values = list(), speeds = list();
  const changes = new Map([...places].map((at, i) => [at, values[i]]));
  answers.push(...solver.solve(changes, speeds));
}
await writeFile(out_file, new Float64Array(answers));
