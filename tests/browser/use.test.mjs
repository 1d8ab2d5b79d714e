// What a person does with a page: drags, plays, clicks and types; and that whatever else shows the
// moment follows.

import assert from "node:assert/strict";
import { after, test } from "node:test";

import { look, PHONE, stop } from "./helpers.mjs";

after(stop);

const clockText = (page) => page.locator(".time strong").innerText();
const clockValue = (page) => page.locator("#clock").evaluate((it) => Number(it.value));
const pressed = (page, name) =>
  page.getByRole("button", { name, exact: true }).getAttribute("aria-pressed");
const press = async (page, ...keys) => {
  for (const key of keys) await page.keyboard.press(key);
};

/** The data that the page was given. */
const dataOf = (page) => page.evaluate(() => JSON.parse(document.getElementById("data").textContent));

/** Time since take-off, as the page writes it. */
function since(milliseconds) {
  const whole = Math.floor(milliseconds / 1000);
  const two = (value) => String(value).padStart(2, "0");
  const [hours, rest] = [Math.floor(Math.abs(whole) / 3600), Math.abs(whole) % 3600];
  const words = `${two(Math.floor(rest / 60))}:${two(rest % 60)}`;
  return `T${whole < 0 ? "-" : "+"}${hours > 0 ? `${hours}:` : ""}${words}`;
}

/** Clock, slider and the panels of what is on now all say the same moment. */
async function agree(page) {
  const text = await clockText(page);
  // A slider stands on whole tenths of a second.
  const value = await clockValue(page);
  assert.ok([value - 100, value, value + 100].map(since).includes(text), `the slider is at ${since(value)}, the clock says ${text}`);
  for (const head of await page.locator(".now > h2").allInnerTexts()) {
    assert.equal(head, `Now, ${text}`);
  }
  return text;
}

/** Sets the clock as the slider does. */
async function set(page, moment) {
  await page.locator("#clock").evaluate((slider, value) => {
    slider.value = String(value);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
  }, moment);
  await drawn(page);
}

/** Waits until what was asked for is drawn. */
const drawn = (page) =>
  page.evaluate(
    () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done()))),
  );

/** What the map shows, to be compared. */
const mapPicture = (page, number = 0) =>
  page
    .locator(".map")
    .nth(number)
    .evaluate((map) => [...map.querySelectorAll("canvas")].map((it) => it.toDataURL()).join());

/** Where on the screen pixels of one colour are in the map, [x, y] each; `around` asks for so many
 * pixels of it on each side. */
function pixels(page, colour, around) {
  return page.evaluate(
    ([wanted, around]) => {
      const found = [];
      for (const canvas of document.querySelector(".map").querySelectorAll("canvas")) {
        const { width, height } = canvas;
        if (width === 0 || height === 0) continue;
        const box = canvas.getBoundingClientRect();
        // Read from a copy, which is not drawn on again and again.
        const copy = new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true });
        copy.drawImage(canvas, 0, 0);
        const { data } = copy.getImageData(0, 0, width, height);
        const is = (x, y) => {
          const at = (y * width + x) * 4;
          return data[at] === wanted[0] && data[at + 1] === wanted[1] && data[at + 2] === wanted[2] && data[at + 3] === 255;
        };
        for (let y = around; y < height - around; y += 1) {
          for (let x = around; x < width - around; x += 1) {
            let all = is(x, y);
            for (let far = 1; all && far <= around; far += 1) {
              all = is(x - far, y) && is(x + far, y) && is(x, y - far) && is(x, y + far);
            }
            if (all) found.push([box.left + (x * box.width) / width, box.top + (y * box.height) / height]);
          }
        }
      }
      return found;
    },
    [colour, around],
  );
}

const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;

/** Where the aircraft is on the screen: what is dark and thick now, and was not before. */
async function aircraft(page, moment, elsewhere) {
  const dark = [0x14, 0x18, 0x1f];
  await set(page, elsewhere);
  const before = new Set((await pixels(page, dark, 3)).map(String));
  await set(page, moment);
  const now = (await pixels(page, dark, 3)).filter((at) => !before.has(String(at)));
  assert.ok(now.length > 0, "the aircraft is not on the map");
  return [mean(now.map(([x]) => x)), mean(now.map(([, y]) => y))];
}

