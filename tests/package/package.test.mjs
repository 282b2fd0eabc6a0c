// The packed npm package in a project that has nothing else: in Node, in a worker, in a page, and for the type checker.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { copyFile, mkdir, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import http from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";
import { launch, open, watch } from "../browser/support.mjs";

const top = fileURLToPath(new URL("../../", import.meta.url));
const { build } = createRequire(new URL("../browser/package.json", import.meta.url))("esbuild");
const story = JSON.parse(await readFile(`${top}tests/journals/story-dark-start.json`, "utf8"));
/** What the program answers for the same journal is held against snapshots; here it is only told apart from nothing. */
const ASK = `
const advisor = new Advisor();
const { advice, mistakes } = advisor.advise(${JSON.stringify(story)}, "2026-09-25");
const answer = JSON.stringify({ rules: advice.advice.map(({ rule }) => rule), mistakes });
`;
let project;
let expected;

const run = (program, ...words) =>
  execFileSync(program, words, {
    cwd: project,
    encoding: "utf8",
    stdio: ["ignore", "pipe", "pipe"],
  });

const node = async (name, source) => {
  await writeFile(path.join(project, name), source);
  return run("node", name).trim();
};

before(async () => {
  project = await mkdtemp(path.join(tmpdir(), "lentic-package-"));
  const npm = path.join(top, "target/npm");
  const packed = (await readdir(npm)).filter((name) => name.endsWith(".tgz"));
  assert.equal(packed.length, 1);
  await writeFile(path.join(project, "package.json"), `{ "private": true, "type": "module" }`);
  run("npm", "install", path.join(npm, packed[0]), "--offline", "--no-audit", "--no-fund");
  expected = await node(
    "plain.mjs",
    `import { Advisor, load } from "lentic";\nawait load();\n${ASK}console.log(answer);`,
  );
});

after(() => rm(project, { recursive: true, force: true }));

test("it advises in Node", () => {
  const { rules, mistakes } = JSON.parse(expected);
  assert.ok(rules.length > 0);
  assert.deepEqual(mistakes, []);
});

test("it advises in German, by words that come with it", async () => {
  const answer = await node(
    "german.mjs",
    `import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { Advisor, load } from "lentic";
await load();
const words = JSON.parse(readFileSync(fileURLToPath(import.meta.resolve("lentic/words/de.json")), "utf8"));
const ask = (advisor) => advisor.advise(${JSON.stringify(story)}, "2026-09-25").advice;
const [own, told] = [ask(new Advisor()), ask(Advisor.inWords(words))];
console.log(JSON.stringify({ language: told.book.language, stage: told.stage, rules: told.advice.map(({ rule }) => rule), own: own.advice.map(({ rule }) => rule) }));`,
  );
  const { language, stage, rules, own } = JSON.parse(answer);
  assert.equal(language, "de");
  assert.equal(stage, "Einfahren");
  assert.deepEqual(rules, own);
});

test("the engine can be made from bytes, from a compiled module and from within a script", async () => {
  const read = `readFileSync(fileURLToPath(import.meta.resolve("lentic/lentic.wasm")))`;
  const sources = {
    bytes: read,
    module: `new WebAssembly.Module(${read})`,
    inline: `(await import("lentic/inline")).bytes`,
  };
  for (const [name, source] of Object.entries(sources)) {
    const said = await node(
      `${name}.mjs`,
      `import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { Advisor, load } from "lentic";
await load(${source});
${ASK}console.log(answer);`,
    );
    assert.equal(said, expected, name);
  }
});

test("a load that failed can be tried again", async () => {
  const said = await node(
    "again.mjs",
    `import { Advisor, load } from "lentic";
await load(new Uint8Array(8)).then(() => console.log("loaded"), () => {});
await load();
${ASK}console.log(answer);`,
  );
  assert.equal(said, expected);
});

