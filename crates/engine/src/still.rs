//! Stills: when a rule becomes active, every so often, at the closest point, and by hand.

use earth::{Millis, Surface, Utc};
use plan::{CameraId, Plan, RuleId, StillMoment};

use crate::camera::Camera;
use crate::leg::{End, Leg, OnLeg};
use crate::outbox::Outbox;
use crate::output::{Event, HandOutcome, StillWhy};

/// Metres that the distance has to grow past its least.
const GROWN: f64 = 25.0;
/// Metres: how near the closest point on a leg is found.
const FOUND: f64 = 0.05;

/// A still to be taken once the instant is settled.
#[derive(Clone, Copy, Debug)]
struct Wanted {
    camera: Option<CameraId>,
    why: StillWhy,
    rule: Option<RuleId>,
    own: Option<(Utc, OnLeg)>,
    /// Its closest point was inside a no-filming zone.
    inside: bool,
    /// It is due by time, and so only while its rule is active.
    by_time: bool,
}

impl Wanted {
    /// One taken at the instant itself, wherever the aircraft then is.
    fn at_once(camera: Option<CameraId>, why: StillWhy, rule: Option<RuleId>) -> Self {
        Self { camera, why, rule, own: None, inside: false, by_time: false }
    }
}

/// A still that comes by time.
#[derive(Clone, Copy, Debug)]
struct Timed {
    rule: RuleId,
    camera: Option<CameraId>,
    every: Millis,
    next: Utc,
}

/// A still at the closest point to a place.
#[derive(Clone, Copy, Debug)]
struct Approach {
    rule: RuleId,
    camera: Option<CameraId>,
    place: Surface,
    least: Option<Least>,
}

#[derive(Clone, Copy, Debug)]
struct Least {
    distance: f64,
    time: Utc,
    at: OnLeg,
    inside: bool,
}

/// The still channel.
#[derive(Debug, Default)]
pub(crate) struct Stills {
    wanted: Vec<Wanted>,
    timed: Vec<Timed>,
    approaches: Vec<Approach>,
    /// Cameras by which stills were taken since the last good fix.
    taken: Vec<CameraId>,
}

impl Stills {
    pub(crate) fn begin_run(&mut self) {
        self.begin_flight();
        self.taken.clear();
    }

    /// Every rule begins inactive, so nothing is pending.
    pub(crate) fn begin_flight(&mut self) {
        self.wanted.clear();
        self.timed.clear();
        self.approaches.clear();
    }

    pub(crate) fn taken(&self) -> &[CameraId] {
        &self.taken
    }

    /// The state at a fix has been told.
    pub(crate) fn forget_taken(&mut self) {
        self.taken.clear();
    }

    /// Whether a closest point is being waited for.
    pub(crate) fn approaching(&self) -> bool {
        !self.approaches.is_empty()
    }

    /// The pilot takes a still, by the camera that is live once the instant is settled.
    pub(crate) fn take_by_hand(&mut self) -> HandOutcome {
        self.wanted.push(Wanted::at_once(None, StillWhy::Hand, None));
        HandOutcome::Done
    }

    /// A rule has become active, at a crossing or at the fix itself: `at` is that point.
    pub(crate) fn rule_began(
        &mut self,
        plan: &Plan,
        rule: RuleId,
        now: Utc,
        (time, at): (Utc, OnLeg),
        inside: bool,
    ) {
        let Some(written) = plan.rules.get(rule.index()) else { return };
        for effect in &written.stills {
            let camera = effect.camera;
            match effect.moment {
                StillMoment::Start => {
                    let why = StillWhy::Start;
                    self.wanted.push(Wanted::at_once(camera, why, Some(rule)));
                }
                StillMoment::Every(every) => {
                    let why = StillWhy::Every;
                    self.wanted.push(Wanted::at_once(camera, why, Some(rule)));
                    let every = every.max(Millis(1));
                    self.timed.push(Timed { rule, camera, every, next: now + every });
                }
                StillMoment::Closest(place) => {
                    let Some(place) = plan.places.get(place.index()) else { continue };
                    let mut approach = Approach {
                        rule,
                        camera,
                        place: Surface::from(place.position),
                        least: None,
                    };
                    approach.be_at(time, at, inside);
                    self.approaches.push(approach);
                }
            }
        }
    }

    /// A rule has ended: a closest point not yet passed is taken now.
    pub(crate) fn rule_ended(&mut self, rule: RuleId) {
        self.timed.retain(|timed| timed.rule != rule);
        self.wanted.retain(|wanted| !(wanted.by_time && wanted.rule == Some(rule)));
        let wanted = &mut self.wanted;
        self.approaches.retain(|approach| {
            if approach.rule != rule {
                return true;
            }
            wanted.extend(approach.still_at_least());
            false
        });
    }

