// Where things stand on a page, and that what is asked most is answered without a click.

import assert from "node:assert/strict";
import { after, test } from "node:test";

import { look, stop } from "./helpers.mjs";

after(stop);

const box = (locator) => locator.boundingBox();

test("what matters of two flights stands side by side, and one below the other on a phone", async () => {
  await look("two-flights", {}, async (page) => {
    const [one, other] = [await box(page.locator(".glance").nth(0)), await box(page.locator(".glance").nth(1))];
    assert.equal(one.y, other.y);
    assert.ok(other.x >= one.x + one.width);
  });
  const how = { viewport: { width: 360, height: 740 }, isMobile: true, hasTouch: true };
  await look("two-flights", how, async (page) => {
    const [one, other] = [await box(page.locator(".glance").nth(0)), await box(page.locator(".glance").nth(1))];
    assert.ok(other.y >= one.y + one.height);
    const [wide, screen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
    assert.ok(wide <= screen, `it is ${wide} wide on a screen of ${screen}`);
    const clock = await box(page.locator(".transport"));
    assert.ok(clock.height < 740 / 5, `the clock takes ${clock.height} of 740`);
  });
});

test("what is asked most is answered without a click", async () => {
  await look("planned", {}, async (page) => {
    const words = await page.locator("#page").innerText();
    assert.match(words, /Seal Ledges is missed: .*no-filming zone/s, "which sight is missed, and why");
    const second = page.locator("tbody tr").filter({ has: page.locator("td.number", { hasText: /^2$/ }) });
    const told = await second.first().innerText();
    assert.match(told, /T\+\d\d:\d\d[\s\S]*yes, \d+\.\d s to spare/, "when the second narration starts, and whether it fits");
    assert.match(words, /The sun is (in|down)/, "where the sun is in the lens");
  });
});

test("the licences of what the page is built with are on it", async () => {
  await look("planned", {}, async (page) => {
    const licences = page.locator("details.licences");
    await licences.locator("summary").click();
    const words = await licences.innerText();
    for (const name of [/^ol \d/m, /^preact \d/m, /^uplot \d/m, /Permission is hereby granted/]) assert.match(words, name);
  });
});
