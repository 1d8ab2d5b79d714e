//! Groundspeed, track and heading at a fix.

use earth::wind::{self, Velocity};
use earth::{
    Degrees, DegreesTrue, Fix, HeadingReading, MetresPerSecond, Millis, Position, Surface, Utc,
    magnetic,
};
use plan::Wind;

use crate::leg::End;
use crate::output::HeadingFrom;

/// A derived value is reckoned from a fix at least this old.
const LEAST_BASE: Millis = Millis(500);

/// What is known of the motion at the last good fix.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Motion {
    pub(crate) groundspeed: Option<f64>,
    pub(crate) track: Option<DegreesTrue>,
    pub(crate) heading: Option<(DegreesTrue, HeadingFrom)>,
    speed_base: Option<Base>,
    track_base: Option<Base>,
    /// When the present position first came, and which it is.
    since: Option<(Utc, Position)>,
    source: Option<(Utc, DegreesTrue)>,
    good_heading: Option<DegreesTrue>,
}

/// The fix a derived value is reckoned from.
#[derive(Clone, Copy, Debug)]
struct Base {
    time: Utc,
    at: Surface,
}

/// What the motion is reckoned by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reckoning {
    pub(crate) minimum_speed: f64,
    pub(crate) lost_after: Millis,
    pub(crate) wind: Option<Wind>,
}

impl Motion {
    /// Takes up a good fix, with when the leg to it began and its metres. Without a leg it is the
    /// first of a run or after a gap: nothing is derived and nothing held. Returns whether the
    /// magnetic model had to stand in for a date it does not cover.
    pub(crate) fn take_up(
        &mut self,
        fix: &Fix,
        end: &End,
        leg: Option<(Utc, f64)>,
        by: &Reckoning,
    ) -> bool {
        if leg.is_none() {
            *self = Self { source: self.source, ..Self::default() };
        }
        let repeated = self
            .since
            .filter(|(_, position)| *position == fix.position && fix.groundspeed.is_none());
        match repeated {
            Some((since, _)) if fix.time - since <= by.lost_after => {
                // An old position sent again: all is held, and reckoned from when it first came.
                let base = Some(Base { time: since, at: end.surface });
                self.speed_base = base;
                self.track_base = base;
            }
            _ => {
                if repeated.is_none()
                    && self.since.is_none_or(|(_, position)| position != fix.position)
                {
                    self.since = Some((fix.time, fix.position));
                }
                self.derive(fix, end, leg, by);
            }
        }
        self.point(fix, end, by)
    }

    fn derive(&mut self, fix: &Fix, end: &End, leg: Option<(Utc, f64)>, by: &Reckoning) {
        let here = Base { time: fix.time, at: end.surface };
        let due = |base: &Option<Base>| base.filter(|base| fix.time - base.time >= LEAST_BASE);
        if let Some(given) = fix.groundspeed {
            self.groundspeed = Some(given.get());
            self.speed_base = Some(here);
        } else if let Some(base) = due(&self.speed_base) {
            let metres = match leg {
                Some((began, metres)) if began == base.time => metres,
                _ => base.at.distance(&end.surface).get(),
            };
            self.groundspeed = Some(metres / (fix.time - base.time).secs());
            self.speed_base = Some(here);
        } else if self.speed_base.is_none() {
            self.speed_base = Some(here);
        }
        let fast = self.groundspeed.is_some_and(|speed| speed >= by.minimum_speed);
        if let Some(given) = fix.track {
            if fast {
                self.track = Some(given);
            }
            self.track_base = Some(here);
        } else if let Some(base) = due(&self.track_base) {
            if fast && base.at.point != end.surface.point {
                self.track = Some(end.surface.azimuth_from(&base.at));
            }
            self.track_base = Some(here);
        } else if self.track_base.is_none() {
            self.track_base = Some(here);
        }
    }

    /// Where the nose points.
    fn point(&mut self, fix: &Fix, end: &End, by: &Reckoning) -> bool {
        let mut clamped = false;
        if let Some(said) = fix.heading {
            let heading = match said.reading {
                HeadingReading::True(degrees) => degrees,
                HeadingReading::Magnetic { degrees, variation: Some(variation) } => {
                    degrees.turned(variation)
                }
                HeadingReading::Magnetic { degrees, variation: None } => {
                    let altitude = end.altitude.map(earth::Metres::of);
                    let declination = magnetic::declination(fix.position, altitude, fix.time);
                    clamped = declination.clamped;
                    degrees.turned(declination.degrees)
                }
            };
            if said.time <= fix.time && self.source.is_none_or(|(time, _)| time <= said.time) {
                self.source = Some((said.time, heading));
            }
        }
        let source =
            self.source.filter(|(time, _)| fix.time - *time <= by.lost_after && *time <= fix.time);
        self.heading = if let Some((_, heading)) = source {
            self.good_heading = Some(heading);
            Some((heading, HeadingFrom::Source))
        } else if let Some(wind) = by.wind {
            match self.through_the_air(wind, by.minimum_speed) {
                Some(heading) => {
                    self.good_heading = Some(heading);
                    Some((heading, HeadingFrom::Wind))
                }
                None => self.good_heading.map(|heading| (heading, HeadingFrom::Held)),
            }
        } else {
            self.track.map(|track| (track, HeadingFrom::Track))
        };
        clamped
    }

    /// The heading from the wind triangle, where both speeds are great enough.
    fn through_the_air(&self, wind: Wind, minimum_speed: f64) -> Option<DegreesTrue> {
        let speed = self.groundspeed.filter(|speed| *speed >= minimum_speed)?;
        let ground = Velocity { direction: self.track?, speed: MetresPerSecond::of(speed) };
        let air = wind::through_the_air(ground, wind::Wind { from: wind.from, speed: wind.speed });
        (air.speed.get() >= minimum_speed).then_some(air.direction)
    }
}

/// Degrees outside a window that runs clockwise from one direction to another, both included; 0
/// inside.
pub(crate) fn outside_window(direction: DegreesTrue, from: Degrees, to: Degrees) -> f64 {
    if from.get() == 0.0 && to.get() == 360.0 {
        return 0.0;
    }
    let (from, to) = (DegreesTrue::of(from.get()), DegreesTrue::of(to.get()));
    if from.clockwise_to(direction).get() <= from.clockwise_to(to).get() {
        return 0.0;
    }
    let short = |edge: DegreesTrue| edge.shortest_to(direction).get().abs();
    short(from).min(short(to))
}
