// The types of the page's data, version 1. FORMAT.md describes the same in words; a test holds the
// two and the program that writes it together.
//
// All times of a side are whole milliseconds from its `start`. A number with a unit has the unit
// FORMAT.md gives it: metres, metres a second, degrees.

export const FORMAT = "fulmar-page";
export const VERSION = 1;

/** The whole document: one flight, or two side by side. */
export interface Page {
  format: typeof FORMAT;
  version: typeof VERSION;
  map: MapData;
  /** One, or two that are compared. Two are aligned by their `zero`. */
  sides: Side[];
}

/**
 * A line on the earth in few characters: longitude, latitude, longitude, latitude … in millionths
 * of a degree, the first point as it is, each other one as the difference from the one before.
 */
export type Line = number[];

/** Longitude and latitude in degrees; longitudes of a page lie within 180° of the map's centre. */
export type LonLat = [number, number];

/**
 * One number for each fix, in few characters: each the difference from the last known one (the
 * first from 0), divided by `scale`; null where it is not known.
 */
export interface Column {
  scale: number;
  deltas: (number | null)[];
}

/** Something for each fix that seldom changes: `value[i]` holds from the fix `from[i]` on. */
export interface Runs<T> {
  from: number[];
  value: T[];
}

export interface MapData {
  centre: LonLat;
  /** What the operator gave: coastline, roads, whatever. */
  shapes: ShapeOnMap[];
  /** Address of map tiles with {z}, {x}, {y}; null: the page asks no network for anything. */
  tiles: string | null;
  attribution: string | null;
}

export interface ShapeOnMap {
  kind: "point" | "line" | "area";
  name: string | null;
  /** A point's and a line's line; an area's outer ring, then its holes. */
  lines: Line[];
}

export interface Side {
  identity: Identity;
  /** Moment of the first fix, UTC, milliseconds from 1970. */
  start: number;
  /** From the first fix to the end of the flight. */
  length: number;
  /** Take-off, or what stands for it; what people are shown counts from it. */
  zero: number;
  /** Whether it took off at all. */
  flew: boolean;
  /** Local time less UTC, milliseconds. */
  utc_offset: number;
  /** What is not in the page and why: no terrain, heading not known, and the like. Sentences. */
  notes: string[];
  languages: string[];
  cameras: Camera[];
  places: PlaceOnMap[];
  zones: Zone[];
  rules: Rule[];
  narrations: Narration[];
  music: Music[];
  titles: Title[];
  /** The planned route as it is flown. */
  route: Line;
  fixes: Fixes;
  shots: Shot[];
  takes: Take[];
  tellings: Telling[];
  untold: Untold[];
  fits: Fit[];
  music_spans: MusicSpan[];
  title_spans: TitleSpan[];
  stills: Still[];
  visits: Visit[];
  landings: Landing[];
  take_offs: number[];
  radio_busy: Span[];
  voice_off: Span[];
  lost: Span[];
  hand: HandAction[];
  /** One for each sight that the tour is about, in the order of `places`. */
  sights: Sight[];
  /** When the sun shines into a lens. */
  sun_in_lens: SunInLens[];
  findings: Finding[];
  sound: Sound | null;
}

export interface Identity {
  title: string;
  /** The six characters of the plan's digest. */
  code: string;
  revision: number;
  /** Null: a draft. */
  approved: { by: string; on: string } | null;
  /** In what the plan differs from the tour as written. */
  differences: string[];
  /** What is said for the day: wind, cameras out of service; empty for nothing. */
  today: string;
  aircraft: string;
  registration: string | null;
  /** Files of the recorded flight; empty for the planned route. */
  files: string[];
  planned: boolean;
  run: number;
  flight: number;
  /** How many flights there are in what was given. */
  flights: number;
}

export interface Span {
  from: number;
  to: number;
}

export interface Camera {
  name: string;
  /** Of its axis, clockwise from the nose. */
  bearing: number;
  /** Of its axis, below the horizon; negative above. */
  depression: number;
  /** Full angle of the frame. */
  width: number;
  height: number | null;
  lens: "rectilinear" | "equidistant";
  cabin: boolean;
  /** What the airframe hides: from, to clockwise from the nose. */
  hidden: { from: number; to: number; below: number | null; above: number | null }[];
  /** Out of service or not allowed today. */
  state: "ready" | "out_of_service" | "not_allowed";
}

