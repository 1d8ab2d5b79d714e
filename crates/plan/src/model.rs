//! The compiled plan: names resolved to indices, units to SI, nothing left to look up.

mod aircraft;
mod material;
mod route;
mod rule;
mod settings;
mod zone;

use earth::{DegreesTrue, MetresPerSecond};
use serde::{Deserialize, Serialize};

pub use aircraft::*;
pub use material::*;
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
    /// The languages in which it is told, as the author wrote them (BCP 47 tags such as `en`): one,
    /// or several that are carried at once, each on a channel of its own. Titles are in the first.
    pub languages: Vec<String>,
    /// In what it differs from the tour as written, such as `variant reversed`; nothing for the
    /// tour as written.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub differences: Vec<String>,
    /// The authored files, in the order in which they were read; [`Source::file`] counts in it.
    pub sources: Vec<String>,
    /// The defaults of the rules.
    pub settings: Settings,
    /// How voice and music are balanced.
    pub mix: Mix,
    /// How the light is judged.
    pub light: Light,
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
