// The whole page: head, what matters at a glance, a map and the present moment of each flight, the
// clock, the lanes, and the tables below.

import type { JSX } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";

import { Clock } from "./clock";
import type { LonLat, Page } from "./data";
import { Glance } from "./glance";
import { Keys, listen } from "./keys";
import { LaneView } from "./laneview";
import { MapView } from "./mapview";
import type { Model } from "./model";
import { model } from "./model";
import { Now } from "./now";
import { Sound } from "./sound";
import { Tables } from "./tables";
import { Transport } from "./transport";
import { day, timeOfDay } from "./words";

/** What other parts of the page are asked to show. */
export interface Shown {
  side: number;
  place: number | null;
  zone: number | null;
}

/** How the parts of the page speak to each other. */
export interface Talk {
  clock: Clock;
  /** To a moment of one side, from its start. */
  go(side: number, moment: number): void;
  show(what: Shown): void;
  look(side: number, at: LonLat): void;
}

export function App({ page }: { page: Page }): JSX.Element {
  const models = useMemo(() => page.sides.map(model), [page]);
  const clock = useMemo(() => new Clock(models), [models]);
  const [shown, show] = useState<Shown>({ side: 0, place: null, zone: null });
  const lookers = useRef<((at: LonLat) => void)[]>([]);
  const talk: Talk = useMemo(
    () => ({
      clock,
      go: (side, moment) => clock.go(moment - (models[side]?.side.zero ?? 0)),
      show,
      look: (side, at) => lookers.current[side]?.(at),
    }),
    [clock, models],
  );
  useEffect(() => listen(talk, models), [talk, models]);
  const two = models.length > 1;
  return (
    <>
      <a class="skip" href="#clock">to the clock</a>
      <header>
        {models.map((it, number) => (
          <Head key={number} model={it} label={two ? ["A", "B"][number] ?? "" : ""} />
        ))}
        <p class="caution">
          Not for navigation. Media equipment: the pilot in command, the flight manual, the operator's
          procedures and local rules come first.
        </p>
      </header>
      <main class={two ? "two" : "one"}>
        <div class={two ? "glances" : ""}>
          {models.map((it, number) => (
            <Glance key={number} model={it} side={number} talk={talk} label={two ? ["A", "B"][number] ?? "" : ""} />
          ))}
        </div>
        <div class="flights">
          {models.map((it, number) => (
            <section class="flight" key={number} aria-label={two ? `flight ${["A", "B"][number]}` : "the flight"}>
              <MapView
                data={page.map}
                model={it}
                side={number}
                alone={!two}
                talk={talk}
                ready={(look) => (lookers.current[number] = look)}
              />
              <Now model={it} side={number} talk={talk} shown={shown.side === number ? shown : null} />
            </section>
          ))}
        </div>
        <Transport clock={clock} models={models} />
        <LaneView models={models} talk={talk} />
        {models.map((it, number) => (
          <Tables key={number} model={it} side={number} talk={talk} label={two ? ["A", "B"][number] ?? "" : ""} />
        ))}
        <p class="every-sheet">{page.sides[0]?.identity.title}: media equipment, not for navigation</p>
        <Keys />
        {models.map((it, number) =>
          it.side.sound ? <Sound key={number} sound={it.side.sound} zero={it.side.zero} clock={clock} /> : null,
        )}
        <Licences />
      </main>
    </>
  );
}

/** The texts that the licences of what this page is built with ask to be handed on. */
function Licences(): JSX.Element | null {
  const words = document.getElementById("notices")?.textContent?.replaceAll("&lt;", "<").trim() ?? "";
  if (words === "") return null;
  return (
    <details class="licences">
      <summary>Licences of the software in this page</summary>
      <pre>{words}</pre>
    </details>
  );
}

function Head({ model, label }: { model: Model; label: string }): JSX.Element {
  const { identity, start, zero, utc_offset, flew } = model.side;
  const approved = identity.approved
    ? `approved by ${identity.approved.by} on ${identity.approved.on}`
    : "draft, not approved";
  const took = `${day(start + zero, utc_offset)}, ${flew ? "take-off" : "first fix"} ${timeOfDay(start + zero, utc_offset)} local time`;
  const of = identity.planned
    ? "the route as planned"
    : `recorded: ${identity.files.join(", ")}${identity.flights > 1 ? `, flight ${identity.flight} of ${identity.flights}` : ""}`;
  return (
    <div class="head">
      <h1>
        {label === "" ? null : <span class="label">{label}</span>}
        {identity.title}
      </h1>
      <p>
        {identity.aircraft}
        {identity.registration ? ` ${identity.registration}` : ""} · {of} · {took}
      </p>
      <p>
        plan <strong class="code">{identity.code}</strong>, revision {identity.revision},{" "}
        <strong class={identity.approved ? "" : "bad"}>{approved}</strong>
        {identity.differences.length > 0 ? ` · differs from the tour as written: ${identity.differences.join("; ")}` : ""}
        {identity.today === "" ? "" : ` · today: ${identity.today}`}
      </p>
    </div>
  );
}
