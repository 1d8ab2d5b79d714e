//! Does it fit? Each narration on the planned flight, at every groundspeed that the author expects.
//!
//! The planned route is flown in every wind and with every airspeed that the tour names, and on each
//! of these flights it is seen how long a narration has from its start to the first thing that would
//! spoil it ([`Spoiler`]). A wind from behind makes that room small, a wind from ahead makes it
//! large and leaves silence behind the narration.

mod advice;
mod flown;

use earth::flight::Flight;
use earth::{Fix, MetresPerSecond, Millis, Utc};
use engine::Limits;
use plan::{Day, NarrationId, PlaceId, Plan, RuleId, Wind, ZoneId};
use rayon::prelude::*;
use route::model::Project;

use crate::fly::{PLANNED_EVERY, PlannedFlight, sampled};
use crate::pace::Pace;

pub use advice::{Advice, Verdict};
use flown::{Told, Trial};

/// How the planned route is flown once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Condition {
    /// The wind on all legs; none for the planned ones.
    pub wind: Option<Wind>,
    /// How much faster than planned, through the air; negative for slower.
    pub faster: MetresPerSecond,
}

impl Condition {
    /// As planned.
    pub const PLANNED: Self = Self { wind: None, faster: MetresPerSecond::ZERO };

    /// In words, such as `as planned` or `wind 250/25 kt, 5 kt faster`.
    #[must_use]
    pub fn words(&self) -> String {
        let wind = self
            .wind
            .map(|wind| format!("wind {:03.0}/{:.0} kt", wind.from.get(), wind.speed.knots()));
        let knots = self.faster.knots();
        let faster = match knots {
            0.0 => None,
            knots if knots > 0.0 => Some(format!("{knots:.0} kt faster")),
            knots => Some(format!("{:.0} kt slower", -knots)),
        };
        let parts: Vec<String> = wind.into_iter().chain(faster).collect();
        if parts.is_empty() { "as planned".to_owned() } else { parts.join(", ") }
    }
}

/// What would spoil a narration that is still being told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spoiler {
    /// The next one is asked for, and is to begin a breath after this one.
    Next(NarrationId),
    /// One that was asked for before has waited as long as it may, and would be lost.
    Waiting(NarrationId),
    /// A quiet zone begins.
    Quiet(ZoneId),
    /// The sight is past its nearest point, and in no camera's frame any more.
    Behind(PlaceId),
    /// The aircraft takes off, and it is for the ground.
    TakeOff,
    /// The aircraft lands, or the flight is over.
    Landing,
}

impl Spoiler {
    /// In words, such as `quiet zone PAD`.
    #[must_use]
    pub fn words(&self, plan: &Plan) -> String {
        use timeline::words;
        match *self {
            Self::Next(next) => format!("`{}` comes", words::narration(plan, next)),
            Self::Waiting(other) => {
                format!("`{}` has waited as long as it may", words::narration(plan, other))
            }
            Self::Quiet(zone) => format!("quiet zone `{}`", words::zone(plan, zone)),
            Self::Behind(sight) => {
                let place = plan.places.get(sight.index());
                format!("`{}` is behind", place.map_or("?", |place| &place.name))
            }
            Self::TakeOff => "take-off".to_owned(),
            Self::Landing => "landing".to_owned(),
        }
    }
}

/// A narration as it is told on one of the flights.
#[derive(Clone, Debug, PartialEq)]
pub struct Telling {
    /// The condition, by its place in [`Fits::conditions`].
    pub condition: usize,
    /// What was told: the narration, or its short version.
    pub version: NarrationId,
    /// The rule that asked for it.
    pub rule: RuleId,
    /// When it starts, from lift-off.
    pub starts: Millis,
    /// How long it had waited by then.
    pub waited: Millis,
    /// How long it takes.
    pub length: Millis,
    /// The mean groundspeed while it is told.
    pub groundspeed: MetresPerSecond,
    /// How long it has from its start to what would spoil it.
    pub room: Millis,
    /// What would spoil it.
    pub spoiler: Spoiler,
    /// The room from the asking on, as an engine reckons it where there is a short version.
    pub from_asking: plan::Room,
    /// How much earlier nothing stands in its way.
    pub free_before: Millis,
    /// How long it is silent after it, until the next one or the landing.
    pub silence: Millis,
    /// When the sight that it is about is at its nearest, from the start of the narration.
    pub abeam: Option<Millis>,
}

impl Telling {
    /// How long one of the plan's voices takes to tell what was told.
    #[must_use]
    pub fn length_of(&self, plan: &Plan, voice: usize) -> Millis {
        let told = plan.narrations.get(self.version.index());
        told.and_then(|told| told.voices.get(voice)).map_or(self.length, |voice| voice.length)
    }

    /// By how much a voice of some length is too long; negative where there is time to spare.
    #[must_use]
    pub fn over(&self, length: Millis) -> Millis {
        length - self.room
    }
}

