// The rendered mix, kept in step with the clock.

import type { JSX } from "preact";
import { useEffect } from "preact/hooks";

import type { Clock } from "./clock";
import type { Sound as SoundData } from "./data";

/** So far apart, in seconds, and the sound is moved to where the clock is. */
const APART = 0.25;

export function Sound({ sound, zero, clock }: { sound: SoundData; zero: number; clock: Clock }): JSX.Element {
  useEffect(() => {
    const element = document.getElementById(sound.element);
    if (!(element instanceof HTMLAudioElement)) return;
    const follow = () => {
      const at = (clock.now + zero - sound.starts) / 1000;
      const inside = at >= 0 && (Number.isNaN(element.duration) || at < element.duration);
      if (!clock.playing || !inside) {
        if (!element.paused) element.pause();
        if (inside && Math.abs(element.currentTime - at) > APART) element.currentTime = at;
        return;
      }
      element.playbackRate = clock.speed;
      // At sixteen times nothing can be understood.
      element.muted = clock.speed > 4;
      if (Math.abs(element.currentTime - at) > APART * clock.speed) element.currentTime = at;
      if (element.paused) void element.play().catch(() => undefined);
    };
    return clock.listen(follow);
  }, [sound, zero, clock]);
  return <p class="sound">The mix plays with the clock; above four times it is silent.</p>;
}
