// The page for people who see colours differently, and in sunlight: the colours of its palette as
// they look with each kind of colour blindness, and their contrasts.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, test } from "node:test";

import { look, stop } from "./helpers.mjs";

after(stop);

const source = (name) =>
  readFileSync(new URL(`../../crates/preview/web/src/${name}`, import.meta.url), "utf8");
const palette = source("palette.ts");

/** The colours that have a name of their own in the palette. */
const NAMED = Object.fromEntries(
  [...palette.matchAll(/^export const (\w+) = "(#[0-9a-f]{6})";$/gm)].map(([, name, hex]) => [name, hex]),
);
/** The looks of cameras, the last of them that of the cabin. */
const LOOKS = [...palette.matchAll(/\{ fill: "(#\w{6})", ink: "(#\w{6})", dash: (\[[^\]]*\]) \}/g)].map(
  ([, fill, ink, dash]) => ({ fill, ink, dash: JSON.parse(dash) }),
);

const channels = (hex) => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16) / 255);

/** Light of a channel of sRGB: IEC 61966-2-1, from memory. */
const light = (value) => (value <= 0.04045 ? value / 12.92 : ((value + 0.055) / 1.055) ** 2.4);
const linear = (hex) => channels(hex).map(light);

/** A matrix by a column. */
const times = (matrix, column) =>
  matrix.map((row) => row.reduce((sum, value, at) => sum + value * column[at], 0));

function inverse([[a, b, c], [d, e, f], [g, h, i]]) {
  const all = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    [e * i - f * h, c * h - b * i, b * f - c * e],
    [f * g - d * i, a * i - c * g, c * d - a * f],
    [d * h - e * g, b * g - a * h, a * e - b * d],
  ].map((row) => row.map((value) => value / all));
}

const cross = ([a, b, c], [d, e, f]) => [b * f - c * e, c * d - a * f, a * e - b * d];

// F. Viénot, H. Brettel, J. D. Mollon, "Digital video colourmaps for checking the legibility of
// displays by dichromats", Color Research and Application 24 (1999): from the light of a screen to
// the three kinds of cones, and the one that is missing put together of the others. Numbers from
// memory.
const CONES = [
  [17.8824, 43.5161, 4.11935],
  [3.45565, 27.1554, 3.86714],
  [0.0299566, 0.184309, 1.46709],
];
const VIENOT = {
  protanopia: ([, m, s]) => [2.02344 * m - 2.52581 * s, m, s],
  deuteranopia: ([l, , s]) => [l, 0.494207 * l + 1.24827 * s, s],
};

// H. Brettel, F. Viénot, J. D. Mollon, "Computerized simulation of color appearance for dichromats",
// J. Opt. Soc. Am. A 14 (1997): what looks the same without the third kind of cones lies on two half
// planes that meet in white, one through the light of 485 nm, one through that of 660 nm. Numbers
// from memory.
const SCREEN = [
  [0.05059983, 0.08585369, 0.0095242],
  [0.01893033, 0.08925308, 0.01370054],
  [0.00292202, 0.00975732, 0.07145979],
];
const AT_485 = [0.08008, 0.1579, 0.5897];
const AT_660 = [0.0914, 0.007009, 0];
const WHITE = times(SCREEN, [1, 1, 1]);

function withoutShortCones([l, m]) {
  const anchor = m / l < WHITE[1] / WHITE[0] ? AT_660 : AT_485;
  const [across, along, up] = cross(WHITE, anchor);
  return [l, m, -(across * l + along * m) / up];
}

/** The light of a colour as it is seen. */
const SEEN = {
  "all cones": (rgb) => rgb,
  protanopia: (rgb) => times(inverse(CONES), VIENOT.protanopia(times(CONES, rgb))),
  deuteranopia: (rgb) => times(inverse(CONES), VIENOT.deuteranopia(times(CONES, rgb))),
  tritanopia: (rgb) =>
    rgb.every((it) => it === 0) ? rgb : times(inverse(SCREEN), withoutShortCones(times(SCREEN, rgb))),
};

