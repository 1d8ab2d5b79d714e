//! The planned route flown once, and what each narration has of room on it.

use earth::{DegreesTrue, Fix, Metres, MetresPerSecond, Millis, Surface, Utc};
use engine::{Change, Engine, Event, Limits, NarrationEvent, Notice, RuleActivity, Sink, State};
use plan::{
    CameraEffect, CameraId, Day, NarrationId, Otherwise, PlaceId, Plan, Room, Rule, RuleId, Test,
};
use route::model::Project;

use super::{Condition, Spoiler, Telling, since};
use crate::fly::{PLANNED_EVERY, PlannedFlight, fly_in};
use crate::picture::{self, View};

/// No leg is flown slower than this through the air, however much slower than planned it is flown.
const SLOWEST: MetresPerSecond = MetresPerSecond::of(5.0);
/// A sight is past its nearest point once it is so much farther away, as for a still.
const PAST: f64 = 25.0;
/// So long before a narration begins its sight may already have been at its nearest.
const BEFORE: Millis = Millis::from_secs(60);

/// The planned route as it was flown in one condition.
pub(crate) struct Trial<'a> {
    project: &'a Project,
    plan: &'a Plan,
    lift_off: Utc,
    moments: Vec<Moment>,
    /// The way flown up to each moment, in metres.
    ways: Vec<f64>,
    changes: Vec<Change>,
    /// Each rule that asks for a narration, from when to when it was active.
    active: Vec<(RuleId, Utc, Option<Utc>)>,
}

struct Moment {
    time: Utc,
    surface: Surface,
    altitude: Option<Metres>,
    heading: Option<DegreesTrue>,
}

/// A plan as far as it matters to what is told: on it narrations go as on the whole, for no other
/// channel touches them. Rules that ask for none, and that none of those waits for, never hold.
fn only_told(plan: &Plan) -> Plan {
    let mut needed = vec![false; plan.rules.len()];
    let mut open: Vec<usize> = Vec::new();
    open.extend((0..).zip(&plan.rules).filter(|(_, it)| it.narration.is_some()).map(|(at, _)| at));
    while let Some(at) = open.pop() {
        let Some(seen) = needed.get_mut(at) else { continue };
        if std::mem::replace(seen, true) {
            continue;
        }
        let conditions = plan.rules.get(at).map(|rule| rule.conditions.as_slice());
        open.extend(conditions.unwrap_or_default().iter().filter_map(|it| match it.test {
            Test::After(rule) => Some(rule.index()),
            _ => None,
        }));
    }
    let mut told = plan.clone();
    for (rule, needed) in told.rules.iter_mut().zip(needed) {
        (rule.camera, rule.record, rule.music, rule.title) = (None, None, None, None);
        rule.stills.clear();
        if !needed {
            // What it asks of zones stays: outside them the engine does not look at it at all.
            let source = rule.source;
            let never = |test| plan::Condition { test, written: String::new(), source };
            rule.conditions.retain(|condition| {
                matches!(condition.test, Test::In(_) | Test::NotIn(_) | Test::Pass { .. })
            });
            rule.conditions.extend([never(Test::OnGround), never(Test::Airborne)]);
        }
    }
    told
}

impl Condition {
    /// The day in this condition.
    pub(super) fn day(&self, day: &Day) -> Day {
        Day { wind: self.wind.or(day.wind), ..day.clone() }
    }

    /// The planned route as it is flown in this condition; none where it cannot be.
    pub(super) fn flight(&self, plan: &Plan, day: &Day) -> Option<PlannedFlight> {
        let wind = self.wind.or(day.wind);
        if self.faster == MetresPerSecond::ZERO {
            return fly_in(plan, PLANNED_EVERY, wind).ok();
        }
        let mut other = plan.clone();
        for leg in &mut other.route.legs {
            let airspeed = leg.airspeed + self.faster;
            leg.airspeed = if airspeed > SLOWEST { airspeed } else { SLOWEST };
        }
        fly_in(&other, PLANNED_EVERY, wind).ok()
    }
}

