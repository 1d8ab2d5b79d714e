// The clock: playing, speed, and where one is.

import type { JSX } from "preact";
import { useEffect, useState } from "preact/hooks";

import type { Clock } from "./clock";
import { SPEEDS } from "./clock";
import type { Model } from "./model";
import { since, timeOfDay } from "./words";

/** Draws anew whenever the clock says something. */
export function useClock(clock: Clock): void {
  const [, tell] = useState(0);
  useEffect(() => clock.listen(() => tell((count) => count + 1)), [clock]);
}

export function Transport({ clock, models }: { clock: Clock; models: Model[] }): JSX.Element {
  useClock(clock);
  const first = models[0]?.side;
  const local = first ? timeOfDay(first.start + first.zero + clock.now, first.utc_offset) : "";
  return (
    <div class="transport" role="group" aria-label="clock">
      <button type="button" class="play" onClick={() => clock.toggle()} aria-pressed={clock.playing}>
        {clock.playing ? "❚❚ pause" : "▶ play"}
      </button>
      <span class="speeds" role="group" aria-label="speed">
        {SPEEDS.map((speed) => (
          <button
            type="button"
            key={speed}
            aria-pressed={clock.speed === speed}
            onClick={() => clock.run(speed)}
          >
            {speed}×
          </button>
        ))}
      </span>
      <output class="time">
        <strong>{since(clock.now)}</strong> {local} local
      </output>
      <input
        id="clock"
        type="range"
        min={clock.first}
        max={clock.last}
        step={100}
        value={clock.now}
        aria-label="moment of the flight"
        aria-valuetext={`${since(clock.now)}, ${local} local time`}
        onInput={(event) => clock.go(Number(event.currentTarget.value))}
      />
    </div>
  );
}
