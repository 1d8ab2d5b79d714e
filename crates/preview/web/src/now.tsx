// What is on at the present moment.

import type { ComponentChildren, JSX } from "preact";

import type { Shown, Talk } from "./app";
import type { Side, Telling } from "./data";
import type { Model } from "./model";
import { fixAt, shotAt, spanAt, valueAt, whyLive } from "./model";
import { useClock } from "./transport";
import { bearing, clock as length, feet, hindrance, knots, lit, miles, quoted, seconds, since } from "./words";

interface Props {
  model: Model;
  side: number;
  talk: Talk;
  shown: Shown | null;
}

export function Now({ model, side, talk, shown }: Props): JSX.Element {
  useClock(talk.clock);
  const moment = talk.clock.now + model.side.zero;
  const over = moment < 0 || moment > model.side.length;
  return (
    <div class="now" aria-label="now">
      {shown && (shown.place !== null || shown.zone !== null) ? (
        <Chosen model={model} shown={shown} side={side} talk={talk} />
      ) : null}
      <h2>Now, {since(talk.clock.now)}</h2>
      {over ? <p>This flight {moment < 0 ? "has not begun" : "is over"}.</p> : <On model={model} moment={moment} />}
    </div>
  );
}

function Row({ name, children }: { name: string; children: ComponentChildren }): JSX.Element {
  return (
    <div class="row">
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function On({ model, moment }: { model: Model; moment: number }): JSX.Element {
  const { side } = model;
  const shot = shotAt(model, moment);
  const telling = spanAt(side.tellings, moment);
  const music = spanAt(side.music_spans, moment);
  const title = spanAt(side.title_spans, moment);
  const take = spanAt(side.takes, moment);
  const lost = spanAt(side.lost, moment);
  const zones = side.visits.filter((visit) => visit.from <= moment && moment < visit.to);
  const framed = side.sights.filter((sight) =>
    sight.frames.some((frame) => frame.camera === shot?.camera && frame.from <= moment && moment < frame.to),
  );
  const look = shot ? model.looks[shot.camera] : undefined;
  return (
    <dl>
      <Row name="Camera">
        {shot ? (
          <>
            <b class="swatch" style={{ background: look?.fill, color: look?.ink }}>{model.letters[shot.camera]}</b>
            <strong>{side.cameras[shot.camera]?.name}</strong>
            <span class="why">{whyLive(side, shot)}</span>
          </>
        ) : (
          "none"
        )}
      </Row>
      <Row name="In the picture">
        {framed.length === 0 ? "no sight" : framed.map((it) => side.places[it.place]?.title ?? "?").join(", ")}
      </Row>
      <Row name="Narration">
        {telling ? <Told side={side} telling={telling} moment={moment} /> : "silence"}
      </Row>
      <Row name="Music">
        {music ? (side.music[music.music]?.title ?? "?") : "none"}
        {music?.ducked.some((it) => it.from <= moment && moment < it.to) ? " (ducked)" : ""}
      </Row>
      <Row name="Title">{title ? (side.titles[title.title]?.text ?? "?") : "none"}</Row>
      <Row name="Record">
        {take ? (
          <>
            <strong class="rec">● take {take.number}</strong> {length(moment - take.from)}
          </>
        ) : (
          "off"
        )}
      </Row>
      <Row name="GPS">{lost ? <strong class="bad">lost</strong> : "good"}{radio(side, moment)}</Row>
      <Row name="Zones">
        {zones.length === 0
          ? "none"
          : zones.map((visit, number) => {
              const zone = side.zones[visit.zone];
              const kind = zone?.no_filming ? " (no filming)" : zone?.quiet ? " (quiet)" : "";
              return <span key={number}>{number > 0 ? ", " : ""}{zone?.name}{kind === "" ? null : <b>{kind}</b>}</span>;
            })}
      </Row>
      <Motion model={model} moment={moment} live={shot?.camera ?? null} />
    </dl>
  );
}

function radio(side: Side, moment: number): string {
  const busy = spanAt(side.radio_busy, moment) ? ", radio busy" : "";
  const off = spanAt(side.voice_off, moment) ? ", voice off by hand" : "";
  return busy + off;
}

/** A narration with its text: what has been said, and what is still to come. */
function Told({ side, telling, moment }: { side: Side; telling: Telling; moment: number }): JSX.Element {
  const told = side.narrations[telling.narration];
  const stretch = [...telling.stretches].reverse().find((it) => it.from <= moment);
  const into = stretch ? stretch.into + Math.min(moment, stretch.to) - stretch.from : 0;
  const paused = stretch !== undefined && moment >= stretch.to;
  const window = telling.window;
  return (
    <>
      <strong>{told?.name}</strong> {length(into)} of {length(told?.length ?? 0)}
      {paused ? ", paused" : stretch?.ducked ? ", ducked" : ""}
      {window ? (
        <span class={window.slack < 0 ? "why bad" : "why"}>
          {window.slack < 0 ? `${seconds(-window.slack)} too long` : `fits, ${seconds(window.slack)} to spare`}: then{" "}
          {quoted(window.spoiler)}
        </span>
      ) : null}
      {told?.voices.map((voice) => {
        const letters = [...voice.text];
        const said = Math.round((Math.min(1, into / Math.max(1, voice.length))) * letters.length);
        return (
          <p class="text" lang={voice.language} key={voice.language}>
            {told.voices.length > 1 ? <span class="tag">{voice.language}</span> : null}
            <span class="said">{letters.slice(0, said).join("")}</span>
            {letters.slice(said).join("")}
          </p>
        );
      })}
    </>
  );
}

function Motion({ model, moment, live }: { model: Model; moment: number; live: number | null }): JSX.Element {
  const fix = fixAt(model, moment);
  if (fix < 0) return <Row name="Motion">no fix</Row>;
  const known = (value: number | undefined, words: (value: number) => string) =>
    value === undefined || Number.isNaN(value) ? "not known" : words(value);
  const from = valueAt(model.side.fixes.heading_from, fix);
  const source = { source: "compass", wind: "from the wind", held: "held", track: "the track stands in", unknown: "" };
  const elevation = model.sunElevation?.[fix];
  const azimuth = model.sunAzimuth?.[fix];
  const inLens = model.side.sun_in_lens.filter((it) => it.from <= moment && moment < it.to);
  const bank = model.bank[fix] ?? NaN;
  return (
    <>
      <Row name="Height">
        {known(model.altitude[fix], feet)} above the sea
        {valueAt(model.side.fixes.airborne, fix) === "ground"
          ? ", on the ground"
          : model.height
            ? `, ${known(model.height[fix], (height) => feet(height > -5 ? Math.max(0, height) : height))} above the ground`
            : ""}
      </Row>
      <Row name="Motion">
        {known(model.groundspeed[fix], knots)}, track {known(model.track[fix], bearing)}, heading{" "}
        {known(model.heading[fix], bearing)}
        {from && source[from] ? ` (${source[from]})` : ""}
        {Math.abs(bank) >= 1 ? `, bank ${Math.abs(Math.round(bank))}° ${bank < 0 ? "left" : "right"} (a model)` : ""}
      </Row>
      <Row name="Sun">
        {elevation === undefined || Number.isNaN(elevation) || azimuth === undefined
          ? "not known"
          : elevation < -0.27
            ? "below the horizon"
            : `${bearing(azimuth)}, ${Math.round(elevation)}° high`}
        {inLens.length > 0 ? (
          <b class="bad">
            {" "}
            ☀ in the lens of {inLens.map((it) => model.side.cameras[it.camera]?.name).join(", ")}
            {inLens.some((it) => it.camera === live) ? " (live)" : ""}
          </b>
        ) : null}
      </Row>
    </>
  );
}

/** What somebody pointed at on the map or in a lane. */
function Chosen({ model, shown, side, talk }: { model: Model; shown: Shown; side: number; talk: Talk }): JSX.Element {
  const { side: of } = model;
  const close = () => talk.show({ side, place: null, zone: null });
  const zone = shown.zone === null ? undefined : of.zones[shown.zone];
  const place = shown.place === null ? undefined : of.places[shown.place];
  const sight = of.sights.find((it) => it.place === shown.place);
  return (
    <aside class="chosen">
      <button type="button" class="close" onClick={close} aria-label="close">×</button>
      {zone ? (
        <>
          <h2>Zone {zone.name}</h2>
          <p>
            {zone.kind}
            {zone.quiet ? ", quiet: nothing is said or played" : ""}
            {zone.no_filming ? ", no filming: nothing is recorded" : ""}
            {zone.band
              ? `, ${zone.band.from === null ? "" : `from ${feet(zone.band.from)} `}${zone.band.to === null ? "up" : `to ${feet(zone.band.to)}`}`
              : ""}
          </p>
          {zone.windows.length > 0 ? (
            <ul>
              {zone.windows.map((window, number) => (
                <li key={number}>
                  rule {of.rules[window.rule]?.name}: {window.of} {bearing(window.from)} to {bearing(window.to)}
                  {window.magnetic ? " magnetic" : ""}
                </li>
              ))}
            </ul>
          ) : null}
          <p class="source">{zone.source}</p>
        </>
      ) : null}
      {place && sight ? (
        <>
          <h2>{place.title}</h2>
          <p class={sight.filmed ? "" : "bad"}>
            {sight.filmed ? "✓ filmed: " : "✕ not filmed: "}
            {hindrance(sight.words)}
          </p>
          {sight.best ? (
            <p>
              best at {since(sight.best.at - of.zero)} by {of.cameras[sight.best.camera]?.name},{" "}
              {miles(sight.best.distance)}
              {sight.light ? `, ${lit(sight.light)}` : ""}
            </p>
          ) : null}
        </>
      ) : null}
    </aside>
  );
}