/// Something that would spoil a narration, and when.
type Spoils = (Utc, Spoiler);

/// What a plan tells, for as many flights as it is tried on.
pub(crate) struct Told<'a> {
    project: &'a Project,
    plan: &'a Plan,
    only: Plan,
}

impl<'a> Told<'a> {
    pub(crate) fn new(project: &'a Project, plan: &'a Plan) -> Self {
        Self { project, plan, only: only_told(plan) }
    }

    /// Flies the route; none where it cannot be flown so.
    pub(crate) fn fly(&self, day: &Day, condition: Condition) -> Option<Trial<'a>> {
        let flight = condition.flight(self.plan, day)?;
        self.over(&condition.day(day), &flight)
    }

    /// The route as it was flown on a day.
    pub(crate) fn over(&self, day: &Day, flight: &PlannedFlight) -> Option<Trial<'a>> {
        let limits = Limits::of(&self.plan.settings);
        self.on(day, (&flight.fixes, limits), flight.lift_off)
    }

    /// Any flight, with the limits by which it is flown and the moment from which it counts.
    pub(super) fn on(
        &self,
        day: &Day,
        (fixes, limits): (&[Fix], Limits),
        lift_off: Utc,
    ) -> Option<Trial<'a>> {
        let Self { project, plan, ref only } = *self;
        let mut engine = Engine::new(only, day, limits).ok()?;
        let mut seen = Seen { plan, moments: Vec::new(), changes: Vec::new(), active: Vec::new() };
        for fix in fixes {
            engine.fix(fix, &mut seen);
        }
        engine.finish(&mut seen);
        let Seen { moments, changes, active, .. } = seen;
        let mut way = 0.0;
        let mut before: Option<&Surface> = None;
        let mut ways = Vec::with_capacity(moments.len());
        for moment in &moments {
            way += before.map_or(0.0, |before| before.chord(&moment.surface));
            before = Some(&moment.surface);
            ways.push(way);
        }
        Some(Trial { project, plan, lift_off, moments, ways, changes, active })
    }
}

