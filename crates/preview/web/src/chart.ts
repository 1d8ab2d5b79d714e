// Height and groundspeed over time, in step with the lanes above it.

import uPlot from "uplot";

import type { Stretch, Shape } from "./draw";
import { RIGHT } from "./draw";
import type { Model } from "./model";
import * as palette from "./palette";

/** No chart has more points than this: more than there are pixels to draw them on. */
const MOST = 3000;

export interface Chart {
  fit(view: Stretch, shape: Shape): void;
  end(): void;
}

export function chart(target: HTMLElement, model: Model, go: (moment: number) => void): Chart {
  const count = model.time.length;
  const every = Math.max(1, Math.ceil(count / MOST));
  const pick = (all: Float64Array, factor: number): (number | null)[] => {
    const some: (number | null)[] = [];
    for (let fix = 0; fix < count; fix += every) {
      const value = all[fix]!;
      some.push(Number.isNaN(value) ? null : value * factor);
    }
    return some;
  };
  const times = pick(model.time, 1).map((time) => ((time ?? 0) - model.side.zero) / 1000);
  const altitude = pick(model.altitude, 1 / 0.3048);
  const above = model.height ? pick(model.height, 1 / 0.3048) : null;
  const ground = above?.map((height, at) => {
    const altitudeHere = altitude[at] ?? null;
    return height === null || altitudeHere === null ? null : altitudeHere - height;
  });
  const speed = pick(model.groundspeed, 3600 / 1852);
  const size = (shape: Shape) => ({ width: Math.max(120, shape.width), height: 150 });
  const font = "12px system-ui, sans-serif";
  let shape: Shape = { width: 600, gutter: 120 };
  let plot: uPlot | null = null;
  const build = (view: Stretch) => {
    plot?.destroy();
    plot = new uPlot(
      {
        ...size(shape),
        padding: [8, 0, 6, 0],
        legend: { show: false },
        cursor: { show: false },
        select: { show: false, left: 0, top: 0, width: 0, height: 0 },
        scales: {
          x: { time: false, min: view.from / 1000, max: view.to / 1000, auto: false },
          ft: {},
          kt: { range: (_, __, most) => [0, Math.max(10, most * 1.1)] },
        },
        axes: [
          { show: false },
          {
            scale: "ft",
            size: shape.gutter,
            font,
            stroke: palette.INK,
            grid: { stroke: "#dde1e6" },
            values: (_, values) => values.map((value) => `${value} ft`),
          },
          {
            scale: "kt",
            side: 1,
            size: RIGHT,
            font,
            stroke: "#0072b2",
            grid: { show: false },
            values: (_, values) => values.map((value) => `${value} kt`),
          },
        ],
        series: [
          {},
          { label: "height of the ground", scale: "ft", stroke: palette.SHORE, fill: palette.LAND, width: 1 },
          { label: "altitude", scale: "ft", stroke: palette.INK, width: 2 },
          { label: "groundspeed", scale: "kt", stroke: "#0072b2", width: 2, dash: [8, 4] },
        ],
      },
      [times, ground ?? times.map(() => null), altitude, speed] as uPlot.AlignedData,
      target,
    );
    plot.over.addEventListener("click", (event) => {
      const at = plot?.posToVal(event.offsetX, "x");
      if (at !== undefined) go(at * 1000);
    });
  };
  return {
    fit(view, now) {
      const same = plot !== null && shape.gutter === now.gutter;
      shape = now;
      if (!same || !plot) {
        build(view);
        return;
      }
      if (plot.width !== size(now).width) plot.setSize(size(now));
      plot.setScale("x", { min: view.from / 1000, max: view.to / 1000 });
    },
    end: () => plot?.destroy(),
  };
}

