// From longitude and latitude to the map's plane and back.
//
// With tiles the plane is theirs (Mercator). Without, it is a plane laid on the earth at the map's
// centre: a degree of latitude is one long everywhere, one of longitude as long as it is there. So a
// flight near a pole, where Mercator ends, has a map too.

import Projection from "ol/proj/Projection.js";
import { fromLonLat, get } from "ol/proj.js";

import type { LonLat } from "./data";

const DEGREE = 111_195;

export interface Plane {
  projection: Projection;
  /** Where a position lies. */
  put(at: LonLat): [number, number];
  /** How many of the plane's units a metre is at its centre. */
  metre: number;
}

export function plane(centre: LonLat, tiles: boolean): Plane {
  const [lon, lat] = centre;
  const across = Math.cos((lat * Math.PI) / 180);
  const mercator = tiles ? get("EPSG:3857") : null;
  if (mercator && Math.abs(lat) < 80) {
    return {
      projection: mercator,
      put: (at) => fromLonLat(at, mercator) as [number, number],
      metre: 1 / Math.max(0.1, across),
    };
  }
  const wide = DEGREE * Math.max(0.02, across);
  return {
    projection: new Projection({ code: "fulmar-plane", units: "m", metersPerUnit: 1 }),
    put: ([x, y]) => [(x - lon) * wide, (y - lat) * DEGREE],
    metre: 1,
  };
}