impl Trial<'_> {
    /// Whether a rule asked for a narration.
    pub(super) fn asked_for(&self, narration: NarrationId) -> bool {
        let asks = |rule: RuleId| self.asks(rule) == Some(narration);
        self.active.iter().any(|(rule, _, _)| asks(*rule))
    }

    /// Every time a narration, or its short version, is told.
    pub(super) fn tellings(&self, narration: NarrationId, condition: usize) -> Vec<Telling> {
        let started = self.changes.iter().filter_map(|change| match change.event {
            Event::Narration { narration: told, what: NarrationEvent::Started }
                if self.is_version(told, narration) =>
            {
                Some((change.effect, told, change.rule?))
            }
            _ => None,
        });
        started.filter_map(|(at, told, rule)| self.telling(at, told, rule, condition)).collect()
    }

    fn is_version(&self, told: NarrationId, narration: NarrationId) -> bool {
        let short = self.plan.narrations.get(narration.index()).and_then(|it| it.short);
        told == narration || short == Some(told)
    }

    fn telling(
        &self,
        at: Utc,
        version: NarrationId,
        rule: RuleId,
        condition: usize,
    ) -> Option<Telling> {
        let told = self.plan.narrations.get(version.index())?;
        let asked = self.asked_at(rule, at).unwrap_or(at);
        let sight = self.sight(version, rule);
        let nearest = sight.and_then(|sight| self.nearest(sight, at));
        let (ends, spoiler) = self.spoiled(at, version, rule, sight.zip(nearest));
        let (way, _) = self.between(at, at + told.length);
        Some(Telling {
            condition,
            version,
            rule,
            starts: since(self.lift_off, at),
            waited: at - asked,
            length: told.length,
            groundspeed: MetresPerSecond::of(way / told.length.secs()),
            room: ends - at,
            spoiler,
            from_asking: self.room(asked, ends),
            free_before: self.free_before(at, told.on_ground, at > asked),
            silence: self.silence(at + told.length),
            abeam: nearest.map(|nearest| nearest - at),
        })
    }

    /// The narration that a rule asks for.
    fn asks(&self, rule: RuleId) -> Option<NarrationId> {
        Some(self.plan.rules.get(rule.index())?.narration?.narration)
    }

    /// When a rule became active, the last time by a moment.
    fn asked_at(&self, rule: RuleId, by: Utc) -> Option<Utc> {
        let own = self.active.iter().filter(|(other, from, _)| *other == rule && *from <= by);
        own.map(|(_, from, _)| *from).next_back()
    }

    /// What a narration is about: what it says itself, else what its rule is aimed or looks at.
    fn sight(&self, version: NarrationId, rule: RuleId) -> Option<PlaceId> {
        let own = self.plan.narrations.get(version.index())?.sight;
        own.or_else(|| sight_of(self.plan.rules.get(rule.index())?))
    }

    /// The first thing that would spoil a narration that starts at a moment.
    fn spoiled(
        &self,
        at: Utc,
        version: NarrationId,
        rule: RuleId,
        sight: Option<(PlaceId, Utc)>,
    ) -> Spoils {
        let over = self.moments.last().map_or(at, |last| last.time);
        let told = self.plan.narrations.get(version.index());
        let on_ground = told.is_some_and(|told| told.on_ground);
        let behind = sight.and_then(|(sight, nearest)| self.behind(sight, nearest, at));
        let all = [
            self.next(at, version, rule),
            self.waiting(at, version, rule),
            self.changed(at, on_ground),
            behind,
        ];
        let first = all.into_iter().flatten().min_by_key(|(time, _)| *time);
        first.unwrap_or((over, Spoiler::Landing))
    }

    /// The next narration that is asked for, less its breath.
    fn next(&self, at: Utc, version: NarrationId, own: RuleId) -> Option<Spoils> {
        let breath = self.plan.settings.breath;
        let asked = self.active.iter().filter(|(rule, from, _)| *rule != own && *from > at);
        let wanted = asked.filter_map(|(rule, from, _)| {
            let effect = self.plan.rules.get(rule.index())?.narration?;
            let other = effect.narration;
            if self.is_version(version, other) || !self.may_be_told(other, *from) {
                return None;
            }
            let needs =
                if effect.otherwise == Otherwise::Interrupt { Millis::ZERO } else { breath };
            Some((*from - needs, Spoiler::Next(other)))
        });
        let first = wanted.min_by_key(|(time, _)| *time)?;
        Some((first.0.max(at), first.1))
    }

    /// One that waits already when this one starts, and how long it may.
    fn waiting(&self, at: Utc, version: NarrationId, own: RuleId) -> Option<Spoils> {
        let asked = self.active.iter().filter(|(rule, from, _)| *rule != own && *from <= at);
        let patience = asked.filter_map(|(rule, from, to)| {
            let effect = self.plan.rules.get(rule.index())?.narration?;
            let other = effect.narration;
            if self.is_version(version, other)
                || !self.may_be_told(other, at)
                || effect.otherwise == Otherwise::Skip
            {
                return None;
            }
            let until = effect.waits.map(|waits| *from + waits).or(*to)?;
            (until > at).then_some((until, Spoiler::Waiting(other)))
        });
        patience.min_by_key(|(time, _)| *time)
    }

    /// Whether a narration has not been told before a moment, or may be told again.
    fn may_be_told(&self, narration: NarrationId, before: Utc) -> bool {
        let again = self.plan.narrations.get(narration.index()).is_some_and(|it| it.again);
        let told = self.changes.iter().take_while(|change| change.effect < before).any(|change| {
            matches!(
                change.event,
                Event::Narration { narration: told, what: NarrationEvent::Started }
                    if self.is_version(told, narration)
            )
        });
        again || !told
    }

    /// The first quiet zone, take-off or landing that would cut it off.
    fn changed(&self, at: Utc, on_ground: bool) -> Option<Spoils> {
        self.changes.iter().filter(|change| change.effect > at).find_map(|change| {
            let spoiler = match change.event {
                Event::TookOff if on_ground => Spoiler::TakeOff,
                Event::Entered { zone, .. } if !on_ground => {
                    let quiet = self.plan.zones.get(zone.index()).is_some_and(|it| it.quiet);
                    quiet.then_some(Spoiler::Quiet(zone))?
                }
                Event::Landed { .. } if !on_ground => Spoiler::Landing,
                Event::RunEnded => Spoiler::Landing,
                _ => return None,
            };
            Some((change.effect, spoiler))
        })
    }

    /// When a sight is nearest about the start of a narration: on a straight leg, abeam. Between two
    /// fixes the square of the distance is taken as a parabola, which it is on a straight leg.
    fn nearest(&self, sight: PlaceId, at: Utc) -> Option<Utc> {
        let sight = Surface::from(self.plan.places.get(sight.index())?.position);
        let first = self.moments.partition_point(|moment| moment.time < at - BEFORE);
        let distance = |index: usize| Some(self.moments.get(index)?.surface.chord(&sight));
        let mut least = (first, distance(first)?);
        let mut came_nearer = false;
        for index in first + 1..self.moments.len() {
            let here = distance(index)?;
            if here < least.1 {
                least = (index, here);
                came_nearer = true;
            } else if here > least.1 + PAST {
                if came_nearer {
                    break;
                }
                // It was nearest before that, on an earlier pass.
                least = (index, here);
            }
        }
        let time = self.moments.get(least.0)?.time;
        if !came_nearer {
            return None;
        }
        let (Some(before), Some(after)) =
            (distance(least.0.saturating_sub(1)), distance(least.0 + 1))
        else {
            return Some(time);
        };
        let square = |value: f64| value * value;
        let (a, b, c) = (square(before), square(least.1), square(after));
        let curve = a - 2.0 * b + c;
        let aside = if curve > 0.0 { (a - c) / (2.0 * curve) } else { 0.0 };
        Some(time + Millis::from_secs_f64(aside.clamp(-1.0, 1.0) * PLANNED_EVERY.secs()))
    }

    /// When a sight is behind: past its nearest point, and in the frame of no camera of the aircraft.
    /// One that is out of service today counts all the same: what it would show is still seen from
    /// the seat beside it.
    fn behind(&self, sight: PlaceId, nearest: Utc, at: Utc) -> Option<Spoils> {
        let place = self.plan.places.get(sight.index())?;
        let surface = Surface::from(place.position);
        let cameras: Vec<CameraId> =
            (0..).map(CameraId).take(self.plan.aircraft.cameras.len()).collect();
        let from = nearest.max(at);
        let later = self.moments.iter().filter(|moment| moment.time >= from);
        let gone = later.into_iter().find(|moment| {
            !cameras.iter().any(|camera| {
                let view = View {
                    camera: Some(*camera),
                    heading: moment.heading,
                    from: &moment.surface,
                    altitude: moment.altitude,
                };
                let within = self.project.defaults.abeam_within;
                picture::holds(self.plan, &view, place, &surface, within)
            })
        });
        // Before the nearest point it is ahead, framed or not.
        gone.map(|moment| (moment.time.max(from), Spoiler::Behind(sight)))
    }

    /// How far is flown from one moment to another, and how long the aircraft stands in that time.
    fn between(&self, from: Utc, to: Utc) -> (f64, Millis) {
        let begin = self.moments.partition_point(|moment| moment.time < from);
        let end = self.moments.partition_point(|moment| moment.time <= to).saturating_sub(1);
        let way = |index: usize| self.ways.get(index).copied().unwrap_or_default();
        let slow = self.plan.settings.minimum_speed.get();
        let mut stands = Millis::ZERO;
        let mut flown = 0.0;
        for index in begin..end {
            let (Some(here), Some(there)) = (self.moments.get(index), self.moments.get(index + 1))
            else {
                break;
            };
            let step = way(index + 1) - way(index);
            let time = there.time - here.time;
            if step < slow * time.secs() {
                stands = stands + time;
            } else {
                flown += step;
            }
        }
        // What is flown between a moment and the next fix, at that leg's speed.
        let whole = match (self.moments.get(begin), self.moments.get(end)) {
            (Some(first), Some(last)) if end > begin => (last.time - first.time).secs(),
            _ => 0.0,
        };
        let wanted = (to - from).secs() - stands.secs();
        let moving = whole - stands.secs();
        if moving > 0.0 && wanted > 0.0 {
            flown *= wanted / moving;
        }
        (flown, stands)
    }

    fn room(&self, asked: Utc, ends: Utc) -> Room {
        let (way, stands) = self.between(asked, ends);
        let moving = (ends - asked).secs() - stands.secs();
        let least = self.plan.settings.minimum_speed.get().max(0.1);
        let groundspeed = if moving > 0.0 { (way / moving).max(least) } else { least };
        Room { way: Metres::of(way), stands, groundspeed: MetresPerSecond::of(groundspeed) }
    }

    /// How much earlier it could start: since the breath after the one before, the end of a quiet
    /// zone, or lift-off. Nothing where it had to wait.
    fn free_before(&self, at: Utc, on_ground: bool, waited: bool) -> Millis {
        if waited {
            return Millis::ZERO;
        }
        let mut free = self.moments.first().map_or(at, |first| first.time);
        for change in self.changes.iter().take_while(|change| change.effect <= at) {
            let since = match change.event {
                Event::Narration {
                    what: NarrationEvent::Ended | NarrationEvent::CutOff { .. },
                    ..
                } => Some(change.effect + self.plan.settings.breath),
                Event::TookOff if !on_ground => Some(change.effect),
                Event::Landed { .. } if on_ground => Some(change.effect),
                Event::Left { zone } if !on_ground => {
                    let quiet = self.plan.zones.get(zone.index()).is_some_and(|it| it.quiet);
                    quiet.then_some(change.effect)
                }
                _ => None,
            };
            free = since.map_or(free, |since| free.max(since));
        }
        (at - free).max(Millis::ZERO)
    }

    /// How long nothing is told from a moment on.
    fn silence(&self, from: Utc) -> Millis {
        let next = self.changes.iter().filter(|change| change.effect >= from).find(|change| {
            matches!(
                change.event,
                Event::Narration { what: NarrationEvent::Started, .. }
                    | Event::Landed { .. }
                    | Event::RunEnded
            )
        });
        next.map_or(Millis::ZERO, |change| change.effect - from)
    }
}

