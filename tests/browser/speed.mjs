// How fast pages open and how smoothly they are dragged, beside their bars: what a plain machine must
// do. Prints a table, and ends with 1 where a bar is missed.
//
//   tests/browser/figures            makes the release program and the pages first
//
// Opening is counted from the beginning of the navigation to the frame in which the map and the clock
// are seen. Dragging is counted in frames a second while the clock is dragged over the whole flight
// and back with the mouse, and while the lanes are; the slowest frame stands beside. Each is the middle
// one of three. With `--slower 4` the browser's processor is made to seem four times slower.

import assert from "node:assert/strict";
import { statSync } from "node:fs";
import { join } from "node:path";

import { look, PAGES, stop } from "./helpers.mjs";

const BARS = { megabytes: 4, opens: 2000, frames: 30 };
/** Pages whose bars count; of the others the figures are told. */
const COUNT = ["hour"];
const TOLD = ["planned", "many-fixes", "many-zones", "two-flights"];

/** The middle of an odd number of values. */
function middle(values) {
  return [...values].sort((one, other) => one - other)[values.length >> 1];
}

/** Drags with the mouse from one end of an element to the other and back, and counts frames. */
async function drag(page, selector) {
  const element = page.locator(selector).first();
  await element.scrollIntoViewIfNeeded();
  const box = await element.boundingBox();
  // The lanes have their names to the left.
  const [from, to] = [box.x + box.width * 0.25, box.x + box.width - 20];
  const y = box.y + Math.min(box.height / 2, 40);
  await page.mouse.move(from, y);
  await page.mouse.down();
  await page.evaluate(() => {
    window.frameTimes = [];
    const each = (time) => {
      window.frameTimes.push(time);
      window.frameNext = requestAnimationFrame(each);
    };
    window.frameNext = requestAnimationFrame(each);
  });
  const before = await page.locator("#clock").inputValue();
  const steps = 120;
  for (const [one, other] of [[from, to], [to, from]]) {
    for (let step = 1; step <= steps; step += 1) {
      await page.mouse.move(one + ((other - one) * step) / steps, y);
    }
    const now = await page.locator("#clock").inputValue();
    if (other === to) assert.notEqual(now, before, `dragging ${selector} does not move the clock`);
  }
  const times = await page.evaluate(() => {
    cancelAnimationFrame(window.frameNext);
    return window.frameTimes;
  });
  await page.mouse.up();
  const gaps = times.slice(1).map((time, at) => time - times[at]);
  const whole = times[times.length - 1] - times[0];
  return { frames: (1000 * gaps.length) / whole, slowest: Math.max(...gaps) };
}

/** Makes the processor seem so many times slower to the page. */
async function throttle(page) {
  if (slower === 1) return;
  const session = await page.context().newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: slower });
}

async function measure(name) {
  const opens = [];
  const drags = { "#clock": [], ".lanes-of canvas": [] };
  for (let run = 0; run < 3; run += 1) {
    await look(name, { throttle }, async (page) => {
      opens.push(await page.evaluate(() => window.shownAfter));
      for (const selector of Object.keys(drags)) drags[selector].push(await drag(page, selector));
    });
  }
  const [clock, lanes] = Object.values(drags).map((all) => ({
    frames: middle(all.map((it) => it.frames)),
    slowest: middle(all.map((it) => it.slowest)),
  }));
  const megabytes = statSync(join(PAGES, `${name}.html`)).size / 1e6;
  return { megabytes, opens: middle(opens), clock, lanes };
}

const cell = (words, wide) => String(words).padStart(wide);
const words = process.argv.slice(2);
const slower = words[0] === "--slower" ? Number(words[1]) : 1;
const names = words.slice(words[0] === "--slower" ? 2 : 0);
const wanted = names.length > 0 ? names : [...COUNT, ...TOLD];
console.log("page              MB   opens   clock dragged   lanes dragged");
let missed = false;
for (const name of wanted) {
  const { megabytes, opens, clock, lanes } = await measure(name);
  const dragged = ({ frames, slowest }) => cell(`${frames.toFixed(0)}/s, ${slowest.toFixed(0)} ms`, 15);
  console.log(
    name.padEnd(14) + cell(megabytes.toFixed(2), 6) + cell(`${opens.toFixed(0)} ms`, 8) + dragged(clock) + dragged(lanes),
  );
  if (!COUNT.includes(name)) continue;
  const slow = Math.min(clock.frames, lanes.frames) < BARS.frames;
  missed ||= megabytes > BARS.megabytes || opens > BARS.opens || slow;
}
console.log(
  `bars, for ${COUNT.join(", ")}: at most ${BARS.megabytes} MB and ${BARS.opens} ms, at least ${BARS.frames} frames a second`,
);
await stop();
if (missed) {
  console.log("a bar is missed");
  process.exitCode = 1;
}
