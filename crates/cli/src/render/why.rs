//! The answer to "why", for people and as JSON.

use std::io::{self, Write};

use earth::{Millis, Utc};
use engine::{Above, Change, Channel, Explanation, RuleStanding, Standing, Verdict};
use plan::Plan;
use serde_json::{Value, json};

use super::identity::Identity;
use super::time::{Since, UtcText, since_text};
use super::wire::change::{ChangeWire, RuleWire};
use super::{wire, words};

/// An answer with what is needed to tell it.
pub(crate) struct Answer<'a> {
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// Which plan it is.
    pub(crate) identity: &'a Identity,
    /// The moment asked about.
    pub(crate) time: Utc,
    /// The moment since take-off, if there was one.
    pub(crate) since: Option<Millis>,
    /// The last change of the channel, if there was one.
    pub(crate) last: Option<Change>,
    /// What the engine says.
    pub(crate) explanation: Explanation,
}

/// Prints it for people.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn text(out: &mut dyn Write, answer: &Answer<'_>) -> io::Result<()> {
    let plan = answer.plan;
    writeln!(out, "{}\n", answer.identity.head())?;
    let channel = channel(answer.explanation.channel);
    let since = since_text(answer.since);
    writeln!(out, "{channel} at {since} {}", UtcText(answer.time))?;
    match &answer.last {
        None => writeln!(out, "  nothing has happened in this channel so far")?,
        Some(change) => {
            let words = words::change(plan, change);
            let why = if words.why.is_empty() { String::new() } else { format!(", {}", words.why) };
            let rule = change.rule.map_or_else(String::new, |rule| {
                format!(", {}", words::rule_and_place(plan, rule))
            });
            let since = change.since_takeoff.map_or_else(
                || UtcText(change.effect).to_string(),
                |since| Since(since).to_string(),
            );
            writeln!(out, "  last change {since}: {}{why}{rule}", words.what)?;
        }
    }
    if !answer.explanation.above.is_empty() {
        writeln!(out, "\nabove the rules")?;
        for above in &answer.explanation.above {
            writeln!(out, "  {}", above_words(plan, *above))?;
        }
    }
    if answer.explanation.rules.is_empty() {
        return writeln!(out, "\nno rule of the plan says anything about this channel");
    }
    for (head, active) in [("rules that are active", true), ("rules that are not active", false)] {
        let rules: Vec<&RuleStanding> = answer
            .explanation
            .rules
            .iter()
            .filter(|rule| is_active(rule.standing) == active)
            .collect();
        if rules.is_empty() {
            continue;
        }
        writeln!(out, "\n{head}")?;
        for standing in rules {
            writeln!(out, "  {}", rule_line(plan, standing))?;
        }
    }
    Ok(())
}

const fn is_active(standing: Standing) -> bool {
    !matches!(standing, Standing::PostRoll | Standing::Inactive { .. } | Standing::NotLookedAt)
}

fn rule_line(plan: &Plan, standing: &RuleStanding) -> String {
    let Some(rule) = plan.rules.get(standing.rule.index()) else { return "?".to_owned() };
    let place = words::source(plan, rule.source);
    let name = &rule.name;
    match standing.standing {
        Standing::Won => format!("{name} has it, priority {} ({place})", rule.priority),
        Standing::Outranked => {
            format!("{name} is outranked, priority {} ({place})", rule.priority)
        }
        Standing::Yields => format!("{name} yields: it has no camera to show ({place})"),
        Standing::Waits => format!("{name}: its narration waits ({place})"),
        Standing::Played => format!("{name}: its narration has been played ({place})"),
        Standing::PostRoll => format!("{name} has ended and its post-roll runs ({place})"),
        Standing::NotLookedAt => format!(
            "{name}: all its conditions hold now; it was active for an instant only, or will be \
             looked at with the next fix ({place})"
        ),
        Standing::Inactive { condition, verdict } => {
            let Some(condition) =
                usize::try_from(condition).ok().and_then(|index| rule.conditions.get(index))
            else {
                return format!("{name} ({place})");
            };
            let place = words::source(plan, condition.source);
            format!("{name}: `{}` {} ({place})", condition.written, verdict_words(verdict))
        }
    }
}

