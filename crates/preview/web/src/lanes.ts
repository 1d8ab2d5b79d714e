// What the lanes over time hold: rows of blocks, made once of a flight. Drawing them is apart.

import type { Model } from "./model";
import type { Look } from "./palette";
import * as palette from "./palette";
import { quoted, slack } from "./words";

/** Something from a moment to another, both from take-off. */
export interface Block {
  from: number;
  to: number;
  /** Written in it where there is room. */
  words: string;
  /** Written instead where there is little room. */
  short?: string;
  /** Said of it in full. */
  about: string;
  fill: string;
  ink: string;
  /** Lines across it: dashes of a camera, or hatching of what is wrong. */
  pattern: "none" | "hatched" | "dotted";
  /** Faint: not what is in the film. */
  faint?: boolean;
}

/** A bracket below a block: the time it has. */
export interface Bracket {
  from: number;
  to: number;
  fits: boolean;
  words: string;
}

export interface Tick {
  at: number;
  letter: string;
  look: Look;
  about: string;
}

export interface Lane {
  name: string;
  blocks: Block[];
  brackets: Bracket[];
  ticks: Tick[];
  /** A place of the side's list, where the lane is about a sight. */
  place: number | null;
  tall: boolean;
}

const lane = (name: string, more: Partial<Lane> = {}): Lane => ({
  name,
  blocks: [],
  brackets: [],
  ticks: [],
  place: null,
  tall: false,
  ...more,
});

const soft = { fill: "#dfe5ee", ink: palette.INK };

export function lanes(model: Model): Lane[] {
  const { side } = model;
  const from = (moment: number) => moment - side.zero;
  const camera = (number: number) => ({
    look: model.looks[number] ?? palette.look(null),
    letter: model.letters[number] ?? "?",
    name: side.cameras[number]?.name ?? "?",
  });
  const rule = (number: number | null) =>
    number === null ? "" : `; rule ${side.rules[number]?.name ?? "?"}`;

  const cameras = lane("Camera", {
    blocks: side.shots.map((shot) => {
      const { look, name } = camera(shot.camera);
      return {
        from: from(shot.from),
        to: from(shot.to),
        words: name,
        about: `camera ${name}${rule(shot.rule)}`,
        fill: look.fill,
        ink: look.ink,
        pattern: "none",
      };
    }),
  });
  const narration = lane("Narration", {
    tall: true,
    blocks: side.tellings.map((telling, number) => {
      const name = side.narrations[telling.narration]?.name ?? "?";
      const late = telling.window !== null && telling.window.slack < 0;
      const wrong = telling.cut_off !== null || late;
      const ending = telling.cut_off === null ? "" : `; cut off: ${telling.cut_off}`;
      const room = telling.window ? `; ${slack(telling.window.slack)}, then ${quoted(telling.window.spoiler)}` : "";
      return {
        from: from(telling.from),
        to: from(telling.to),
        words: `${number + 1} ${name}`,
        short: String(number + 1),
        about: `narration ${number + 1}, ${name}${rule(telling.rule)}${ending}${room}`,
        ...(wrong ? { fill: "#f6d5dd", ink: palette.BAD } : { fill: "#dcebe0", ink: palette.GOOD }),
        pattern: wrong ? "hatched" : "none",
      };
    }),
    brackets: side.tellings.flatMap(({ window }) =>
      window
        ? [
            {
              from: from(window.from),
              to: from(window.to),
              fits: window.slack >= 0,
              words: `${window.slack < 0 ? "−" : "+"}${Math.abs(window.slack / 1000).toFixed(1)} s`,
            },
          ]
        : [],
    ),
  });
  const music = lane("Music", {
    blocks: side.music_spans.map((span) => {
      const title = side.music[span.music]?.title ?? "?";
      return { from: from(span.from), to: from(span.to), words: title, about: `music ${title}${rule(span.rule)}`, ...soft, pattern: "none" };
    }),
  });
  const titles = lane("Title", {
    blocks: side.title_spans.map((span) => {
      const text = side.titles[span.title]?.text ?? "?";
      return { from: from(span.from), to: from(span.to), words: text, about: `title ${text}${rule(span.rule)}`, ...soft, pattern: "none" };
    }),
  });
  const record = lane("Record", {
    blocks: side.takes.map((take) => ({
      from: from(take.from),
      to: from(take.to),
      words: `take ${take.number}`,
      about: `take ${take.number}: ${take.why}; ended: ${take.ended}`,
      fill: palette.INK,
      ink: palette.PAPER,
      pattern: "none",
    })),
  });
  const stills = lane("Stills", {
    ticks: side.stills.map((still) => {
      const { look, letter, name } = camera(still.camera);
      return { at: from(still.at), letter, look, about: `still by ${name}` };
    }),
  });
  const visits = (name: string, those: (zone: number) => boolean, fill: string, pattern: Block["pattern"]) =>
    lane(name, {
      blocks: side.visits
        .filter((visit) => visit.to > visit.from && those(visit.zone))
        .map((visit) => {
          const zone = side.zones[visit.zone]?.name ?? "?";
          return { from: from(visit.from), to: from(visit.to), words: zone, about: `${name.toLowerCase()}: zone ${zone}`, fill, ink: palette.INK, pattern };
        }),
    });
  const quiet = visits("Quiet", (zone) => side.zones[zone]?.quiet ?? false, "#d9d5ee", "dotted");
  const forbidden = visits("No filming", (zone) => side.zones[zone]?.no_filming !== null, "#f3c9d3", "hatched");
  const sun = lane("Sun in lens", {
    blocks: side.sun_in_lens.map((span) => {
      const { look, name, letter } = camera(span.camera);
      return {
        from: from(span.from),
        to: from(span.to),
        words: `☀ ${letter}`,
        about: `the sun shines into the lens of ${name}${span.in_frame ? ", and is in its picture" : ""}`,
        fill: look.fill,
        ink: look.ink,
        pattern: span.in_frame ? "hatched" : "none",
      };
    }),
  });
  const trouble = lane("GPS, radio", {
    blocks: [
      ...side.lost.map((span) => ({ ...span, words: "GPS lost", fill: "#f3c9d3" })),
      ...side.radio_busy.map((span) => ({ ...span, words: "radio busy", fill: "#f7e3b0" })),
      ...side.voice_off.map((span) => ({ ...span, words: "voice off", fill: "#e2e2e2" })),
    ].map((it) => ({
      from: from(it.from),
      to: from(it.to),
      words: it.words,
      about: it.words,
      fill: it.fill,
      ink: palette.INK,
      pattern: "hatched" as const,
    })),
  });
  const sights = side.sights.map((sight) => sightLane(model, sight));
  // Lanes that have nothing in them say so once, by not being there; the film's own stay.
  const seldom = [quiet, forbidden, sun, trouble].filter((it) => it.blocks.length > 0);
  return [cameras, narration, music, titles, record, stills, ...seldom, ...sights];
}