/** How moments lie across the lanes, measured by their line: pixels on the screen for a moment. */
async function across(page, number = 0) {
  const line = page.locator(".stack .line").nth(number);
  const middle = async () => {
    const box = await line.boundingBox();
    return box.x + box.width / 2;
  };
  const was = await clockValue(page);
  const [one, other] = [await page.locator("#clock").evaluate((it) => Number(it.min)), 120_000];
  await set(page, one);
  const from = await middle();
  await set(page, other);
  const to = await middle();
  await set(page, was);
  const each = (to - from) / (other - one);
  return { each, x: (moment) => from + (moment - one) * each };
}

/** Puts the pointer on what the lanes say of themselves in these words, at a moment. */
async function pointAt(page, moment, words, number = 0) {
  const scale = await across(page, number);
  const canvas = page.locator(".stack > canvas").nth(number);
  await canvas.scrollIntoViewIfNeeded();
  const box = await canvas.boundingBox();
  const about = page.locator(".about").nth(number);
  for (let y = box.y + 30; y < box.y + box.height; y += 6) {
    await page.mouse.move(scale.x(moment), y);
    await drawn(page);
    if (words.test(await about.innerText())) return [scale.x(moment), y];
  }
  assert.fail(`no lane says ${words} at ${since(moment)}`);
}

test("the slider is dragged, and clock, panel, lanes and map follow", async () => {
  await look("planned", {}, async (page) => {
    const slider = page.locator("#clock");
    await slider.scrollIntoViewIfNeeded();
    const before = await mapPicture(page);
    const [first, last, value] = await slider.evaluate((it) => [it.min, it.max, it.value].map(Number));
    const box = await slider.boundingBox();
    // The middle of its thumb goes from half a thumb within one end to half a thumb within the other.
    const at = (share) => box.x + 8 + (box.width - 16) * share;
    const y = box.y + box.height / 2;
    await page.mouse.move(at((value - first) / (last - first)), y);
    await page.mouse.down();
    const seen = [];
    for (const share of [0.2, 0.4, 0.6, 0.8]) {
      await page.mouse.move(at(share), y, { steps: 4 });
      await drawn(page);
      const there = await clockValue(page);
      assert.ok(Math.abs((there - first) / (last - first) - share) < 0.02, `${there} at ${share}`);
      seen.push(await agree(page));
    }
    await page.mouse.up();
    assert.equal(new Set(seen).size, 4);
    assert.notEqual(await mapPicture(page), before, "the map does not follow");
    const line = await page.locator(".stack .line").boundingBox();
    const scale = await across(page);
    assert.ok(Math.abs(line.x + line.width / 2 - scale.x(await clockValue(page))) < 2, "the line of the lanes");
  });
});

test("the lanes are dragged, and their line stays under the pointer", async () => {
  await look("planned", {}, async (page) => {
    const canvas = page.locator(".stack > canvas");
    await canvas.scrollIntoViewIfNeeded();
    const box = await canvas.boundingBox();
    const scale = await across(page);
    const before = await mapPicture(page);
    await page.mouse.move(box.x + box.width * 0.3, box.y + 40);
    await page.mouse.down();
    for (const share of [0.35, 0.5, 0.65, 0.8]) {
      const x = box.x + box.width * share;
      await page.mouse.move(x, box.y + 60, { steps: 3 });
      await drawn(page);
      assert.ok(Math.abs(scale.x(await clockValue(page)) - x) < 2, `the clock at ${share}`);
      const line = await page.locator(".stack .line").boundingBox();
      assert.ok(Math.abs(line.x + line.width / 2 - x) < 2, `the line at ${share}`);
      await agree(page);
    }
    await page.mouse.up();
    const rest = await clockText(page);
    await page.mouse.move(box.x + box.width * 0.4, box.y + 60);
    await drawn(page);
    assert.equal(await clockText(page), rest, "a pointer that is not pressed moves nothing");
    assert.notEqual(await mapPicture(page), before, "the map does not follow");
  });
});

