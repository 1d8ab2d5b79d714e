// How things look on the map. Colour never stands alone: filmed is a filled circle with a tick, not
// filmed a hollow diamond with a cross; quiet zones are dotted, no-filming zones hatched by dashes.

import Circle from "ol/style/Circle.js";
import Fill from "ol/style/Fill.js";
import RegularShape from "ol/style/RegularShape.js";
import Stroke from "ol/style/Stroke.js";
import Style from "ol/style/Style.js";
import Text from "ol/style/Text.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import type { FeatureLike } from "ol/Feature.js";

import type { Zone } from "./data";
import type { Look } from "./palette";
import * as palette from "./palette";
import { bearing } from "./words";

const FONT = "600 13px system-ui, sans-serif";
const SMALL = "12px system-ui, sans-serif";

const halo = () => new Stroke({ color: palette.PAPER, width: 3.5 });

function text(words: string, more: object = {}): Text {
  return new Text({
    text: words,
    font: FONT,
    fill: new Fill({ color: palette.INK }),
    stroke: halo(),
    ...more,
  });
}

const land = new Style({
  fill: new Fill({ color: palette.LAND }),
  stroke: new Stroke({ color: palette.SHORE, width: 1 }),
});
const line = new Style({ stroke: new Stroke({ color: palette.SHORE, width: 1.25 }) });
const point = new Style({
  image: new Circle({ radius: 2.5, fill: new Fill({ color: palette.SHORE }) }),
});

export function shape(feature: FeatureLike): Style {
  const kind = feature.get("shape") as string;
  return kind === "area" ? land : kind === "line" ? line : point;
}

export const route = new Style({
  stroke: new Stroke({ color: palette.ROUTE, width: 1.5, lineDash: [2, 6] }),
});

/** What a zone is for whoever looks at the map. */
export function zoneKind(zone: Zone): "quiet" | "forbidden" | "gate" | "plain" {
  if (zone.no_filming !== null) return "forbidden";
  if (zone.quiet) return "quiet";
  return zone.kind === "gate" ? "gate" : "plain";
}

/** The windows of direction in which rules hold in a zone, one line each, no more than three. */
export function windows(zone: Zone): string {
  const all = zone.windows.map(
    ({ of, from, to, magnetic }) =>
      `${of} ${bearing(from)}–${bearing(to)}${magnetic ? " magnetic" : ""}`,
  );
  const each = [...new Set(all)];
  return each.slice(0, 3).join("\n") + (each.length > 3 ? "\n…" : "");
}

const zones: Record<string, Style[]> = {
  plain: [
    new Style({
      stroke: new Stroke({ color: "rgba(71, 85, 105, 0.7)", width: 1 }),
      fill: new Fill({ color: "rgba(71, 85, 105, 0.03)" }),
    }),
  ],
  quiet: [
    new Style({
      stroke: new Stroke({ color: palette.QUIET, width: 2.5, lineDash: [1, 6], lineCap: "round" }),
      fill: new Fill({ color: "rgba(76, 63, 145, 0.10)" }),
    }),
  ],
  forbidden: [
    new Style({
      stroke: new Stroke({ color: palette.FORBIDDEN, width: 3 }),
      fill: new Fill({ color: "rgba(163, 18, 58, 0.14)" }),
    }),
    new Style({ stroke: new Stroke({ color: palette.PAPER, width: 1.25, lineDash: [6, 6] }) }),
  ],
  gate: [
    new Style({ stroke: new Stroke({ color: palette.ZONE, width: 3, lineCap: "butt" }) }),
    new Style({ stroke: new Stroke({ color: palette.PAPER, width: 1, lineDash: [4, 4] }) }),
  ],
};

export function zone(feature: FeatureLike): Style[] {
  return zones[feature.get("kind") as string] ?? zones["plain"]!;
}

/** The name of a zone, with its windows where there is room to read them. */
export function zoneName(feature: FeatureLike, resolution: number): Style | undefined {
  const kind = feature.get("kind") as string;
  const strong = kind === "quiet" || kind === "forbidden";
  if (resolution > (strong ? 60 : 22)) return undefined;
  const what = kind === "quiet" ? "quiet: " : kind === "forbidden" ? "no filming: " : "";
  const windows = resolution < 14 ? (feature.get("windows") as string) : "";
  const colour =
    kind === "quiet" ? palette.QUIET : kind === "forbidden" ? palette.FORBIDDEN : palette.ZONE;
  return new Style({
    text: text(`${what}${feature.get("name") as string}${windows === "" ? "" : `\n${windows}`}`, {
      font: strong ? FONT : SMALL,
      fill: new Fill({ color: colour }),
      overflow: false,
    }),
    zIndex: strong ? 2 : 1,
  });
}