function sightLane(model: Model, sight: Model["side"]["sights"][number]): Lane {
  const { side } = model;
  const place = side.places[sight.place];
  const title = place?.title ?? "?";
  const blocks: Block[] = [];
  const from = (moment: number) => moment - side.zero;
  for (const frame of sight.frames) {
    const look = model.looks[frame.camera] ?? palette.look(null);
    const name = side.cameras[frame.camera]?.name ?? "?";
    // In any picture, faintly; above it where that camera was live.
    blocks.push({
      from: from(frame.from),
      to: from(frame.to),
      words: "",
      about: `${title} is in the picture of ${name}, which is not live`,
      fill: "#e3e6ea",
      ink: palette.INK,
      pattern: "none",
      faint: true,
    });
    for (const shot of side.shots) {
      if (shot.camera !== frame.camera) continue;
      const [begin, end] = [Math.max(shot.from, frame.from), Math.min(shot.to, frame.to)];
      if (begin >= end) continue;
      blocks.push({
        from: from(begin),
        to: from(end),
        words: model.letters[frame.camera] ?? "",
        about: `${title} is in the live picture, of ${name}`,
        fill: look.fill,
        ink: look.ink,
        pattern: "none",
      });
    }
  }
  blocks.sort((one, other) => Number(other.faint ?? false) - Number(one.faint ?? false));
  const brackets = sight.held
    ? [{ from: from(sight.held.from), to: from(sight.held.to), fits: sight.filmed, words: sight.filmed ? "filmed" : "too short" }]
    : [];
  const mark = sight.filmed ? "✓" : "✕";
  return lane(`${mark} ${title}`, { blocks, brackets, place: sight.place, tall: brackets.length > 0 });
}

/** What lies at a moment in a lane: the last drawn is on top. */
export function blockAt(lane: Lane, moment: number): Block | undefined {
  for (let at = lane.blocks.length - 1; at >= 0; at--) {
    const block = lane.blocks[at]!;
    if (block.from <= moment && moment < block.to) return block;
  }
  return undefined;
}
