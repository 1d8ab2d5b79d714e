//! Stills: at the start of a rule, every so often, at the closest point, and by hand.

use earth::{Position, Utc};
use engine::{Event, HandOutcome, StillWhy};
use plan::{CameraId, RuleId, StillEffect, StillMoment};

use super::camera::is_allowed;
use super::film::{Moment, Said, Scene};
use super::fixes::later;
use super::ground;
use super::without::Without;
use super::zones::distance_on;

/// A still that is taken every so often.
struct Every {
    rule: RuleId,
    effect: StillEffect,
    next: Utc,
    step: i64,
}

/// The least distance to a place since a rule became active.
#[derive(Clone, Copy, Debug)]
struct Least {
    metres: f64,
    time: Utc,
    at: Position,
    altitude: Option<f64>,
    /// Whether that was inside a no-filming zone.
    inside: bool,
}

/// A still to be taken at the closest point.
struct Closest {
    rule: RuleId,
    effect: StillEffect,
    place: Position,
    least: Option<Least>,
}

#[derive(Default)]
pub struct Stills {
    every: Vec<Every>,
    closest: Vec<Closest>,
    by_hand: usize,
    /// The cameras by which stills were taken since the last fix.
    pub since_fix: Vec<CameraId>,
}

/// One to be taken at this instant.
struct Due {
    effect: StillEffect,
    rule: RuleId,
    why: StillWhy,
    least: Option<Least>,
}

impl Stills {
    pub fn new() -> Self {
        Self::default()
    }

    pub fn due(&self, scene: &Scene<'_>) -> Option<Utc> {
        self.every.iter().map(|every| every.next).filter(|next| *next > scene.now).min()
    }

    pub fn hand(&mut self, scene: &Scene<'_>, is_first: bool) -> HandOutcome {
        if !is_first {
            // Where a press may film inside, that is said of recording, not of stills.
            if let Some(zone) = scene.no_filming().first() {
                return HandOutcome::NoFilming(*zone);
            }
        }
        #[expect(clippy::cast_possible_truncation, reason = "a plan in a test is small")]
        let any = (0..scene.plan().aircraft.cameras.len())
            .any(|index| is_allowed(scene, CameraId(index as u32)));
        if !any {
            return HandOutcome::NoEffect;
        }
        self.by_hand += 1;
        HandOutcome::Done
    }

    pub fn settle(&mut self, scene: &mut Scene<'_>, live: Option<CameraId>) {
        let mut due: Vec<Due> = Vec::new();
        if scene.new_flight() {
            self.every.clear();
            self.closest.clear();
        }
        if let Some(fix) = scene.fix {
            self.at_fix(scene, fix, &mut due);
        }
        for every in &mut self.every {
            while every.next <= scene.now {
                let left_out = scene.lost.is_some() && !scene.off(Without::StillsInLoss);
                if every.next == scene.now && !left_out {
                    let (rule, effect) = (every.rule, every.effect);
                    due.push(Due { effect, rule, why: StillWhy::Every, least: None });
                }
                every.next = later(every.next, every.step);
            }
        }
        due.sort_by_key(|due| due.rule);

        let inside_now = !scene.no_filming().is_empty() && !scene.off(Without::NoStillInside);
        for _ in 0..std::mem::take(&mut self.by_hand) {
            if let Some(camera) = live.filter(|_| !inside_now) {
                self.since_fix.push(camera);
                scene.say(Event::Still { camera, why: StillWhy::Hand }, None);
            }
        }
        for Due { effect, rule, why, least } in due {
            let camera = effect.camera.filter(|_| !scene.off(Without::StillCamera)).or(live);
            let Some(camera) = camera.filter(|camera| is_allowed(scene, *camera)) else { continue };
            let was_inside =
                least.is_some_and(|least| least.inside) && !scene.off(Without::ClosestInside);
            if inside_now || was_inside {
                continue;
            }
            self.since_fix.push(camera);
            scene.said.push(Said {
                event: Event::Still { camera, why },
                rule: Some(rule),
                own: least.map(|least| least.time).filter(|time| *time != scene.now),
                at: least.map(|least| (least.at, least.altitude)),
                take: None,
            });
        }
    }