export interface PlaceOnMap {
  name: string;
  title: string;
  kind: "sight" | "waypoint";
  at: LonLat;
  elevation: number | null;
  height: number | null;
  home: boolean;
  /** Null for a waypoint. */
  wanted: { must_have: boolean; lasts: number; within: number | null; size: number | null } | null;
}

export interface Zone {
  name: string;
  kind: "circle" | "polygon" | "corridor" | "sector" | "gate" | "combined";
  quiet: boolean;
  /** Null, or what a press of record inside does. */
  no_filming: "refused" | "allowed" | null;
  band: { from: number | null; to: number | null } | null;
  /** Polygons to fill: each its closed outer ring, then its holes. Empty for a gate. */
  areas: Line[][];
  /** Of a gate; null for others. */
  line: Line | null;
  /** Which side a gate counts from, looking along its line; null for others. */
  crossed_from: "left" | "right" | "either" | null;
  /** Zones by index; empty unless combined. */
  any_of: number[];
  all_of: number[];
  except: number[];
  /** Rules that hold in this zone only on certain directions. */
  windows: ZoneWindow[];
  source: string;
}

export interface ZoneWindow {
  rule: number;
  of: "track" | "heading";
  /** Clockwise from … to …, degrees. */
  from: number;
  to: number;
  magnetic: boolean;
}

export interface Rule {
  name: string;
  /** file:line:column */
  source: string;
  priority: number;
}

export interface Narration {
  name: string;
  sight: number | null;
  /** The longest of its voices. */
  length: number;
  on_ground: boolean;
  voices: {
    language: string;
    text: string;
    length: number;
    estimated: boolean;
    sync_word: { word: string; at: number } | null;
  }[];
}

export interface Music {
  name: string;
  title: string;
  composer: string | null;
}

export interface Title {
  name: string;
  text: string;
}

export interface Fixes {
  count: number;
  time: Column;
  longitude: Column;
  latitude: Column;
  altitude: Column;
  /** Above the ground; null: no terrain was given. */
  height: Column | null;
  groundspeed: Column;
  track: Column;
  heading: Column;
  /** Of a coordinated turn, a model; right wing down is positive. */
  bank: Column;
  heading_from: Runs<"source" | "wind" | "held" | "track" | "unknown">;
  gps: Runs<"first" | "good" | "back" | "gap">;
  airborne: Runs<"airborne" | "ground" | "unknown">;
  sun_azimuth: Column | null;
  /** Negative: below the horizon. */
  sun_elevation: Column | null;
}

export interface Shot extends Span {
  camera: number;
  why: "rule" | "default_sequence" | "shot_hold" | "lost" | "hand" | "no_camera";
  rule: number | null;
}

export interface Take extends Span {
  number: number;
  why: string;
  rule: number | null;
  ended: string;
}

export interface Telling extends Span {
  narration: number;
  rule: number | null;
  /** Since when it waited, if it did, and what stood in its way. */
  waited: { since: number; obstacle: string } | null;
  /** When it played: from, to, how far into it, ducked. */
  stretches: { from: number; to: number; into: number; ducked: boolean }[];
  /** Null: told to its end; else what cut it off, in words. */
  cut_off: string | null;
  /** The time it has: up to what would spoil it. Null where that is not known. */
  window: Window | null;
}

export interface Window {
  /** When it could have begun at the earliest. */
  from: number;
  /** When what would spoil it begins. */
  to: number;
  /** `to` less the end of the telling as long as its longest voice; negative: it does not fit. */
  slack: number;
  /** What would spoil it, in words. */
  spoiler: string;
}

export interface Untold {
  narration: number;
  rule: number | null;
  at: number;
  /** In words. */
  why: string;
}

/** How a narration fits on the planned route in all the winds and airspeeds the tour expects. */
export interface Fit {
  narration: number;
  planned: FitTelling | null;
  tightest: FitTelling | null;
  /** Under how many of the conditions it is not told though it is as planned. */
  missing: number;
  conditions: number;
}

export interface FitTelling {
  /** In words: "as planned", "wind 230/20 kt, 5 kt faster". */
  condition: string;
  length: number;
  room: number;
  slack: number;
  groundspeed: number;
  spoiler: string;
}

