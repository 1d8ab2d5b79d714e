//! Each sight on one flight: when which camera had it, and whether it is filmed.

use std::collections::BTreeSet;

use earth::{Degrees, Metres, Millis, Share, Utc};
use engine::TakeTime;
use plan::{CameraEffect, CameraId, Day, PlaceId, PlaceKind, Plan, StillMoment, Test, Wanted};
use terrain::Terrain;
use timeline::{Flight, Span};

use crate::look::{Eyes, Look, Seen, Target};
use crate::pose::Pose;
use crate::why::{Hindrance, hindrance};

/// What the cameras saw on one flight.
#[derive(Clone, Debug, PartialEq)]
pub struct Coverage {
    /// Every sight that the tour is about, in the plan's order: those that a rule or a narration
    /// names, and the must-haves.
    pub sights: Vec<SightSeen>,
    /// How many more sights the plan has, of a library that several tours share.
    pub others: usize,
    /// Whether heights of the ground were known anywhere on the flight: only then a hill can hide a
    /// sight.
    pub ground_known: bool,
    /// For how long it was not known where the nose points while the aircraft was in the air.
    pub heading_not_known: Millis,
    /// For how long it stood over a place without a source of heading, so that its nose may have
    /// pointed anywhere else than it did when it came.
    pub nose_in_doubt: Millis,
}

/// A sight on one flight.
#[derive(Clone, Debug, PartialEq)]
pub struct SightSeen {
    /// Which sight.
    pub place: PlaceId,
    /// When it counts as filmed.
    pub wanted: Wanted,
    /// For how long it was in the picture of any camera; none for the cabin counts.
    pub in_any: Millis,
    /// For how long it was in the picture of the live camera.
    pub in_live: Millis,
    /// For how long in that of each camera, in the aircraft's order.
    pub by_camera: Vec<Millis>,
    /// When it was in the picture of which camera, in the order of time and then of cameras.
    pub stretches: Vec<Stretch>,
    /// The best moment: where it was largest, or nearest where no size is known. In the live picture
    /// where it was in that at all.
    pub best: Option<Best>,
    /// The nearest that it came, in the picture or not.
    pub nearest: Option<(Utc, Metres)>,
    /// The longest time for which it was held in one shot as wanted, and recorded.
    pub filmed: Option<Filmed>,
    /// What hindered it; none where it is filmed.
    pub hindrance: Option<Hindrance>,
}

impl SightSeen {
    /// Whether it is filmed.
    #[must_use]
    pub const fn is_filmed(&self) -> bool {
        self.hindrance.is_none()
    }
}

/// A sight in a camera's picture without a break.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// Which camera.
    pub camera: CameraId,
    /// From when to when.
    pub span: Span,
}

/// A moment at which a sight was in a picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Best {
    /// When.
    pub time: Utc,
    /// In the picture of which camera.
    pub camera: CameraId,
    /// Whether that was live.
    pub live: bool,
    /// How far away.
    pub distance: Metres,
    /// How far from the camera's axis.
    pub off_axis: Degrees,
    /// How large, where that is known.
    pub size: Option<Share>,
}

/// A sight held in one shot, recorded, and as it is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Filmed {
    /// By which camera.
    pub camera: CameraId,
    /// From when to when.
    pub span: Span,
    /// The take, and the time in it at which it begins.
    pub take: TakeTime,
}

/// Whether a sight that is in the picture is as large, or as near, as it is wanted.
pub(crate) fn is_as_wanted(wanted: &Wanted, look: &Look) -> bool {
    let near = wanted.within.zip(look.direction);
    let near = near.is_some_and(|(within, direction)| direction.distance <= within);
    let large = wanted.size.zip(look.size).is_some_and(|(wanted, size)| size >= wanted);
    near || large
}

/// One sight in the pictures of all cameras at one fix.
pub(crate) struct Glance<'a> {
    pub(crate) pose: &'a Pose,
    /// By camera.
    pub(crate) looks: Vec<Look>,
}

