//! The review of a tour that compiles: its planned route flown once, and what is wrong with it.

use coverage::{Coverage, Pose, SightSeen, Watch, cover, cover_one};
use diagnostic::{Diagnostic, Page};
use earth::{DegreesTrue, Metres, MetresPerSecond, Surface, Utc};
use engine::{Change, Engine, Limits, Notice, RuleActivity, Sink, State};
use plan::{CameraId, Day, NarrationId, Place, PlaceId, Plan, RuleId, ZoneId};
use route::Span;
use route::model::{Entry, Project, Zone};
use timeline::{Flight, Timeline};

use crate::checks::{REVIEWS, levels, without};
use crate::findings::Findings;
use crate::fit::Flights;
use crate::fly::PlannedFlight;
use crate::picture::{self, View};

/// Flies the planned route of a tour's plan once, on a day, and says what is wrong with the tour:
/// the findings of every check whose level can be set, at the level that the tour sets, sorted by
/// place.
///
/// The plan must be that of the project, and the day's cameras those of the plan. Nothing is found
/// where its route cannot be flown.
#[must_use]
pub fn review(project: &Project, plan: &Plan, day: &Day) -> Vec<Diagnostic> {
    let flights = Flights::fly(project, plan, day);
    flights.map_or_else(Vec::new, |flights| review_flight(project, plan, day, &flights))
}

/// [`review`] of flights that several plans share, since their routes, homes and winds are the same.
#[must_use]
pub fn review_flight(
    project: &Project,
    plan: &Plan,
    day: &Day,
    flights: &Flights,
) -> Vec<Diagnostic> {
    let mut findings = Findings::new(&project.sources);
    let Some(flown) = Flown::new(project, plan, day, &flights.planned) else { return Vec::new() };
    let flown = Flown { flights: Some(flights), ..flown };
    for (_, check) in REVIEWS {
        check(&flown, &mut findings);
    }
    let found = without::apply(project, findings.sorted());
    let mine = |name: &str| checks().iter().any(|page| page.name == name);
    let mut found = levels::apply(project, found, mine);
    diagnostic::sort(&mut found);
    found
}

/// The pages of the checks of the planned flight, in the order in which they are made.
#[must_use]
pub fn checks() -> Vec<&'static Page> {
    REVIEWS.iter().flat_map(|(pages, _)| *pages).collect()
}

/// A tour, its plan, and the planned route as it was flown.
pub(crate) struct Flown<'a> {
    pub(crate) project: &'a Project,
    pub(crate) plan: &'a Plan,
    pub(crate) day: &'a Day,
    pub(crate) flight: &'a PlannedFlight,
    /// The flights that narrations are to fit on, where they are to be judged.
    pub(crate) flights: Option<&'a Flights>,
    /// The state at each fix.
    pub(crate) moments: Vec<Moment>,
    /// Everything that changed.
    pub(crate) changes: Vec<Change>,
    /// Where the aircraft was and how it lay at each fix.
    pub(crate) poses: Vec<Pose>,
}

/// The state at a fix, as far as checks ask for it.
pub(crate) struct Moment {
    pub(crate) time: Utc,
    pub(crate) surface: Surface,
    pub(crate) altitude: Option<Metres>,
    pub(crate) groundspeed: Option<MetresPerSecond>,
    pub(crate) track: Option<DegreesTrue>,
    pub(crate) heading: Option<DegreesTrue>,
    pub(crate) airborne: bool,
    pub(crate) camera: Option<CameraId>,
    pub(crate) recording: bool,
    pub(crate) narration: Option<NarrationId>,
    pub(crate) zones: Vec<ZoneId>,
    /// The rules that are active, by their place in the plan.
    pub(crate) active: Vec<RuleId>,
}

impl<'a> Flown<'a> {
    /// A flight of the planned route as it goes on a day; none if the plan is not sound.
    pub(crate) fn new(
        project: &'a Project,
        plan: &'a Plan,
        day: &'a Day,
        flight: &'a PlannedFlight,
    ) -> Option<Self> {
        let mut engine = Engine::new(plan, day, Limits::of(&plan.settings)).ok()?;
        let mut seen = Seen {
            moments: Vec::new(),
            changes: Vec::new(),
            active: Vec::new(),
            watch: Watch::new(plan),
        };
        for fix in &flight.fixes {
            engine.fix(fix, &mut seen);
        }
        engine.finish(&mut seen);
        let Seen { moments, changes, watch, .. } = seen;
        let poses = watch.finish(None);
        Some(Self { project, plan, day, flight, flights: None, moments, changes, poses })
    }

