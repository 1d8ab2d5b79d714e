// The map of one flight: what lies still is drawn once, the aircraft and its frames move above it.

import OlMap from "ol/Map.js";
import View from "ol/View.js";
import Feature from "ol/Feature.js";
import LineString from "ol/geom/LineString.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";
import TileLayer from "ol/layer/Tile.js";
import VectorLayer from "ol/layer/Vector.js";
import VectorImageLayer from "ol/layer/VectorImage.js";
import XYZ from "ol/source/XYZ.js";
import VectorSource from "ol/source/Vector.js";
import Attribution from "ol/control/Attribution.js";
import Zoom from "ol/control/Zoom.js";
import { createEmpty, extend, isEmpty } from "ol/extent.js";
import type { FeatureLike } from "ol/Feature.js";

import type { LonLat, MapData } from "./data";
import { points } from "./data";
import type { Model } from "./model";
import { here, shotAt } from "./model";
import type { Plane } from "./plane";
import { plane } from "./plane";
import { frames } from "./frame";
import * as styles from "./styles";

/** What a person pointed at. */
export type Picked =
  | { kind: "moment"; at: number }
  | { kind: "sight"; place: number }
  | { kind: "zone"; zone: number };

export interface FlightMap {
  /** Moves the aircraft to a moment of its flight. */
  show(moment: number): void;
  /** Brings a place into view. */
  look(at: LonLat): void;
  /** Shows all of it. */
  whole(): void;
  end(): void;
}

/** So many pixels beside a thing still mean it. */
const NEAR = 12;
/** The map on A4, lying, in CSS pixels: alone, and one of two. */
const PAPER_WIDE = 1180;
const PAPER_HALF = 570;
const PAPER_HIGH = 470;

export function flightMap(
  target: HTMLElement,
  data: MapData,
  model: Model,
  alone: boolean,
  picked: (what: Picked) => void,
): FlightMap {
  const on = plane(data.centre, data.tiles !== null);
  const moving = new VectorSource();
  const framed = new VectorSource();
  const track = new VectorSource({ features: trackFeatures(model, on) });
  const sights = new VectorSource({ features: sightFeatures(model, on) });
  const zones = new VectorSource({ features: zoneFeatures(model, on) });
  const layers = [
    ...(data.tiles === null
      ? []
      : [
          new TileLayer({
            source: new XYZ({
              url: data.tiles,
              ...(data.attribution === null ? {} : { attributions: escaped(data.attribution) }),
            }),
          }),
        ]),
    new VectorImageLayer({
      source: new VectorSource({ features: shapeFeatures(data, on) }),
      style: styles.shape,
    }),
    new VectorImageLayer({ source: zones, style: styles.zone, imageRatio: 1.5 }),
    new VectorImageLayer({
      source: new VectorSource({ features: routeFeatures(model, on) }),
      style: styles.route,
      imageRatio: 1.5,
    }),
    new VectorImageLayer({ source: track, style: styles.track, imageRatio: 1.5 }),
    // What a camera frames is seen through what is drawn above it: names and marks stay readable.
    new VectorLayer({ source: framed, style: styles.moving }),
    new VectorLayer({ source: sights, style: styles.sight, declutter: true }),
    new VectorLayer({ source: zones, style: styles.zoneName, declutter: true }),
    new VectorLayer({ source: moving, style: styles.moving }),
  ];
  const map = new OlMap({
    layers,
    controls: [new Zoom(), new Attribution({ collapsible: true })],
    view: new View({
      projection: on.projection,
      center: on.put(data.centre),
      resolution: 50,
      minResolution: 0.25,
      maxResolution: 5000,
      enableRotation: false,
    }),
  });

  /** Where the map is and how close, as one text. */
  const fitting = () => [map.getView().getResolution(), ...(map.getView().getCenter() ?? [])].join();
  const whole = () => {
    const extent = createEmpty();
    for (const source of [track, sights]) {
      const own = source.getExtent();
      if (own && !isEmpty(own)) extend(extent, own);
    }
    if (isEmpty(extent)) return;
    map.getView().fit(extent, { padding: [52, 36, 36, 36], maxZoom: 18, minResolution: 2 });
  };
  whole();
  // The element may get its size later, another on a phone that is turned, and another on paper. As
  // long as nobody has moved the map, all of the flight stays on it.
  let fitted = fitting();
  const watcher = new ResizeObserver(() => {
    if (target.clientWidth === 0 || target.clientHeight === 0) return;
    if (map.getTargetElement()) map.updateSize();
    else map.setTarget(target);
    if (fitting() !== fitted) return;
    whole();
    fitted = fitting();
  });
  watcher.observe(target);

  // Paper has a size of its own, and waits for nothing: the map is drawn for it at once.
  const paper = (printing: boolean) => {
    target.style.width = printing ? `${alone ? PAPER_WIDE : PAPER_HALF}px` : "";
    target.style.height = printing ? `${PAPER_HIGH}px` : "";
    map.updateSize();
    if (fitting() === fitted) {
      whole();
      fitted = fitting();
    }
    map.renderSync();
  };
  const beforePrint = () => paper(true);
  const afterPrint = () => paper(false);
  addEventListener("beforeprint", beforePrint);
  addEventListener("afterprint", afterPrint);

  map.on("singleclick", (event) => {
    const found = map.getFeaturesAtPixel(event.pixel, { hitTolerance: NEAR });
    const what = choose(found, (feature) => nearestMoment(model, on, event.coordinate, feature));
    if (what) picked(what);
  });
  map.on("pointermove", (event) => {
    if (event.dragging) return;
    target.style.cursor = map.hasFeatureAtPixel(event.pixel, { hitTolerance: NEAR }) ? "pointer" : "";
  });

  const parts = frames(model, on);
  framed.addFeatures(parts.wedges);
  moving.addFeature(parts.aircraft);
  return {
    show(moment) {
      const now = here(model, moment);
      const shot = shotAt(model, moment);
      parts.move(now, shot?.camera ?? null);
    },
    look(at) {
      map.getView().animate({ center: on.put(at), duration: 200 });
    },
    whole() {
      whole();
      fitted = fitting();
    },
    end() {
      watcher.disconnect();
      removeEventListener("beforeprint", beforePrint);
      removeEventListener("afterprint", afterPrint);
      map.setTarget(undefined);
    },
  };
}