test("it plays at 1, 4 and 16 times, and pauses", async () => {
  await look("planned", {}, async (page) => {
    for (const speed of [1, 4, 16]) {
      await page.getByRole("button", { name: `${speed}×` }).click();
      assert.equal(await pressed(page, `${speed}×`), "true");
      await page.locator(".play").click();
      assert.match(await page.locator(".play").innerText(), /pause/);
      // Both clocks are read in the page, between two of its frames, so that the test's own delay
      // does not count.
      const [wall, moved] = await page.evaluate(async () => {
        const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
        const slider = document.querySelector("#clock");
        await frame();
        const [began, from] = [performance.now(), Number(slider.value)];
        while (performance.now() - began < 1500) await frame();
        return [performance.now() - began, Number(slider.value) - from];
      });
      // It may fall behind where a frame takes longer than a quarter of a second, never run ahead.
      const ran = moved / wall / speed;
      assert.ok(ran > 0.6 && ran < 1.15, `${ran} of ${speed} times`);
      await page.locator(".play").click();
      assert.match(await page.locator(".play").innerText(), /play/);
      const rest = await clockValue(page);
      await page.waitForTimeout(250);
      assert.equal(await clockValue(page), rest, "it goes on after the pause");
      await agree(page);
    }
  });
});

test("it stops at the end, and plays from the beginning when asked once more", async () => {
  await look("planned", {}, async (page) => {
    const [first, last] = await page.locator("#clock").evaluate((it) => [Number(it.min), Number(it.max)]);
    await press(page, "End", "ArrowLeft", "3", "Space");
    await page.waitForFunction(() => /play/.test(document.querySelector(".play").textContent), null, { timeout: 5000 });
    assert.ok(Math.abs((await clockValue(page)) - last) <= 100);
    await press(page, "Space");
    await page.waitForTimeout(300);
    await press(page, "Space");
    const there = await clockValue(page);
    assert.ok(there > first && there < first + 60_000, `${there}`);
  });
});

test("a click on the track leads to the moment the aircraft was there", async () => {
  await look("planned", {}, async (page) => {
    await page.locator(".map").scrollIntoViewIfNeeded();
    const data = await dataOf(page);
    const moment = Math.round((data.sides[0].length - data.sides[0].zero) * 0.38);
    const [x, y] = await aircraft(page, moment, 0);
    await set(page, 0);
    await page.mouse.click(x, y);
    // A click is told from the first half of a double click after a moment.
    await page.waitForFunction(() => document.querySelector("#clock").value !== "0", null, { timeout: 3000 });
    const there = await clockValue(page);
    assert.ok(Math.abs(there - moment) < 15_000, `${since(there)} instead of ${since(moment)}`);
    await agree(page);
    // The lanes have followed.
    const line = await page.locator(".stack .line").boundingBox();
    assert.ok(Math.abs(line.x + line.width / 2 - (await across(page)).x(there)) < 2);
  });
});

test("a click on a missed sight of the map tells of it and leads to it", async () => {
  await look("planned", {}, async (page) => {
    await page.locator(".map").scrollIntoViewIfNeeded();
    const missed = (await dataOf(page)).sides[0];
    const sight = missed.sights.find((it) => !it.filmed);
    const title = missed.places[sight.place].title;
    // Its mark hangs below its name, in the same colour.
    const red = await pixels(page, [0x9f, 0x12, 0x39], 0);
    const lowest = Math.max(...red.map(([, y]) => y));
    const mark = red.filter(([, y]) => y > lowest - 14);
    await page.mouse.click(mean(mark.map(([x]) => x)), lowest - 8);
    await page.waitForSelector(".chosen", { timeout: 3000 });
    const words = await page.locator(".chosen").innerText();
    assert.ok(words.includes(title) && /not filmed/.test(words), words);
    const button = page.locator(".glance li", { hasText: title }).first().locator("button");
    assert.equal(await agree(page), await button.innerText(), "map and list lead to the same moment");
    await page.locator(".chosen .close").click();
    assert.equal(await page.locator(".chosen").count(), 0);
  });
});

test("a click on a narration in the lanes leads to it, and it is told", async () => {
  await look("planned", {}, async (page) => {
    const [side] = (await dataOf(page)).sides;
    const telling = side.tellings[4];
    const name = side.narrations[telling.narration].name;
    const moment = (telling.from + telling.to) / 2 - side.zero;
    const before = await mapPicture(page);
    const [x, y] = await pointAt(page, moment, new RegExp(`narration 5, ${name}`));
    await page.mouse.click(x, y);
    await drawn(page);
    assert.ok(Math.abs((await clockValue(page)) - moment) < 3000);
    await agree(page);
    const now = await page.locator(".now").innerText();
    assert.ok(now.includes(name), now);
    // Half of its text has been said.
    const [said, whole] = await page.locator(".now .text").evaluate((text) => [
      text.querySelector(".said").textContent.length,
      text.textContent.length,
    ]);
    assert.ok(said > whole * 0.35 && said < whole * 0.65, `${said} of ${whole}`);
    assert.notEqual(await mapPicture(page), before, "the map does not follow");
  });
});

