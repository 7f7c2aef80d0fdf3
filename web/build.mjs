// SPDX-License-Identifier: MIT
// build.mjs: src/ into dist/, whose files meson puts into the program.
import * as esbuild from "esbuild";
import { copyFileSync, mkdirSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { gzipSync } from "node:zlib";

const MOST_KB = 200; // compressed: the page is served by small boards too

rmSync("dist", { recursive: true, force: true });
mkdirSync("dist");
await esbuild.build({
  entryPoints: { page: "src/main.tsx" },
  outdir: "dist",
  bundle: true,
  minify: true,
  format: "iife",
  target: "es2021",
  jsx: "automatic",
  jsxImportSource: "preact",
  legalComments: "linked",
  logLevel: "warning",
});
for (const file of ["index.html", "mark.svg"]) copyFileSync(`src/${file}`, `dist/${file}`);
const bytes = readdirSync("dist").reduce((sum, f) => sum + gzipSync(readFileSync(`dist/${f}`)).length, 0);
console.log(`dist: ${(bytes / 1000).toFixed(1)} kB compressed`);
if (bytes > MOST_KB * 1000) {
  console.error(`more than ${MOST_KB} kB`);
  process.exit(1);
}
