//! One camera for both ways.

use diagnostic::{Page, Severity};
use earth::Degrees;
use plan::{CameraEffect, CameraId, Rule, Test, Window, ZoneId};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "camera-both-sides",
    severity: Severity::Warning,
    finds: "Two rules of one zone, with opposite windows of track or heading, that name the same \
            camera of one side and none of the other side.",
    why: "What lies to the left on the way out lies to the right on the way back: one of the two \
          films the wrong side.",
    example: "rules:\n  out:  {when: {in: arch, track: 315..045}, camera: left}\n\
              \u{20} back: {when: {in: arch, track: 135..225}, camera: left}",
    better: "rules:\n  out:  {when: {in: arch, track: 315..045}, camera: left}\n\
             \u{20} back: {when: {in: arch, track: 135..225}, camera: right}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let rules = &flown.plan.rules;
    for (at, second) in rules.iter().enumerate() {
        for first in rules.iter().take(at) {
            let Some(camera) = clash(flown, first, second) else { continue };
            let entries = &flown.project.rules;
            let (Some(one), Some(other)) = (entries.get(&first.name), entries.get(&second.name))
            else {
                continue;
            };
            let Some(effect) = &other.value.camera else { continue };
            let name = flown.plan.aircraft.cameras.get(camera.index()).map_or("", |c| &c.name);
            let headline = format!(
                "`{name}` looks at both sides: out with `{}` and back with `{}`",
                first.name, second.name
            );
            let place = findings.sources().place(one.name.span);
            let finding = findings
                .warning("camera-both-sides", effect.span, headline)
                .related(place, "the other way is here")
                .help("name the camera of the other side, or use `look at`");
            findings.put(finding);
        }
    }
}

/// The camera of one side that two rules for opposite ways through one zone share.
fn clash(flown: &Flown<'_>, first: &Rule, second: &Rule) -> Option<CameraId> {
    let shared = zones(first).any(|zone| zones(second).any(|other| other == zone));
    let (one, other) = (middle(first)?, middle(second)?);
    let apart = (one - other).rem_euclid(360.0);
    if !shared || !(120.0..=240.0).contains(&apart) {
        return None;
    }
    let (one, other) = (cameras(first), cameras(second));
    let side = |id: CameraId| -> Option<bool> {
        let bearing = flown.plan.aircraft.cameras.get(id.index())?.bearing;
        side(bearing)
    };
    let both = |all: &[CameraId]| {
        let has = |wanted| all.iter().any(|id| side(*id) == Some(wanted));
        has(true) && has(false)
    };
    if both(&one) || both(&other) {
        return None;
    }
    one.into_iter().find(|id| side(*id).is_some() && other.contains(id))
}

/// Whether a camera looks to the right; none for ahead and astern.
fn side(bearing: Degrees) -> Option<bool> {
    match bearing.get().rem_euclid(360.0) {
        30.0..=150.0 => Some(true),
        210.0..=330.0 => Some(false),
        _ => None,
    }
}

fn zones(rule: &Rule) -> impl Iterator<Item = ZoneId> + '_ {
    rule.conditions.iter().filter_map(|condition| match condition.test {
        Test::In(zone) => Some(zone),
        _ => None,
    })
}

fn middle(rule: &Rule) -> Option<f64> {
    rule.conditions.iter().find_map(|condition| match condition.test {
        Test::Track(Window { from, to, .. }) | Test::Heading(Window { from, to, .. }) => {
            let width = (to.get() - from.get()).rem_euclid(360.0);
            (width > 0.0 && width <= 180.0).then_some(from.get() + width / 2.0)
        }
        _ => None,
    })
}

fn cameras(rule: &Rule) -> Vec<CameraId> {
    match &rule.camera {
        Some(CameraEffect::Sequence(turns)) => turns.iter().map(|turn| turn.camera).collect(),
        _ => Vec::new(),
    }
}