test("a click on a sight's lane tells of the sight", async () => {
  await look("planned", {}, async (page) => {
    const [side] = (await dataOf(page)).sides;
    const sight = side.sights.find((it) => it.filmed && it.held);
    const title = side.places[sight.place].title;
    const moment = (sight.held.from + sight.held.to) / 2 - side.zero;
    const [x, y] = await pointAt(page, moment, new RegExp(`${title} is in the live picture`));
    await page.mouse.click(x, y);
    await drawn(page);
    assert.match(await page.locator(".chosen").innerText(), new RegExp(`${title}[^]*filmed`));
    assert.ok(Math.abs((await clockValue(page)) - moment) < 3000);
    const row = page.locator(".now .row", { hasText: "In the picture" });
    assert.ok((await row.innerText()).includes(title));
  });
});

test("a click on the chart of altitude leads to its moment", async () => {
  await look("planned", {}, async (page) => {
    const scale = await across(page);
    const plot = page.locator(".chart .u-over");
    await plot.scrollIntoViewIfNeeded();
    const box = await plot.boundingBox();
    const x = box.x + box.width * 0.7;
    await page.mouse.click(x, box.y + box.height / 2);
    await drawn(page);
    assert.ok(Math.abs(scale.x(await clockValue(page)) - x) < 3);
    await agree(page);
  });
});

for (const name of ["planned", "by-hand", "dropout", "two-plans"]) {
  test(`every moment written in ${name} is a button that leads there`, async () => {
    await look(name, {}, async (page) => {
      const buttons = await page.locator("button.to").all();
      assert.ok(buttons.length > 20, `only ${buttons.length}`);
      for (const place of [".glance button.to", "table button.to"]) {
        assert.ok((await page.locator(place).count()) > 0, `no ${place}`);
      }
      for (const button of buttons) {
        const says = await button.innerText();
        await button.evaluate((it) => it.click());
        await drawn(page);
        // In two flights too, time counts from the take-off of each.
        assert.equal(await agree(page), says);
      }
    });
  });
}

test("findings and missed sights at a glance are clicked", async () => {
  await look("planned", {}, async (page) => {
    for (const heading of [/sights? filmed/, /findings?/]) {
      await press(page, "Home");
      const button = page.locator(".card", { has: page.getByRole("heading", { name: heading }) }).locator("button").first();
      const says = await button.innerText();
      await button.click();
      assert.equal(await agree(page), says);
    }
  });
});

test("the keyboard alone is enough", async () => {
  await look("planned", {}, async (page) => {
    const [side] = (await dataOf(page)).sides;
    const [first, last] = await page.locator("#clock").evaluate((it) => [Number(it.min), Number(it.max)]);
    const near = async (moment, what) => {
      const there = await clockValue(page);
      assert.ok(Math.abs(there - moment) <= 100, `${what}: ${there} instead of ${moment}`);
      await agree(page);
    };
    await near(0, "a page opens at take-off");
    for (const [keys, moment] of [
      [["ArrowRight", "ArrowRight", "ArrowLeft"], 1000],
      [["Shift+ArrowRight", "Shift+ArrowRight", "Shift+ArrowLeft"], 11_000],
      [["PageDown", "PageDown", "PageUp"], 71_000],
      [["Home"], first],
      [["ArrowLeft"], first],
      [["End"], last],
      [["PageDown"], last],
    ]) {
      await press(page, ...keys);
      await near(moment, keys.join(", "));
    }
    for (const [key, speed] of [["1", 1], ["2", 4], ["3", 16]]) {
      await press(page, key);
      assert.equal(await pressed(page, `${speed}×`), "true", key);
    }
    await press(page, "Home", "Space");
    assert.match(await page.locator(".play").innerText(), /pause/);
    await press(page, "Space");
    assert.match(await page.locator(".play").innerText(), /play/);

    const changes = new Set();
    for (const span of [side.shots, side.takes, side.tellings, side.music_spans, side.title_spans].flat()) {
      changes.add(span.from).add(span.to);
    }
    for (const still of side.stills) changes.add(still.at);
    const after = [...changes].map((at) => at - side.zero).filter((at) => at > first + 1).sort((a, b) => a - b);
    await press(page, "Home");
    for (const at of after.slice(0, 6)) {
      await press(page, "n");
      await near(at, "N");
    }
    for (const at of after.slice(0, 5).reverse()) {
      await press(page, "P");
      await near(at, "P");
    }

    await press(page, "Home", "f");
    const found = side.findings.flatMap((it) => (it.at === null ? [] : [it.at - side.zero])).sort((a, b) => a - b);
    await near(found[0], "F");
    await press(page, "Home", "m");
    const missed = page.locator(".glance .card").first().locator("li button").first();
    assert.equal(await agree(page), await missed.innerText(), "M leads where the list leads");

    const { each } = await across(page);
    await press(page, "+");
    await drawn(page);
    const closer = await across(page);
    assert.ok(Math.abs(closer.each / each - 2) < 0.02, `${closer.each / each} times as close`);
    await press(page, "-");
    await drawn(page);
    assert.ok(Math.abs((await across(page)).each / each - 1) < 0.02);
  });
});

