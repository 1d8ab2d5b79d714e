//! A second engine, slow and obvious, written from the rules of the plan alone, so that the real
//! one can be held against it.
//!
//! It takes the whole flight at once and goes through it again and again, one question at a time:
//! which fixes are good ([`fixes`]), how the aircraft moves ([`motion`]), where it takes off and
//! lands ([`flight`]), which zones it crosses ([`zones`]), which rules are active ([`rules`]).
//! None of that depends on the pilot's hand. Then the film is made instant by instant ([`film`]).

#![allow(
    clippy::disallowed_methods,
    reason = "the reference is compared within tolerances, so the platform's mathematics will do"
)]

pub mod build;
pub mod camera;
pub mod compare;
pub mod dice;
pub mod film;
pub mod fixes;
pub mod flight;
pub mod generate;
pub mod generate_flight;
pub mod ground;
pub mod motion;
pub mod narration;
pub mod real;
pub mod record;
pub mod rules;
pub mod sound;
pub mod still;
pub mod without;
pub mod zone;
pub mod zones;

use earth::{DegreesTrue, Fix, Metres, MetresPerSecond, Millis, Position, Utc};
use engine::{CameraWhy, Change, Gps, HeadingFrom, NarrationState, Notice, TakeTime};
use plan::{CameraId, Day, Hand, MusicId, Plan, TitleId, ZoneId};

use fixes::Limits;
use without::Without;

/// A flight to be filmed.
#[derive(Clone, Debug)]
pub struct Case {
    pub plan: Plan,
    pub day: Day,
    pub limits: Limits,
    pub fixes: Vec<Fix>,
    /// What the pilot does, in the order of the times.
    pub hands: Vec<(Utc, Hand)>,
}

/// What comes out of an engine.
#[derive(Clone, Debug, Default)]
pub struct Film {
    pub changes: Vec<Change>,
    pub states: Vec<Row>,
    pub notices: Vec<Notice>,
}

/// The state at a good fix, on its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    pub time: Utc,
    pub run: u32,
    pub flight: u32,
    pub since_first: Millis,
    pub since_takeoff: Option<Millis>,
    pub position: Position,
    pub altitude: Option<Metres>,
    pub groundspeed: Option<MetresPerSecond>,
    pub track: Option<DegreesTrue>,
    pub heading: Option<(DegreesTrue, HeadingFrom)>,
    pub airborne: Option<bool>,
    pub zones: Vec<ZoneId>,
    pub camera: Option<CameraId>,
    pub camera_why: CameraWhy,
    pub camera_next: Option<CameraId>,
    pub narration: Option<NarrationState>,
    pub music: Option<MusicId>,
    pub music_ducked: bool,
    pub title: Option<TitleId>,
    pub take: Option<TakeTime>,
    pub stills: Vec<CameraId>,
    pub gps: Gps,
    pub voice_on: bool,
    pub radio_busy: bool,
}

/// Flies a case by the reference.
pub fn fly(case: &Case) -> Film {
    fly_without(case, None)
}

/// Flies a case by the reference with one rule left out.
pub fn fly_without(case: &Case, without: Option<Without>) -> Film {
    film::make(case, without)
}
