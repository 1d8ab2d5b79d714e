//! Altitude, groundspeed, track and heading at every good fix.

use earth::{Fix, HeadingReading, Position, SourceHeading, Utc};
use engine::{Gps, HeadingFrom};
use plan::{Day, Plan};

use super::fixes::{Good, Limits};
use super::ground;
use super::without::Without;

/// How the aircraft moves at a fix; metres, metres a second, degrees true.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Motion {
    pub altitude: Option<f64>,
    pub speed: Option<f64>,
    pub track: Option<f64>,
    pub heading: Option<(f64, HeadingFrom)>,
}

/// What is held from fix to fix.
#[derive(Default)]
struct Held {
    altitude: Option<(f64, Utc)>,
    speed: Option<f64>,
    track: Option<f64>,
    heading: Option<f64>,
    /// What the source last said, in degrees true at the fix it came with, and when it said so.
    source: Option<(f64, Utc)>,
    /// The fix that last renewed the speed, and the track.
    speed_from: Option<Fix>,
    track_from: Option<Fix>,
    /// When the present position first came.
    came: Option<Fix>,
}

/// Degrees to add to magnetic for true.
pub fn declination(at: Position, altitude: Option<f64>, time: Utc) -> f64 {
    let altitude = altitude.map(earth::Metres::of);
    earth::magnetic::declination(at, altitude, time).degrees.get()
}

pub fn motions(
    good: &[Good],
    plan: &Plan,
    day: &Day,
    limits: Limits,
    without: Option<Without>,
) -> Vec<Motion> {
    let mut held = Held::default();
    good.iter().map(|fix| motion(fix, &mut held, plan, day, limits, without)).collect()
}

fn motion(
    good: &Good,
    held: &mut Held,
    plan: &Plan,
    day: &Day,
    limits: Limits,
    without: Option<Without>,
) -> Motion {
    let off = |rule: Without| without == Some(rule);
    let fix = good.fix;
    let minimum = plan.settings.minimum_speed.get();
    if good.how == Gps::First {
        *held = Held::default();
    }
    if good.how == Gps::Gap && !off(Without::NothingHeldAcrossGap) {
        held.speed = None;
        held.track = None;
        held.heading = None;
        held.speed_from = None;
        held.track_from = None;
        held.came = None;
    }

    if let Some(altitude) = fix.altitude {
        held.altitude = Some((altitude.get(), fix.time));
    }
    let altitude = held.altitude.and_then(|(altitude, at)| {
        let fresh = (fix.time - at).0 <= limits.lost_after || off(Without::AltitudeLapses);
        let keeps = at == fix.time || !off(Without::AltitudeKept);
        (fresh && keeps).then_some(altitude)
    });

    let same_place = held.came.is_some_and(|came| came.position == fix.position);
    let first_came = if same_place { held.came.unwrap_or(fix) } else { fix };
    let repeated = same_place
        && fix.groundspeed.is_none()
        && ((fix.time - first_came.time).0 <= limits.lost_after || off(Without::RepeatLapses))
        && !off(Without::Repeated);
    held.came = Some(first_came);
    if repeated {
        held.speed_from = Some(first_came);
        held.track_from = Some(first_came);
    } else {
        renew_speed(&fix, held, without);
        renew_track(&fix, held, minimum, without);
    }

    if let Some(source) = fix.heading
        && held.source.is_none_or(|(_, before)| before <= source.time)
    {
        held.source = Some((in_degrees_true(source, &fix, altitude), source.time));
    }
    let source = held.source.filter(|(_, said)| {
        (fix.time - *said).0 <= limits.lost_after || off(Without::SourceLapses)
    });
    let wind = if off(Without::DayWind) { plan.wind } else { day.wind.or(plan.wind) };
    let heading = if let (Some((degrees, _)), false) = (source, off(Without::Source)) {
        held.heading = Some(degrees);
        Some((degrees, HeadingFrom::Source))
    } else if let (Some(wind), false) = (wind, off(Without::WindTriangle)) {
        match through_the_air(held.speed, held.track, wind, minimum, without) {
            Some(degrees) => {
                held.heading = Some(degrees);
                Some((degrees, HeadingFrom::Wind))
            }
            None if off(Without::HeadingHeld) => None,
            None => held.heading.map(|degrees| (degrees, HeadingFrom::Held)),
        }
    } else {
        held.track.map(|track| (track, HeadingFrom::Track))
    };
    Motion { altitude, speed: held.speed, track: held.track, heading }
}

fn in_degrees_true(source: SourceHeading, fix: &Fix, altitude: Option<f64>) -> f64 {
    match source.reading {
        HeadingReading::True(degrees) => degrees.get(),
        HeadingReading::Magnetic { degrees, variation } => {
            let variation = variation
                .map_or_else(|| declination(fix.position, altitude, fix.time), |v| v.get());
            (degrees.get() + variation).rem_euclid(360.0)
        }
    }
}

fn renew_speed(fix: &Fix, held: &mut Held, without: Option<Without>) {
    if let (Some(own), false) = (fix.groundspeed, without == Some(Without::ReceiverSpeed)) {
        held.speed = Some(own.get());
        held.speed_from = Some(*fix);
        return;
    }
    let Some(from) = held.speed_from else {
        held.speed_from = Some(*fix);
        return;
    };
    if (fix.time - from.time).0 < 500 && without != Some(Without::HalfSecond) {
        return;
    }
    let distance = ground::distance(from.position, fix.position);
    held.speed = Some(distance / (fix.time - from.time).secs());
    held.speed_from = Some(*fix);
}

fn renew_track(fix: &Fix, held: &mut Held, minimum: f64, without: Option<Without>) {
    let fresh = if let (Some(own), false) = (fix.track, without == Some(Without::ReceiverTrack)) {
        held.track_from = Some(*fix);
        Some(own.get())
    } else if let Some(from) = held.track_from {
        if (fix.time - from.time).0 < 500 && without != Some(Without::HalfSecond) {
            None
        } else {
            held.track_from = Some(*fix);
            let (distance, _, arrived) = ground::inverse(from.position, fix.position);
            (distance > 0.0).then(|| arrived.rem_euclid(360.0))
        }
    } else {
        held.track_from = Some(*fix);
        None
    };
    let slow = held.speed.is_none_or(|speed| speed < minimum);
    if let Some(track) = fresh
        && (!slow || without == Some(Without::TrackHeld))
    {
        held.track = Some(track);
    }
}

/// The direction of the velocity over the ground less the wind's; none where either speed is not
/// known or below the minimum.
fn through_the_air(
    speed: Option<f64>,
    track: Option<f64>,
    wind: plan::Wind,
    minimum: f64,
    without: Option<Without>,
) -> Option<f64> {
    let (speed, track) = (speed?, track?.to_radians());
    let towards = (wind.from.get() + 180.0).to_radians();
    let north = speed * track.cos() - wind.speed.get() * towards.cos();
    let east = speed * track.sin() - wind.speed.get() * towards.sin();
    if speed < minimum || (north.hypot(east) < minimum && without != Some(Without::AirMinimum)) {
        return None;
    }
    Some(east.atan2(north).to_degrees().rem_euclid(360.0))
}
