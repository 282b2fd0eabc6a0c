// A whole forecast in Node against the same natively, in one run; after `cargo xtask build`:
// node tests/bench/forecast_wasm.mjs
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import { fileURLToPath } from "node:url";

const at = (path) => fileURLToPath(new URL(`../../${path}`, import.meta.url));
const { default: init, Advisor } = await import(at("target/site/pkg/lentic.js"));
await init({ module_or_path: fs.readFileSync(at("target/site/pkg/lentic_bg.wasm")) });
const advisor = new Advisor();
const journal = fs.readFileSync(at("tests/journals/course-dark.json"), "utf8");

const native = Number(
  execFileSync("cargo", ["bench", "--quiet", "--bench", "nitrification", "--", "journal"], {
    cwd: at("."),
    encoding: "utf8",
    stdio: ["ignore", "pipe", "inherit"],
  }),
);
let shortest = Number.POSITIVE_INFINITY;
for (let run = 0; run < 12; run += 1) {
  const start = performance.now();
  advisor.forecast(journal, "2026-03-05");
  shortest = Math.min(shortest, performance.now() - start);
}
const ratio = (shortest / native).toFixed(2);
console.log(`forecast: ${native} ms natively, ${shortest.toFixed(1)} ms in Node, ${ratio} times as long`);
