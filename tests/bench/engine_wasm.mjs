// Size of the engine as wasm, and its speed in Node against the same source compiled natively:
// node tests/bench/engine_wasm.mjs [PROFILE...], the profiles being 3, s and z.
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { constants, brotliCompressSync } from "node:zlib";

const root = new URL("../..", import.meta.url).pathname;
const folder = `${root}target/engine-wasm`;
const cargo = readFileSync(`${root}Cargo.toml`, "utf8");
const profiles = process.argv.length > 2 ? process.argv.slice(2) : ["3", "s", "z"];
mkdirSync(`${folder}/src`, { recursive: true });
writeFileSync(
  `${folder}/Cargo.toml`,
  `[package]
name = "engine-wasm"
version = "0.0.0"
edition = "2024"
[workspace]
[lib]
crate-type = ["cdylib", "rlib"]
path = "${root}tests/bench/engine_wasm.rs"
[[bin]]
name = "engine-native"
path = "src/main.rs"
${cargo.match(/\[dependencies\][\s\S]*?\n\n/)[0]}
${cargo.match(/\[profile\.release\][\s\S]*?\n\n/)[0]}
${profiles.map((level) => `[profile.opt-${level}]\ninherits = "release"\nopt-level = ${/\d/.test(level) ? level : `"${level}"`}\n`).join("")}
`,
);
writeFileSync(`${folder}/src/main.rs`, "#[cfg(not(target_arch = \"wasm32\"))]\nfn main() { engine_wasm::native() }\n#[cfg(target_arch = \"wasm32\")]\nfn main() {}\n");
writeFileSync(`${folder}/Cargo.lock`, readFileSync(`${root}Cargo.lock`));
const build = (...args) => execFileSync("cargo", ["build", "--quiet", "--offline", ...args], { cwd: folder, stdio: "inherit", env: { ...process.env, CARGO_TARGET_DIR: `${folder}/target`, RUSTFLAGS: "-A warnings" } });
for (const level of profiles) build("--lib", "--target", "wasm32-unknown-unknown", "--profile", `opt-${level}`);
build("--release", "--bin", "engine-native");

// A module without its custom sections, which bindings and debuggers read and a browser does not.
function bare(bytes) {
  const parts = [bytes.subarray(0, 8)];
  for (let at = 8; at < bytes.length; ) {
    const start = at++;
    let [size, shift] = [0, 0];
    do {
      size |= (bytes[at] & 127) << shift;
      shift += 7;
    } while (bytes[at++] & 128);
    at += size;
    if (bytes[start] !== 0) parts.push(bytes.subarray(start, at));
  }
  return Buffer.concat(parts);
}
const file = (level) => bare(readFileSync(`${folder}/target/wasm32-unknown-unknown/opt-${level}/engine_wasm.wasm`));
const kilobytes = (bytes) => `${(bytes.length / 1000).toFixed(0)} kB, brotli ${(brotliCompressSync(bytes, { params: { [constants.BROTLI_PARAM_QUALITY]: 11 } }).length / 1000).toFixed(1)} kB`;
const whole = `${root}www/pkg/lentic_bg.wasm`;
if (existsSync(whole)) console.log(`whole wasm, book and all, as last built: ${kilobytes(readFileSync(whole))}`);
for (const level of profiles) console.log(`engine alone, opt-level ${level}: ${kilobytes(file(level))} (at most 60)`);

const lines = execFileSync(`${folder}/target/release/engine-native`, { encoding: "utf8" }).trim().split("\n");
const measured = lines.slice(0, 2).map((line) => line.split(" ").map(Number));
const values = Float64Array.from(lines.slice(2), Number);
const width = values.length / 500;
for (const level of profiles) {
  const module = await WebAssembly.compile(file(level));
  const imports = {};
  for (const { module: from, name, kind } of WebAssembly.Module.imports(module)) {
    if (kind === "function") (imports[from] ??= {})[name] = () => 0;
  }
  const { exports } = await WebAssembly.instantiate(module, imports);
  const at = exports.start();
  for (const [spread, native, count] of measured) {
    let [best, sum] = [Infinity, 0];
    for (let round = 0; round < 200; round++) {
      const start = process.hrtime.bigint();
      sum = 0;
      for (let nth = 0; nth < 500; nth++) {
        new Float64Array(exports.memory.buffer, at, width).set(values.subarray(nth * width, (nth + 1) * width));
        sum += exports.run(spread);
      }
      best = Math.min(best, Number(process.hrtime.bigint() - start) / 500);
    }
    if (sum !== count) throw new Error(`wasm finds ${sum} rules that may hold, native ${count}`);
    const what = spread === 0 ? "points" : "intervals and missing facts";
    console.log(`opt-level ${level}, ${what}: wasm in Node ${best.toFixed(0)} ns, native ${native.toFixed(0)} ns: ${(best / native).toFixed(2)} times (at most 1.5)`);
  }
}
