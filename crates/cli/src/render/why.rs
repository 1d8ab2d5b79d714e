//! The answer to "why", for people and as JSON.

use std::io::{self, Write};

use earth::{Millis, Utc};
use engine::{Above, Actual, Change, Channel, Explanation, RuleStanding, Standing, Verdict};
use plan::{North, Plan};
use serde_json::{Value, json};

use super::identity::Identity;
use super::time::{Length, Since, UtcText};
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

impl Answer<'_> {
    /// A time of this flight since its take-off, also before it.
    fn since(&self, time: Utc) -> Option<Millis> {
        self.since.map(|since| since + (time - self.time))
    }

    /// A time by the clock in which the moment asked about is told: since take-off, else UTC.
    fn clock(&self, time: Utc) -> String {
        self.since(time).map_or_else(|| UtcText(time).to_string(), |since| Since(since).to_string())
    }
}

/// Prints it for people.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn text(out: &mut dyn Write, answer: &Answer<'_>) -> io::Result<()> {
    let plan = answer.plan;
    writeln!(out, "{}\n", answer.identity.head())?;
    let channel = channel(answer.explanation.channel);
    match answer.since {
        Some(since) => writeln!(out, "{channel} at {} ({})", Since(since), UtcText(answer.time))?,
        None => writeln!(out, "{channel} at {}", UtcText(answer.time))?,
    }
    match &answer.last {
        None => writeln!(out, "  nothing has happened in this channel so far")?,
        Some(change) => {
            let words = words::change(plan, change);
            let why = if words.why.is_empty() { String::new() } else { format!(", {}", words.why) };
            let rule = change.rule.map_or_else(String::new, |rule| {
                format!(", {}", words::rule_and_place(plan, rule))
            });
            let when = answer.clock(change.effect);
            writeln!(out, "  last change {when}: {}{why}{rule}", words.what)?;
        }
    }
    if !answer.explanation.above.is_empty() {
        writeln!(out, "\nabove the rules")?;
        for above in &answer.explanation.above {
            writeln!(out, "  {}", above_words(answer, *above))?;
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
        Standing::Inactive { condition, verdict, actual } => {
            let Some(condition) =
                usize::try_from(condition).ok().and_then(|index| rule.conditions.get(index))
            else {
                return format!("{name} ({place})");
            };
            let place = words::source(plan, condition.source);
            let written = &condition.written;
            let actual =
                actual.map_or_else(String::new, |actual| format!(": {}", found(actual, written)));
            format!("{name}: `{written}` {}{actual} ({place})", verdict_words(verdict))
        }
    }
}

/// What a condition found, in the units in which it is written.
fn found(actual: Actual, written: &str) -> String {
    match actual {
        Actual::Direction(direction, north) => {
            let magnetic = if north == North::Magnetic { " magnetic" } else { "" };
            // 359.6 is shown as 000.
            let whole = direction.get().round() % 360.0;
            format!("it was {whole:03.0}{magnetic}")
        }
        Actual::Altitude(altitude) if written.contains("ft") => {
            format!("it was {:.0} ft above sea level", altitude.feet())
        }
        Actual::Altitude(altitude) => format!("it was {:.0} m above sea level", altitude.get()),
        Actual::Groundspeed(speed) => format!("it was {:.0} kt", speed.knots()),
        Actual::Abeam { ahead, aside } => {
            let aside = match aside {
                aside if aside.get() < 1000.0 => format!("{:.0} m aside", aside.get()),
                aside => format!("{:.1} NM aside", aside.nautical_miles()),
            };
            // Nobody asks for tenths of a second here.
            let ahead = Millis(ahead.0.div_euclid(1000) * 1000);
            if ahead < Millis::ZERO {
                let ago = Length(Millis::ZERO - ahead);
                format!("by this track it was abeam {ago} ago, {aside}")
            } else {
                format!("by this track it is abeam in {}, {aside}", Length(ahead))
            }
        }
        Actual::Pass(0) => "there was none yet".to_owned(),
        Actual::Pass(passes) => format!("it was number {passes}"),
    }
}

fn found_json(actual: Actual) -> Value {
    match actual {
        Actual::Direction(direction, North::True) => json!({ "direction_deg": direction.get() }),
        Actual::Direction(direction, North::Magnetic) => {
            json!({ "direction_deg_magnetic": direction.get() })
        }
        Actual::Altitude(altitude) => json!({ "altitude_m": altitude.get() }),
        Actual::Groundspeed(speed) => json!({ "groundspeed_m_s": speed.get() }),
        Actual::Abeam { ahead, aside } => json!({ "ahead_ms": ahead.0, "aside_m": aside.get() }),
        Actual::Pass(passes) => json!({ "passes": passes }),
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

fn above_words(answer: &Answer<'_>, above: Above) -> String {
    let plan = answer.plan;
    match above {
        Above::NoRun => "there is no run".into(),
        Above::NoFilming(zone) => format!("no filming in {}", words::zone(plan, zone)),
        Above::Hand => "the pilot's hand has it".into(),
        Above::Quiet(zone) => format!("quiet zone {}", words::zone(plan, zone)),
        Above::Radio => "radio busy".into(),
        Above::VoiceOff => "the voice is off".into(),
        Above::Lost(since) => {
            format!("GPS is lost since {}: no rule starts or ends", answer.clock(since))
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
            json!({ "what": above_code(*above), "zone": zone, "text": above_words(answer, *above) })
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
        "last_change": last.map(|change| ChangeWire::of(plan, change, answer.since(change.effect))),
        "above": above,
        "rules": rules,
    })
}

fn rule_json(plan: &Plan, standing: &RuleStanding) -> Value {
    let rule = plan.rules.get(standing.rule.index());
    let condition = match standing.standing {
        Standing::Inactive { condition, verdict, actual } => rule
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
                    "actual": actual.map(found_json),
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
