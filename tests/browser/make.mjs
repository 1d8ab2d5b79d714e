// Makes the pages that the tests look at, with the program named in FULMAR, into the folder PAGES:
// those of the demo, and those of everything that could make a page empty. Tours made here are
// invented, like the demo.
//
//   FULMAR=target/debug/fulmar PAGES=/tmp/pages node tests/browser/make.mjs [NAME ...]

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join, resolve } from "node:path";

const fulmar = resolve(process.env.FULMAR ?? "target/debug/fulmar");
const pages = resolve(process.env.PAGES ?? "target/tmp/pages");
const only = process.argv.slice(2);

/** Runs the program; findings are no failure here, what could not run is. */
function run(...words) {
  try {
    return execFileSync(fulmar, words, { encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
  } catch (error) {
    assert.equal(error.status, 1, `fulmar ${words.join(" ")}: ${error.stderr}`);
    return error.stdout;
  }
}

function write(name, text) {
  const path = join(pages, "made", name);
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
  return path;
}

/** Fixes as GPX 1.1: [milliseconds, latitude, longitude, metres or null]. */
function gpx(name, fixes) {
  const point = ([time, lat, lon, up]) =>
    `<trkpt lat="${lat.toFixed(6)}" lon="${lon.toFixed(6)}">` +
    (up === null ? "" : `<ele>${up.toFixed(1)}</ele>`) +
    `<time>${new Date(time).toISOString()}</time></trkpt>`;
  const head = '<gpx version="1.1" creator="made up" xmlns="http://www.topografix.com/GPX/1/1">';
  const text = `${head}<trk><trkseg>\n${fixes.map(point).join("\n")}\n</trkseg></trk></gpx>\n`;
  return write(name, text);
}

/** A column of the page's data, as FORMAT.md says. */
function column({ scale, deltas }) {
  let sum = 0;
  return deltas.map((delta) => (delta === null ? null : (sum += delta) / scale));
}

/** The demo's planned flight, flown again and again without a pause, until there are enough fixes. */
function again(name, count) {
  const file = join(pages, "made", "once.json");
  mkdirSync(dirname(file), { recursive: true });
  run("page", "routes/tours/west-coast.yaml", "--format", "json", "-o", file);
  const [side] = JSON.parse(readFileSync(file, "utf8")).sides;
  const { time, latitude, longitude, altitude } = side.fixes;
  const [times, lats, lons, ups] = [time, latitude, longitude, altitude].map(column);
  const fixes = [];
  for (let at = 0; at < count; at += 1) {
    const here = at % times.length;
    fixes.push([side.start + at * 1000, lats[here], lons[here], ups[here]]);
  }
  return gpx(name, fixes);
}

/** A small tour about a place, with one sight beside its way; what differs is put in. */
function tour(name, { lat, lon, turn = 0.08, title = "Out and back", rules = "", zones = "", ...more }) {
  const at = (north, east) => `"${(lat + north).toFixed(4)} ${more.round ? wrap(lon + east) : (lon + east).toFixed(4)}"`;
  const sight = more.sight ?? "elevation: 20 m";
  const camera = more.camera ?? "width: 90 deg, height: 58 deg";
  const text = `tour: ${JSON.stringify(title)}
revision: 1
departure: ${more.departure ?? "2026-06-01T10:30:00Z"}
${more.wind ?? "wind: {from: 240, speed: 5 kt}"}
aircraft: aircraft.yaml
waypoints:
  PAD: {at: ${at(0, 0)}, elevation: 0 m}
  FAR: {at: ${at(turn, more.east ?? 0)}}
sights:
  ARCH: {at: ${at(turn / 2, 0.02)}, ${sight}, name: ${JSON.stringify(more.sightName ?? "The Arch")}}
zones:
  arch: {circle: {centre: ARCH, radius: 2.5 km}}
${zones}route:
  airspeed: 90 kt
  altitude: 300 m
  legs:
    - from: PAD
    - to: FAR
    - land: PAD
must have: [ARCH]
rules:
  film: {when: {phase: airborne}, record: on}
  arch: {when: {in: arch}, priority: 20, camera: right, narration: story, title: arch}
${rules}narrations:
  story: {text: ${JSON.stringify(more.story ?? "The sea has cut an arch.")}, length: 12 s}
titles:
  arch: {text: ${JSON.stringify(more.arch ?? "The Arch")}}
`;
  write(
    `${name}/aircraft.yaml`,
    `aircraft: ${JSON.stringify(more.aircraft ?? "Heron")}
registration: XX-HER
heading source: none
cameras:
  left: {input: 1, mount: {bearing: 270, depression: 15 deg}, field of view: {${camera}}}
  right: {input: 2, mount: {bearing: 90, depression: 15 deg}, field of view: {${camera}}}
recorder: {streams: 2, bit rate: 25 Mbit/s, card: 128 GB}
`,
  );
  return write(`${name}/tour.yaml`, text);
}

function wrap(lon) {
  return (((lon + 540) % 360) - 180).toFixed(4);
}

const WEST = "routes/tours/west-coast.yaml";
const MARKUP = `</script><script>alert("a")</script><img src=x onerror=alert(1)> & "q"`;
const NOON = Date.UTC(2026, 5, 1, 12);

/** What each page is made of: the words behind `fulmar page`, without the output. */
export const ALL = {
  planned: () => [WEST],
  recorded: () => [WEST, "examples/flights/west-coast-wind.gpx"],
  "by-hand": () => [
    WEST, "examples/flights/west-coast-planned.gpx", "--hand", "examples/flights/west-coast-hand.csv",
  ],
  dropout: () => [WEST, "examples/flights/west-coast-dropout.gpx"],
  "two-flights": () => [
    WEST, "examples/flights/west-coast-planned.gpx", "--beside", "examples/flights/west-coast-off-course.gpx",
  ],
  "two-plans": () => [
    "routes/tours/eastern-isles.yaml", "examples/flights/eastern-isles-planned.gpx", "--beside", WEST,
  ],
  "in-two-languages": () => [WEST, "--language", "en,de"],
  "with-sound": () => [WEST, "--sound", "routes/audio/en/arch.ogg"],
  hour: () => [WEST, again("hour.gpx", 3600)],
  "many-fixes": () => [WEST, again("many.gpx", 50_000)],
  night: () => [WEST, "--departure", "2026-12-14T23:30:00-02:00"],
  polar: () => [tour("polar", { lat: 78.2, lon: 15.5 })],
  "polar-night": () => [tour("polar-night", { lat: 78.2, lon: 15.5, departure: "2026-12-21T11:00:00Z" })],
  "at-the-pole": () => [tour("at-the-pole", { lat: 89.95, lon: 20, turn: 0.045, east: 150, round: true })],
  "across-180": () => [tour("across-180", { lat: 10, lon: 179.98, east: 0.06, round: true })],
  "across-the-equator": () => [tour("across-the-equator", { lat: -0.04, lon: 0 })],
  "without-heights": () => [
    tour("without-heights", { lat: 10, lon: 20, sight: "film: {within: 2 NM}", camera: "width: 90 deg" }),
  ],
  "one-fix": () => [tour("one-fix", { lat: 10, lon: 20, wind: "" }), gpx("one.gpx", [[NOON, 10, 20, null]])],
  // Standing over a place and turning on it: nothing tells where the nose points.
  "pedal-turn": () => [
    tour("pedal-turn", { lat: 10, lon: 20, wind: "" }),
    gpx("pedal.gpx", [
      ...Array.from({ length: 60 }, (_, at) => [NOON + at * 1000, 10 + at * 0.0004, 20, 10 + at * 5]),
      ...Array.from({ length: 60 }, (_, at) => [NOON + (60 + at) * 1000, 10.0236, 20, 305]),
    ]),
  ],
  "no-altitude": () => [
    tour("no-altitude", { lat: 10, lon: 20 }),
    gpx("flat.gpx", Array.from({ length: 120 }, (_, at) => [NOON + at * 1000, 10 + at * 0.0004, 20, null])),
  ],
  "many-zones": () => [
    tour("many-zones", {
      lat: 10,
      lon: 20,
      zones: Array.from({ length: 500 }, (_, at) => {
        const [row, place] = [Math.floor(at / 25), at % 25];
        const middle = `"${(9.9 + row * 0.014).toFixed(4)} ${(19.8 + place * 0.016).toFixed(4)}"`;
        return `  z${at}: {circle: {centre: ${middle}, radius: 700 m}${at % 7 === 0 ? ", quiet: true" : ""}}\n`;
      }).join(""),
      rules: Array.from(
        { length: 500 },
        (_, at) => `  r${at}: {when: {in: z${at}, track: 320..040}, priority: 1, camera: left}\n`,
      ).join(""),
    }),
  ],
  markup: () => [
    tour("markup", {
      lat: 10,
      lon: 20,
      title: `Out and back ${MARKUP}`,
      sightName: `The Arch ${MARKUP}`,
      story: `The sea has cut ${MARKUP}.`,
      arch: `The Arch ${MARKUP}`,
      aircraft: `Heron ${MARKUP}`,
    }),
    "--shapes",
    write(
      "markup/shapes.geojson",
      JSON.stringify({
        type: "Feature",
        properties: { name: MARKUP },
        geometry: { type: "LineString", coordinates: [[19.9, 10], [20.1, 10.05]] },
      }),
    ),
    "--attribution",
    MARKUP,
  ],
};

mkdirSync(pages, { recursive: true });
for (const [name, words] of Object.entries(ALL)) {
  if (only.length > 0 && !only.includes(name)) continue;
  run("page", ...words(), "-o", join(pages, `${name}.html`));
}
