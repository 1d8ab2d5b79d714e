//! Rules.

use std::collections::{BTreeMap, BTreeSet};

use plan::{CameraEffect, Condition, Plan, Rule, Test};

use super::matching::Fate;
use super::{Details, Difference, How, Part, Two, Value, words};

/// Tells what has become of the rules.
pub(super) fn compare(two: &Two<'_>, into: &mut Vec<Difference>) {
    for fate in two.matched.rules.all(&two.old.rules, &two.new.rules) {
        match fate {
            Fate::Kept { old, new, .. } => {
                let details = of_both(two, old, new);
                if old.name == new.name {
                    into.extend(details.changed(Part::Rule, &new.name, None));
                } else {
                    let how = How::Renamed { from: old.name.clone() };
                    into.push(details.alone(Part::Rule, &new.name, None, how));
                }
            }
            Fate::Added(rule, _) => into.push(alone(two.new, rule, How::Added)),
            Fate::Gone(rule, _) => into.push(alone(two.old, rule, How::Gone)),
        }
    }
    order(two, into);
}

fn of_both(two: &Two<'_>, old: &Rule, new: &Rule) -> Details {
    let mut details = Details::default();
    let in_old = two.matched.rule_in_old(new);
    let Rule {
        name: _,
        source: _,
        priority,
        conditions,
        camera,
        record,
        narration,
        music,
        title,
        stills,
    } = old;
    conditions_of_both(two, conditions, &new.conditions, &mut details);
    let text = Value::Words;
    if *priority != new.priority {
        details.value(
            "priority",
            Some(text(priority.to_string())),
            Some(text(new.priority.to_string())),
        );
    }
    // What both may choose from may differ with the aircraft, which is told there.
    let whichever = |plan: &Plan, effect: &Option<CameraEffect>| match effect {
        Some(CameraEffect::LookAt { from, .. }) => words::is_every_outward(plan, from),
        _ => false,
    };
    let same_sight = match (camera, &in_old.camera) {
        (
            Some(CameraEffect::LookAt { sight: old, .. }),
            Some(CameraEffect::LookAt { sight: new, .. }),
        ) => old == new,
        _ => false,
    };
    let alike = same_sight && whichever(two.old, camera) && whichever(two.new, &new.camera);
    if *camera != in_old.camera && !alike {
        details.value("camera", camera_words(two.old, old), camera_words(two.new, new));
    }
    if *record != new.record {
        let says = |rule: &Rule| rule.record.as_ref().map(words::record_effect).map(text);
        details.value("record", says(old), says(new));
    }
    if *narration != in_old.narration {
        if narration.map(|effect| effect.narration)
            != in_old.narration.map(|effect| effect.narration)
        {
            details.value("narration", narration_name(two.old, old), narration_name(two.new, new));
        }
        details.value(IN_ITS_WAY, otherwise(old), otherwise(new));
    }
    if *music != in_old.music {
        details.value("music", music_words(two.old, old), music_words(two.new, new));
    }
    if *title != in_old.title {
        details.value("title", title_words(two.old, old), title_words(two.new, new));
    }
    if *stills != in_old.stills {
        details.value("stills", still_words(two.old, old), still_words(two.new, new));
    }
    details
}

fn camera_words(plan: &Plan, rule: &Rule) -> Option<Value> {
    rule.camera.as_ref().map(|effect| Value::Words(words::camera_effect(plan, effect)))
}

fn narration_name(plan: &Plan, rule: &Rule) -> Option<Value> {
    let narration = plan.narrations.get(rule.narration?.narration.index())?;
    Some(Value::Words(narration.name.clone()))
}

/// What a narration does when something stands in its way.
const IN_ITS_WAY: &str = "if it cannot start at once";

fn otherwise(rule: &Rule) -> Option<Value> {
    rule.narration.as_ref().map(|effect| Value::Words(words::otherwise(effect)))
}

fn music_words(plan: &Plan, rule: &Rule) -> Option<Value> {
    let music = plan.music.get(rule.music?.index())?;
    Some(Value::Words(music.title.clone()))
}

fn title_words(plan: &Plan, rule: &Rule) -> Option<Value> {
    let title = plan.titles.get(rule.title?.index())?;
    Some(Value::Words(format!("“{}”", title.text)))
}

fn still_words(plan: &Plan, rule: &Rule) -> Option<Value> {
    (!rule.stills.is_empty()).then(|| Value::Words(words::stills(plan, &rule.stills)))
}