/// What the cameras of a plan's aircraft saw on one flight.
///
/// `poses` are those of the run or of the flight; others than the flight's are left out. Cameras that
/// are out of service or not allowed on the day never have a sight.
#[must_use]
pub fn cover(
    plan: &Plan,
    day: &Day,
    flight: &Flight,
    poses: &[Pose],
    ground: Option<&Terrain>,
) -> Coverage {
    let poses = of_flight(flight, poses);
    let about = named(plan);
    let all = (0..).map(PlaceId).take(plan.places.len());
    let all = all.filter_map(|id| Some((id, wanted(plan, id)?)));
    let (those, others): (Vec<_>, Vec<_>) =
        all.partition(|(id, wanted)| wanted.must_have || about.contains(id));
    let sights = those.into_iter().map(|it| one(plan, day, flight, &poses, ground, it)).collect();
    let during = |asked: &dyn Fn(&Pose) -> bool| {
        let poses = poses.iter().filter(|pose| asked(pose));
        poses.fold(Millis::ZERO, |sum, pose| sum + pose.lasts)
    };
    let flying = |pose: &Pose| pose.airborne == Some(true);
    let held = |pose: &Pose| {
        use engine::HeadingFrom::{Held, Track};
        let stands = pose.groundspeed.is_some_and(|it| it < plan.settings.minimum_speed);
        stands && pose.heading.is_some_and(|(_, from)| matches!(from, Held | Track))
    };
    Coverage {
        sights,
        others: others.len(),
        ground_known: ground
            .is_some_and(|ground| poses.iter().any(|pose| ground.height(pose.position).is_some())),
        heading_not_known: during(&|pose| flying(pose) && pose.heading.is_none()),
        nose_in_doubt: during(&|pose| flying(pose) && held(pose)),
    }
}

/// What the cameras saw of one sight on one flight, as [`cover`] has it among all the others; none
/// where the place is no sight.
#[must_use]
pub fn cover_one(
    plan: &Plan,
    day: &Day,
    flight: &Flight,
    poses: &[Pose],
    ground: Option<&Terrain>,
    sight: PlaceId,
) -> Option<SightSeen> {
    let wanted = wanted(plan, sight)?;
    Some(one(plan, day, flight, &of_flight(flight, poses), ground, (sight, wanted)))
}

fn of_flight<'p>(flight: &Flight, poses: &'p [Pose]) -> Vec<&'p Pose> {
    poses.iter().filter(|pose| pose.flight == (flight.run, flight.number)).collect()
}

/// How a place is wanted on film; none where it is no sight.
fn wanted(plan: &Plan, id: PlaceId) -> Option<Wanted> {
    let place = plan.places.get(id.index())?;
    place.wanted.filter(|_| place.kind == PlaceKind::Sight)
}

/// The places that rules aim at, look at or take stills of, and those that narrations are about.
fn named(plan: &Plan) -> BTreeSet<PlaceId> {
    let rules = plan.rules.iter().flat_map(|rule| {
        let aimed = rule.conditions.iter().filter_map(|condition| match condition.test {
            Test::BeforeAbeam { sight, .. } => Some(sight),
            _ => None,
        });
        let looks = match rule.camera {
            Some(CameraEffect::LookAt { sight, .. }) => Some(sight),
            _ => None,
        };
        let stills = rule.stills.iter().filter_map(|still| match still.moment {
            StillMoment::Closest(place) => Some(place),
            _ => None,
        });
        aimed.chain(looks).chain(stills)
    });
    rules.chain(plan.narrations.iter().filter_map(|told| told.sight)).collect()
}

