// The aircraft on the map, and the frames of its cameras as wedges on the ground.

import Feature from "ol/Feature.js";
import Point from "ol/geom/Point.js";
import Polygon from "ol/geom/Polygon.js";

import type { Here, Model } from "./model";
import type { Plane } from "./plane";

/** How far a frame is drawn, in metres: about as far as a sight is worth looking at. */
const REACH = 2600;
/** A corner of the wedge for each so many degrees. */
const STEP = 6;

export interface Moving {
  aircraft: Feature;
  wedges: Feature[];
  move(now: Here | null, live: number | null): void;
}

export function frames(model: Model, on: Plane): Moving {
  const aircraft = new Feature({ part: "aircraft" });
  const wedges = model.side.cameras.map((camera, number) => {
    const seen = !camera.cabin && camera.state === "ready" && camera.width > 0;
    if (!seen) return null;
    return new Feature({ part: "frame", look: model.looks[number], live: false });
  });
  return {
    aircraft,
    wedges: wedges.filter((it) => it !== null),
    move(now, live) {
      if (!now) {
        aircraft.setGeometry(undefined);
        for (const wedge of wedges) wedge?.setGeometry(undefined);
        return;
      }
      const at = on.put(now.at);
      const known = !Number.isNaN(now.heading);
      aircraft.set("heading", known ? now.heading : null, true);
      aircraft.setGeometry(new Point(at));
      wedges.forEach((wedge, number) => {
        const camera = model.side.cameras[number];
        if (!wedge || !camera) return;
        if (!known) {
          // Where the nose points is not known, and so nothing of the pictures.
          wedge.setGeometry(undefined);
          return;
        }
        wedge.set("live", number === live, true);
        // A camera that looks steeply down sees less far.
        const reach = (REACH * on.metre) * (camera.depression > 45 ? 0.25 : 1);
        const middle = now.heading + camera.bearing;
        const half = Math.min(180, camera.width / 2);
        const ring: [number, number][] = half < 180 ? [at] : [];
        const steps = Math.max(2, Math.ceil((2 * half) / STEP));
        for (let step = 0; step <= steps; step++) {
          const angle = ((middle - half + (2 * half * step) / steps) * Math.PI) / 180;
          ring.push([at[0] + reach * Math.sin(angle), at[1] + reach * Math.cos(angle)]);
        }
        ring.push(ring[0]!);
        wedge.setGeometry(new Polygon([ring]));
      });
    },
  };
}