/// A condition as its author wrote it, where it was not written together with others.
fn as_written(plan: &Plan, condition: &Condition) -> String {
    match condition.test {
        Test::In(_) | Test::NotIn(_) | Test::After(_) | Test::BeforeAbeam { .. } => {
            words::test(plan, &condition.test)
        }
        _ => condition.written.clone(),
    }
}

fn conditions_of_both(two: &Two<'_>, old: &[Condition], new: &[Condition], details: &mut Details) {
    let key = |test: &Test| format!("{test:?}");
    let was: BTreeSet<String> = old.iter().map(|condition| key(&condition.test)).collect();
    let in_old = |condition: &Condition| key(&two.matched.test_in_old(&condition.test));
    let is: BTreeSet<String> = new.iter().map(in_old).collect();
    let mut gone: Vec<&Condition> =
        old.iter().filter(|condition| !is.contains(&key(&condition.test))).collect();
    for condition in new.iter().filter(|condition| !was.contains(&in_old(condition))) {
        // One of the same kind that is no longer there has become this one.
        let kind = std::mem::discriminant(&condition.test);
        let same_kind = |other: &&Condition| std::mem::discriminant(&other.test) == kind;
        let before = gone.iter().position(same_kind).map(|at| gone.remove(at));
        let mut new = as_written(two.new, condition);
        let mut old = before.map(|before| as_written(two.old, before));
        if old.as_ref() == Some(&new) {
            // Written alike: what it is measured from has changed.
            new = words::test(two.new, &condition.test);
            old = before.map(|before| words::test(two.old, &before.test));
        }
        details.value("condition", old.map(Value::Words), Some(Value::Words(new)));
    }
    for condition in gone {
        let written = as_written(two.old, condition);
        details.value("condition", Some(Value::Words(written)), None);
    }
}

/// What a rule is that is only in one of the plans.
fn alone(plan: &Plan, rule: &Rule, how: How) -> Difference {
    let mut details = Details::default();
    for condition in &rule.conditions {
        details.only(&how, "condition", Value::Words(as_written(plan, condition)));
    }
    // Nought is what a rule has for which none is written.
    if rule.priority != 0 {
        details.only(&how, "priority", Value::Words(rule.priority.to_string()));
    }
    let record = rule.record.as_ref().map(words::record_effect).map(Value::Words);
    let effects = [
        ("camera", camera_words(plan, rule)),
        ("record", record),
        ("narration", narration_name(plan, rule)),
        (IN_ITS_WAY, otherwise(rule)),
        ("music", music_words(plan, rule)),
        ("title", title_words(plan, rule)),
        ("stills", still_words(plan, rule)),
    ];
    for (what, effect) in effects {
        if let Some(effect) = effect {
            details.only(&how, what, effect);
        }
    }
    details.alone(Part::Rule, &rule.name, None, how)
}

/// Tells where rules of the same priority are written in another order: between those the one
/// written first wins.
fn order(two: &Two<'_>, into: &mut Vec<Difference>) {
    let mut levels: BTreeMap<i32, (Vec<usize>, Vec<usize>)> = BTreeMap::new();
    let kept = |old: usize| {
        let new = two.matched.rules.new_of(old)?;
        let (was, is) = (two.old.rules.get(old)?, two.new.rules.get(new)?);
        (was.priority == is.priority).then_some((was.priority, new))
    };
    let mut by_new = Vec::new();
    for old in 0..two.old.rules.len() {
        if let Some((priority, new)) = kept(old) {
            levels.entry(priority).or_default().0.push(old);
            by_new.push((new, old, priority));
        }
    }
    by_new.sort_unstable();
    for (_, old, priority) in by_new {
        levels.entry(priority).or_default().1.push(old);
    }
    for (was, is) in levels.values() {
        let before = was.iter().zip(is).take_while(|(was, is)| was == is).count();
        let after = was.iter().rev().zip(is.iter().rev()).take_while(|(was, is)| was == is).count();
        let list = |order: &[usize]| {
            let moved = order.get(before..order.len().saturating_sub(after)).unwrap_or_default();
            let rules = moved.iter().filter_map(|old| two.old.rules.get(*old));
            let names: Vec<&str> = rules.map(|rule| rule.name.as_str()).collect();
            Value::Words(names.join(", "))
        };
        let mut details = Details::default();
        details.both("order among equal priority", was, is, |order| list(order));
        into.extend(details.changed(Part::Rule, "", None));
    }
}
