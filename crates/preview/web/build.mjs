// Bundles the page's program into dist: page.js, page.css, and notices.txt with the licence texts of
// everything that went into them, which those licences ask to be handed on; and page.sha256, by
// which a browser knows the program.
import { build } from "esbuild";
import { createHash } from "node:crypto";
import { readdir, readFile, writeFile } from "node:fs/promises";

const made = await build({
  entryPoints: { page: "src/main.tsx" },
  bundle: true,
  minify: true,
  format: "iife",
  target: "es2022",
  charset: "utf8",
  jsx: "automatic",
  jsxImportSource: "preact",
  legalComments: "none",
  metafile: true,
  outdir: "dist",
});

const packages = new Set();
for (const input of Object.keys(made.metafile.inputs)) {
  const found = input.match(/^(?:.*\/)?node_modules\/((?:@[^/]+\/)?[^/]+)\//);
  if (found) packages.add(found[1]);
}
const notices = [];
for (const name of [...packages].sort()) {
  const folder = `node_modules/${name}`;
  const { version, license } = JSON.parse(await readFile(`${folder}/package.json`, "utf8"));
  const files = (await readdir(folder)).filter((file) => /^licen[cs]e/i.test(file)).sort();
  const texts = await Promise.all(files.map((file) => readFile(`${folder}/${file}`, "utf8")));
  notices.push(`${name} ${version} (${license})\n\n${texts.join("\n").trim()}\n`);
}
await writeFile("dist/notices.txt", notices.join("\n----\n\n"));
const program = await readFile("dist/page.js");
await writeFile("dist/page.sha256", createHash("sha256").update(program).digest("base64"));
