//! Made-up flights and hands at the controls.

use earth::{
    Degrees, DegreesTrue, Fix, HeadingReading, Metres, MetresPerSecond, Millis, SourceHeading, Utc,
};
use plan::Hand;

use super::build::{START, Tour, secs};
use super::dice::Dice;
use super::generate::{Ground, camera};

/// What a receiver of this case gives.
struct Receiver {
    speed: f64,
    track: f64,
    altitude: f64,
    heading: f64,
    magnetic: bool,
}

/// A way flown: where, how high, how fast and which way at present.
struct Way {
    time: Utc,
    east: f64,
    north: f64,
    altitude: f64,
    speed: f64,
    direction: f64,
    fixes: Vec<Fix>,
}

impl Way {
    fn mark(&mut self, dice: &mut Dice, ground: Ground, receiver: &Receiver) {
        let mut fix = Fix::at(self.time, ground.at(self.east, self.north));
        if dice.chance(receiver.altitude) {
            fix.altitude = Some(Metres::of(self.altitude));
        }
        if dice.chance(receiver.speed) {
            fix.groundspeed = Some(MetresPerSecond::of(self.speed));
        }
        if dice.chance(receiver.track) {
            // What the receiver says is the direction on the local plane; near a pole that is not
            // the true one, which does not matter here.
            fix.track = Some(DegreesTrue::of(self.direction + dice.between(-2.0, 2.0)));
        }
        if dice.chance(receiver.heading) {
            let degrees = DegreesTrue::of(self.direction + dice.between(-20.0, 20.0));
            let reading = if receiver.magnetic {
                let variation = dice.chance(0.7).then(|| Degrees::of(dice.between(-20.0, 20.0)));
                HeadingReading::Magnetic { degrees, variation }
            } else {
                HeadingReading::True(degrees)
            };
            let time = self.time - Millis::from_secs_f64(dice.between(0.0, 0.9));
            fix.heading = Some(SourceHeading { time, reading });
        }
        self.fixes.push(fix);
    }

    fn go(&mut self, seconds: f64) {
        let angle = self.direction.to_radians();
        self.east += self.speed * seconds * angle.sin();
        self.north += self.speed * seconds * angle.cos();
        self.time = self.time + secs(seconds);
    }
}

/// A flight from fix to fix.
pub fn flight(tour: &Tour, dice: &mut Dice, ground: Ground) -> Vec<Fix> {
    let often = |dice: &mut Dice| dice.pick(&[1.0, 1.0, 0.9, 0.0]);
    let receiver = Receiver {
        speed: often(dice),
        track: often(dice),
        altitude: often(dice),
        heading: if tour.plan.aircraft.heading_source {
            dice.pick(&[0.0, 0.0, 1.0, 0.3])
        } else {
            0.0
        },
        magnetic: dice.chance(0.4),
    };
    let step = dice.pick(&[0.25, 1.0, 1.0, 1.0, 2.0, 5.0, 10.0, 30.0]);
    let starts_on_ground = dice.chance(0.4);
    let mut way = Way {
        time: START + Millis::from_secs_f64(if dice.whole_seconds { 0.0 } else { dice.part() }),
        east: dice.between(-800.0, 800.0),
        north: dice.between(-300.0, 300.0),
        altitude: if starts_on_ground { 10.0 } else { dice.between(100.0, 500.0) },
        speed: if starts_on_ground { 0.0 } else { dice.between(25.0, 65.0) },
        direction: dice.between(0.0, 360.0),
        fixes: vec![],
    };
    let home = (way.east, way.north);
    way.mark(dice, ground, &receiver);
    let disturbed = dice.chance(0.6);
    let mut left = 60 + dice.below(120);
    if starts_on_ground {
        let parked = 5 + dice.below(10);
        left -= leg(&mut way, dice, ground, &receiver, step, parked);
        way.speed = dice.between(25.0, 65.0);
        way.altitude = dice.between(50.0, 300.0);
    }
    while left > 0 {
        let fixes = 1 + dice.below(14);
        match dice.below(14) {
            0 => {
                let (speed, fixes) = (way.speed, 3 + dice.below(20));
                way.speed = if dice.chance(0.5) { 0.0 } else { dice.between(0.0, 6.0) };
                left = left.saturating_sub(leg(&mut way, dice, ground, &receiver, step, fixes));
                way.speed = speed;
            }
            1 if starts_on_ground => {
                // Home, down, a while on the ground, up again.
                let speed = way.speed;
                way.direction = (home.0 - way.east).atan2(home.1 - way.north).to_degrees();
                way.speed = ((home.0 - way.east).hypot(home.1 - way.north) / step).min(60.0);
                let far = (home.0 - way.east).hypot(home.1 - way.north);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "small"
                )]
                let back = (far / (way.speed * step).max(1.0)).round() as usize;
                left = left.saturating_sub(leg(&mut way, dice, ground, &receiver, step, back));
                way.speed = 0.0;
                way.altitude = 12.0;
                let stay = 5 + dice.below(if step > 2.0 { 12 } else { 60 });
                left = left.saturating_sub(leg(&mut way, dice, ground, &receiver, step, stay));
                way.speed = speed;
                way.altitude = dice.between(50.0, 300.0);
            }
            2 if disturbed => silence(&mut way, dice),
            3 if disturbed => bad_fixes(&mut way, dice, ground, &receiver, step),
            4 => way.altitude = dice.between(20.0, 700.0),
            5 => way.speed = dice.between(5.0, 70.0),
            _ => {
                way.direction += dice.between(-90.0, 90.0);
                if way.east.hypot(way.north) > 4500.0 {
                    way.direction = (-way.east).atan2(-way.north).to_degrees();
                }
                left = left.saturating_sub(leg(&mut way, dice, ground, &receiver, step, fixes));
            }
        }
    }
    way.fixes
}