    /// What a fix begins, ends and brings nearer.
    fn at_fix(&mut self, scene: &Scene<'_>, fix: &Moment, due: &mut Vec<Due>) {
        let mut from = fix.crossed.leg.as_ref().map_or(fix.time(), |(_, began)| *began);
        // After a gap there is no leg: the fix counts only for those that are active from it on.
        let has_leg = fix.crossed.leg.is_some();
        for turn in &fix.ruled.turns {
            if has_leg {
                self.bring_nearer(scene, fix, from, turn.own, None);
            }
            from = turn.own;
            if turn.began {
                self.begin(scene, turn.rule, due);
                self.bring_nearer(scene, fix, from, from, Some(turn.rule));
            } else {
                self.every.retain(|every| every.rule != turn.rule);
                let (over, stay): (Vec<Closest>, Vec<Closest>) = std::mem::take(&mut self.closest)
                    .into_iter()
                    .partition(|closest| closest.rule == turn.rule);
                self.closest = stay;
                for closest in over {
                    if closest.least.is_some() && !scene.off(Without::ClosestAtRuleEnd) {
                        due.push(closest.take());
                    }
                }
            }
        }
        self.bring_nearer(scene, fix, from, fix.time(), None);
        let grown = if scene.off(Without::ClosestGrown) { f64::INFINITY } else { 25.0 };
        let (past, stay): (Vec<Closest>, Vec<Closest>) =
            std::mem::take(&mut self.closest).into_iter().partition(|closest| {
                closest.least.is_some_and(|least| {
                    ground::distance(fix.at(), closest.place) - least.metres >= grown
                })
            });
        self.closest = stay;
        due.extend(past.into_iter().map(Closest::take));
    }

    fn begin(&mut self, scene: &Scene<'_>, rule: RuleId, due: &mut Vec<Due>) {
        for effect in &scene.plan().rules[rule.index()].stills {
            let effect = *effect;
            match effect.moment {
                StillMoment::Start => {
                    due.push(Due { effect, rule, why: StillWhy::Start, least: None });
                }
                StillMoment::Every(step) => {
                    due.push(Due { effect, rule, why: StillWhy::Every, least: None });
                    if !scene.off(Without::StillEvery) {
                        let next = later(scene.now, step.0);
                        self.every.push(Every { rule, effect, next, step: step.0 });
                    }
                }
                StillMoment::Closest(place) => {
                    let place = scene.plan().places[place.index()].position;
                    self.closest.push(Closest { rule, effect, place, least: None });
                }
            }
        }
    }

    /// Looks for the least distances on the part of the leg from one own time to another, for all
    /// rules or only for one.
    fn bring_nearer(
        &mut self,
        scene: &Scene<'_>,
        fix: &Moment,
        from: Utc,
        to: Utc,
        only: Option<RuleId>,
    ) {
        for closest in &mut self.closest {
            if only.is_some_and(|rule| rule != closest.rule) {
                continue;
            }
            let candidate = match &fix.crossed.leg {
                None => Least {
                    metres: ground::distance(fix.at(), closest.place),
                    time: fix.time(),
                    at: fix.at(),
                    altitude: fix.motion.altitude,
                    inside: false,
                },
                Some((leg, began)) => {
                    let whole = (fix.time() - *began).get();
                    let part = |time: Utc| (time - *began).get() / whole;
                    let nearest = if leg.line.length > 0.0 {
                        leg.line.closest(closest.place).0 / leg.line.length
                    } else {
                        0.0
                    };
                    let nearest = nearest.clamp(part(from), part(to));
                    #[expect(clippy::cast_possible_truncation, reason = "a leg is short")]
                    let time = later(*began, (nearest * whole).round() as i64);
                    Least {
                        metres: distance_on(leg, nearest, closest.place),
                        time,
                        at: leg.line.at(nearest),
                        altitude: leg.altitude_at(nearest),
                        inside: false,
                    }
                }
            };
            if closest.least.is_none_or(|least| candidate.metres < least.metres) {
                let inside = fix.crossed.stays.iter().any(|stay| {
                    scene.plan().zones[stay.zone.index()].no_filming.is_some()
                        && stay.from <= candidate.time
                        && stay.to.is_none_or(|to| candidate.time < to)
                }) && !scene.off(Without::NoFilming);
                closest.least = Some(Least { inside, ..candidate });
            }
        }
    }
}

impl Closest {
    fn take(self) -> Due {
        Due { effect: self.effect, rule: self.rule, why: StillWhy::Closest, least: self.least }
    }
}
