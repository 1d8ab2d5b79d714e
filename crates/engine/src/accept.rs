//! Which fixes are believed.

use earth::{Millis, Surface, Utc};

use crate::leg::End;
use crate::output::Rejection;

/// A run is over so long after its last good fix.
pub(crate) const RUN_ENDS_AFTER: Millis = Millis::from_secs(30 * 60);
/// A step back in time beyond this begins a new run once it is believed.
const STEP_BACK: Millis = Millis::from_secs(60);
/// Metres that a fix may be off without a speed being asked for.
const FREE_DISTANCE: f64 = 30.0;
/// How many rejected fixes in a row that agree are believed.
const BELIEVED: u32 = 3;

/// What becomes of a fix.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Verdict {
    /// It begins a run.
    First,
    /// It ends a leg of so many metres.
    Leg(f64),
    /// It comes after a gap.
    Gap,
    /// Rejected ones agreed: it is taken as the first after a gap.
    BelievedAfterGap,
    /// Rejected ones agreed: it begins a new run.
    BelievedNewRun,
    /// It is rejected.
    Rejected(Rejection),
}

/// Remembers rejected fixes that agree.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Judge {
    last_rejected: Option<(Utc, Surface)>,
    agreeing: u32,
}

impl Judge {
    /// Judges a fix against the last good one. `run_over` tells that the run has ended since.
    pub(crate) fn judge(
        &mut self,
        last: Option<&End>,
        run_over: bool,
        time: Utc,
        at: &Surface,
        greatest_speed: f64,
        bridge: Millis,
    ) -> Verdict {
        let Some(last) = last else {
            *self = Self::default();
            return Verdict::First;
        };
        let after = time - last.time;
        let rejection = if after <= Millis::ZERO {
            Rejection::NotLater
        } else if after > RUN_ENDS_AFTER || run_over {
            Rejection::TooLate
        } else if after > bridge {
            *self = Self::default();
            return Verdict::Gap;
        } else {
            let distance = last.surface.distance(at).get();
            if within_speed(distance, after, greatest_speed) {
                *self = Self::default();
                return Verdict::Leg(distance);
            }
            Rejection::TooFast
        };
        let agrees = self.last_rejected.is_some_and(|(before, place)| {
            time > before && within_speed(place.distance(at).get(), time - before, greatest_speed)
        });
        self.agreeing = if agrees { self.agreeing.saturating_add(1) } else { 1 };
        self.last_rejected = Some((time, *at));
        if self.agreeing < BELIEVED {
            return Verdict::Rejected(rejection);
        }
        let verdict = if after > RUN_ENDS_AFTER || after < Millis::ZERO - STEP_BACK || run_over {
            Verdict::BelievedNewRun
        } else if after > Millis::ZERO {
            Verdict::BelievedAfterGap
        } else {
            // A small step back in time is waited out.
            return Verdict::Rejected(rejection);
        };
        *self = Self::default();
        verdict
    }
}

fn within_speed(distance: f64, time: Millis, greatest_speed: f64) -> bool {
    distance - FREE_DISTANCE <= greatest_speed * time.secs()
}