/// Flies on for so many fixes and says how many.
fn leg(
    way: &mut Way,
    dice: &mut Dice,
    ground: Ground,
    receiver: &Receiver,
    step: f64,
    fixes: usize,
) -> usize {
    let turning = if dice.chance(0.3) { dice.between(-6.0, 6.0) } else { 0.0 };
    let climbing = if dice.chance(0.3) { dice.between(-4.0, 4.0) } else { 0.0 };
    for _ in 0..fixes {
        let jitter = if dice.whole_seconds { 0.0 } else { dice.between(-0.2, 0.2) * step.min(1.0) };
        way.direction += turning * step.min(3.0);
        way.altitude = (way.altitude + climbing * step.min(3.0)).max(5.0);
        way.go(step + jitter);
        way.mark(dice, ground, receiver);
    }
    fixes
}

fn silence(way: &mut Way, dice: &mut Dice) {
    let seconds = match dice.below(20) {
        0 => dice.time(1500.0, 2200.0),
        1..=7 => dice.time(15.0, 60.0),
        _ => dice.time(3.0, 20.0),
    };
    let speed = way.speed;
    if seconds.secs() > 60.0 {
        way.speed = 0.0;
    }
    way.go(seconds.secs());
    way.speed = speed;
}

fn bad_fixes(way: &mut Way, dice: &mut Dice, ground: Ground, receiver: &Receiver, step: f64) {
    match dice.below(5) {
        0 => {
            // A position sent again, some times over.
            for _ in 0..1 + dice.below(8) {
                let Some(last) = way.fixes.last().copied() else { return };
                way.go(step);
                way.mark(dice, ground, receiver);
                if let Some(fix) = way.fixes.last_mut() {
                    fix.position = last.position;
                    fix.groundspeed = None;
                }
            }
        }
        1 => {
            // Far away for a few fixes.
            let (east, north) = (way.east, way.north);
            for _ in 0..1 + dice.below(2) {
                way.go(step);
                way.east = east + dice.between(-3e4, 3e4);
                way.mark(dice, ground, receiver);
                (way.east, way.north) = (east, north);
            }
        }
        2 => {
            // Elsewhere from here on.
            way.east += dice.between(-6e3, 6e3);
            way.north += dice.between(-6e3, 6e3);
        }
        3 => way.time = way.time - dice.time(1.0, 90.0),
        _ => {
            let Some(last) = way.fixes.last().copied() else { return };
            way.fixes.push(last);
        }
    }
}

/// What the pilot does, in the order of the times.
pub fn hands(tour: &Tour, dice: &mut Dice, fixes: &[Fix]) -> Vec<(Utc, Hand)> {
    let mut hands = Vec::new();
    if dice.chance(0.3) || tour.plan.rules.is_empty() {
        return hands;
    }
    let (Some(first), Some(last)) = (fixes.first(), fixes.last()) else { return hands };
    let whole = (last.time - first.time).secs().max(10.0);
    for _ in 0..1 + dice.below(14) {
        let action = match dice.below(11) {
            0 | 1 => Hand::Camera(camera(dice)),
            2 => Hand::Automatic,
            3 => Hand::RecordOn,
            4 => Hand::RecordOff,
            5 => Hand::Still,
            6 => Hand::Skip,
            7 => Hand::VoiceOff,
            8 => Hand::VoiceOn,
            9 => Hand::RadioBusy,
            _ => Hand::RadioClear,
        };
        let at = first.time + dice.time(1.0, whole * 1.05) - secs(dice.pick(&[1.0, 10.0]));
        hands.push((at, action));
    }
    hands.sort_by_key(|(at, _)| *at);
    hands
}
