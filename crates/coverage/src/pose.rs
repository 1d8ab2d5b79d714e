//! Where the aircraft was and how it lay, fix by fix, with what was live and recorded.

use earth::sun::Sun;
use earth::{
    Degrees, DegreesTrue, Metres, MetresPerSecond, Millis, Position, Surface, Utc, trig, turn,
};
use engine::{CameraWhy, Change, Gps, HeadingFrom, Notice, Sink, State, TakeTime};
use plan::{CameraId, Plan};

/// The aircraft at a good fix.
#[derive(Clone, Debug)]
pub struct Pose {
    /// When.
    pub time: Utc,
    /// Number of the run, and of the flight in it, from 1.
    pub flight: (u32, u32),
    /// Where.
    pub position: Position,
    /// The same place as a point of the ellipsoid.
    pub surface: Surface,
    /// Altitude above mean sea level, if known.
    pub altitude: Option<Metres>,
    /// Groundspeed, if known.
    pub groundspeed: Option<MetresPerSecond>,
    /// Track over the ground, if known.
    pub track: Option<DegreesTrue>,
    /// Heading and where it came from, if known: the one that the engine goes by, so that crab is in
    /// it.
    pub heading: Option<(DegreesTrue, HeadingFrom)>,
    /// The bank of a coordinated turn at this groundspeed and rate of turn, positive to the right: a
    /// model, not a measurement. `None` where it cannot be told.
    pub bank: Option<Degrees>,
    /// Whether the aircraft was in the air; `None` until a speed is known.
    pub airborne: Option<bool>,
    /// The camera that is live.
    pub live: Option<CameraId>,
    /// Why that one.
    pub why: CameraWhy,
    /// The take being recorded and the time in it.
    pub take: Option<TakeTime>,
    /// How the fix came.
    pub gps: Gps,
    /// How long what is seen here lasts: until the next fix, no longer than the bridge, and nought at
    /// the last fix of a flight.
    pub lasts: Millis,
}

impl Pose {
    /// Where the sun stands to the aircraft, as if it were there so much later (or earlier); none
    /// beyond the years that [`Sun::at`] reckons.
    #[must_use]
    pub fn sun(&self, later: Millis) -> Option<Sun> {
        Sun::at(self.time + later, self.position, self.altitude)
    }
}

/// No bank is modelled beyond this.
const STEEPEST: f64 = 60.0;

/// Takes down poses as the engine's sink. Where another sink is to be fed too, it hands on what it
/// is told.
#[derive(Debug)]
pub struct Watch {
    bridge: Millis,
    minimum_speed: MetresPerSecond,
    poses: Vec<Pose>,
}

impl Watch {
    /// Nothing has been flown yet.
    #[must_use]
    pub fn new(plan: &Plan) -> Self {
        let settings = &plan.settings;
        Self { bridge: settings.bridge, minimum_speed: settings.minimum_speed, poses: Vec::new() }
    }

    /// The poses of all that was flown. `bridge`: what it was raised to for a recording whose fixes
    /// come seldom, if it was.
    #[must_use]
    pub fn finish(self, bridge: Option<Millis>) -> Vec<Pose> {
        let bridge = bridge.unwrap_or(self.bridge);
        let mut poses = self.poses;
        lengths(&mut poses, bridge);
        banks(&mut poses, bridge, self.minimum_speed);
        poses
    }
}

impl Sink for Watch {
    fn change(&mut self, _: &Change) {}

    fn notice(&mut self, _: &Notice) {}

    fn state(&mut self, state: &State<'_>) {
        self.poses.push(Pose {
            time: state.time,
            flight: (state.run, state.flight),
            position: state.position,
            surface: Surface::from(state.position),
            altitude: state.altitude,
            groundspeed: state.groundspeed,
            track: state.track,
            heading: state.heading,
            bank: None,
            airborne: state.airborne,
            live: state.camera,
            why: state.camera_why,
            take: state.take,
            gps: state.gps,
            lasts: Millis::ZERO,
        });
    }
}

/// Whether two fixes, one after the other, make a leg.
fn is_leg(one: &Pose, next: &Pose, bridge: Millis) -> bool {
    one.flight == next.flight && next.gps != Gps::Gap && next.time - one.time <= bridge
}

fn lengths(poses: &mut [Pose], bridge: Millis) {
    for index in 1..poses.len() {
        let [.., one, next] = &mut poses[..=index] else { continue };
        if is_leg(one, next, bridge) {
            one.lasts = next.time - one.time;
        }
    }
}

/// The bank at each fix: the rate of turn is that from the fix before to the fix after.
fn banks(poses: &mut [Pose], bridge: Millis, minimum: MetresPerSecond) {
    let rates: Vec<Option<f64>> = (0..poses.len())
        .map(|index| {
            let here = poses.get(index)?;
            let leg = |one: Option<&Pose>, next: Option<&Pose>| {
                one.zip(next).is_some_and(|(one, next)| is_leg(one, next, bridge))
            };
            let before = index.checked_sub(1).and_then(|before| poses.get(before));
            let before = before.filter(|before| leg(Some(before), Some(here))).unwrap_or(here);
            let after = poses.get(index + 1);
            let after = after.filter(|after| leg(Some(here), Some(after))).unwrap_or(here);
            let seconds = (after.time - before.time).secs();
            let turned = before.track?.shortest_to(after.track?).get();
            (seconds > 0.0).then(|| turned / seconds)
        })
        .collect();
    for (pose, rate) in poses.iter_mut().zip(rates) {
        let Some(speed) = pose.groundspeed else { continue };
        if speed < minimum || pose.airborne == Some(false) {
            // Standing over a place, or on the ground.
            pose.bank = Some(Degrees::ZERO);
            continue;
        }
        let Some(rate) = rate else { continue };
        pose.bank = Some(bank(speed, Degrees::of(rate)));
    }
}

/// The bank of a level coordinated turn, positive to the right, no steeper than 60 degrees.
///
/// # References
/// atan(v ω / g): FAA-H-8083-25, chapter 5, rate of turn, solved for the bank, in SI.
#[must_use]
pub fn bank(groundspeed: MetresPerSecond, rate: Degrees) -> Degrees {
    let pull = groundspeed.get() * rate.get() * trig::RADIANS_PER_DEGREE;
    let bank = trig::bearing(pull, turn::STANDARD_GRAVITY);
    Degrees::of(bank.clamp(-STEEPEST, STEEPEST))
}
