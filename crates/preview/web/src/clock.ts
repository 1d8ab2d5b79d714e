// The one clock of the page. Time counts from take-off, in milliseconds, so that two flights that are
// laid side by side share it.

import type { Model } from "./model";

export type Listener = () => void;

/** How fast it may run. */
export const SPEEDS = [1, 4, 16] as const;

export class Clock {
  now: number;
  playing = false;
  speed = 1;
  readonly first: number;
  readonly last: number;
  private listeners = new Set<Listener>();
  private frame = 0;
  private before = 0;

  constructor(models: Model[]) {
    this.first = Math.min(...models.map(({ side }) => -side.zero));
    this.last = Math.max(...models.map(({ side }) => side.length - side.zero), this.first + 1000);
    // Take-off, where something begins to happen.
    this.now = Math.min(Math.max(0, this.first), this.last);
  }

  listen(listener: Listener): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }

  go(to: number): void {
    this.now = Math.min(this.last, Math.max(this.first, to));
    this.tell();
  }

  step(by: number): void {
    this.go(this.now + by);
  }

  run(speed: number): void {
    this.speed = speed;
    this.tell();
  }

  toggle(): void {
    if (this.playing) this.pause();
    else this.play();
  }

  play(): void {
    if (this.playing) return;
    if (this.now >= this.last) this.now = this.first;
    this.playing = true;
    this.before = performance.now();
    const tick = (at: number) => {
      if (!this.playing) return;
      // A page that was in the background does not leap.
      const passed = Math.min(250, at - this.before);
      this.before = at;
      this.now = Math.min(this.last, this.now + passed * this.speed);
      if (this.now >= this.last) this.playing = false;
      this.tell();
      this.frame = requestAnimationFrame(tick);
    };
    this.frame = requestAnimationFrame(tick);
    this.tell();
  }

  pause(): void {
    this.playing = false;
    cancelAnimationFrame(this.frame);
    this.tell();
  }
}
