// SPDX-License-Identifier: MIT
// page.mjs: the page of `inward serve` driven in a real browser (Debian's chromium), each test on a server and a file of its own.
//
// usage: node web/test/page.mjs INWARD [FILTER]     (FILTER: only tests whose name has it, or one of several with | between)
import { resolve } from "node:path";
import { check, counts, launch, shut, tidy, within } from "./rig.mjs";
import { drawing } from "./drawing.mjs";
import { moving } from "./moving.mjs";
import { file } from "./file.mjs";
import { look } from "./look.mjs";
import { begin } from "./begin.mjs";
import { charts } from "./charts.mjs";
import { ways } from "./ways.mjs";

const [, , program, filter = ""] = process.argv;
if (!program) {
  console.error("usage: node web/test/page.mjs INWARD [FILTER]");
  process.exit(2);
}
const tests = Object.entries({ ...drawing, ...moving, ...file, ...look, ...charts, ...begin, ...ways }).filter(([name]) => filter.split("|").some(f => name.includes(f)));

const LANES = 3; // more than there are processors: some tests wait for the page to look at the file again

async function run(name, test) {
  const began = Date.now();
  try { await test(resolve(program)); } catch (e) { check("goes to its end", false, e.stack); }
  try { await tidy(); } catch (e) { check("ends", false, e.stack); }
  if (process.env.VERBOSE) console.log(`${name}: ${Date.now() - began} ms`);
}
async function lane() {
  for (let next = tests.shift(); next; next = tests.shift()) {
    const [name, test] = next;
    await within(name, () => run(name, test));
  }
}

await launch();
await Promise.all(Array.from({ length: LANES }, lane));
await shut();
const { passed, failed } = counts();
console.log(`${passed} passed, ${failed} failed`);
process.exit(failed || !passed ? 1 : 0);
