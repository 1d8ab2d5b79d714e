// The map in the page.

import type { JSX } from "preact";
import { useEffect, useRef } from "preact/hooks";

import type { Talk } from "./app";
import type { LonLat, MapData } from "./data";
import type { FlightMap } from "./map";
import { flightMap } from "./map";
import type { Model } from "./model";
import { momentOf } from "./model";

interface Props {
  data: MapData;
  model: Model;
  side: number;
  /** Whether no other flight lies beside it. */
  alone: boolean;
  talk: Talk;
  ready(look: (at: LonLat) => void): void;
}

export function MapView({ data, model, side, alone, talk, ready }: Props): JSX.Element {
  const target = useRef<HTMLDivElement>(null);
  const map = useRef<FlightMap | null>(null);
  useEffect(() => {
    if (!target.current) return;
    const made = flightMap(target.current, data, model, alone, (what) => {
      if (what.kind === "moment") {
        talk.go(side, what.at);
        return;
      }
      if (what.kind === "zone") {
        talk.show({ side, place: null, zone: what.zone });
        return;
      }
      talk.show({ side, place: what.place, zone: null });
      const sight = model.side.sights.find((it) => it.place === what.place);
      const at = sight ? momentOf(sight) : null;
      if (at !== null) talk.go(side, at);
    });
    map.current = made;
    ready(made.look);
    const show = () => made.show(talk.clock.now + model.side.zero);
    show();
    const stop = talk.clock.listen(show);
    return () => {
      stop();
      made.end();
    };
  }, [data, model, side, alone, talk]);
  return (
    <div class="map-box">
      <div
        class="map"
        ref={target}
        tabIndex={0}
        role="application"
        aria-label="map of the flight; arrow keys move it, plus and minus zoom"
      />
      <p class="not-for">not for navigation</p>
      <button type="button" class="whole" onClick={() => map.current?.whole()}>
        whole flight
      </button>
      <p class="legend" aria-hidden="true">
        {model.side.cameras.map((camera, number) => {
          const look = model.looks[number];
          const state = camera.state === "ready" ? "" : camera.state === "out_of_service" ? " (out of service)" : " (not allowed)";
          return (
            <span key={number}>
              <b class="swatch" style={{ background: look?.fill, color: look?.ink }}>
                {model.letters[number]}
              </b>
              {camera.name}
              {state}
            </span>
          );
        })}
        <span><b class="mark good">✓</b>filmed</span>
        <span><b class="mark bad">✕</b>not filmed</span>
        <span><b class="line quiet" />quiet</span>
        <span><b class="line forbidden" />no filming</span>
      </p>
    </div>
  );
}