export interface MusicSpan extends Span {
  music: number;
  rule: number | null;
  ducked: Span[];
}

export interface TitleSpan extends Span {
  title: number;
  rule: number | null;
}

export interface Still {
  camera: number;
  at: number;
  place: LonLat;
  why: "start" | "every" | "closest" | "hand";
  rule: number | null;
}

export interface Visit extends Span {
  zone: number;
  pass: number;
}

export interface Landing {
  at: number;
  home: boolean;
}

export interface HandAction {
  at: number;
  /** In words. */
  action: string;
  outcome: string;
}

export interface Sight {
  place: number;
  filmed: boolean;
  /** In one sentence: how it was filmed, or what hindered it and which camera had it. */
  words: string;
  /** How long it was in the picture of any outside camera, and of the live one. */
  in_any: number;
  in_live: number;
  /** The longest time for which it was held in one shot as wanted and recorded; null: never. */
  held: (Span & { camera: number }) | null;
  /** What hindered it; null where it is filmed. */
  hindered: Hindered | null;
  best: SightMoment | null;
  /** The nearest that it came, in the picture or not. */
  nearest: { at: number; distance: number } | null;
  light: SightLight | null;
  /** In whose picture it is from when to when. */
  frames: (Span & { camera: number })[];
}

export interface Hindered {
  /** too_short, not_recorded, no_filming, other_camera_live, camera_not_used, too_far,
   * behind_airframe, behind_ground, below_horizon, out_of_frame, heading_not_known, no_camera */
  what: string;
  /** The camera that had it, or would have had it. */
  camera: number | null;
  /** When that was. */
  span: Span | null;
}

export interface SightMoment {
  at: number;
  camera: number;
  /** Whether that camera was live. */
  live: boolean;
  distance: number;
  /** Share of the picture's height; null: the sight's or the camera's height is not known. */
  size: number | null;
}

/** The light on a sight where it is held longest, else at its best moment. */
export interface SightLight {
  at: number;
  camera: number;
  /** Lit from the front, the side, from behind, or the sun is below the horizon. */
  lit: "front" | "side" | "back" | "dark";
  /** For how long, of its time in the live picture, the sun shines into the lens. */
  sun_in_lens: number;
  of: number;
  /** 0 to 100, to compare departures by. */
  score: number;
}

export interface SunInLens extends Span {
  camera: number;
  /** The sun itself is in the picture. */
  in_frame: boolean;
}

export interface Finding {
  /** Stable name; `fulmar explain NAME` tells more. */
  name: string;
  severity: "error" | "warning" | "note";
  headline: string;
  help: string;
  /** Its moment, if it has one. */
  at: number | null;
  place: LonLat | null;
  /** file:line:column, or the file. */
  source: string;
}

export interface Sound {
  /** `id` of the page's audio element. */
  element: string;
  /** The moment at which the sound begins. */
  starts: number;
}

// ---- reading it ----

/** The numbers of a column; NaN where one is not known. */
export function numbers(column: Column): Float64Array {
  const all = new Float64Array(column.deltas.length);
  let last = 0;
  column.deltas.forEach((delta, at) => {
    if (delta === null) {
      all[at] = NaN;
      return;
    }
    last += delta;
    all[at] = last / column.scale;
  });
  return all;
}

/** The points of a line. */
export function points(line: Line): LonLat[] {
  const all: LonLat[] = [];
  let lon = 0;
  let lat = 0;
  for (let at = 0; at + 1 < line.length; at += 2) {
    lon += line[at]!;
    lat += line[at + 1]!;
    all.push([lon / 1e6, lat / 1e6]);
  }
  return all;
}

/** What a run says of a fix. */
export function valueAt<T>(runs: Runs<T>, fix: number): T | undefined {
  let low = 0;
  let high = runs.from.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (runs.from[middle]! <= fix) low = middle + 1;
    else high = middle;
  }
  return runs.value[low - 1];
}

/** The page's data, from the element that carries it. Throws where it is not what it should be. */
export function read(text: string): Page {
  const page = JSON.parse(text) as Page;
  if (page.format !== FORMAT || page.version !== VERSION) {
    throw new Error(`this page reads ${FORMAT} version ${VERSION}`);
  }
  return page;
}
