//! How what a leg crosses is found.
//!
//! Crossings are found by stepping along the leg, each step as long as the aircraft could fly
//! without reaching what matters, and then halving the last step.

use earth::Utc;
use plan::{Shape, Side, Zone, ZoneId};

use crate::leg::{Leg, OnLeg};
use crate::shape::{ON_EDGE, Outline};

/// Metres along the leg: the shortest step, after which the crossing is found by halving.
const LEAST_STEP: f64 = 0.05;
/// Metres along the leg: how near a crossing is found.
const FOUND: f64 = 0.001;
/// How often the last step is halved at most.
const HALVINGS: u32 = 40;
/// Metres: what rounding may add to a distance.
pub(crate) const SPARE: f64 = 0.01;

/// What happens to a zone on a leg.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Entered,
    Crossed { from_left: bool },
    Left,
}

/// An entry, an exit or a crossing that counts, at its own time and place.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Crossing {
    pub(crate) time: Utc,
    pub(crate) kind: Kind,
    pub(crate) zone: ZoneId,
    pub(crate) at: OnLeg,
}

/// What can be said of a place and a zone.
pub(crate) enum Lies {
    /// So many metres outside edge and band, negative inside.
    Outside(f64),
    /// The altitude is not known and decides.
    Unknown,
}

/// A zone as crossings are found by.
#[derive(Debug)]
pub(crate) struct Definition {
    pub(crate) outline: Option<Outline>,
    pub(crate) lowest: f64,
    pub(crate) highest: f64,
    pub(crate) banded: bool,
    pub(crate) margin: f64,
    /// Quiet and no-filming zones count as without a band where the altitude is not known.
    pub(crate) strict: bool,
    pub(crate) quiet: bool,
    pub(crate) no_filming: bool,
    pub(crate) crossed_from: Side,
}

impl Definition {
    pub(crate) fn new(zone: &Zone) -> Self {
        let band = zone.band.as_ref();
        Self {
            outline: Outline::new(&zone.shape),
            lowest: band.and_then(|band| band.from).map_or(f64::NEG_INFINITY, |from| from.get()),
            highest: band.and_then(|band| band.to).map_or(f64::INFINITY, |to| to.get()),
            banded: band.is_some(),
            // A point on the edge is inside, so the margin begins beyond what counts as on it.
            margin: zone.margin.get().max(ON_EDGE),
            strict: zone.quiet || zone.no_filming.is_some(),
            quiet: zone.quiet,
            no_filming: zone.no_filming.is_some(),
            crossed_from: match zone.shape {
                Shape::Gate { crossed_from, .. } => crossed_from,
                _ => Side::Either,
            },
        }
    }

    /// Metres outside edge and band, negative inside both.
    pub(crate) fn outside(&self, outline: &Outline, at: &OnLeg, with_band: bool) -> f64 {
        let level = outline.outside(&at.surface);
        match at.altitude {
            Some(altitude) if with_band => {
                level.max(self.lowest - altitude).max(altitude - self.highest)
            }
            _ => level,
        }
    }

    /// What a fix alone shows, the altitude perhaps not known.
    pub(crate) fn lies(&self, outline: &Outline, at: &OnLeg, was_inside: bool) -> Lies {
        let by = self.outside(outline, at, true);
        let decides = self.banded && !self.strict && at.altitude.is_none();
        // Outside its edge a zone with a band is left whatever the altitude.
        if decides && !(was_inside && by > self.margin) { Lies::Unknown } else { Lies::Outside(by) }
    }

    /// Whether a crossing of a gate counts there and that way.
    pub(crate) fn counts(&self, from_left: bool, at: &OnLeg) -> bool {
        let this_way = match self.crossed_from {
            Side::Left => from_left,
            Side::Right => !from_left,
            Side::Either => true,
        };
        let at_height = !self.banded
            || at.altitude.is_some_and(|altitude| (self.lowest..=self.highest).contains(&altitude));
        this_way && at_height
    }
}

/// Notes a crossing. A zone left and entered again within one millisecond was not left.
pub(crate) fn record(crossings: &mut Vec<Crossing>, crossing: Crossing) {
    let undone = crossings.last().is_some_and(|last| {
        last.zone == crossing.zone
            && last.time == crossing.time
            && last.kind == Kind::Left
            && crossing.kind == Kind::Entered
    });
    if undone {
        crossings.pop();
    } else {
        crossings.push(crossing);
    }
}

/// Steps along a stretch and tells every entry and exit.
pub(crate) fn trace(
    definition: &Definition,
    outline: &Outline,
    stretch: &Leg,
    with_band: bool,
    may_enter: bool,
    inside: &mut bool,
    mut told: impl FnMut(Kind, f64, OnLeg),
) {
    let reach = stretch.reach();
    let outside = |fraction: f64| definition.outside(outline, &stretch.at(fraction), with_band);
    let beyond = |by: f64, inside: bool| {
        if inside { by > definition.margin } else { may_enter && by <= ON_EDGE }
    };
    let at_end = outside(1.0);
    let mut before: f64 = 0.0;
    let mut fraction = 0.0;
    loop {
        let by = outside(fraction);
        if beyond(by, *inside) {
            // A longer step could just reach what matters, so it was reached at its end.
            let mut near =
                if reach > 0.0 { before.max(fraction - LEAST_STEP / reach) } else { before };
            let mut far = fraction;
            for _ in 0..HALVINGS {
                if (far - near) * reach <= FOUND {
                    break;
                }
                let middle = 0.5 * (near + far);
                if beyond(outside(middle), *inside) {
                    far = middle;
                } else {
                    near = middle;
                }
            }
            told(if *inside { Kind::Left } else { Kind::Entered }, far, stretch.at(far));
            *inside = !*inside;
            fraction = far;
            before = far;
            if reach == 0.0 {
                return;
            }
            continue;
        }
        if fraction >= 1.0 || reach == 0.0 || (!*inside && !may_enter) {
            return;
        }
        let threshold = if *inside { definition.margin } else { ON_EDGE };
        let free = (by - threshold).abs();
        if (at_end <= threshold) == *inside
            && free + (at_end - threshold).abs() > (1.0 - fraction) * reach + SPARE
        {
            return;
        }
        before = fraction;
        fraction = (fraction + free.max(LEAST_STEP) / reach).min(1.0);
    }
}

/// Whether the aircraft is anywhere more than the margin from a gate's line on part of a stretch.
pub(crate) fn was_away(outline: &Outline, margin: f64, stretch: &Leg, from: f64, to: f64) -> bool {
    let reach = stretch.reach();
    let mut fraction = from;
    loop {
        let by = outline.outside(&stretch.at(fraction).surface);
        if by > margin {
            return true;
        }
        if fraction >= to || reach == 0.0 {
            return false;
        }
        fraction = (fraction + (margin - by).max(0.5) / reach).min(to);
    }
}
