//! What an author can say, as types: the authored form of a tour.
//!
//! Everything here is as written: names are not resolved and nothing is checked against anything
//! outside its own value. Units are SI types; every value that somebody may want to point at
//! carries its place.

mod aircraft;
mod material;
mod place;
mod recorded;
mod rule;
mod text;
mod tour;
mod zone;

pub use aircraft::{
    Aircraft, BitsPerSecond, Bytes, Camera, HeadingSource, Hidden, Lens, Recorder, View,
};
pub use material::{
    Licence, Mix, Music, MusicOnRadio, Narration, OnRadio, Repeat, SyncWord, Title, Version,
};
pub use place::{
    Altitude, Band, Film, LandingSite, North, Sight, SpeedBand, Spot, Waypoint, Window,
};
pub use recorded::{Recorded, Recordings};
pub use rule::{
    AbeamBy, CameraEffect, Condition, ConditionKind, NarrationEffect, Otherwise, Phase,
    RecordEffect, Rule, Still, StillTime, Turn,
};
pub use text::{ByLanguage, Told};
pub use tour::{
    Arrival, CheckLevel, Defaults, Departure, HandCamera, Leg, LegKind, LegSettings, Level, Map,
    OrbitExtent, OtherLanguage, Route, Status, Variant, Wind,
};
pub use zone::{CrossedFrom, Line, Side, Zone, ZoneKind};

use std::collections::BTreeSet;

use crate::choose::Chosen;
use crate::span::{Name, Sources, Span, Spanned};
use earth::{Degrees, MetresPerSecond, Millis, Utc};

/// A tour with its aircraft and everything its libraries bring, in one piece.
///
/// The entries of all files stand in one order: those of an included library where the `include`
/// key stands among the keys of the file that includes it.
#[derive(Clone, Debug)]
pub struct Project {
    /// The texts that all places point into.
    pub sources: Sources,
    /// Whether everything was read. Where it is false a mistake has been reported, parts are left
    /// out, and the project serves to find further mistakes and for nothing else.
    pub complete: bool,
    /// Where mistakes were found in reading; see [`Self::could_be_read`].
    pub mistakes: Vec<Span>,
    /// Whether a library, or a part of a file that gives names, could not be read at all, which has
    /// been reported. A name that nobody gives may then be one of those.
    pub names_lost: bool,
    /// `tour`: the tour's title.
    pub title: Spanned<String>,
    /// `revision`: from 1.
    pub revision: Spanned<u32>,
    /// `status`: draft unless it says approved.
    pub status: Status,
    /// `language` of the texts that name none: a language tag such as `en` (the default) or
    /// `de-CH`.
    pub language: String,
    /// The languages that `language` names: carried at once, each on a channel of its own. The first
    /// is [`Self::language`].
    pub carried: Vec<Spanned<String>>,
    /// `other languages` in which the tour is told.
    pub other_languages: Table<OtherLanguage>,
    /// What was chosen of what the tour offers, and for the day. Nothing as it is read.
    pub chosen: Chosen,
    /// `departure`: planned time of take-off.
    pub departure: Spanned<Utc>,
    /// How far local time is ahead of UTC, as `departure` is written.
    pub utc_offset: Millis,
    /// `departures`: the local times of take-off that are sold, after midnight, as written.
    pub departures: Vec<Spanned<Millis>>,
    /// `must have`: sights that passengers are promised.
    pub must_have: Vec<Spanned<Name>>,
    /// `light`: a sun nearer than this to a camera's axis shines into its lens, if written.
    pub into_lens: Option<Degrees>,
    /// `terrain`: the paths of files of heights.
    pub terrain: Vec<Spanned<String>>,
    /// `map`: what is drawn beneath the flight.
    pub map: Map,
    /// `wind` for the whole tour, if given.
    pub wind: Option<Spanned<Wind>>,
    /// `winds expected` on a day on which the tour is flown.
    pub winds_expected: Vec<Spanned<Wind>>,
    /// `airspeed tolerance`: how much slower or faster than planned a leg is flown.
    pub airspeed_tolerance: Option<Spanned<MetresPerSecond>>,
    /// `defaults`, those not written filled in.
    pub defaults: Defaults,
    /// `mix`, what is not written filled in.
    pub mix: Mix,
    /// `checks`: levels other than usual, by the name of the check.
    pub checks: Table<CheckLevel>,
    /// The aircraft; none if it could not be read.
    pub aircraft: Option<Aircraft>,
    /// `other aircraft` that the tour may be flown on: the paths of their files.
    pub other_aircraft: Vec<Spanned<String>>,
    /// `waypoints`: places. Waypoints and sights share one set of names.
    pub waypoints: Table<Waypoint>,
    /// `sights`: places that are filmed.
    pub sights: Table<Sight>,
    /// `landing sites` besides home.
    pub landing_sites: Table<LandingSite>,
    /// `route`: the planned flight.
    pub route: Route,
    /// `variants`: other ways in which the route may be flown.
    pub variants: Table<Variant>,
    /// `zones` of every kind.
    pub zones: Table<Zone>,
    /// `rules`; among equals the earlier wins.
    pub rules: Table<Rule>,
    /// `narrations`.
    pub narrations: Table<Narration>,
    /// `music`.
    pub music: Table<Music>,
    /// `titles`.
    pub titles: Table<Title>,
    /// The recordings that are there and can be used. None as it is read: whoever can open files
    /// measures them.
    pub recordings: Option<Recordings>,
    /// The recordings that are there and cannot be used, by their path: what is the matter with them
    /// has been told by whoever tried to measure them.
    pub unusable_recordings: BTreeSet<String>,
}

impl Project {
    /// Whether no mistake was found in this stretch of text. Of what could not be read in whole no
    /// more should be said than what the mistake itself does not explain.
    #[must_use]
    pub fn could_be_read(&self, span: Span) -> bool {
        !self.mistakes.iter().any(|at| {
            at.file == span.file && span.start <= at.start && at.start <= span.end.max(span.start)
        })
    }
}

/// Named things of one kind, in the order in which they are written.
///
/// Within one file names are unique (a double is reported when reading). A name that two files
/// give is here twice.
#[derive(Clone, Debug)]
pub struct Table<T> {
    /// What was read.
    pub entries: Vec<Entry<T>>,
    /// Names whose value could not be read. That has been reported; whoever uses such a name is
    /// not to blame for it.
    pub broken: Vec<Spanned<Name>>,
}

impl<T> Default for Table<T> {
    fn default() -> Self {
        Self { entries: Vec::new(), broken: Vec::new() }
    }
}

impl<T> Table<T> {
    /// The first entry of that name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Entry<T>> {
        self.entries.iter().find(|entry| &*entry.name.value == name)
    }

    /// Whether the name was given, readable or not.
    #[must_use]
    pub fn names(&self, name: &str) -> bool {
        self.get(name).is_some() || self.broken.iter().any(|broken| &*broken.value == name)
    }

    /// Puts another file's entries behind these.
    pub fn append(&mut self, mut other: Self) {
        self.entries.append(&mut other.entries);
        self.broken.append(&mut other.broken);
    }
}

/// A named thing.
#[derive(Clone, Debug)]
pub struct Entry<T> {
    /// The name where it is given.
    pub name: Spanned<Name>,
    /// What it names.
    pub value: T,
    /// The whole entry, from its name to its end.
    pub span: Span,
}
