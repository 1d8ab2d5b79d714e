//! What two plans differ in, for somebody who has to approve the newer one: first what differs on
//! the planned flight, then what was changed in the plan to bring it about.
//!
//! Things are told apart by their names. What has another name and is otherwise the same has been
//! renamed; what has another name and another content is gone, and something else is new. Where
//! things are written (file, line, column, notation) is no difference. Each thing is told once: a
//! zone round a sight that has moved is told with the sight, a leg to it is not told at all.

mod aircraft;
mod align;
mod content;
mod flight;
mod matching;
mod places;
mod plane;
mod route;
mod rules;
mod settings;
mod shape;
mod told;
mod words;
mod zones;

use earth::{
    Degrees, DegreesTrue, Metres, MetresPerSecond, Millis, Position, SquareMetres, Utc, geodesic,
};
use plan::Plan;

pub use align::{Pair, align};
pub use flight::FlownPlan;

use matching::Matchings;

/// Two positions no farther apart are the same: inside and outside are told to 0.1 m.
const SAME_PLACE: Metres = Metres::of(0.1);
/// Two quantities no farther apart, in the unit of their type, are the same: the same value written
/// in two units may differ in its last digits.
const SAME_VALUE: f64 = 1e-6;

/// The property of a plan's identity that says in what it differs from the tour as written.
pub const NOT_AS_WRITTEN: &str = "not as written";

/// What two plans differ in.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanComparison {
    /// What differs on the planned flight: what passengers would notice.
    pub flight: Vec<Difference>,
    /// What differs in the plans themselves.
    pub plan: Vec<Difference>,
}

impl PlanComparison {
    /// Whether nothing differs.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.flight.is_empty() && self.plan.is_empty()
    }
}

/// One thing that differs.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// What it belongs to.
    pub part: Part,
    /// Its name in the newer plan, or in the older one if it is gone; empty where the part has
    /// nothing with names.
    pub name: String,
    /// What else people know it by: a title, the first words of a text.
    pub known_as: Option<String>,
    /// What has become of it.
    pub how: How,
    /// In what it differs; of what is new or gone, what it is.
    pub details: Vec<Detail>,
}

/// What a difference belongs to, in the order in which they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// Of the planned flight: the flight itself.
    Flight,
    /// Of the planned flight: filming inside a no-filming zone.
    FilmedInside,
    /// Of the planned flight: a narration told.
    Told,
    /// Of the planned flight: a sight in the picture while it is recorded.
    Filmed,
    /// Of the planned flight: the time a camera is live.
    Live,
    /// Of the planned flight: what is recorded.
    Recorded,
    /// Of the planned flight: stills.
    Stills,
    /// Of the planned flight: music played.
    Played,
    /// Of the planned flight: a title shown.
    Shown,
    /// Title, aircraft, revision, approval, language.
    Identity,
    /// The planned route.
    Route,
    /// A sight, waypoint or landing site.
    Place,
    /// A zone.
    Zone,
    /// A rule.
    Rule,
    /// A narration: its text and how it is told.
    Narration,
    /// A title's text.
    Title,
    /// A piece of music.
    Music,
    /// The aircraft and its recorder.
    Aircraft,
    /// A camera.
    Camera,
    /// The defaults of the rules.
    Settings,
}

/// What has become of a thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum How {
    /// The older plan has it not.
    Added,
    /// The newer plan has it not.
    Gone,
    /// Both have it, and it differs.
    Changed,
    /// It has another name and is the same.
    Renamed {
        /// The older name.
        from: String,
    },
}

/// One thing in which something differs.
#[derive(Clone, Debug, PartialEq)]
pub enum Detail {
    /// A property has another value; `None` where there is none.
    Value {
        /// Which property, in words.
        what: &'static str,
        /// In the older plan.
        old: Option<Value>,
        /// In the newer plan.
        new: Option<Value>,
    },
    /// It has moved.
    Moved {
        /// What of it: `position`, `centre`, `line`.
        what: &'static str,
        /// How far.
        by: Metres,
        /// In which direction, at the older place.
        towards: DegreesTrue,
    },
    /// Some corners of a line or ring have moved, not all alike.
    Corners {
        /// How many.
        moved: usize,
        /// Of how many.
        of: usize,
        /// How far the one that moved farthest.
        by: Metres,
    },
    /// These zones have moved with it.
    With(Vec<String>),
}