/// A narration that is asked for, or should be, and is not told on one of the flights.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// The condition, by its place in [`Fits::conditions`].
    pub condition: usize,
    /// Whether it was asked for at all.
    pub asked: bool,
}

/// One narration on all the flights.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Which narration.
    pub narration: NarrationId,
    /// As planned; where it is told several times, the time with the least room.
    pub planned: Option<Telling>,
    /// At the least groundspeed.
    pub least: Option<Telling>,
    /// At the greatest groundspeed.
    pub greatest: Option<Telling>,
    /// Where there is the least time to spare, on whichever flight.
    pub tightest: Option<Telling>,
    /// Where it is not told, though it is as planned.
    pub missing: Vec<Missing>,
}

/// All narrations of a plan that its rules ask for, in the order in which they are told as planned;
/// behind them those that are not told then, in the order written.
#[derive(Clone, Debug, PartialEq)]
pub struct Fits {
    /// How the route was flown; the first is as planned.
    pub conditions: Vec<Condition>,
    /// Those among what the author expects that the route cannot be flown in.
    pub cannot_be_flown: Vec<Condition>,
    /// The narrations.
    pub narrations: Vec<Fit>,
}

/// Flies the planned route in all that the tour's author expects, and sees how long each narration
/// has. A wind of the day stands for all winds: then only the airspeed differs.
///
/// None where the route cannot be flown as planned.
#[must_use]
pub fn fit(project: &Project, plan: &Plan, day: &Day) -> Option<Fits> {
    let told = Told::new(project, plan);
    let planned = told.fly(day, Condition::PLANNED)?;
    let fly = |condition: Condition| told.fly(day, condition);
    Some(all(plan, planned, side_by_side(expected(project, day), fly)))
}

/// The narrations as they are told on any flight that is flown by some limits, each with the moment
/// at which it starts; of what the hand does nothing is known here. [`Telling::starts`] counts from
/// the first fix, and [`Telling::condition`] is 0.
#[must_use]
pub fn told_on(
    project: &Project,
    plan: &Plan,
    day: &Day,
    fixes: &[Fix],
    limits: Limits,
) -> Vec<(Utc, Telling)> {
    let Some(first) = fixes.first() else { return Vec::new() };
    let Some(trial) = Told::new(project, plan).on(day, (fixes, limits), first.time) else {
        return Vec::new();
    };
    let all = wanted(plan).flat_map(|narration| trial.tellings(narration, 0));
    all.map(|telling| (first.time + telling.starts, telling)).collect()
}

/// The planned route as it is flown: as planned, and as fast as the author expects in each wind.
///
/// It does not hang on what is told in whichever language, nor on cameras; what is judged in several
/// languages can share it.
#[derive(Clone, Debug)]
pub struct Flights {
    /// As planned, with a fix each [`PLANNED_EVERY`], in the wind of the day.
    pub planned: PlannedFlight,
    fast: Vec<(Condition, Option<PlannedFlight>)>,
}

impl Flights {
    /// Flies them; none where the route cannot be flown as planned.
    #[must_use]
    pub fn fly(project: &Project, plan: &Plan, day: &Day) -> Option<Self> {
        let planned = crate::fly::fly_in(plan, PLANNED_EVERY, day.wind).ok()?;
        let mut expected = expected(project, day);
        let fastest = expected.iter().map(|condition| condition.faster.get()).fold(0.0, f64::max);
        expected.retain(|condition| condition.faster.get() >= fastest);
        // One after the other: whoever waits for flights that are shared would wait for ever if this
        // took up other work meanwhile.
        let flown = |condition: Condition| (condition, condition.flight(plan, day));
        let fast = expected.into_iter().map(flown).collect();
        Some(Self { planned, fast })
    }
}

/// [`fit`] on flights that have been flown: what the narrations that are too long are told by.
pub(crate) fn fast(project: &Project, plan: &Plan, day: &Day, flights: &Flights) -> Option<Fits> {
    let told = Told::new(project, plan);
    let planned = told.over(day, &flights.planned)?;
    let flown = side_by_side(flights.fast.iter().collect(), |(condition, flight)| {
        told.over(&condition.day(day), flight.as_ref()?)
    });
    let flown = flown.into_iter().map(|((condition, _), trial)| (*condition, trial)).collect();
    Some(all(plan, planned, flown))
}

/// Something of each, made side by side and put together in order.
fn side_by_side<T: Copy + Send, U: Send>(
    all: Vec<T>,
    make: impl Fn(T) -> U + Sync + Send,
) -> Vec<(T, U)> {
    all.into_par_iter().map(|one| (one, make(one))).collect()
}