test("Tab goes through everything, and what has keys of its own keeps them", async () => {
  await look("planned", {}, async (page) => {
    const reached = new Set();
    const all = await page.locator("button:visible, #clock, .map").count();
    for (let count = 0; count < all + 10; count += 1) {
      await press(page, "Tab");
      reached.add(
        await page.evaluate(() => {
          const on = document.activeElement;
          return on.id || (on.classList.contains("map") ? "map" : `${on.className} ${on.textContent}`);
        }),
      );
    }
    for (const name of ["clock", "map", " 16×", "play ▶ play", "whole whole flight"]) {
      assert.ok(reached.has(name), `${name} is not reached: ${[...reached].slice(0, 20).join(" | ")}`);
    }
    // The map's arrows move the map.
    await page.locator(".map").focus();
    const [picture, moment] = [await mapPicture(page), await clockValue(page)];
    await press(page, "ArrowRight");
    await page.waitForTimeout(600);
    assert.equal(await clockValue(page), moment);
    assert.notEqual(await mapPicture(page), picture, "the map does not move");
    // A button is pressed by Space, and nothing plays.
    await page.getByRole("button", { name: "4×" }).focus();
    await press(page, "Space");
    assert.equal(await pressed(page, "4×"), "true");
    assert.match(await page.locator(".play").innerText(), /play/);
    const button = page.locator("table button.to").nth(2);
    await button.focus();
    await press(page, "Enter");
    assert.equal(await agree(page), await button.innerText());
    // The slider moves by the same steps as the page.
    await set(page, 0);
    await page.locator("#clock").focus();
    await press(page, "ArrowRight", "ArrowRight", "PageDown");
    assert.equal(await clockValue(page), 62_000);
  });
});

test("two flights share the clock, and each shows its own", async () => {
  await look("two-flights", {}, async (page) => {
    const before = [await mapPicture(page, 0), await mapPicture(page, 1)];
    const canvas = page.locator(".stack > canvas").nth(1);
    await canvas.scrollIntoViewIfNeeded();
    const box = await canvas.boundingBox();
    await page.mouse.click(box.x + box.width * 0.45, box.y + 40);
    await drawn(page);
    await agree(page);
    assert.equal(await page.locator(".now > h2").count(), 2);
    for (const side of [0, 1]) assert.notEqual(await mapPicture(page, side), before[side], `map ${side}`);
    const lines = await page.locator(".stack .line").all();
    const [one, other] = await Promise.all(lines.map((it) => it.boundingBox()));
    assert.ok(Math.abs(one.x - other.x) < 1, "both lanes have one scale");
  });
});

test("a finger drags the slider and taps the lanes of a phone", async () => {
  const how = { viewport: PHONE, isMobile: true, hasTouch: true, deviceScaleFactor: 2 };
  await look("planned", how, async (page) => {
    const canvas = page.locator(".stack > canvas");
    await canvas.scrollIntoViewIfNeeded();
    const scale = await across(page);
    const box = await canvas.boundingBox();
    const x = box.x + box.width * 0.55;
    await page.touchscreen.tap(x, box.y + 60);
    await drawn(page);
    assert.ok(Math.abs(scale.x(await clockValue(page)) - x) < 2);
    const slider = await page.locator("#clock").boundingBox();
    await page.touchscreen.tap(slider.x + slider.width / 2, slider.y + slider.height / 2);
    await drawn(page);
    const [first, last] = await page.locator("#clock").evaluate((it) => [Number(it.min), Number(it.max)]);
    assert.ok(Math.abs(((await clockValue(page)) - first) / (last - first) - 0.5) < 0.05);
    await agree(page);
  });
});
