//! The flight between two good fixes: the geodesic at constant speed, altitude running linearly.

use earth::{Metres, Position, Surface, Utc, geodesic, surface};

/// Metres: the longest stretch of a leg that is reckoned in one piece.
const STRETCH: f64 = surface::NEAR * 0.9;

/// A good fix as an end of a leg.
#[derive(Clone, Copy, Debug)]
pub(crate) struct End {
    pub(crate) time: Utc,
    pub(crate) position: Position,
    pub(crate) surface: Surface,
    pub(crate) altitude: Option<f64>,
}

/// A leg, or a stretch of one that is short enough for closed forms.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Leg {
    pub(crate) from: End,
    pub(crate) to: End,
    /// Metres over the ground.
    pub(crate) distance: f64,
    /// The fractions of the whole leg at which this stretch begins and ends.
    share: (f64, f64),
    /// The times at which the whole leg begins and ends.
    span: (Utc, Utc),
}

/// A point of a leg.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OnLeg {
    pub(crate) surface: Surface,
    pub(crate) altitude: Option<f64>,
}

impl Leg {
    pub(crate) fn new(from: End, to: End, distance: f64) -> Self {
        Self { from, to, distance, share: (0.0, 1.0), span: (from.time, to.time) }
    }

    /// Metres: how much any distance to a fixed edge or band can change along the leg.
    pub(crate) fn reach(&self) -> f64 {
        self.distance.max(self.climb())
    }

    fn climb(&self) -> f64 {
        match (self.from.altitude, self.to.altitude) {
            (Some(from), Some(to)) => (to - from).abs(),
            _ => 0.0,
        }
    }

    /// Whether the altitude is known along it.
    pub(crate) fn has_altitude(&self) -> bool {
        self.from.altitude.is_some() && self.to.altitude.is_some()
    }

    /// The point at a fraction of this stretch.
    pub(crate) fn at(&self, fraction: f64) -> OnLeg {
        OnLeg {
            surface: self.from.surface.between(&self.to.surface, fraction),
            // At its end the second fix alone tells.
            altitude: if fraction >= 1.0 { self.to.altitude } else { self.altitude_at(fraction) },
        }
    }

    /// The time at a fraction of this stretch, in whole milliseconds. A moment on the leg is later
    /// than its first fix, to which only the leg before belongs.
    pub(crate) fn time(&self, fraction: f64) -> Utc {
        let (start, end) = self.span;
        let share = self.share.0 + (self.share.1 - self.share.0) * fraction.clamp(0.0, 1.0);
        #[expect(clippy::cast_possible_truncation, reason = "within the leg")]
        let after = libm::round((end - start).get() * share) as i64;
        Utc((start.0 + after).clamp((start.0 + 1).min(end.0), end.0))
    }

    /// Calls `each` with the stretches of the leg in order.
    pub(crate) fn stretches(&self, mut each: impl FnMut(&Leg)) {
        if self.distance <= STRETCH {
            each(self);
            return;
        }
        let way = geodesic::inverse(self.from.position, self.to.position);
        let count = libm::ceil(way.distance.get() / STRETCH).clamp(1.0, 10_000.0);
        let mut start = self.from;
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 10,000")]
        let steps = count as u32;
        for step in 1..=steps {
            let share = f64::from(step) / count;
            let end = if step == steps {
                self.to
            } else {
                let distance = Metres::of(way.distance.get() * share);
                let (position, _) =
                    geodesic::direct(self.from.position, way.azimuth_start, distance);
                let on = self.altitude_at(share);
                End {
                    time: self.time(share),
                    position,
                    surface: Surface::from(position),
                    altitude: on,
                }
            };
            each(&Leg {
                from: start,
                to: end,
                distance: way.distance.get() / count,
                share: (f64::from(step - 1) / count, share),
                span: self.span,
            });
            start = end;
        }
    }

    fn altitude_at(&self, share: f64) -> Option<f64> {
        match (self.from.altitude, self.to.altitude) {
            (Some(from), Some(to)) => Some(from + (to - from) * share.max(0.0)),
            _ => None,
        }
    }
}
