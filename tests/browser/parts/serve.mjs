// A page of every part in every state. It is not shipped: it is looked at, and tested.
import { readdir, readFile } from "node:fs/promises";
import path from "node:path";
import { fileURLToPath } from "node:url";
import { serve } from "../support.mjs";

const top = fileURLToPath(new URL("../../../", import.meta.url));
const journals = path.join(top, "tests/journals");

/** The page's own markup and styles, with the parts in place of the views. */
async function page() {
  const markup = await readFile(path.join(top, "www/index.html"), "utf8");
  return markup
    .replace('src="main.js"', 'src="/show.js"')
    .replace("</head>", '<link rel="stylesheet" href="/gallery.css">\n</head>');
}

const ANY_DAY = "2026-09-25";

/** The journals of the stories, and those with mistakes, each with the day of its last entry. */
async function stories() {
  const names = (await readdir(journals)).filter((name) => /^(story|wrong)-.*json$/.test(name));
  const texts = await Promise.all(names.map((name) => readFile(path.join(journals, name), "utf8")));
  return JSON.stringify(
    names.map((_, index) => {
      const days = texts[index].match(/(?<="on": ")20\d\d-\d\d-\d\d(?=")/g) ?? [];
      const real = days.filter((day) => Date.parse(day)).sort();
      return { text: texts[index], on: real.at(-1) ?? ANY_DAY };
    }),
  );
}

/** Serves the page of parts at `/`, until `close` is called. */
export function serveParts() {
  return serve(undefined, async (name) => {
    if (name === "/index.html") return page();
    if (name === "/stories.json") return stories();
    const from = {
      "/show.js": "tests/browser/parts/show.js",
      "/gallery.css": "tests/browser/parts/gallery.css",
    }[name];
    if (from) return readFile(path.join(top, from));
    if (name.startsWith("/journals/")) return readFile(path.join(top, "tests", name));
    return readFile(path.join(top, "www", name));
  });
}
