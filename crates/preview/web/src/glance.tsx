// What has to be known, in four sentences: sights, narrations, sun, findings. Each leads to its moment.

import type { ComponentChildren, JSX } from "preact";

import type { Talk } from "./app";
import type { Sight } from "./data";
import type { Model } from "./model";
import { fixAt, momentOf } from "./model";
import { bearing, counted, hindrance, quoted, seconds, since, slack } from "./words";

interface Props {
  model: Model;
  side: number;
  talk: Talk;
  label: string;
}

/** More of one kind are counted, not listed: the tables below have them all. */
const MOST = 4;

export function Glance({ model, side, talk, label }: Props): JSX.Element {
  return (
    <section class="glance" aria-label="at a glance">
      {label === "" ? null : <h2 class="of"><span class="label">{label}</span></h2>}
      <Sights model={model} side={side} talk={talk} />
      <Narrations model={model} side={side} talk={talk} />
      <Sun model={model} side={side} talk={talk} />
      <Findings model={model} side={side} talk={talk} />
      {model.side.notes.length > 0 ? (
        <div class="card notes">
          <h2>What this page does not know</h2>
          <ul>{model.side.notes.map((note, number) => <li key={number}>{quoted(note)}</li>)}</ul>
        </div>
      ) : null}
    </section>
  );
}

type Inner = Omit<Props, "label">;

function Card({ title, good, children }: { title: string; good: boolean; children: ComponentChildren }): JSX.Element {
  return (
    <div class={good ? "card" : "card wrong"}>
      <h2>{good ? "✓" : "!"} {title}</h2>
      {children}
    </div>
  );
}

/** A button that leads to a moment. */
export function To({ talk, side, zero, at, children }: {
  talk: Talk;
  side: number;
  zero: number;
  at: number;
  children?: ComponentChildren;
}): JSX.Element {
  return (
    <button type="button" class="to" onClick={() => talk.go(side, at)}>
      {since(at - zero)}
      {children}
    </button>
  );
}

function More({ all }: { all: number }): JSX.Element | null {
  return all > MOST ? <p>and {all - MOST} more, in the table below</p> : null;
}

function Sights({ model, side, talk }: Inner): JSX.Element {
  const { sights, places, zero } = model.side;
  const missed = sights.filter((sight) => !sight.filmed);
  const must = sights.filter((sight) => places[sight.place]?.wanted?.must_have);
  const mustFilmed = must.filter((sight) => sight.filmed).length;
  if (sights.length === 0) {
    return <Card title="No sights" good><p>The tour names none.</p></Card>;
  }
  const title = `${sights.length - missed.length} of ${counted(sights.length, "sight")} filmed`;
  return (
    <Card title={title} good={missed.length === 0}>
      {must.length > 0 ? <p>{mustFilmed} of {counted(must.length, "must-have")}</p> : null}
      <ul>
        {missed.slice(0, MOST).map((sight) => (
          <li key={sight.place}>
            <Moment sight={sight} talk={talk} side={side} zero={zero} />{" "}
            <strong>{places[sight.place]?.title}</strong> is missed: {hindrance(sight.words)}
          </li>
        ))}
      </ul>
      <More all={missed.length} />
    </Card>
  );
}

function Moment({ sight, talk, side, zero }: { sight: Sight; talk: Talk; side: number; zero: number }): JSX.Element | null {
  const at = momentOf(sight);
  return at === null ? null : <To talk={talk} side={side} zero={zero} at={at} />;
}