/** A sight is meant before the track, the track before a zone. */
function choose(
  found: FeatureLike[],
  moment: (feature: FeatureLike) => number | null,
): Picked | null {
  const sight = found.find((feature) => feature.get("sight") !== undefined);
  if (sight) return { kind: "sight", place: sight.get("sight") as number };
  const flown = found.find((feature) => feature.get("shot") !== undefined);
  const at = flown ? moment(flown) : null;
  if (at !== null) return { kind: "moment", at };
  const zone = found.find((feature) => feature.get("zone") !== undefined);
  return zone ? { kind: "zone", zone: zone.get("zone") as number } : null;
}

/** The moment of the fix nearest to a place, of those of one stretch of the track. */
function nearestMoment(
  model: Model,
  on: Plane,
  coordinate: number[],
  feature: FeatureLike,
): number | null {
  const [first, last] = [feature.get("first") as number, feature.get("last") as number];
  let best: number | null = null;
  let least = Infinity;
  for (let fix = first; fix <= last; fix++) {
    const [x, y] = on.put([model.longitude[fix]!, model.latitude[fix]!]);
    const away = (x - coordinate[0]!) ** 2 + (y - coordinate[1]!) ** 2;
    if (away < least) [least, best] = [away, model.time[fix]!];
  }
  return best;
}

function shapeFeatures(data: MapData, on: Plane): Feature[] {
  return data.shapes.flatMap((shape): Feature[] => {
    const lines = shape.lines.map((line) => points(line).map(on.put));
    const first = lines[0];
    if (!first || first.length === 0) return [];
    const geometry =
      shape.kind === "area"
        ? new Polygon(lines)
        : shape.kind === "line"
          ? new LineString(first)
          : new Point(first[0]!);
    return [new Feature({ geometry, shape: shape.kind, name: shape.name })];
  });
}

function routeFeatures(model: Model, on: Plane): Feature[] {
  if (model.side.identity.planned || model.route.length < 2) return [];
  return [new Feature({ geometry: new LineString(model.route.map(on.put)) })];
}

/** The track in stretches, one for each shot and one wherever no camera is live. */
function trackFeatures(model: Model, on: Plane): Feature[] {
  const { side, time } = model;
  const features: Feature[] = [];
  const put = (first: number, last: number, camera: number | null) => {
    if (last <= first) return;
    const line: [number, number][] = [];
    for (let fix = first; fix <= last; fix++) {
      line.push(on.put([model.longitude[fix]!, model.latitude[fix]!]));
    }
    const look = camera === null ? null : model.looks[camera];
    const letter = camera === null ? "" : model.letters[camera];
    features.push(new Feature({ geometry: new LineString(line), shot: camera ?? -1, look, letter, first, last }));
  };
  let begin = 0;
  let shot = 0;
  const cameraAt = (moment: number): number | null => {
    while (shot < side.shots.length && side.shots[shot]!.to <= moment) shot++;
    const now = side.shots[shot];
    return now && now.from <= moment ? now.camera : null;
  };
  let camera = time.length > 0 ? cameraAt(time[0]!) : null;
  for (let fix = 1; fix < time.length; fix++) {
    const now = cameraAt(time[fix]!);
    const gap = time[fix]! - time[fix - 1]! > 15_000;
    if (now !== camera || gap) {
      put(begin, gap ? fix - 1 : fix, camera);
      [begin, camera] = [fix, now];
    }
  }
  put(begin, time.length - 1, camera);
  return features;
}

function sightFeatures(model: Model, on: Plane): Feature[] {
  const { side } = model;
  const judged = new Map(side.sights.map((sight) => [sight.place, sight]));
  return side.places.flatMap((place, number): Feature[] => {
    const sight = judged.get(number);
    if (!sight && !place.home) return [];
    const geometry = new Point(on.put(place.at));
    return [
      new Feature({
        geometry,
        ...(sight ? { sight: number } : {}),
        name: place.title,
        filmed: sight?.filmed ?? null,
        must: place.wanted?.must_have ?? false,
      }),
    ];
  });
}

function zoneFeatures(model: Model, on: Plane): Feature[] {
  return model.side.zones.flatMap((zone, number): Feature[] => {
    const about = { zone: number, kind: styles.zoneKind(zone), name: zone.name, windows: styles.windows(zone) };
    if (zone.line) {
      const geometry = new LineString(points(zone.line).map(on.put));
      return [new Feature({ geometry, ...about, kind: "gate" })];
    }
    // What is put together of others would only be drawn over them once more.
    if (zone.kind === "combined" && !zone.quiet && zone.no_filming === null) return [];
    return zone.areas.map((rings) => {
      const geometry = new Polygon(rings.map((ring) => points(ring).map(on.put)));
      return new Feature({ geometry, ...about });
    });
  });
}

/** An attribution is shown as markup by the map's library; an operator's text is not markup. */
function escaped(text: string): string {
  const element = document.createElement("span");
  element.textContent = text;
  return element.innerHTML;
}
