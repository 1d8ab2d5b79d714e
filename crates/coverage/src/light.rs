//! The light: where the sun stands to a camera and to a sight.

use earth::sun::Sun;
use earth::{Degrees, DegreesTrue, Millis, trig};
use plan::{Camera, CameraId, PlaceId, Plan};
use timeline::Flight;

use crate::look::{Direction, Seen, Target, is_hidden, through};
use crate::pose::Pose;
use crate::sight::Coverage;

/// How the sun lights a sight, seen from the aircraft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum OnSight {
    /// The sun is behind the camera: its direction and that to the sight are more than 120 degrees
    /// apart.
    Front,
    /// The sun is to the side.
    Side,
    /// The sun is behind the sight: less than 60 degrees apart.
    Back,
    /// The sun is below the horizon.
    Dark,
}

/// How a sun lights what lies in a direction, in the plane: the azimuth of the sun against that to
/// the sight. Sixty degrees to either side are common practice, no source.
#[must_use]
pub fn on_sight(sun: Sun, towards: DegreesTrue) -> OnSight {
    if !sun.is_up() {
        return OnSight::Dark;
    }
    let apart = sun.azimuth.shortest_to(towards).get().abs();
    if apart < 60.0 {
        OnSight::Back
    } else if apart > 120.0 {
        OnSight::Front
    } else {
        OnSight::Side
    }
}

/// The sun before a camera.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeforeLens {
    /// Whether it is in the picture.
    pub in_frame: bool,
    /// Whether it shines into the lens: up, not hidden by the airframe, and nearer to the camera's
    /// axis than the plan says.
    pub into_lens: bool,
    /// Its angle to the camera's axis.
    pub off_axis: Degrees,
}

/// Where the sun is before a camera; none where it is not known where the nose points, or for a
/// camera without a view.
#[must_use]
pub fn before_lens(plan: &Plan, camera: &Camera, pose: &Pose, sun: Sun) -> Option<BeforeLens> {
    let (heading, _) = pose.heading?;
    let look = through(camera, Some(Direction::far(pose, heading, sun)));
    let off_axis = look.off_axis?;
    let up = sun.is_up();
    // Also where the frame does not reach the sun.
    let hidden = look.direction.is_some_and(|it| is_hidden(camera, &it));
    Some(BeforeLens {
        in_frame: up && look.seen == Seen::InFrame,
        into_lens: up && !hidden && off_axis <= plan.light.into_lens,
        off_axis,
    })
}

/// The light on one sight on a flight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SightLight {
    /// Which sight.
    pub place: PlaceId,
    /// The moment that is judged: where it is filmed, the middle of that; else its best moment.
    pub time: earth::Utc,
    /// The camera that has it there.
    pub camera: CameraId,
    /// Where the sun stands.
    pub sun: Sun,
    /// How it lights the sight.
    pub on_sight: OnSight,
    /// For how long, of all its time in the live picture, the sun is in the picture, ...
    pub in_frame: Millis,
    /// ... and shines into the lens.
    pub into_lens: Millis,
    /// Of how much time in the live picture.
    pub of: Millis,
    /// From 0 to 100.
    pub score: u8,
}

/// How good the light on a sight is, from 0 to 100: 100 lit from the front, 80 from the side, 40 from
/// behind, 0 in the dark; less by up to half for the share of the time in which the sun shines into
/// the lens. Our own reckoning, no source: it orders departures, it measures nothing.
#[must_use]
pub fn score(on_sight: OnSight, into_lens: Millis, of: Millis) -> u8 {
    let base = match on_sight {
        OnSight::Front => 100.0,
        OnSight::Side => 80.0,
        OnSight::Back => 40.0,
        OnSight::Dark => 0.0,
    };
    let share = if of > Millis::ZERO { into_lens.secs() / of.secs() } else { 0.0 };
    let score: f64 = base * (1.0 - 0.5 * share.clamp(0.0, 1.0));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "from nought to a hundred"
    )]
    let whole = score.round() as u8;
    whole
}

/// The light on every sight that any camera has, as if the flight began so much later (or earlier):
/// everything but the sun stays as it was flown.
#[must_use]
pub fn on_flight(
    plan: &Plan,
    flight: &Flight,
    poses: &[Pose],
    coverage: &Coverage,
    later: Millis,
) -> Vec<SightLight> {
    let poses: Vec<&Pose> =
        poses.iter().filter(|pose| pose.flight == (flight.run, flight.number)).collect();
    let at = |pose: &Pose| pose.sun(later);
    let lights = coverage.sights.iter().filter_map(|seen| {
        let place = plan.places.get(seen.place.index())?;
        let target = Target::new(place);
        let filmed = seen.filmed.filter(|_| seen.is_filmed());
        let (time, camera) = match filmed {
            Some(it) => (it.span.from + Millis(it.span.length().0 / 2), it.camera),
            None => seen.best.map(|best| (best.time, best.camera))?,
        };
        let here = poses.partition_point(|pose| pose.time <= time).saturating_sub(1);
        let pose = poses.get(here)?;
        let sun = at(pose)?;
        let on_sight = on_sight(sun, pose.surface.azimuth_to(target.surface()));
        let (mut in_frame, mut into_lens, mut of) = (Millis::ZERO, Millis::ZERO, Millis::ZERO);
        for stretch in &seen.stretches {
            let first = poses.partition_point(|pose| pose.time < stretch.span.from);
            let inside = poses.iter().skip(first).take_while(|it| it.time < stretch.span.to);
            for pose in inside.filter(|pose| pose.live == Some(stretch.camera)) {
                let camera = plan.aircraft.cameras.get(stretch.camera.index())?;
                of = of + pose.lasts;
                let Some(before) = at(pose).and_then(|sun| before_lens(plan, camera, pose, sun))
                else {
                    continue;
                };
                if before.in_frame {
                    in_frame = in_frame + pose.lasts;
                }
                if before.into_lens {
                    into_lens = into_lens + pose.lasts;
                }
            }
        }
        let score = score(on_sight, into_lens, of);
        let place = seen.place;
        Some(SightLight {
            place,
            time: pose.time,
            camera,
            sun,
            on_sight,
            in_frame,
            into_lens,
            of,
            score,
        })
    });
    lights.collect()
}

impl Direction {
    /// The direction of what is so far away that no step brings it nearer.
    fn far(pose: &Pose, heading: DegreesTrue, sun: Sun) -> Self {
        let (sin_up, cos_up) = trig::sin_cos(sun.elevation.get());
        let (sin, cos) = trig::sin_cos(heading.shortest_to(sun.azimuth).get());
        Self::of((cos_up * cos, cos_up * sin, -sin_up), pose.bank)
    }
}