    /// The flights of the planned route: where it lands on the way there are several.
    pub(crate) fn timeline(&self) -> Timeline {
        Timeline::of(self.plan, &self.changes)
    }

    /// What the cameras see of the sights on a flight. Heights of the ground are no part of a plan,
    /// so no hill hides a sight here.
    pub(crate) fn coverage(&self, flight: &Flight) -> Coverage {
        cover(self.plan, self.day, flight, &self.poses, None)
    }

    /// The same of a single sight; none where the place is no sight.
    pub(crate) fn coverage_of(&self, flight: &Flight, sight: PlaceId) -> Option<SightSeen> {
        cover_one(self.plan, self.day, flight, &self.poses, None, sight)
    }

    /// Whether the live camera holds a sight in its frame at a moment, no farther away than the
    /// tour's `abeam within`; the aircraft is taken as level. A cabin camera never does.
    pub(crate) fn frames(&self, moment: &Moment, sight: &Place, at: &Surface) -> bool {
        let view = View {
            camera: moment.camera,
            heading: moment.heading,
            from: &moment.surface,
            altitude: moment.altitude,
        };
        picture::holds(self.plan, &view, sight, at, self.project.defaults.abeam_within)
    }

    /// A zone of the project by its place in the plan.
    pub(crate) fn zone(&self, id: ZoneId) -> Option<&'a Entry<Zone>> {
        let name = &self.plan.zones.get(id.index())?.name;
        self.project.zones.get(name)
    }

    /// A zone of the plan by its name.
    pub(crate) fn zone_id(&self, name: &str) -> Option<ZoneId> {
        let at = self.plan.zones.iter().position(|zone| zone.name == name)?;
        u32::try_from(at).ok().map(ZoneId)
    }

    /// A place of the plan by its name.
    pub(crate) fn place_id(&self, name: &str) -> Option<PlaceId> {
        let at = self.plan.places.iter().position(|place| place.name == name)?;
        u32::try_from(at).ok().map(PlaceId)
    }

    /// Where the leg flown at a moment is written.
    pub(crate) fn leg_span(&self, time: Utc) -> Span {
        // The first leg as written is where the flight begins; the plan has no leg for it.
        let leg = self.flight.leg_at(time).and_then(|leg| self.project.route.legs.get(leg + 1));
        leg.map_or(self.project.route.span, |leg| leg.kind.span)
    }

    /// A time on the planned flight in milliseconds from lift-off: the moment of a finding.
    pub(crate) fn moment(&self, time: Utc) -> i64 {
        (time - self.flight.lift_off).0
    }

    /// A time on the planned flight, in words: minutes and seconds from lift-off.
    pub(crate) fn clock(&self, time: Utc) -> String {
        let seconds = (time - self.flight.lift_off).get() / 1000.0;
        let sign = if seconds < 0.0 { "-" } else { "+" };
        let whole = seconds.abs().round();
        format!("T{sign}{:02.0}:{:02.0}", (whole / 60.0).floor(), whole % 60.0)
    }
}

struct Seen {
    moments: Vec<Moment>,
    changes: Vec<Change>,
    active: Vec<RuleId>,
    watch: Watch,
}

impl Sink for Seen {
    fn change(&mut self, change: &Change) {
        self.changes.push(*change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.watch.state(state);
        self.moments.push(Moment {
            time: state.time,
            surface: Surface::from(state.position),
            altitude: state.altitude,
            groundspeed: state.groundspeed,
            track: state.track,
            heading: state.heading.map(|(heading, _)| heading),
            airborne: state.airborne == Some(true),
            camera: state.camera,
            recording: state.take.is_some(),
            narration: state.narration.map(|narration| narration.narration),
            zones: state.zones.to_vec(),
            active: self.active.clone(),
        });
    }

    fn notice(&mut self, _: &Notice) {}

    fn rule(&mut self, activity: &RuleActivity) {
        self.active.retain(|rule| *rule != activity.rule);
        if activity.active {
            self.active.push(activity.rule);
        }
    }
}
