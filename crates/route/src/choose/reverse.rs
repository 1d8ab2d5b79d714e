//! A route the other way round.

use crate::model::{Leg, LegKind, LegSettings, Side, Spot};
use crate::span::{Span, Spanned};

/// Why a route cannot be flown the other way round.
pub(super) struct Irreversible {
    pub(super) span: Span,
    pub(super) headline: &'static str,
    pub(super) help: &'static str,
}

/// A leg with the place at which it ends, if that has a name or coordinates.
struct Stretch {
    leg: Leg,
    end: Option<Spanned<Spot>>,
}

/// The legs back to front.
///
/// What a leg says of its stretch (airspeed, wind, climb, bank) stays with the stretch, its altitude
/// with the place at its end. An orbit keeps its own airspeed and turns to the other side (it is
/// joined along the tangent from where one then comes); a hover stays as it is; a landing on the way stays as long.
///
/// # Errors
/// A route that does not end with a landing, and a hover that follows an orbit without saying where.
pub(super) fn reversed(legs: &[Leg]) -> Result<Vec<Leg>, Irreversible> {
    let stretches = stretches(legs)?;
    let Some((last, before)) = stretches.split_last() else { return Ok(Vec::new()) };
    let LegKind::Land { at, .. } = &last.leg.kind.value else {
        return Err(Irreversible {
            span: last.leg.kind.span,
            headline: "the route does not end with a landing, so there is nowhere to begin the \
                       other way round",
            help: "end it with `land: PLACE`",
        });
    };
    let mut out = vec![Leg {
        kind: Spanned { value: LegKind::From(at.clone()), span: last.leg.kind.span },
        settings: LegSettings::default(),
        span: last.leg.span,
    }];
    // How the stretch from the place that was reached last to the next one is flown.
    let mut onwards = last.leg.settings.clone();
    for stretch in before.iter().rev() {
        let Leg { kind, settings, span } = &stretch.leg;
        let turned = match &kind.value {
            LegKind::From(at) => LegKind::Land { at: at.clone(), stay: None },
            LegKind::Orbit { around, radius, turn, extent } => LegKind::Orbit {
                around: around.clone(),
                radius: *radius,
                turn: match turn {
                    Side::Left => Side::Right,
                    Side::Right => Side::Left,
                },
                extent: *extent,
            },
            LegKind::Hover { time, facing, .. } => {
                LegKind::Hover { at: stretch.end.clone(), time: *time, facing: *facing }
            }
            LegKind::To(_) | LegKind::Land { .. } => kind.value.clone(),
        };
        let own = matches!(turned, LegKind::Orbit { .. });
        let altitude = settings.altitude.clone();
        let flown = if own { settings.clone() } else { LegSettings { altitude, ..onwards } };
        out.push(Leg {
            kind: Spanned { value: turned, span: kind.span },
            settings: flown,
            span: *span,
        });
        onwards = settings.clone();
    }
    Ok(out)
}

/// The legs with their ends. A leg to the place at which the next one hovers is one with it.
fn stretches(legs: &[Leg]) -> Result<Vec<Stretch>, Irreversible> {
    let mut out: Vec<Stretch> = Vec::new();
    for leg in legs {
        let span = leg.kind.span;
        let spot = |spot: &Spot| Some(Spanned { value: spot.clone(), span });
        let end = match &leg.kind.value {
            LegKind::From(at) | LegKind::To(at) | LegKind::Land { at, .. } => spot(at),
            LegKind::Hover { at: Some(at), .. } => Some(at.clone()),
            LegKind::Hover { at: None, .. } => match out.last().and_then(|last| last.end.clone()) {
                Some(end) => Some(end),
                None => {
                    return Err(Irreversible {
                        span,
                        headline: "this hover does not say where, so it cannot be flown to from \
                                   the other side",
                        help: "write `at: PLACE` into it",
                    });
                }
            },
            LegKind::Orbit { .. } => None,
        };
        let hovers = matches!(leg.kind.value, LegKind::Hover { .. });
        let merges = |last: &Stretch| {
            let there = last.end.as_ref().map(|end| &end.value);
            matches!(last.leg.kind.value, LegKind::To(_))
                && there == end.as_ref().map(|end| &end.value)
        };
        if hovers && out.last().is_some_and(merges) {
            let to = out.pop();
            let mut leg = leg.clone();
            // How it is flown to is what the leg to it says.
            if let Some(to) = to {
                let altitude = leg.settings.altitude;
                leg.settings = LegSettings { altitude, ..to.leg.settings };
            }
            out.push(Stretch { leg, end });
        } else {
            out.push(Stretch { leg: leg.clone(), end });
        }
    }
    Ok(out)
}
