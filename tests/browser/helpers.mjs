// A real browser for the tests: Debian's Chromium, driven by playwright-core.
//
// The tests are run with three settings: BROWSER_DRIVER, the folder that `prepare` made; PAGES, the
// folder into which `make.mjs` wrote the pages; CHROMIUM, the browser, where it is not Debian's.

import assert from "node:assert/strict";
import { existsSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const driver = process.env.BROWSER_DRIVER ?? "target/tmp/browser";
const { chromium } = createRequire(resolve(driver, "package.json"))("playwright-core");

/** Folder of the pages. */
export const PAGES = process.env.PAGES ?? join(tmpdir(), "fulmar-pages");

/** Sizes in CSS pixels of what a page is looked at on. */
export const DESK = { width: 1280, height: 800 };
export const TABLET = { width: 820, height: 1180 };
export const PHONE = { width: 390, height: 844 };

let browser;

/** The browser, started once. */
export async function start() {
  const found = process.env.CHROMIUM ?? "/usr/bin/chromium";
  assert.ok(existsSync(found), `${found} is missing; run tests/browser/prepare`);
  browser ??= await chromium.launch({
    executablePath: found,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"],
  });
  return browser;
}

/** Closes the browser; at the end of a test file. */
export async function stop() {
  await browser?.close();
  browser = undefined;
}

/** The map's library tries once which way of reading a canvas is the faster, and the browser
 * remarks on the slower one: that is no complaint of the page's. */
const TRIED = /^Canvas2D: Multiple readback operations using getImageData/;

/** What a page may never do: complain, ask the network, or ask the person. */
function listen(page) {
  const wrong = [];
  page.on("console", (message) => {
    if (message.type() === "warning" && TRIED.test(message.text())) return;
    if (["error", "warning"].includes(message.type())) wrong.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => wrong.push(`thrown: ${error.message}`));
  page.on("dialog", (dialog) => {
    wrong.push(`dialog: ${dialog.message()}`);
    void dialog.dismiss();
  });
  page.on("request", (request) => {
    if (!/^(file|data|blob):/.test(request.url())) wrong.push(`network: ${request.url()}`);
  });
  return wrong;
}

/**
 * Opens a page of PAGES by its name, hands it to a test, and says no to whatever it did wrong
 * meanwhile. `how` is what playwright's newContext takes: viewport, colorScheme and so on; and
 * `throttle`, which is called with the page before it is opened.
 */
export async function look(name, { throttle, ...how }, test) {
  const context = await (await start()).newContext({ viewport: DESK, ...how });
  try {
    const page = await context.newPage();
    const wrong = listen(page);
    await page.addInitScript(watchOpening);
    await throttle?.(page);
    await page.goto(pathToFileURL(join(PAGES, `${name}.html`)).href);
    await page.waitForFunction(() => window.shownAfter !== undefined, null, { timeout: 60_000 });
    await test(page);
    assert.deepEqual(wrong, [], `${name} did what it may not`);
  } finally {
    await context.close();
  }
}

/** Notes after how many milliseconds the page was there: the map drawn, and the clock. */
function watchOpening() {
  const there = () => {
    if (document.querySelector("#page canvas") && document.querySelector("#clock")) {
      // What is drawn in this frame is seen in the next.
      requestAnimationFrame(() =>
        requestAnimationFrame(() => {
          window.shownAfter = performance.now();
        }),
      );
      return;
    }
    requestAnimationFrame(there);
  };
  requestAnimationFrame(there);
}

/** How many colours there are on the map: one means that nothing is drawn. */
export function coloursOnTheMap(page) {
  return page.evaluate(() => {
    const colours = new Set();
    for (const canvas of document.querySelectorAll(".ol-viewport canvas")) {
      const drawn = canvas.getContext("2d");
      if (!drawn || canvas.width === 0) continue;
      const { data } = drawn.getImageData(0, 0, canvas.width, canvas.height);
      for (let at = 0; at < data.length; at += 16) {
        colours.add((data[at] << 16) | (data[at + 1] << 8) | data[at + 2]);
      }
    }
    return colours.size;
  });
}