test("it advises in a worker thread", async () => {
  await writeFile(
    path.join(project, "worker.mjs"),
    `import { parentPort } from "node:worker_threads";
import { Advisor, load } from "lentic";
await load();
${ASK}parentPort.postMessage(answer);`,
  );
  const said = await node(
    "main.mjs",
    `import { Worker } from "node:worker_threads";
new Worker(new URL("./worker.mjs", import.meta.url)).on("message", (answer) => console.log(answer));`,
  );
  assert.equal(said, expected);
});

test("its types pass the strictest checks, and every story is a journal", async () => {
  await copyFile(`${top}tests/package/example.ts`, path.join(project, "example.ts"));
  const folder = `${top}tests/journals`;
  const names = (await readdir(folder)).filter((name) => name.startsWith("story-"));
  const texts = await Promise.all(names.map((name) => readFile(`${folder}/${name}`, "utf8")));
  const stories = texts.join(",\n");
  await writeFile(
    path.join(project, "stories.ts"),
    `import type { Journal } from "lentic";\nexport const stories: Journal[] = [\n${stories}\n];\n`,
  );
  const options = [
    "--strict",
    "--noEmit",
    "--exactOptionalPropertyTypes",
    "--noUncheckedIndexedAccess",
  ];
  const places = [
    "--target",
    "es2022",
    "--module",
    "nodenext",
    "--lib",
    "es2023,dom",
    "--types",
    "",
  ];
  const checker = `${top}tests/browser/node_modules/typescript/bin/tsc`;
  run("node", checker, ...options, ...places, "example.ts", "stories.ts");
});

test("every answer and every record about a story fits its schema, and nothing else does", async () => {
  const require = createRequire(new URL("../browser/package.json", import.meta.url));
  const { Ajv2020 } = require("ajv/dist/2020.js");
  const ajv = new Ajv2020({
    strictTypes: false,
    allowUnionTypes: true,
    validateFormats: false,
  });
  const names = ["journal", "advice", "record"].map((name) => `${name}.schema.json`);
  const folder = path.join(project, "node_modules/lentic");
  for (const name of names) {
    ajv.addSchema(JSON.parse(await readFile(path.join(folder, "schema", name), "utf8")), name);
  }
  const [isJournal, isAdvice, isRecord] = names.map((name) => ajv.getSchema(name));
  const fits = (validate, value, place) =>
    assert.ok(validate(value), `${place}: ${ajv.errorsText(validate.errors)}`);

  const { Advisor, load } = await import(pathToFileURL(path.join(folder, "index.js")));
  await load();
  const advisor = new Advisor();
  const stories = `${top}tests/journals`;
  let answers = 0;
  for (const file of (await readdir(stories)).filter((name) => name.startsWith("story-"))) {
    const journal = JSON.parse(await readFile(`${stories}/${file}`, "utf8"));
    fits(isJournal, journal, file);
    for (const day of new Set(["2026-10-01", ...journal.events.map(({ on }) => on)])) {
      const { advice } = advisor.advise(journal, day);
      fits(isAdvice, advice, `${file} on ${day}`);
      answers += 1;
    }
    const record = JSON.parse(advisor.record(journal, "2026-10-01").record);
    fits(isRecord, record, file);
    assert.ok(!isAdvice({ ...record.answer, colour: "green" }));
    assert.ok(!isAdvice({ ...record.answer, format: "lentic-advice/2" }));
    const { answer: _, ...without } = record;
    assert.ok(!isRecord(without));
  }
  assert.ok(answers > 100, `only ${answers} answers`);
});

const kinds = {
  ".html": "text/html",
  ".js": "text/javascript",
  ".css": "text/css",
  ".wasm": "application/wasm",
};

/** The project, or a folder of it, as a site under the policy that the package asks for. */
async function site(use, folder = "") {
  const server = http.createServer(async (request, response) => {
    const { pathname } = new URL(request.url, "http://127.0.0.1");
    try {
      const body = await readFile(path.join(project, folder, pathname));
      response.writeHead(200, {
        "content-type": kinds[path.extname(pathname)] ?? "application/octet-stream",
        "content-security-policy":
          "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; connect-src 'self'; require-trusted-types-for 'script'; trusted-types test",
      });
      response.end(body);
    } catch {
      response.writeHead(404).end();
    }
  });
  const browser = await launch();
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  try {
    await open(browser, {}, (page) => use(page, `http://127.0.0.1:${server.address().port}/`));
  } finally {
    await browser.close();
    server.closeAllConnections();
    server.close();
  }
}