fn all(plan: &Plan, planned: Trial<'_>, flown: Vec<(Condition, Option<Trial<'_>>)>) -> Fits {
    let mut conditions = vec![Condition::PLANNED];
    let mut trials = vec![planned];
    let mut cannot_be_flown = Vec::new();
    for (condition, trial) in flown {
        match trial {
            Some(trial) => {
                conditions.push(condition);
                trials.push(trial);
            }
            None => cannot_be_flown.push(condition),
        }
    }
    let mut narrations: Vec<Fit> = wanted(plan).map(|narration| one(narration, &trials)).collect();
    narrations.sort_by_key(|fit| {
        let starts = fit.planned.as_ref().map(|telling| telling.starts);
        (starts.is_none(), starts, fit.narration)
    });
    Fits { conditions, cannot_be_flown, narrations }
}

/// All that the author expects besides the plan.
fn expected(project: &Project, day: &Day) -> Vec<Condition> {
    let mut winds = vec![None];
    if day.wind.is_none() {
        let expected = project.winds_expected.iter();
        winds.extend(expected.map(|wind| Some(crate::settings::wind(wind.value))));
    }
    let tolerance = project.airspeed_tolerance.map_or(MetresPerSecond::ZERO, |it| it.value);
    let mut airspeeds = vec![MetresPerSecond::ZERO];
    if tolerance > MetresPerSecond::ZERO {
        airspeeds.extend([MetresPerSecond::ZERO - tolerance, tolerance]);
    }
    let all = winds
        .iter()
        .flat_map(|wind| airspeeds.iter().map(|faster| Condition { wind: *wind, faster: *faster }));
    all.filter(|condition| *condition != Condition::PLANNED).collect()
}

/// The narrations that rules ask for, without short versions.
fn wanted(plan: &Plan) -> impl Iterator<Item = NarrationId> {
    let asked = |id: NarrationId| {
        plan.rules.iter().any(|rule| rule.narration.is_some_and(|asks| asks.narration == id))
    };
    (0..).map(NarrationId).take(plan.narrations.len()).filter(move |id| asked(*id))
}

fn one(narration: NarrationId, trials: &[Trial<'_>]) -> Fit {
    let mut all: Vec<Telling> = Vec::new();
    let mut missing = Vec::new();
    for (condition, trial) in trials.iter().enumerate() {
        let tellings = trial.tellings(narration, condition);
        let tightest = tellings.into_iter().max_by_key(|it| (it.over(it.length), it.starts));
        match tightest {
            Some(telling) => all.push(telling),
            None => missing.push(Missing { condition, asked: trial.asked_for(narration) }),
        }
    }
    let planned = all.first().filter(|telling| telling.condition == 0).cloned();
    if planned.is_none() {
        missing.retain(|missing| missing.condition == 0);
    }
    let speed = |one: &&Telling, other: &&Telling| {
        let over = |it: &Telling| it.over(it.length);
        one.groundspeed.get().total_cmp(&other.groundspeed.get()).then(over(one).cmp(&over(other)))
    };
    Fit {
        narration,
        planned,
        least: all.iter().min_by(speed).cloned(),
        greatest: all.iter().max_by(speed).cloned(),
        tightest: all.iter().max_by_key(|it| it.over(it.length)).cloned(),
        missing,
    }
}

/// The plan with the room for each narration that has a short version, as it is on the planned flight.
/// A rule that does not have it told there keeps none: then the whole is told.
pub(crate) fn with_room(project: &Project, plan: Plan, flight: Option<&Flight>) -> Plan {
    let Some(flight) = flight else { return plan };
    if plan.narrations.iter().all(|narration| narration.short.is_none()) {
        return plan;
    }
    let day = Day::default();
    let flight = sampled(&plan, flight, PLANNED_EVERY);
    let Some(trial) = Told::new(project, &plan).over(&day, &flight) else { return plan };
    let rooms: Vec<Option<plan::Room>> = plan
        .rules
        .iter()
        .enumerate()
        .map(|(at, rule)| {
            let narration = rule.narration?.narration;
            plan.narrations.get(narration.index())?.short?;
            let own = |telling: &Telling| telling.rule.index() == at;
            trial.tellings(narration, 0).into_iter().find(own).map(|telling| telling.from_asking)
        })
        .collect();
    drop(trial);
    let mut plan = plan;
    for (rule, room) in plan.rules.iter_mut().zip(rooms) {
        if let Some(effect) = &mut rule.narration {
            effect.room = room;
        }
    }
    plan
}

/// How fast a voice of a plan is told.
#[must_use]
pub fn pace(project: &Project, plan: &Plan, narration: NarrationId, voice: usize) -> Option<Pace> {
    let told = plan.narrations.get(narration.index())?;
    let name = told.name.strip_suffix(" (short)").unwrap_or(&told.name);
    let written = &project.narrations.get(name)?.value;
    Some(Pace::of(project, written, &told.voices.get(voice)?.language))
}

/// A moment on a flight, from its lift-off.
fn since(lift_off: Utc, time: Utc) -> Millis {
    time - lift_off
}