function Narrations({ model, side, talk }: Inner): JSX.Element {
  const { tellings, narrations, untold, zero, fits } = model.side;
  const wrong = tellings.filter((it) => it.cut_off !== null || (it.window?.slack ?? 0) < 0);
  const judged = tellings.filter((it) => it.window !== null && !wrong.includes(it));
  const tight = [...judged].sort((one, other) => (one.window?.slack ?? 0) - (other.window?.slack ?? 0))[0];
  const windy = fits.filter((fit) => (fit.tightest?.slack ?? 0) < 0);
  // Told as planned, and on this flight not even asked for.
  const silent = fits.filter(
    (fit) =>
      fit.planned !== null &&
      !tellings.some((it) => it.narration === fit.narration) &&
      !untold.some((it) => it.narration === fit.narration),
  );
  const good = wrong.length + untold.length + windy.length + silent.length === 0;
  return (
    <Card title={`${counted(tellings.length, "narration")} told${good ? ", all fit" : ""}`} good={good}>
      <ul>
        {tellings.slice(0, 2).map((telling, number) => (
          <li key={`first-${number}`} class="plain">
            {number + 1} <To talk={talk} side={side} zero={zero} at={telling.from} />{" "}
            {narrations[telling.narration]?.name}
            {telling.window ? `, ${slack(telling.window.slack)}` : ""}
          </li>
        ))}
        {wrong.slice(0, MOST).map((telling, number) => (
          <li key={number}>
            <To talk={talk} side={side} zero={zero} at={telling.from} />{" "}
            <strong>{narrations[telling.narration]?.name}</strong>{" "}
            {telling.cut_off === null ? `is ${seconds(-(telling.window?.slack ?? 0))} too long` : `is cut off: ${quoted(telling.cut_off)}`}
          </li>
        ))}
        {untold.slice(0, MOST).map((it, number) => (
          <li key={number}>
            <To talk={talk} side={side} zero={zero} at={it.at} />{" "}
            <strong>{narrations[it.narration]?.name}</strong> is not told: {quoted(it.why)}
          </li>
        ))}
        {silent.length > 0 ? (
          <li>
            {counted(silent.length, "narration")} of the plan {silent.length === 1 ? "is" : "are"} not told here:{" "}
            <strong>{silent.map((fit) => narrations[fit.narration]?.name).join(", ")}</strong>
          </li>
        ) : null}
        {windy.slice(0, MOST).map((fit) => (
          <li key={fit.narration}>
            <strong>{narrations[fit.narration]?.name}</strong> would be {seconds(-(fit.tightest?.slack ?? 0))} too
            long with {fit.tightest?.condition}
          </li>
        ))}
        {tight?.window ? (
          <li>
            least to spare: <To talk={talk} side={side} zero={zero} at={tight.from} />{" "}
            <strong>{narrations[tight.narration]?.name}</strong>, {seconds(tight.window.slack)}
          </li>
        ) : null}
      </ul>
    </Card>
  );
}

function Sun({ model, side, talk }: Inner): JSX.Element {
  const { cameras, zero, sun_in_lens, shots } = model.side;
  const known = model.sunElevation !== null && model.sunElevation.some((it) => !Number.isNaN(it));
  const up = model.sunElevation?.some((it) => it > -0.27) ?? false;
  if (!known) return <Card title="Sun not reckoned" good><p>The time or the place is not known.</p></Card>;
  if (!up) return <Card title="The sun is down" good={false}><p>It is below the horizon on the whole flight.</p></Card>;
  // What matters first is the camera that is live.
  const live = sun_in_lens.filter((it) =>
    shots.some((shot) => shot.camera === it.camera && shot.from < it.to && it.from < shot.to),
  );
  const listed = live.length > 0 ? live : sun_in_lens;
  const title =
    sun_in_lens.length === 0
      ? "The sun is in no lens"
      : live.length === 0
        ? "The sun is in no live lens"
        : `The sun is in a live lens ${live.length === 1 ? "once" : `${live.length} times`}`;
  return (
    <Card title={title} good={live.length === 0}>
      <p>{stands(model)}</p>
      <ul>
        {listed.slice(0, MOST).map((it, number) => (
          <li key={number}>
            <To talk={talk} side={side} zero={zero} at={it.from} /> to {since(it.to - zero)}: lens of{" "}
            <strong>{cameras[it.camera]?.name}</strong>
            {live.includes(it) ? "" : ", which is not live"}
            {it.in_frame ? ", the sun itself in the picture" : ""}
          </li>
        ))}
      </ul>
      <More all={listed.length} />
    </Card>
  );
}

/** Where the sun stands at take-off. */
function stands(model: Model): string {
  const fix = fixAt(model, model.side.zero);
  const [azimuth, elevation] = [model.sunAzimuth?.[fix], model.sunElevation?.[fix]];
  if (azimuth === undefined || elevation === undefined || Number.isNaN(elevation)) return "";
  if (elevation < -0.27) return "At take-off it is below the horizon.";
  return `At take-off it stands at ${bearing(azimuth)}, ${Math.round(elevation)}° high.`;
}

function Findings({ model, side, talk }: Inner): JSX.Element {
  const { findings, zero } = model.side;
  const grave = findings.filter((it) => it.severity !== "note");
  const title =
    findings.length === 0
      ? "Nothing found"
      : grave.length === 0
        ? `${counted(findings.length, "finding")}, none grave`
        : counted(findings.length, "finding");
  return (
    <Card title={title} good={grave.length === 0}>
      <ul>
        {findings.slice(0, MOST).map((it, number) => (
          <li key={number}>
            {it.at === null ? null : <To talk={talk} side={side} zero={zero} at={it.at} />} {it.severity}: {quoted(it.headline)}
          </li>
        ))}
      </ul>
      <More all={findings.length} />
    </Card>
  );
}
