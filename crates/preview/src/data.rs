//! The page's data as it is written: the shapes of `FORMAT.md`, which says what each key means.

use serde::Serialize;

use crate::columns::{Column, Line, LonLat, Runs};

/// The name of the format.
pub(crate) const FORMAT: &str = "fulmar-page";
/// Its version.
pub(crate) const VERSION: u32 = 1;

/// The document.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Page {
    pub(crate) format: &'static str,
    pub(crate) version: u32,
    pub(crate) map: Map,
    pub(crate) sides: Vec<Side>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Map {
    pub(crate) centre: LonLat,
    pub(crate) shapes: Vec<MapShape>,
    pub(crate) tiles: Option<String>,
    pub(crate) attribution: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Serialize)]
pub(crate) struct MapShape {
    pub(crate) kind: ShapeKind,
    pub(crate) name: Option<String>,
    pub(crate) lines: Vec<Line>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ShapeKind {
    Point,
    Line,
    Area,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Side {
    pub(crate) identity: Identity,
    pub(crate) start: i64,
    pub(crate) length: i64,
    pub(crate) zero: i64,
    pub(crate) flew: bool,
    pub(crate) utc_offset: i64,
    pub(crate) notes: Vec<String>,
    pub(crate) languages: Vec<String>,
    pub(crate) cameras: Vec<Camera>,
    pub(crate) places: Vec<PlaceOnMap>,
    pub(crate) zones: Vec<Zone>,
    pub(crate) rules: Vec<Rule>,
    pub(crate) narrations: Vec<Narration>,
    pub(crate) music: Vec<Music>,
    pub(crate) titles: Vec<Title>,
    pub(crate) route: Line,
    pub(crate) fixes: Fixes,
    pub(crate) shots: Vec<Shot>,
    pub(crate) takes: Vec<Take>,
    pub(crate) tellings: Vec<Telling>,
    pub(crate) untold: Vec<Untold>,
    pub(crate) fits: Vec<Fit>,
    pub(crate) music_spans: Vec<MusicSpan>,
    pub(crate) title_spans: Vec<TitleSpan>,
    pub(crate) stills: Vec<Still>,
    pub(crate) visits: Vec<Visit>,
    pub(crate) landings: Vec<Landing>,
    pub(crate) take_offs: Vec<i64>,
    pub(crate) radio_busy: Vec<Span>,
    pub(crate) voice_off: Vec<Span>,
    pub(crate) lost: Vec<Span>,
    pub(crate) hand: Vec<HandAction>,
    pub(crate) sights: Vec<Sight>,
    pub(crate) sun_in_lens: Vec<SunInLens>,
    pub(crate) findings: Vec<Finding>,
    pub(crate) sound: Option<Sound>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Identity {
    pub(crate) title: String,
    pub(crate) code: String,
    pub(crate) revision: u32,
    pub(crate) approved: Option<Approved>,
    pub(crate) differences: Vec<String>,
    pub(crate) today: String,
    pub(crate) aircraft: String,
    pub(crate) registration: Option<String>,
    pub(crate) files: Vec<String>,
    pub(crate) planned: bool,
    pub(crate) run: u32,
    pub(crate) flight: u32,
    pub(crate) flights: usize,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Approved {
    pub(crate) by: String,
    pub(crate) on: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct Span {
    pub(crate) from: i64,
    pub(crate) to: i64,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Camera {
    pub(crate) name: String,
    pub(crate) bearing: f64,
    pub(crate) depression: f64,
    pub(crate) width: f64,
    pub(crate) height: Option<f64>,
    pub(crate) lens: plan::Lens,
    pub(crate) cabin: bool,
    pub(crate) hidden: Vec<Hidden>,
    pub(crate) state: CameraState,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Hidden {
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) below: Option<f64>,
    pub(crate) above: Option<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum CameraState {
    Ready,
    OutOfService,
    NotAllowed,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct PlaceOnMap {
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) kind: plan::PlaceKind,
    pub(crate) at: LonLat,
    pub(crate) elevation: Option<f64>,
    pub(crate) height: Option<f64>,
    pub(crate) home: bool,
    pub(crate) wanted: Option<Wanted>,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Wanted {
    pub(crate) must_have: bool,
    pub(crate) lasts: i64,
    pub(crate) within: Option<f64>,
    pub(crate) size: Option<f64>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Zone {
    pub(crate) name: String,
    pub(crate) kind: ZoneKind,
    pub(crate) quiet: bool,
    pub(crate) no_filming: Option<plan::HandFilming>,
    pub(crate) band: Option<Band>,
    pub(crate) areas: Vec<Vec<Line>>,
    pub(crate) line: Option<Line>,
    pub(crate) crossed_from: Option<plan::Side>,
    pub(crate) any_of: Vec<u32>,
    pub(crate) all_of: Vec<u32>,
    pub(crate) except: Vec<u32>,
    pub(crate) windows: Vec<ZoneWindow>,
    pub(crate) source: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ZoneKind {
    Circle,
    Polygon,
    Corridor,
    Sector,
    Gate,
    Combined,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Band {
    pub(crate) from: Option<f64>,
    pub(crate) to: Option<f64>,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct ZoneWindow {
    pub(crate) rule: usize,
    pub(crate) of: WindowOf,
    pub(crate) from: f64,
    pub(crate) to: f64,
    pub(crate) magnetic: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum WindowOf {
    Track,
    Heading,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Rule {
    pub(crate) name: String,
    pub(crate) source: String,
    pub(crate) priority: i32,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Narration {
    pub(crate) name: String,
    pub(crate) sight: Option<u32>,
    pub(crate) length: i64,
    pub(crate) on_ground: bool,
    pub(crate) voices: Vec<Voice>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Voice {
    pub(crate) language: String,
    pub(crate) text: String,
    pub(crate) length: i64,
    pub(crate) estimated: bool,
    pub(crate) sync_word: Option<SyncWord>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct SyncWord {
    pub(crate) word: String,
    pub(crate) at: i64,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Music {
    pub(crate) name: String,
    pub(crate) title: String,
    pub(crate) composer: Option<String>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Title {
    pub(crate) name: String,
    pub(crate) text: String,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Fixes {
    pub(crate) count: usize,
    pub(crate) time: Column,
    pub(crate) longitude: Column,
    pub(crate) latitude: Column,
    pub(crate) altitude: Column,
    pub(crate) height: Option<Column>,
    pub(crate) groundspeed: Column,
    pub(crate) track: Column,
    pub(crate) heading: Column,
    pub(crate) bank: Column,
    pub(crate) heading_from: Runs<HeadingFrom>,
    pub(crate) gps: Runs<Gps>,
    pub(crate) airborne: Runs<InTheAir>,
    pub(crate) sun_azimuth: Option<Column>,
    pub(crate) sun_elevation: Option<Column>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum HeadingFrom {
    Source,
    Wind,
    Held,
    Track,
    Unknown,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Gps {
    First,
    Good,
    Back,
    Gap,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum InTheAir {
    Airborne,
    Ground,
    Unknown,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Shot {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) camera: u32,
    pub(crate) why: ShotWhy,
    pub(crate) rule: Option<u32>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ShotWhy {
    Rule,
    DefaultSequence,
    ShotHold,
    Lost,
    Hand,
    NoCamera,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Take {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) number: u32,
    pub(crate) why: String,
    pub(crate) rule: Option<u32>,
    pub(crate) ended: String,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Telling {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) narration: u32,
    pub(crate) rule: Option<u32>,
    pub(crate) waited: Option<Waited>,
    pub(crate) stretches: Vec<Stretch>,
    pub(crate) cut_off: Option<String>,
    pub(crate) window: Option<Window>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Waited {
    pub(crate) since: i64,
    pub(crate) obstacle: String,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Stretch {
    pub(crate) from: i64,
    pub(crate) to: i64,
    pub(crate) into: i64,
    pub(crate) ducked: bool,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Window {
    pub(crate) from: i64,
    pub(crate) to: i64,
    pub(crate) slack: i64,
    pub(crate) spoiler: String,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Untold {
    pub(crate) narration: u32,
    pub(crate) rule: Option<u32>,
    pub(crate) at: i64,
    pub(crate) why: String,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Fit {
    pub(crate) narration: u32,
    pub(crate) planned: Option<FitTelling>,
    pub(crate) tightest: Option<FitTelling>,
    pub(crate) missing: usize,
    pub(crate) conditions: usize,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct FitTelling {
    pub(crate) condition: String,
    pub(crate) length: i64,
    pub(crate) room: i64,
    pub(crate) slack: i64,
    pub(crate) groundspeed: f64,
    pub(crate) spoiler: String,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct MusicSpan {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) music: u32,
    pub(crate) rule: Option<u32>,
    pub(crate) ducked: Vec<Span>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct TitleSpan {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) title: u32,
    pub(crate) rule: Option<u32>,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Still {
    pub(crate) camera: u32,
    pub(crate) at: i64,
    pub(crate) place: LonLat,
    pub(crate) why: StillWhy,
    pub(crate) rule: Option<u32>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum StillWhy {
    Start,
    Every,
    Closest,
    Hand,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Visit {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) zone: u32,
    pub(crate) pass: u32,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Landing {
    pub(crate) at: i64,
    pub(crate) home: bool,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct HandAction {
    pub(crate) at: i64,
    pub(crate) action: String,
    pub(crate) outcome: String,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Sight {
    pub(crate) place: u32,
    pub(crate) filmed: bool,
    pub(crate) words: String,
    pub(crate) in_any: i64,
    pub(crate) in_live: i64,
    pub(crate) held: Option<Framed>,
    pub(crate) hindered: Option<Hindered>,
    pub(crate) best: Option<SightMoment>,
    pub(crate) nearest: Option<Nearest>,
    pub(crate) light: Option<SightLight>,
    pub(crate) frames: Vec<Framed>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct Framed {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) camera: u32,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Hindered {
    pub(crate) what: &'static str,
    pub(crate) camera: Option<u32>,
    pub(crate) span: Option<Span>,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct SightMoment {
    pub(crate) at: i64,
    pub(crate) camera: u32,
    pub(crate) live: bool,
    pub(crate) distance: f64,
    pub(crate) size: Option<f64>,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct Nearest {
    pub(crate) at: i64,
    pub(crate) distance: f64,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct SightLight {
    pub(crate) at: i64,
    pub(crate) camera: u32,
    pub(crate) lit: Lit,
    pub(crate) sun_in_lens: i64,
    pub(crate) of: i64,
    pub(crate) score: u8,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Lit {
    Front,
    Side,
    Back,
    Dark,
}

#[derive(Clone, Copy, Debug, Serialize)]
pub(crate) struct SunInLens {
    #[serde(flatten)]
    pub(crate) span: Span,
    pub(crate) camera: u32,
    pub(crate) in_frame: bool,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Finding {
    pub(crate) name: String,
    pub(crate) severity: Severity,
    pub(crate) headline: String,
    pub(crate) help: String,
    pub(crate) at: Option<i64>,
    pub(crate) place: Option<LonLat>,
    pub(crate) source: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Severity {
    Error,
    Warning,
    Note,
}

#[derive(Clone, Debug, Serialize)]
pub(crate) struct Sound {
    pub(crate) element: String,
    pub(crate) starts: i64,
}