/** CIE L*a*b* of 1976 of light of sRGB, to the white of D65: from memory. */
function lab(rgb) {
  const held = rgb.map((value) => Math.min(1, Math.max(0, value)));
  const xyz = times(
    [
      [0.4124, 0.3576, 0.1805],
      [0.2126, 0.7152, 0.0722],
      [0.0193, 0.1192, 0.9505],
    ],
    held,
  );
  const [x, y, z] = [xyz[0] / 0.9505, xyz[1], xyz[2] / 1.089].map((share) =>
    share > (6 / 29) ** 3 ? Math.cbrt(share) : share / (3 * (6 / 29) ** 2) + 4 / 29,
  );
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

const apart = (one, other) => Math.hypot(...lab(one).map((value, at) => value - lab(other)[at]));

/** WCAG 2.2, contrast ratio: (L1 + 0.05) / (L2 + 0.05) of relative luminances; from memory. */
const luminance = (rgb) => 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
function contrast(one, other) {
  const [less, more] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (more + 0.05) / (less + 0.05);
}
const between = (one, other) => contrast(linear(one), linear(other));

/** Two colours this far apart are told apart at a glance, side by side or not: common practice, no
 * source; 2.3 is about what can just be told apart of two that touch. */
const PLAINLY = 20;

test("the palette is read as it is written", () => {
  assert.equal(LOOKS.length, 8, "seven cameras and the cabin");
  for (const name of ["PAPER", "INK", "LAND", "QUIET", "FORBIDDEN", "GOOD", "BAD"]) {
    assert.match(NAMED[name] ?? "", /^#/, name);
  }
});

test("the simulations do what is known of them", () => {
  const near = (one, other, what) => {
    one.forEach((value, at) => assert.ok(Math.abs(value - other[at]) < 0.01, `${what}: ${one} and ${other}`));
  };
  for (const [name, seen] of Object.entries(SEEN)) {
    // Greys stay what they are, and who sees what is simulated sees no more change.
    for (const grey of [0, 0.2, 0.5, 1]) near(seen([grey, grey, grey]), [grey, grey, grey], name);
    for (const { fill } of LOOKS) near(seen(seen(linear(fill))), seen(linear(fill)), `${name} twice`);
  }
  // What differs in the missing cones alone looks the same.
  const other = { protanopia: [CONES, 0], deuteranopia: [CONES, 1], tritanopia: [SCREEN, 2] };
  for (const [name, [matrix, missing]] of Object.entries(other)) {
    const cones = times(matrix, [0.4, 0.3, 0.35]);
    cones[missing] *= 1.05;
    near(SEEN[name](times(inverse(matrix), cones)), SEEN[name]([0.4, 0.3, 0.35]), name);
  }
  // Red and green of one lightness: far apart, and near for whom they are confused.
  const [red, green] = [linear("#b05a3c"), linear("#7a7a3c")];
  assert.ok(apart(SEEN.deuteranopia(red), SEEN.deuteranopia(green)) < apart(red, green) / 2);
  // Black and white: WCAG calls it 21 to 1.
  assert.equal(between("#000000", "#ffffff"), 21);
  assert.ok(Math.abs(lab([1, 1, 1])[0] - 100) < 0.01);
});

test("any two cameras are told apart by colour, or else by their dashes, with any colour vision", () => {
  for (const [name, seen] of Object.entries(SEEN)) {
    LOOKS.forEach((one, at) => {
      for (const other of LOOKS.slice(at + 1)) {
        const far = apart(seen(linear(one.fill)), seen(linear(other.fill)));
        assert.ok(far >= 8, `${one.fill} and ${other.fill} are ${far.toFixed(1)} apart, ${name}`);
        if (far >= PLAINLY) continue;
        assert.notDeepEqual(one.dash, other.dash, `${one.fill} and ${other.fill}, ${name}`);
      }
    });
  }
});

test("filmed and not filmed, quiet and no filming differ in lightness or hue for everybody", () => {
  for (const [name, seen] of Object.entries(SEEN)) {
    for (const [one, other] of [["GOOD", "BAD"], ["QUIET", "FORBIDDEN"]]) {
      const far = apart(seen(linear(NAMED[one])), seen(linear(NAMED[other])));
      assert.ok(far >= 8, `${one} and ${other} are ${far.toFixed(1)} apart, ${name}`);
    }
  }
});

test("what is written on a colour stands out from it: 4.5 to 1", () => {
  const pairs = LOOKS.map(({ fill, ink }) => [ink, fill]);
  for (const [, fill, name] of source("lanes.ts").matchAll(/fill: "(#\w{6})", ink: palette\.(\w+)/g)) {
    pairs.push([NAMED[name], fill]);
  }
  assert.ok(pairs.length > LOOKS.length, "the lanes have colours of their own");
  for (const name of ["INK", "GOOD", "BAD", "QUIET", "FORBIDDEN", "ZONE"]) {
    pairs.push([NAMED[name], NAMED.PAPER], [NAMED[name], NAMED.LAND]);
  }
  for (const [ink, fill] of pairs) {
    const ratio = between(ink, fill);
    assert.ok(ratio >= 4.5, `${ink} on ${fill}: ${ratio.toFixed(2)}`);
  }
});

test("marks stand out from paper and land, or from an edge that does: 3 to 1", () => {
  for (const name of ["INK", "ROUTE", "ZONE", "QUIET", "FORBIDDEN", "GOOD", "BAD", "NOW", "SHORE"]) {
    for (const on of ["PAPER", "LAND"]) {
      const ratio = between(NAMED[name], NAMED[on]);
      assert.ok(ratio >= 3, `${name} on ${on}: ${ratio.toFixed(2)}`);
    }
  }
  // A camera's colour is always edged with ink, which stands out from paper whatever the colour is; it
  // stands out from its edge, and the dashes, drawn in its own ink, from it.
  for (const { fill, ink } of LOOKS) {
    const edged = between(fill, NAMED.INK);
    assert.ok(edged >= 3, `${fill} in its edge: ${edged.toFixed(2)}`);
    assert.ok(between(ink, fill) >= 3, `dashes on ${fill}`);
  }
});

for (const name of ["planned", "two-flights", "night"]) {
  test(`everything written in ${name} stands out from its ground, and cameras have letters`, async () => {
    await look(name, {}, async (page) => {
      const written = await page.evaluate(() => {
        const found = new Map();
        const walker = document.createTreeWalker(document.querySelector("#page"), NodeFilter.SHOW_TEXT);
        while (walker.nextNode()) {
          const text = walker.currentNode.textContent.trim();
          const element = walker.currentNode.parentElement;
          if (text === "" || element.closest(".skip") || element.getClientRects().length === 0) continue;
          const style = getComputedStyle(element);
          let behind = element;
          let ground = "rgba(0, 0, 0, 0)";
          while (behind && /, 0\)$/.test(ground)) {
            ground = getComputedStyle(behind).backgroundColor;
            behind = behind.parentElement;
          }
          found.set(`${style.color} on ${ground}`, [style.color, ground, text]);
        }
        return [...found.values()];
      });
      const rgb = (words) => {
        const numbers = words.match(/[\d.]+/g).map(Number);
        assert.ok(numbers.length === 3 || numbers[3] === 1, `${words} is seen through`);
        return numbers.slice(0, 3).map((value) => light(value / 255));
      };
      assert.ok(written.length >= 5, `only ${written.length} pairs of colours`);
      for (const [ink, ground, text] of written) {
        const ratio = contrast(rgb(ink), rgb(ground));
        assert.ok(ratio >= 4.5, `“${text}”, ${ink} on ${ground}: ${ratio.toFixed(2)}`);
      }
      const swatches = await page.locator(".legend").first().locator(".swatch").evaluateAll((all) =>
        all.map((it) => [it.textContent, getComputedStyle(it).borderTopColor]),
      );
      const letters = swatches.map(([letter]) => letter);
      assert.ok(letters.length >= 2 && letters.every((it) => it !== ""), letters.join());
      assert.equal(new Set(letters).size, letters.length, `two of one letter: ${letters.join()}`);
      for (const [letter, edge] of swatches) {
        assert.deepEqual(rgb(edge), linear(NAMED.INK), `the edge of ${letter}`);
      }
    });
  });
}