test("it advises in a page and in the page's worker, and the element shows itself", () =>
  site(async (page, url) => {
    const front = `import { Advisor, load } from "./node_modules/lentic/index.js";\nawait load();\n${ASK}`;
    const files = {
      "page.html": `<!DOCTYPE html><html lang="en"><title>Reed</title><link rel="icon" href="data:,">
<script type="module" src="page.js"></script><lentic-advisor on="2026-09-10"></lentic-advisor></html>`,
      "page.js": `import "./node_modules/lentic/element.js";\n${front}
window.answer = answer;
const policy = trustedTypes.createPolicy("test", { createScriptURL: (text) => text });
const worker = new Worker(policy.createScriptURL("page-worker.js"), { type: "module" });
worker.addEventListener("message", ({ data }) => { window.workerSaid = data; });`,
      "page-worker.js": `${front}postMessage(answer);`,
    };
    for (const [name, text] of Object.entries(files)) {
      await writeFile(path.join(project, name), text);
    }
    const seen = watch(page);
    await page.goto(`${url}page.html`);
    await page.waitForFunction(() => window.answer && window.workerSaid);
    assert.equal(await page.evaluate(() => window.answer), expected);
    assert.equal(await page.evaluate(() => window.workerSaid), expected);
    await page.locator("lentic-advisor").getByRole("heading", { name: "What now?" }).waitFor();
    await page.evaluate((journal) => {
      document.querySelector("lentic-advisor").journal = journal;
    }, story);
    const rules = await page.evaluate(() =>
      document.querySelector("lentic-advisor").advice.advice.map(({ rule }) => rule),
    );
    assert.ok(rules.length > 0);
    assert.deepEqual(
      seen.complaints.filter((text) => !text.includes("data:,")),
      [],
    );
    assert.deepEqual(
      [...seen.origins].filter((origin) => origin !== "null"),
      [new URL(url).origin],
    );
  }));

/** How a page that goes through a bundler loads the engine; `files` is what comes out. */
const bundled = {
  "from the file that the bundler names": {
    load: `import address from "lentic/lentic.wasm";
await load(new URL(address, import.meta.url));`,
    files: [/^lentic-\w+\.wasm$/, /^page\.js$/],
  },
  "from within the script": {
    load: `import { bytes } from "lentic/inline";\nawait load(bytes);`,
    files: [/^page\.js$/],
  },
};

for (const [name, { load, files }] of Object.entries(bundled)) {
  test(`a bundled page advises with the engine ${name}`, async () => {
    const folder = `bundled-${Object.keys(bundled).indexOf(name)}`;
    const source = `import { Advisor, load } from "lentic";\n${load}\n${ASK}window.answer = answer;`;
    await mkdir(path.join(project, folder, "source"), { recursive: true });
    await writeFile(path.join(project, folder, "source/page.js"), source);
    await build({
      absWorkingDir: project,
      entryPoints: [`${folder}/source/page.js`],
      outdir: `${folder}/out`,
      bundle: true,
      format: "esm",
      minify: true,
      loader: { ".wasm": "file" },
    });
    const made = (await readdir(path.join(project, folder, "out"))).sort();
    assert.equal(made.length, files.length, String(made));
    files.forEach((file, index) => {
      assert.match(made[index], file);
    });
    await writeFile(
      path.join(project, folder, "out/page.html"),
      `<!DOCTYPE html><html lang="en"><title>Reed</title><link rel="icon" href="data:,">
<script type="module" src="page.js"></script></html>`,
    );
    // Nothing but what the bundler made is there to be asked for.
    await site(async (page, url) => {
      await page.goto(`${url}page.html`);
      await page.waitForFunction(() => window.answer);
      assert.equal(await page.evaluate(() => window.answer), expected);
    }, `${folder}/out`);
  });
}