    /// Flies part of a leg, between two moments at which memberships change, past the places.
    pub(crate) fn fly(&mut self, leg: &Leg, from: Utc, to: Utc, inside: bool) {
        for approach in &mut self.approaches {
            leg.stretches(|stretch| {
                let (from, to) = (from.max(stretch.from.time), to.min(stretch.to.time));
                if from <= to {
                    approach.fly(stretch, from, to, inside);
                }
            });
        }
    }

    /// The good fix itself: no leg leads there after a gap, and distances that have grown past
    /// their least are taken.
    pub(crate) fn arrive(&mut self, here: &End, inside: bool) {
        let at = OnLeg { surface: here.surface, altitude: here.altitude };
        let wanted = &mut self.wanted;
        self.approaches.retain_mut(|approach| {
            approach.be_at(here.time, at, inside);
            let grown = approach.least.is_some_and(|least| {
                approach.place.distance(&here.surface).get() >= least.distance + GROWN
            });
            if grown {
                wanted.extend(approach.still_at_least());
            }
            !grown
        });
    }

    /// Stills that are due by time; left out while GPS is lost.
    pub(crate) fn end_due(&mut self, now: Utc, lost: bool) {
        for timed in &mut self.timed {
            while timed.next <= now {
                if !lost {
                    let (camera, rule) = (timed.camera, Some(timed.rule));
                    self.wanted.push(Wanted {
                        by_time: true,
                        ..Wanted::at_once(camera, StillWhy::Every, rule)
                    });
                }
                timed.next = timed.next + timed.every;
            }
        }
    }

    pub(crate) fn due(&self) -> Option<Utc> {
        self.timed.iter().map(|timed| timed.next).min()
    }

    /// Whether anything is to be taken at this instant.
    pub(crate) fn has_wanted(&self) -> bool {
        !self.wanted.is_empty()
    }

    /// Takes what is wanted, in the order of the rules, unless the aircraft is inside a no-filming
    /// zone.
    pub(crate) fn settle(&mut self, camera: &Camera, inside: bool, out: &mut Outbox) {
        self.wanted.sort_by_key(|wanted| wanted.rule);
        for wanted in self.wanted.drain(..) {
            if inside || wanted.inside {
                continue;
            }
            let Some(by) = wanted.camera.or(camera.live()) else { continue };
            if camera.usable(by) != HandOutcome::Done {
                continue;
            }
            let event = Event::Still { camera: by, why: wanted.why };
            match wanted.own {
                Some((time, at)) => out.push_at(event, wanted.rule, time, Some(at)),
                None => out.push(event, wanted.rule),
            }
            self.taken.push(by);
        }
    }
}

impl Approach {
    fn be_at(&mut self, time: Utc, at: OnLeg, inside: bool) {
        let distance = self.place.distance(&at.surface).get();
        if self.least.is_none_or(|least| distance < least.distance) {
            self.least = Some(Least { distance, time, at, inside });
        }
    }

    /// Finds the closest point between two moments of a stretch. Along a geodesic the distance to a
    /// place falls to one least and grows, so thirds can be left out one by one.
    fn fly(&mut self, stretch: &Leg, from: Utc, to: Utc, inside: bool) {
        let whole = (stretch.to.time - stretch.from.time).get();
        if whole <= 0.0 {
            return;
        }
        let share = |time: Utc| (time - stretch.from.time).get() / whole;
        let (mut low, mut high) = (share(from), share(to));
        let distance = |fraction: f64| self.place.distance(&stretch.at(fraction).surface).get();
        while (high - low) * stretch.distance > FOUND {
            let third = (high - low) / 3.0;
            if distance(low + third) <= distance(high - third) {
                high -= third;
            } else {
                low += third;
            }
        }
        // The ends first: the least is often there, and then exactly.
        self.be_at(from, stretch.at(share(from)), inside);
        self.be_at(to, stretch.at(share(to)), inside);
        let middle = 0.5 * (low + high);
        self.be_at(stretch.time(middle), stretch.at(middle), inside);
    }

    fn still_at_least(&self) -> Option<Wanted> {
        self.least.map(|least| Wanted {
            camera: self.camera,
            why: StillWhy::Closest,
            rule: Some(self.rule),
            own: Some((least.time, least.at)),
            inside: least.inside,
            by_time: false,
        })
    }
}
