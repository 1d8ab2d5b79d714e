// A side of the page, its numbers unpacked and its spans made easy to ask.

import type { Camera, LonLat, Shot, Side, Sight, Span } from "./data";
import { numbers, points, valueAt } from "./data";
import type { Look } from "./palette";
import { look } from "./palette";

/** One flight, ready to be asked for any moment. */
export interface Model {
  side: Side;
  /** Milliseconds from the start. */
  time: Float64Array;
  longitude: Float64Array;
  latitude: Float64Array;
  altitude: Float64Array;
  /** Above the ground; null without terrain. */
  height: Float64Array | null;
  groundspeed: Float64Array;
  track: Float64Array;
  heading: Float64Array;
  bank: Float64Array;
  sunAzimuth: Float64Array | null;
  sunElevation: Float64Array | null;
  route: LonLat[];
  looks: Look[];
  /** A letter or two for each camera, no two the same. */
  letters: string[];
  /** All moments at which something begins or ends, in order. */
  changes: number[];
}

export function model(side: Side): Model {
  const { fixes } = side;
  const optional = (column: typeof fixes.height) => (column ? numbers(column) : null);
  return {
    side,
    time: numbers(fixes.time),
    longitude: numbers(fixes.longitude).map((it) => it / 1),
    latitude: numbers(fixes.latitude),
    altitude: numbers(fixes.altitude),
    height: optional(fixes.height),
    groundspeed: numbers(fixes.groundspeed),
    track: numbers(fixes.track),
    heading: numbers(fixes.heading),
    bank: numbers(fixes.bank),
    sunAzimuth: optional(fixes.sun_azimuth),
    sunElevation: optional(fixes.sun_elevation),
    route: points(side.route),
    looks: looks(side.cameras),
    letters: letters(side.cameras),
    changes: changes(side),
  };
}

function looks(cameras: Camera[]): Look[] {
  let outside = 0;
  return cameras.map((camera) => look(camera.cabin ? null : outside++));
}

/** The first letters of a camera's name that no camera before it has. */
function letters(cameras: Camera[]): string[] {
  const taken = new Set<string>();
  return cameras.map((camera, number) => {
    const letters = [...camera.name.toUpperCase()];
    const first = letters.slice(0, 1).join("");
    const two = letters.slice(0, 2).join("");
    const free = [first, two, `${first}${number + 1}`].find((it) => it !== "" && !taken.has(it));
    const letter = free ?? String(number + 1);
    taken.add(letter);
    return letter;
  });
}

function changes(side: Side): number[] {
  const spans: Span[] = [...side.shots, ...side.takes, ...side.tellings, ...side.music_spans, ...side.title_spans];
  const all = new Set<number>();
  for (const span of spans) {
    all.add(span.from);
    all.add(span.to);
  }
  for (const still of side.stills) all.add(still.at);
  return [...all].filter((at) => at >= 0 && at <= side.length).sort((one, other) => one - other);
}

/** The last fix at or before a moment; the first before it; -1 where there is none at all. */
export function fixAt(model: Model, moment: number): number {
  let low = 0;
  let high = model.time.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (model.time[middle]! <= moment) low = middle + 1;
    else high = middle;
  }
  return Math.max(0, low - 1) - (model.time.length === 0 ? 1 : 0);
}

/** Where the aircraft is at a moment, between two fixes that make a leg. */
export interface Here {
  at: LonLat;
  heading: number;
  bank: number;
  fix: number;
}

export function here(model: Model, moment: number): Here | null {
  const fix = fixAt(model, moment);
  if (fix < 0) return null;
  const next = Math.min(fix + 1, model.time.length - 1);
  const [from, to] = [model.time[fix]!, model.time[next]!];
  // Over a gap nothing is made up: the aircraft stays at the last fix.
  const bridged = to > from && to - from <= 15_000;
  const share = bridged ? Math.min(1, Math.max(0, (moment - from) / (to - from))) : 0;
  const between = (all: Float64Array) => all[fix]! + (all[next]! - all[fix]!) * share;
  return {
    at: [between(model.longitude), between(model.latitude)],
    heading: turned(model.heading[fix]!, model.heading[next]!, share),
    bank: model.bank[fix] ?? NaN,
    fix,
  };
}

/** Between two directions, the short way round. */
function turned(from: number, to: number, share: number): number {
  if (Number.isNaN(to)) return from;
  const turn = ((((to - from) % 360) + 540) % 360) - 180;
  return (((from + turn * share) % 360) + 360) % 360;
}

/** Where to look at a sight: when it was hindered, else its best moment, else when it was nearest. */
export function momentOf(sight: Sight): number | null {
  return sight.hindered?.span?.from ?? sight.best?.at ?? sight.nearest?.at ?? null;
}

/** The span that holds a moment. */
export function spanAt<T extends Span>(spans: T[], moment: number): T | undefined {
  return spans.find((span) => span.from <= moment && moment < span.to);
}

export const shotAt = (model: Model, moment: number): Shot | undefined =>
  spanAt(model.side.shots, moment);

/** Why a camera is live, in words. */
export function whyLive(side: Side, shot: Shot): string {
  const rule = shot.rule === null ? undefined : side.rules[shot.rule];
  switch (shot.why) {
    case "rule":
      return rule ? `rule ${rule.name} (${rule.source})` : "a rule";
    case "default_sequence":
      return "no rule has it: the default sequence";
    case "shot_hold":
      return `GPS is lost: rule ${rule?.name ?? "before"} keeps it for the shot hold`;
    case "lost":
      return "GPS is lost: the default sequence";
    case "hand":
      return "picked by hand";
    case "no_camera":
      return "there is no camera to show";
  }
}

export { valueAt };