const fn verdict_words(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Holds => "holds",
        Verdict::Fails => "does not hold",
        Verdict::Unknown => "is not known",
    }
}

/// The name of a channel.
const fn channel(channel: Channel) -> &'static str {
    match channel {
        Channel::Camera => "camera",
        Channel::Record => "record",
        Channel::Narration => "narration",
        Channel::Music => "music",
        Channel::Title => "title",
        Channel::Still => "still",
    }
}

fn above_words(plan: &Plan, above: Above) -> String {
    match above {
        Above::NoRun => "there is no run".into(),
        Above::NoFilming(zone) => format!("no filming in {}", words::zone(plan, zone)),
        Above::Hand => "the pilot's hand has it".into(),
        Above::Quiet(zone) => format!("quiet zone {}", words::zone(plan, zone)),
        Above::Radio => "radio busy".into(),
        Above::VoiceOff => "the voice is off".into(),
        Above::Lost(since) => {
            format!("GPS is lost since {}: no rule starts or ends", UtcText(since))
        }
        Above::ShotHoldOver => "the shot hold is over: default sequence, no title".into(),
        Above::OnGround => "on the ground, where no rule that is active records".into(),
        Above::MinimumShot => "the shot that is on has not lasted the minimum yet".into(),
        Above::Breath => "the breath after the narration before is not over".into(),
    }
}

const fn above_code(above: Above) -> &'static str {
    match above {
        Above::NoRun => "no_run",
        Above::NoFilming(_) => "no_filming",
        Above::Hand => "hand",
        Above::Quiet(_) => "quiet",
        Above::Radio => "radio",
        Above::VoiceOff => "voice_off",
        Above::Lost(_) => "lost",
        Above::ShotHoldOver => "shot_hold_over",
        Above::OnGround => "on_ground",
        Above::MinimumShot => "minimum_shot",
        Above::Breath => "breath",
    }
}

const fn standing_code(standing: Standing) -> &'static str {
    match standing {
        Standing::Won => "won",
        Standing::Outranked => "outranked",
        Standing::Yields => "yields",
        Standing::Waits => "waits",
        Standing::Played => "played",
        Standing::PostRoll => "post_roll",
        Standing::Inactive { .. } => "inactive",
        Standing::NotLookedAt => "not_looked_at",
    }
}

/// The answer as JSON.
pub(crate) fn json(answer: &Answer<'_>) -> Value {
    let plan = answer.plan;
    let (format, version) = wire::WHY;
    let above: Vec<Value> = answer
        .explanation
        .above
        .iter()
        .map(|above| {
            let zone = match above {
                Above::NoFilming(zone) | Above::Quiet(zone) => Some(words::zone(plan, *zone)),
                _ => None,
            };
            json!({ "what": above_code(*above), "zone": zone, "text": above_words(plan, *above) })
        })
        .collect();
    let rules: Vec<Value> =
        answer.explanation.rules.iter().map(|standing| rule_json(plan, standing)).collect();
    let last = answer.last.as_ref();
    json!({
        "format": format,
        "version": version,
        "plan": answer.identity.json(),
        "time": UtcText(answer.time).to_string(),
        "t": answer.since.map(|since| Since(since).to_string()),
        "channel": channel(answer.explanation.channel),
        "last_change": last.map(|change| ChangeWire::of(plan, change, change.since_takeoff)),
        "above": above,
        "rules": rules,
    })
}

fn rule_json(plan: &Plan, standing: &RuleStanding) -> Value {
    let rule = plan.rules.get(standing.rule.index());
    let condition = match standing.standing {
        Standing::Inactive { condition, verdict } => rule
            .and_then(|rule| rule.conditions.get(usize::try_from(condition).ok()?))
            .map(|condition| {
                json!({
                    "written": condition.written,
                    "place": words::source(plan, condition.source),
                    "verdict": match verdict {
                        Verdict::Holds => "holds",
                        Verdict::Fails => "fails",
                        Verdict::Unknown => "unknown",
                    },
                })
            }),
        _ => None,
    };
    json!({
        "rule": RuleWire::of(plan, standing.rule),
        "priority": rule.map(|rule| rule.priority),
        "active": is_active(standing.standing),
        "standing": standing_code(standing.standing),
        "condition": condition,
    })
}