/// What a rule is aimed at, or looks at.
fn sight_of(rule: &Rule) -> Option<PlaceId> {
    let aimed = rule.conditions.iter().find_map(|condition| match condition.test {
        Test::BeforeAbeam { sight, .. } => Some(sight),
        _ => None,
    });
    let looks = match rule.camera {
        Some(CameraEffect::LookAt { sight, .. }) => Some(sight),
        _ => None,
    };
    aimed.or(looks)
}

struct Seen<'p> {
    plan: &'p Plan,
    moments: Vec<Moment>,
    changes: Vec<Change>,
    active: Vec<(RuleId, Utc, Option<Utc>)>,
}

impl Sink for Seen<'_> {
    fn change(&mut self, change: &Change) {
        self.changes.push(*change);
    }

    fn state(&mut self, state: &State<'_>) {
        self.moments.push(Moment {
            time: state.time,
            surface: Surface::from(state.position),
            altitude: state.altitude,
            heading: state.heading.map(|(heading, _)| heading),
        });
    }

    fn notice(&mut self, _: &Notice) {}

    fn rule(&mut self, activity: &RuleActivity) {
        let rule = self.plan.rules.get(activity.rule.index());
        if rule.is_none_or(|rule| rule.narration.is_none()) {
            return;
        }
        if activity.active {
            self.active.push((activity.rule, activity.time, None));
            return;
        }
        let open = self.active.iter_mut().rev().find(|(rule, _, _)| *rule == activity.rule);
        if let Some((_, _, to)) = open {
            *to = Some(activity.time);
        }
    }
}
