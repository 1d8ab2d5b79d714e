// The lanes in the page: a canvas that is drawn when the stretch of time or the window changes, and a
// line above it that moves with the clock.

import type { JSX } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";

import type { Talk } from "./app";
import type { Chart } from "./chart";
import { chart } from "./chart";
import type { Shape, Stretch } from "./draw";
import { across, draw, height, laneAt, momentAt } from "./draw";
import { ZOOM } from "./keys";
import type { Lane } from "./lanes";
import { blockAt, lanes } from "./lanes";
import type { Model } from "./model";
import { since } from "./words";

/** No closer than this, in milliseconds across the lanes. */
const CLOSEST = 10_000;

export function LaneView({ models, talk }: { models: Model[]; talk: Talk }): JSX.Element {
  const { clock } = talk;
  const whole = useMemo(() => ({ from: clock.first, to: clock.last }), [clock]);
  const [view, setView] = useState<Stretch>(whole);
  const zoom = (factor: number) =>
    setView((now) => {
      const wide = Math.min(whole.to - whole.from, Math.max(CLOSEST, (now.to - now.from) * factor));
      const share = (clock.now - now.from) / (now.to - now.from);
      const inside = Math.min(1, Math.max(0, share));
      return held({ from: clock.now - wide * inside, to: clock.now + wide * (1 - inside) }, whole);
    });
  useEffect(() => {
    const heard = (event: Event) => zoom((event as CustomEvent<number>).detail);
    document.addEventListener(ZOOM, heard);
    // What is being played stays in view.
    const stop = clock.listen(() =>
      setView((now) => {
        if (clock.now >= now.from && clock.now <= now.to) return now;
        const wide = now.to - now.from;
        return held({ from: clock.now - wide * 0.1, to: clock.now + wide * 0.9 }, whole);
      }),
    );
    return () => {
      document.removeEventListener(ZOOM, heard);
      stop();
    };
  }, [clock, whole]);
  return (
    <section class="lanes" aria-label="lanes over time">
      <div class="zooms">
        <button type="button" onClick={() => zoom(0.5)} aria-label="look at the lanes more closely">+</button>
        <button type="button" onClick={() => zoom(2)} aria-label="look at the lanes less closely">−</button>
        <button type="button" onClick={() => setView(whole)}>whole flight</button>
        <span class="hint">
          Drag to move through the flight. A bracket below a narration is the time it has; below a sight,
          the shot in which it counts as filmed.
        </span>
      </div>
      {models.map((model, number) => (
        <Lanes key={number} model={model} talk={talk} side={number} view={view} label={models.length > 1 ? (["A", "B"][number] ?? "") : ""} />
      ))}
    </section>
  );
}

function held(view: Stretch, whole: Stretch): Stretch {
  const wide = Math.min(view.to - view.from, whole.to - whole.from);
  const from = Math.min(Math.max(view.from, whole.from), whole.to - wide);
  return { from, to: from + wide };
}

interface Props {
  model: Model;
  talk: Talk;
  side: number;
  view: Stretch;
  label: string;
}

function Lanes({ model, talk, side, view, label }: Props): JSX.Element {
  const { clock } = talk;
  const rows: Lane[] = useMemo(() => lanes(model), [model]);
  const box = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const line = useRef<HTMLDivElement>(null);
  const plot = useRef<HTMLDivElement>(null);
  const made = useRef<Chart | null>(null);
  const [about, setAbout] = useState("");
  const [wide, setWide] = useState(0);
  const shape: Shape = { width: wide, gutter: wide < 560 ? 100 : 156 };

  useEffect(() => {
    if (!box.current) return;
    const watcher = new ResizeObserver(([entry]) => setWide(Math.floor(entry?.contentRect.width ?? 0)));
    watcher.observe(box.current);
    return () => watcher.disconnect();
  }, []);
  useEffect(() => {
    if (!plot.current) return;
    made.current = chart(plot.current, model, (moment) => clock.go(moment));
    return () => made.current?.end();
  }, [model, clock]);
  useEffect(() => {
    if (!canvas.current || wide === 0) return;
    draw(canvas.current, rows, view, shape);
    made.current?.fit(view, shape);
    const show = () => {
      if (!line.current) return;
      const x = across(clock.now, view, shape);
      const inside = x >= shape.gutter - 1 && x <= wide;
      line.current.style.transform = `translateX(${x}px)`;
      line.current.style.visibility = inside ? "visible" : "hidden";
    };
    show();
    return clock.listen(show);
  }, [rows, view, wide, clock]);

  const at = (event: PointerEvent) => {
    const place = canvas.current?.getBoundingClientRect();
    if (!place) return null;
    const [x, y] = [event.clientX - place.left, event.clientY - place.top];
    const lane = laneAt(y, rows);
    return { moment: momentAt(x, view, shape), lane, inGutter: x < shape.gutter };
  };
  const drag = (event: PointerEvent) => {
    const there = at(event);
    if (!there) return;
    if (!there.inGutter) clock.go(there.moment);
  };
  return (
    <div class="lanes-of" ref={box}>
      {label === "" ? null : <h2><span class="label">{label}</span></h2>}
      <div class="stack">
        <canvas
          ref={canvas}
          role="img"
          aria-label={`lanes: ${rows.map((row) => row.name).join(", ")}; the tables below say the same`}
          onPointerDown={(event) => {
            const there = at(event);
            if (there?.lane?.place != null) talk.show({ side, place: there.lane.place, zone: null });
            event.currentTarget.setPointerCapture(event.pointerId);
            drag(event);
          }}
          onPointerMove={(event) => {
            if (event.buttons & 1) drag(event);
            const there = at(event);
            const block = there?.lane && !there.inGutter ? blockAt(there.lane, there.moment) : undefined;
            setAbout(there && !there.inGutter ? `${since(there.moment)}${block ? `: ${block.about}` : ""}` : "");
          }}
          onPointerLeave={() => setAbout("")}
        />
        <div class="chart" ref={plot} aria-label="altitude and groundspeed" role="img" />
        <div class="line" ref={line} style={{ height: `${height(rows) + 140}px` }} />
      </div>
      <p class="chart-key" aria-hidden="true">
        <span><b class="rule solid" />altitude</span>
        <span><b class="rule dashed" />groundspeed</span>
        {model.height ? <span><b class="rule ground" />ground</span> : null}
      </p>
      <p class="about" aria-live="off">{about}</p>
    </div>
  );
}
