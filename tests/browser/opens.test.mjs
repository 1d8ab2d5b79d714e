// Every page opens, shows something, complains of nothing and asks nobody: on a desk, a tablet and a
// phone, and printed.

import assert from "node:assert/strict";
import { readdirSync } from "node:fs";
import { after, test } from "node:test";

import { coloursOnTheMap, look, PAGES, PHONE, stop, TABLET } from "./helpers.mjs";

after(stop);

const names = readdirSync(PAGES)
  .filter((file) => file.endsWith(".html"))
  .map((file) => file.slice(0, -".html".length));

test("there are pages to look at", () => {
  assert.ok(names.length >= 20, `only ${names.length}: run make.mjs first`);
});

for (const name of names) {
  test(`${name} opens`, async () => {
    await look(name, {}, async (page) => {
      const words = await page.locator("#page").innerText();
      assert.ok(words.length > 300, `only this is there: ${words}`);
      assert.match(words, /not for navigation/i);
      // What stands there until the program runs has given way to it.
      const heads = name.startsWith("two-") ? 2 : 1;
      assert.equal(await page.locator("#page h1").count(), heads);
      assert.doesNotMatch(words, /undefined|NaN|\[object/, "what is not known is said so");
      assert.ok((await coloursOnTheMap(page)) > 3, "the map is empty");
    });
  });
}

/** A page may be longer than the screen and never wider. */
async function fits(page) {
  const wide = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(wide[0] <= wide[1], `it is ${wide[0]} wide on a screen of ${wide[1]}`);
}

for (const [on, viewport] of [["a phone", PHONE], ["a tablet", TABLET]]) {
  for (const name of ["planned", "two-flights", "markup", "many-zones"]) {
    test(`${name} fits on ${on}`, async () => {
      const how = { viewport, isMobile: true, hasTouch: true, deviceScaleFactor: 2 };
      await look(name, how, async (page) => {
        await fits(page);
        assert.ok((await coloursOnTheMap(page)) > 3, "the map is empty");
      });
    });
  }
}

for (const name of ["planned", "two-flights", "night"]) {
  test(`${name} prints`, async () => {
    await look(name, {}, async (page) => {
      const pdf = await page.pdf({ format: "A4", printBackground: true });
      assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
      // A picture of the map is in it, and text.
      assert.ok(pdf.length > 30_000, `${pdf.length} bytes`);
      const sheets = pdf.toString("latin1").match(/\/Type \/Page\b/g)?.length ?? 0;
      assert.ok(sheets >= 1 && sheets <= 12, `${sheets} sheets`);
    });
  });
}

test("markup in names is words and nothing else", async () => {
  await look("markup", {}, async (page) => {
    const made = await page.evaluate(() => ({
      images: document.querySelectorAll("img[src='x']").length,
      scripts: document.querySelectorAll("script").length,
      title: document.title,
    }));
    assert.equal(made.images, 0);
    assert.equal(made.scripts, 3, "the data, the licences and the program");
    assert.match(made.title, /<\/script>/);
    assert.match(await page.locator("#page").innerText(), /<img src=x onerror=alert\(1\)>/);
  });
});

test("the sound is in the page and can be played", async () => {
  await look("with-sound", {}, async (page) => {
    const length = await page.evaluate(async () => {
      const sound = document.getElementById("sound-0");
      sound.load();
      await new Promise((done) => sound.addEventListener("loadedmetadata", done, { once: true }));
      return sound.duration;
    });
    assert.ok(length > 5 && length < 120, `${length} s`);
  });
});

test("without its program the page says what it needs, and which sights are filmed", async () => {
  await look("planned", {}, async (page) => {
    const context = await page.context().browser().newContext({ javaScriptEnabled: false });
    const still = await context.newPage();
    await still.goto(page.url());
    const words = await still.locator("body").innerText();
    assert.match(words, /needs a browser that runs its program/);
    assert.match(words, /Not filmed: /);
    await context.close();
  });
});
