//! Which fixes are good, and how each good fix came.

use earth::{Fix, Millis, Utc};
use engine::{Gps, Notice, Rejection};

use super::ground;
use super::without::Without;

/// How long after the last good fix the run is over.
pub const RUN_ENDS_AFTER: i64 = 30 * 60 * 1000;

/// A fix that is not rejected.
#[derive(Clone, Debug)]
pub struct Good {
    pub fix: Fix,
    pub how: Gps,
    /// Number of the run, from 1.
    pub run: u32,
}

/// The times that rule loss and gaps.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    pub lost_after: i64,
    pub bridge: i64,
}

impl Limits {
    /// As the plan says; the bridge is never less than `lost-after`.
    pub fn of(settings: &plan::Settings) -> Self {
        let lost_after = settings.lost_after.0;
        Self { lost_after, bridge: settings.bridge.0.max(lost_after) }
    }

    /// For a recorded flight: each that is less than three times the usual interval is raised.
    pub fn for_recorded(settings: &plan::Settings, fixes: &[Fix]) -> Self {
        let plain = Self::of(settings);
        let Some(usual) = usual_interval(fixes) else { return plain };
        Self { lost_after: plain.lost_after.max(3 * usual), bridge: plain.bridge.max(3 * usual) }
    }
}

/// The median of the first 60 intervals above zero; of two middle ones the lesser.
pub fn usual_interval(fixes: &[Fix]) -> Option<i64> {
    let mut intervals: Vec<i64> = fixes
        .windows(2)
        .map(|pair| (pair[1].time - pair[0].time).0)
        .filter(|interval| *interval > 0)
        .take(60)
        .collect();
    intervals.sort_unstable();
    let middle = intervals.len().checked_sub(1)? / 2;
    intervals.get(middle).copied()
}

/// Whether flying from one fix to the other needs more than a speed, 30 m not counted.
fn too_fast(from: &Fix, to: &Fix, greatest: f64, without: Option<Without>) -> bool {
    let spared = if without == Some(Without::ThirtyMetres) { 0.0 } else { 30.0 };
    let distance = ground::distance(from.position, to.position);
    distance - spared > greatest * (to.time - from.time).secs()
}

/// Every good fix in order, and what is to be said about the others.
pub fn good_fixes(
    fixes: &[Fix],
    limits: Limits,
    greatest: f64,
    without: Option<Without>,
) -> (Vec<Good>, Vec<Notice>) {
    let off = |rule: Without| without == Some(rule);
    let mut good: Vec<Good> = Vec::new();
    let mut notices = Vec::new();
    let mut refused: Vec<Fix> = Vec::new();
    for (index, fix) in fixes.iter().enumerate() {
        let Some(last) = good.last() else {
            good.push(Good { fix: *fix, how: Gps::First, run: 1 });
            continue;
        };
        let since = (fix.time - last.fix.time).0;
        let run = last.run;
        let why = if since <= 0 {
            Some(Rejection::NotLater)
        } else if since > RUN_ENDS_AFTER {
            Some(Rejection::TooLate)
        } else if (since <= limits.bridge || off(Without::NoSpeedAfterGap))
            && too_fast(&last.fix, fix, greatest, without)
            && !off(Without::GreatestSpeed)
        {
            Some(Rejection::TooFast)
        } else {
            None
        };
        let Some(why) = why else {
            let how = if since > limits.bridge {
                Gps::Gap
            } else if since > limits.lost_after {
                Gps::Back
            } else {
                Gps::Good
            };
            good.push(Good { fix: *fix, how, run });
            refused.clear();
            continue;
        };
        let agrees = refused.last().is_some_and(|before| {
            fix.time > before.time && !too_fast(before, fix, greatest, without)
        });
        if !agrees && !off(Without::ThreeAgree) {
            refused.clear();
        }
        refused.push(*fix);
        let waited_out = (-60_000..=0).contains(&since) && !off(Without::SmallStepWaitedOut);
        if refused.len() >= 3 && !waited_out && !off(Without::Believed) {
            let new_run = !(-60_000..=RUN_ENDS_AFTER).contains(&since);
            notices.push(Notice::Believed { time: fix.time, new_run });
            good.push(if new_run {
                Good { fix: *fix, how: Gps::First, run: run + 1 }
            } else {
                Good { fix: *fix, how: Gps::Gap, run }
            });
            refused.clear();
            continue;
        }
        notices.push(Notice::Rejected { time: fix.time, number: index as u64 + 1, why });
    }
    (good, notices)
}

/// A moment `by` later.
pub fn later(at: Utc, by: i64) -> Utc {
    at + Millis(by)
}