/// The value of a property.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Words.
    Words(String),
    /// A text of the author's, to be compared word by word.
    Text(String),
    /// Yes or no.
    Yes(bool),
    /// A number of things.
    Count(u64),
    /// A distance on the ground.
    Length(Metres),
    /// An altitude, elevation or height.
    Altitude(Metres),
    /// An area.
    Area(SquareMetres),
    /// A speed over the ground or through the air.
    Speed(MetresPerSecond),
    /// A rate of climb and descent.
    Climb(MetresPerSecond),
    /// An angle.
    Angle(Degrees),
    /// A length of time.
    Time(Millis),
    /// A moment of the flight, counted from take-off.
    Since(Millis),
    /// A moment.
    Moment(Utc),
    /// Bits a second.
    Rate(u64),
    /// Bytes.
    Bytes(u64),
}

impl Value {
    /// Whether two values are the same for whoever flies the plan.
    fn same(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() <= SAME_VALUE;
        match (self, other) {
            (Self::Length(a), Self::Length(b)) | (Self::Altitude(a), Self::Altitude(b)) => {
                near(a.get(), b.get())
            }
            (Self::Area(a), Self::Area(b)) => near(a.get(), b.get()),
            (Self::Speed(a), Self::Speed(b)) | (Self::Climb(a), Self::Climb(b)) => {
                near(a.get(), b.get())
            }
            (Self::Angle(a), Self::Angle(b)) => near(a.get(), b.get()),
            _ => self == other,
        }
    }
}

/// Collects the details of one thing.
#[derive(Debug, Default)]
struct Details(Vec<Detail>);

impl Details {
    /// A property, if it differs.
    fn value(&mut self, what: &'static str, old: Option<Value>, new: Option<Value>) {
        let same = match (&old, &new) {
            (Some(old), Some(new)) => old.same(new),
            (None, None) => true,
            _ => false,
        };
        if !same {
            self.0.push(Detail::Value { what, old, new });
        }
    }

    /// A property that both have, if it differs.
    fn both<T>(&mut self, what: &'static str, old: T, new: T, value: impl Fn(T) -> Value) {
        self.value(what, Some(value(old)), Some(value(new)));
    }

    /// A position, if it differs.
    fn moved(&mut self, what: &'static str, old: Position, new: Position) {
        let line = geodesic::inverse(old, new);
        if line.distance > SAME_PLACE {
            let (by, towards) = (line.distance, line.azimuth_start);
            self.0.push(Detail::Moved { what, by, towards });
        }
    }

    /// What a thing that is only in one of the plans is.
    fn only(&mut self, how: &How, what: &'static str, value: Value) {
        match how {
            How::Gone => self.value(what, Some(value), None),
            _ => self.value(what, None, Some(value)),
        }
    }

    /// The change of something that both plans have, if it differs.
    fn changed(self, part: Part, name: &str, known_as: Option<String>) -> Option<Difference> {
        let how = How::Changed;
        let name = name.to_owned();
        (!self.0.is_empty()).then_some(Difference { part, name, known_as, how, details: self.0 })
    }

    /// Something that is only in one of the plans.
    fn alone(self, part: Part, name: &str, known_as: Option<String>, how: How) -> Difference {
        Difference { part, name: name.to_owned(), known_as, how, details: self.0 }
    }
}

/// Two plans, and what in one is what in the other.
struct Two<'a> {
    old: &'a Plan,
    new: &'a Plan,
    matched: Matchings,
}

/// What two plans differ in, with their planned routes flown.
#[must_use]
pub fn compare(old: &FlownPlan<'_>, new: &FlownPlan<'_>) -> PlanComparison {
    let two = Two { old: old.plan, new: new.plan, matched: Matchings::new(old.plan, new.plan) };
    let mut flight = Vec::new();
    let told = flight::compare(&two, old, new, &mut flight);
    let mut plan = Vec::new();
    settings::identity(&two, &mut plan);
    route::compare(&two, &mut plan);
    let carried = places::compare(&two, &mut plan);
    zones::compare(&two, &[old, new], &carried, &mut plan);
    rules::compare(&two, &mut plan);
    content::compare(&two, &told, &mut plan);
    aircraft::compare(&two, &mut plan);
    settings::compare(&two, &mut plan);
    PlanComparison { flight, plan }
}
