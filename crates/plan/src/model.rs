//! The compiled plan: names resolved to indices, units to SI, nothing left to look up.

mod aircraft;
mod route;
mod rule;
mod settings;
mod zone;

use earth::{DegreesTrue, MetresPerSecond, Millis};
use serde::{Deserialize, Serialize};

pub use aircraft::*;
pub use route::*;
pub use rule::*;
pub use settings::*;
pub use zone::*;

macro_rules! index {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub u32);

        impl $name {
            /// The position in its list.
            #[must_use]
            pub const fn index(self) -> usize {
                self.0 as usize
            }
        }
    };
}

index! {
    /// A camera, by its place in [`Aircraft::cameras`].
    CameraId
}
index! {
    /// A sight or waypoint, by its place in [`Plan::places`].
    PlaceId
}
index! {
    /// A zone, by its place in [`Plan::zones`].
    ZoneId
}
index! {
    /// A rule, by its place in [`Plan::rules`], which is the order in which rules are written.
    RuleId
}
index! {
    /// A narration, by its place in [`Plan::narrations`].
    NarrationId
}
index! {
    /// A piece of music, by its place in [`Plan::music`].
    MusicId
}
index! {
    /// A title, by its place in [`Plan::titles`].
    TitleId
}

/// Everything the engine needs to fly one tour on one aircraft.
///
/// A plan that came through [`crate::read`] or [`Plan::check`] is sound: every index exists, zones
/// name only zones before them, `after` makes no circle, every bound of [`crate::bounds`] holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// The tour's title.
    pub title: String,
    /// The author's revision, from 1.
    pub revision: u32,
    /// Whether somebody has approved it.
    pub approval: Approval,
    /// The language of its texts, as the author wrote it (a BCP 47 tag such as `en`).
    pub language: String,
    /// In what it differs from the tour as written, such as `variant reversed`; nothing for the
    /// tour as written.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub differences: Vec<String>,
    /// The authored files, in the order in which they were read; [`Source::file`] counts in it.
    pub sources: Vec<String>,
    /// The defaults of the rules.
    pub settings: Settings,
    /// The planned wind, unless the day says otherwise.
    pub wind: Option<Wind>,
    /// What flies and what it carries.
    pub aircraft: Aircraft,
    /// Sights and waypoints.
    pub places: Vec<Place>,
    /// Where a landing other than at home is foreseen.
    pub landing_sites: Vec<LandingSite>,
    /// The route as planned.
    pub route: PlannedRoute,
    /// Zones; a combined zone comes after all of its parts.
    pub zones: Vec<Zone>,
    /// Rules, in the order written.
    pub rules: Vec<Rule>,
    /// Narrations.
    pub narrations: Vec<Narration>,
    /// Pieces of music.
    pub music: Vec<Music>,
    /// Titles.
    pub titles: Vec<Title>,
}

/// Whether a plan may be flown with passengers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Approval {
    /// Nobody has approved it yet.
    Draft,
    /// Approved by somebody on a day.
    Approved {
        /// Who approved it, as written.
        by: String,
        /// The day, `YYYY-MM-DD`.
        on: String,
    },
}

/// A place in the authored text.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Which file, counted in [`Plan::sources`].
    pub file: u32,
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}

/// A wind over the ground.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wind {
    /// Whence it blows, true.
    pub from: DegreesTrue,
    /// How fast.
    pub speed: MetresPerSecond,
}

/// A narration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Narration {
    /// Its name.
    pub name: String,
    /// What is said.
    pub text: String,
    /// How long it lasts.
    pub length: Millis,
    /// Whether the length is an estimate from the text.
    pub estimated: bool,
    /// Whether it may be played more than once a flight.
    pub again: bool,
    /// Whether it is for the ground: played only there, there also in quiet zones.
    pub on_ground: bool,
    /// What busy radio does to it, if it says.
    pub on_radio: Option<OnRadio>,
    /// How long it may be paused, if it says.
    pub longest_pause: Option<Millis>,
    /// Where the author wrote it.
    pub source: Source,
}

/// A piece of music.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Music {
    /// Its name.
    pub name: String,
    /// Its title for people; the same as `name` where the author gave none.
    pub title: String,
}

/// A title: text on the picture.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Title {
    /// Its name.
    pub name: String,
    /// What it shows.
    pub text: String,
}