const tracks = new Map<Look, Style[]>();
const unseen = [new Style({ stroke: new Stroke({ color: palette.INK, width: 1.5 }) })];

/** A stretch of the track in the colour and dashes of its camera, with its letter in the middle. */
export function track(feature: FeatureLike, resolution: number): Style[] {
  const look = feature.get("look") as Look | null | undefined;
  if (!look) return unseen;
  let base = tracks.get(look);
  if (!base) {
    base = [
      new Style({ stroke: new Stroke({ color: palette.PAPER, width: 8 }) }),
      new Style({ stroke: new Stroke({ color: palette.INK, width: 6, lineCap: "butt" }) }),
      new Style({ stroke: new Stroke({ color: look.fill, width: 4.5, lineCap: "butt" }) }),
    ];
    if (look.dash.length > 0) {
      base.push(
        new Style({
          stroke: new Stroke({ color: look.ink, width: 1.25, lineDash: look.dash, lineCap: "butt" }),
        }),
      );
    }
    tracks.set(look, base);
  }
  const geometry = feature.getGeometry();
  if (!(geometry instanceof LineString) || geometry.getLength() / resolution < 44) return base;
  const letter = new Style({
    geometry: new Point(geometry.getCoordinateAt(0.5)),
    image: new Circle({
      radius: 8,
      fill: new Fill({ color: look.fill }),
      stroke: new Stroke({ color: palette.INK, width: 1.25 }),
    }),
    text: new Text({
      text: feature.get("letter") as string,
      font: "700 11px system-ui, sans-serif",
      fill: new Fill({ color: look.ink }),
    }),
  });
  return [...base, letter];
}

const mark = (filmed: boolean, must: boolean) =>
  filmed
    ? new Circle({
        radius: must ? 9 : 7,
        declutterMode: "none",
        fill: new Fill({ color: palette.GOOD }),
        stroke: new Stroke({ color: palette.PAPER, width: 2 }),
      })
    : new RegularShape({
        points: 4,
        radius: must ? 12 : 9.5,
        declutterMode: "none",
        angle: 0,
        fill: new Fill({ color: palette.PAPER }),
        stroke: new Stroke({ color: palette.BAD, width: 2.75 }),
      });

export function sight(feature: FeatureLike): Style[] {
  const filmed = feature.get("filmed") as boolean | null;
  const must = feature.get("must") as boolean;
  const name = feature.get("name") as string;
  if (filmed === null) {
    // Home.
    return [
      new Style({
        image: new RegularShape({
          points: 4,
          radius: 8,
          declutterMode: "none",
          angle: Math.PI / 4,
          fill: new Fill({ color: palette.INK }),
          stroke: new Stroke({ color: palette.PAPER, width: 2 }),
        }),
        text: text(name, { offsetY: 17, font: SMALL }),
      }),
    ];
  }
  return [
    new Style({
      image: mark(filmed, must),
      text: text(filmed ? "✓" : "✕", {
        font: "700 11px system-ui, sans-serif",
        fill: new Fill({ color: filmed ? palette.PAPER : palette.BAD }),
        stroke: undefined,
        declutterMode: "none",
      }),
      zIndex: 3,
    }),
    new Style({
      text: text(filmed ? name : `${name}: not filmed`, {
        offsetY: -19,
        font: must ? FONT : SMALL,
        fill: new Fill({ color: filmed ? palette.INK : palette.BAD }),
      }),
      zIndex: 3,
    }),
  ];
}

export function moving(feature: FeatureLike): Style[] {
  if (feature.get("part") === "frame") {
    const look = feature.get("look") as Look;
    const live = feature.get("live") as boolean;
    return [
      new Style({
        fill: new Fill({ color: live ? `${look.fill}59` : `${look.fill}0d` }),
        stroke: new Stroke({
          color: live ? palette.INK : `${look.fill}99`,
          width: live ? 1.75 : 1,
          ...(live ? {} : { lineDash: [3, 4] }),
        }),
        zIndex: live ? 2 : 1,
      }),
    ];
  }
  const heading = feature.get("heading") as number | null;
  if (heading === null) {
    return [
      new Style({
        image: new Circle({
          radius: 8,
          fill: new Fill({ color: palette.PAPER }),
          stroke: new Stroke({ color: palette.NOW, width: 3 }),
        }),
        text: text("?", { font: "700 12px system-ui, sans-serif", stroke: undefined }),
        zIndex: 5,
      }),
    ];
  }
  return [
    new Style({
      image: new RegularShape({
        points: 3,
        radius: 12,
        scale: [0.8, 1.15],
        rotation: (heading * Math.PI) / 180,
        rotateWithView: true,
        fill: new Fill({ color: palette.NOW }),
        stroke: new Stroke({ color: palette.PAPER, width: 2.5 }),
      }),
      zIndex: 5,
    }),
  ];
}
