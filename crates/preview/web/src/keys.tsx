// The keyboard. Everything a pointer does can be done by it.

import type { JSX } from "preact";

import type { Talk } from "./app";
import { SPEEDS } from "./clock";
import type { Model } from "./model";
import { momentOf } from "./model";

const KEYS: [string, string][] = [
  ["Space", "play and pause"],
  ["← →", "a second back and on; with Shift ten"],
  ["Page Up, Page Down", "a minute back and on"],
  ["Home, End", "the beginning and the end"],
  ["1, 2, 3", "play at 1, 4 and 16 times"],
  ["P, N", "to the previous and the next change"],
  ["F", "to the next finding"],
  ["M", "to the next sight that is not filmed"],
  ["+, −", "look at the lanes more closely, and less"],
  ["Tab", "through the buttons, tables and the map"],
];

export function Keys(): JSX.Element {
  return (
    <section class="keys" aria-label="keys">
      <h2>Keys</h2>
      <dl>
        {KEYS.map(([key, what]) => (
          <div key={key}>
            <dt>
              <kbd>{key}</kbd>
            </dt>
            <dd>{what}</dd>
          </div>
        ))}
      </dl>
    </section>
  );
}

/** The lanes' zoom is theirs; they hear of these keys by this event. */
export const ZOOM = "fulmar-zoom";

export function listen(talk: Talk, models: Model[]): () => void {
  const { clock } = talk;
  const moments = (of: (model: Model) => number[]) =>
    models.flatMap((model) => of(model).map((at) => at - model.side.zero)).sort((a, b) => a - b);
  const changes = moments((model) => model.changes);
  const findings = moments((model) => model.side.findings.flatMap((it) => (it.at === null ? [] : [it.at])));
  const missed = moments((model) =>
    model.side.sights.flatMap((sight) => (sight.filmed ? [] : (momentOf(sight) ?? []))),
  );
  const next = (all: number[]) => {
    const at = all.find((it) => it > clock.now + 1) ?? all[0];
    if (at !== undefined) clock.go(at);
  };
  const previous = (all: number[]) => {
    const at = [...all].reverse().find((it) => it < clock.now - 1);
    if (at !== undefined) clock.go(at);
  };
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const on = event.target instanceof Element ? event.target : document.body;
    // A field, a button or the map has keys of its own.
    const own = on.closest("input, select, textarea, .map") !== null;
    const far = event.shiftKey ? 10_000 : 1000;
    const keys: Record<string, () => void> = {
      ArrowLeft: () => clock.step(-far),
      ArrowRight: () => clock.step(far),
      PageUp: () => clock.step(-60_000),
      PageDown: () => clock.step(60_000),
      Home: () => clock.go(clock.first),
      End: () => clock.go(clock.last),
    };
    const anywhere: Record<string, () => void> = {
      "1": () => clock.run(SPEEDS[0]),
      "2": () => clock.run(SPEEDS[1]),
      "3": () => clock.run(SPEEDS[2]),
      n: () => next(changes),
      p: () => previous(changes),
      f: () => next(findings),
      m: () => next(missed),
    };
    const inMap = on.closest(".map") !== null;
    const zoom: Record<string, number> = { "+": 0.5, "=": 0.5, "-": 2 };
    const factor = zoom[event.key];
    if (event.key === " ") {
      if (on.closest("button, summary, a, select, textarea")) return;
      clock.toggle();
    } else if (anywhere[event.key.toLowerCase()]) {
      anywhere[event.key.toLowerCase()]?.();
    } else if (factor !== undefined && !inMap) {
      document.dispatchEvent(new CustomEvent(ZOOM, { detail: factor }));
    } else if (keys[event.key] && !inMap && (!own || on.id === "clock")) {
      keys[event.key]?.();
    } else {
      return;
    }
    event.preventDefault();
  };
  document.addEventListener("keydown", onKey);
  return () => document.removeEventListener("keydown", onKey);
}