fn one(
    plan: &Plan,
    day: &Day,
    flight: &Flight,
    poses: &[&Pose],
    ground: Option<&Terrain>,
    (id, wanted): (PlaceId, Wanted),
) -> SightSeen {
    let cameras = &plan.aircraft.cameras;
    let mut seen = SightSeen {
        place: id,
        wanted,
        in_any: Millis::ZERO,
        in_live: Millis::ZERO,
        by_camera: vec![Millis::ZERO; cameras.len()],
        stretches: Vec::new(),
        best: None,
        nearest: None,
        filmed: None,
        hindrance: None,
    };
    let Some(place) = plan.places.get(id.index()) else { return seen };
    let target = Target::new(place);
    let eyes = Eyes::new(cameras);
    let glances: Vec<Glance<'_>> =
        poses.iter().map(|pose| Glance { pose, looks: eyes.look(pose, &target, ground) }).collect();
    for glance in &glances {
        nearest(&mut seen, glance, &target);
        let mut any = false;
        for (number, look) in glance.looks.iter().enumerate() {
            let camera = CameraId(u32::try_from(number).unwrap_or(u32::MAX));
            if look.seen != Seen::InFrame || !day.uses(camera) {
                continue;
            }
            any = true;
            if let Some(sum) = seen.by_camera.get_mut(number) {
                *sum = *sum + glance.pose.lasts;
            }
            best(&mut seen, glance.pose, camera, look);
            stretch(&mut seen.stretches, glance.pose, camera);
        }
        if any {
            seen.in_any = seen.in_any + glance.pose.lasts;
        }
    }
    for stretch in &seen.stretches {
        let shots = flight.shots.iter().filter(|shot| shot.camera == stretch.camera);
        let live = shots.filter_map(|shot| shot.span.overlap(stretch.span));
        seen.in_live = live.fold(seen.in_live, |sum, span| sum + span.length());
    }
    seen.filmed = longest(flight, &held(&wanted, &glances));
    let long_enough = |filmed: &Filmed| filmed.span.length() >= wanted.lasts;
    if !seen.filmed.as_ref().is_some_and(long_enough) {
        seen.hindrance = Some(hindrance(plan, day, flight, &seen, &glances));
    }
    seen
}

fn nearest(seen: &mut SightSeen, glance: &Glance<'_>, target: &Target) {
    let known = glance.looks.iter().find_map(|look| look.direction);
    let distance = match known {
        Some(direction) => direction.distance,
        None => glance.pose.surface.distance(target.surface()),
    };
    if seen.nearest.is_none_or(|(_, least)| distance < least) {
        seen.nearest = Some((glance.pose.time, distance));
    }
}

fn best(seen: &mut SightSeen, pose: &Pose, camera: CameraId, look: &Look) {
    let (Some(direction), Some(off_axis)) = (look.direction, look.off_axis) else { return };
    let live = pose.live == Some(camera);
    let here = Best {
        time: pose.time,
        camera,
        live,
        distance: direction.distance,
        off_axis,
        size: look.size,
    };
    let better = |than: &Best| {
        if here.live != than.live {
            return here.live;
        }
        match (here.size, than.size) {
            (Some(here), Some(than)) if here != than => here > than,
            _ => (here.distance, here.off_axis) < (than.distance, than.off_axis),
        }
    };
    if seen.best.as_ref().is_none_or(better) {
        seen.best = Some(here);
    }
}

/// Lengthens the camera's last stretch, or begins another.
fn stretch(stretches: &mut Vec<Stretch>, pose: &Pose, camera: CameraId) {
    let span = Span { from: pose.time, to: pose.time + pose.lasts };
    if span.from == span.to {
        return;
    }
    let last = stretches.iter_mut().rev().find(|stretch| stretch.camera == camera);
    match last {
        Some(last) if last.span.to == span.from => last.span.to = span.to,
        _ => stretches.push(Stretch { camera, span }),
    }
}

/// When each camera held the sight as it is wanted.
pub(crate) fn held(wanted: &Wanted, glances: &[Glance<'_>]) -> Vec<Stretch> {
    let mut held = Vec::new();
    for glance in glances {
        for (number, look) in (0..).zip(&glance.looks) {
            if look.seen == Seen::InFrame && is_as_wanted(wanted, look) {
                stretch(&mut held, glance.pose, CameraId(number));
            }
        }
    }
    held
}

/// The longest of what was held in one shot and recorded without a break.
fn longest(flight: &Flight, held: &[Stretch]) -> Option<Filmed> {
    let mut longest: Option<Filmed> = None;
    for stretch in held {
        let shots = flight.shots.iter().filter(|shot| shot.camera == stretch.camera);
        for live in shots.filter_map(|shot| shot.span.overlap(stretch.span)) {
            for take in &flight.takes {
                let Some(span) = take.span.overlap(live) else { continue };
                if longest.is_none_or(|longest| span.length() > longest.span.length()) {
                    let time = span.from - take.span.from;
                    let take = TakeTime { take: take.number, time };
                    longest = Some(Filmed { camera: stretch.camera, span, take });
                }
            }
        }
    }
    longest
}
