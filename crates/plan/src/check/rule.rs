//! Rules.

use super::{At, unique};
use crate::bounds;
use crate::error::{Fault, PlanError};
use crate::model::{
    CameraEffect, CameraId, Plan, Rule, RuleId, Shape, StillEffect, StillMoment, Test, ZoneId,
};

pub(super) fn check_rules(plan: &Plan) -> Result<(), PlanError> {
    At::of("plan").count(&bounds::RULES, plan.rules.len())?;
    unique("rule", plan.rules.iter().map(|rule| (rule.name.as_str(), Some(rule.source))))?;
    for rule in &plan.rules {
        check_rule(plan, rule)?;
    }
    check_after(plan)
}

fn check_rule(plan: &Plan, rule: &Rule) -> Result<(), PlanError> {
    let at = At::named("rule", &rule.name).written(rule.source);
    at.source(plan, rule.source)?;
    at.count(&bounds::CONDITIONS, rule.conditions.len())?;
    for condition in &rule.conditions {
        let at = at.part(&format!("condition `{}`", condition.written)).written(condition.source);
        at.source(plan, condition.source)?;
        at.text(&condition.written)?;
        check_test(plan, &at, &condition.test)?;
    }
    if let Some(camera) = &rule.camera {
        check_camera_effect(plan, &at, camera)?;
    }
    if let Some(record) = &rule.record {
        at.time(&bounds::POST_ROLL, record.post_roll)?;
        if !record.on && record.post_roll.0 != 0 {
            return at.broken("a rule that stops recording has no post-roll");
        }
    }
    if let Some(effect) = &rule.narration {
        at.exists("narration", effect.narration.0, plan.narrations.len())?;
        if let Some(waits) = effect.waits {
            at.time(&bounds::WAITS, waits)?;
        }
        if let Some(room) = effect.room {
            at.metres(&bounds::ROOM_WAY, room.way)?;
            at.time(&bounds::ROOM_STANDS, room.stands)?;
            at.speed(&bounds::ROOM_GROUNDSPEED, room.groundspeed)?;
        }
    }
    if let Some(music) = rule.music {
        at.exists("piece of music", music.0, plan.music.len())?;
    }
    if let Some(title) = rule.title {
        at.exists("title", title.0, plan.titles.len())?;
    }
    at.count(&bounds::STILLS, rule.stills.len())?;
    rule.stills.iter().try_for_each(|still| check_still(plan, &at, still))
}

fn check_test(plan: &Plan, at: &At, test: &Test) -> Result<(), PlanError> {
    match test {
        Test::In(zone) => at.exists("zone", zone.0, plan.zones.len()),
        Test::NotIn(zone) => {
            at.exists("zone", zone.0, plan.zones.len())?;
            if is_gate(plan, *zone) {
                return at.broken("a gate is never in, so `not in` says nothing");
            }
            Ok(())
        }
        Test::Track(window) | Test::Heading(window) => at.window(window),
        Test::Altitude(band) => at.altitude_band(band),
        Test::Groundspeed(band) => at.speed_band(band),
        Test::BeforeAbeam { sight, by, within } => {
            at.exists("place", sight.0, plan.places.len())?;
            at.time(&bounds::BEFORE_ABEAM_BY, *by)?;
            at.metres(&bounds::BEFORE_ABEAM_WITHIN, *within)
        }
        Test::After(rule) => at.exists("rule", rule.0, plan.rules.len()),
        Test::Pass { zone, nth } => {
            at.exists("zone", zone.0, plan.zones.len())?;
            at.within(&bounds::PASS, f64::from(*nth))
        }
        Test::OnGround | Test::Airborne => Ok(()),
    }
}

fn is_gate(plan: &Plan, zone: ZoneId) -> bool {
    matches!(plan.zones.get(zone.index()).map(|zone| &zone.shape), Some(Shape::Gate { .. }))
}

fn check_camera_effect(plan: &Plan, at: &At, effect: &CameraEffect) -> Result<(), PlanError> {
    match effect {
        CameraEffect::Sequence(turns) => {
            at.count(&bounds::CAMERA_LIST, turns.len())?;
            for turn in turns {
                check_camera(plan, at, turn.camera)?;
                match turn.lasts {
                    Some(time) => at.time(&bounds::CAMERA_TURN, time)?,
                    None if turns.len() == 1 => {}
                    None => return at.broken("each of several cameras in turn has a time"),
                }
            }
            Ok(())
        }
        CameraEffect::LookAt { sight, from } => {
            at.exists("place", sight.0, plan.places.len())?;
            at.count(&bounds::CAMERA_LIST, from.len())?;
            from.iter().try_for_each(|camera| check_camera(plan, at, *camera))
        }
    }
}

fn check_camera(plan: &Plan, at: &At, camera: CameraId) -> Result<(), PlanError> {
    at.exists("camera", camera.0, plan.aircraft.cameras.len())
}

fn check_still(plan: &Plan, at: &At, still: &StillEffect) -> Result<(), PlanError> {
    if let Some(camera) = still.camera {
        check_camera(plan, at, camera)?;
    }
    match still.moment {
        StillMoment::Start => Ok(()),
        StillMoment::Every(time) => at.time(&bounds::STILL_EVERY, time),
        StillMoment::Closest(place) => at.exists("place", place.0, plan.places.len()),
    }
}

/// Whether `after` makes a circle. Walks with a stack of its own, so that a long chain of rules
/// cannot use up the program's.
fn check_after(plan: &Plan) -> Result<(), PlanError> {
    let waits_for: Vec<Vec<usize>> = plan
        .rules
        .iter()
        .map(|rule| {
            let named = rule.conditions.iter().filter_map(|condition| match condition.test {
                Test::After(other) => Some(other.index()),
                _ => None,
            });
            named.collect()
        })
        .collect();
    let mut done = vec![false; plan.rules.len()];
    let mut open = vec![false; plan.rules.len()];
    for start in 0..plan.rules.len() {
        // The path walked so far: each rule with how many of those it waits for were looked at.
        let mut path = vec![(start, 0_usize)];
        while let Some((rule, looked_at)) = path.last_mut() {
            let rule = *rule;
            if done[rule] {
                path.pop();
                continue;
            }
            open[rule] = true;
            let Some(&next) = waits_for[rule].get(*looked_at) else {
                done[rule] = true;
                open[rule] = false;
                path.pop();
                continue;
            };
            *looked_at += 1;
            if open[next] {
                let circle = path.iter().map(|(rule, _)| *rule).skip_while(|rule| *rule != next);
                return Err(circle_error(plan, &circle.collect::<Vec<_>>()));
            }
            path.push((next, 0));
        }
    }
    Ok(())
}

fn circle_error(plan: &Plan, circle: &[usize]) -> PlanError {
    let rules = || circle.iter().filter_map(|index| plan.rules.get(*index));
    let names: Vec<String> = rules().map(|rule| format!("`{}`", rule.name)).collect();
    let ids = circle.iter().filter_map(|index| u32::try_from(*index).ok()).map(RuleId).collect();
    PlanError {
        place: format!("rules {}", names.join(", ")),
        written: rules().next().map(|rule| rule.source),
        fault: Fault::AfterCircle(ids),
    }
}
