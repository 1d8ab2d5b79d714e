//! The event plan: what happens when, as planned. A table to read, and JSON.

use std::io::{self, Write};

use earth::Millis;
use engine::{Change, Event};
use plan::Plan;
use serde_json::{Value, json};

use super::identity::Identity;
use super::table::Table;
use super::time::{DayText, Since, TimeOfDay};
use super::wire::change::ChangeWire;
use super::{place, wire, words};

/// What happens when, as planned.
pub(crate) struct EventPlan<'a> {
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// Which plan it is.
    pub(crate) identity: &'a Identity,
    /// The changes, in the order of their effects.
    pub(crate) rows: Vec<Row>,
}

/// One change of the planned flight.
pub(crate) struct Row {
    /// Since take-off.
    pub(crate) since: Millis,
    /// The leg it falls on, by its place in the planned route.
    pub(crate) leg: Option<usize>,
    /// What changes.
    pub(crate) change: Change,
}

/// Prints the table.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn table(out: &mut dyn Write, event_plan: &EventPlan<'_>) -> io::Result<()> {
    let plan = event_plan.plan;
    writeln!(out, "{}", event_plan.identity.head())?;
    if let Some(first) = event_plan.rows.first() {
        writeln!(out, "as planned, {} UTC", DayText(first.change.effect))?;
    }
    writeln!(out)?;
    let mut table = Table::new(&["T", "UTC", "leg", "channel", "what", "why", "rule", "where"]);
    for row in &event_plan.rows {
        let words = words::change(plan, &row.change);
        let time = earth::Utc(row.change.effect.0.div_euclid(1000) * 1000);
        table.row(vec![
            Since(row.since).to_string(),
            TimeOfDay(time).to_string(),
            leg(plan, row.leg),
            words.channel.to_owned(),
            words.what,
            words.why,
            row.change.rule.map_or_else(String::new, |rule| words::rule_and_place(plan, rule)),
            place::words(plan, row.change.position),
        ]);
    }
    table.print(out, "")?;
    let number =
        |is: fn(&Event) -> bool| event_plan.rows.iter().filter(|row| is(&row.change.event)).count();
    writeln!(
        out,
        "\n{} changes: {} of camera, {} narrations started, {} stills",
        event_plan.rows.len(),
        number(|event| matches!(event, Event::Camera { .. })),
        number(|event| {
            use engine::NarrationEvent::Started;
            matches!(event, Event::Narration { what: Started, .. })
        }),
        number(|event| matches!(event, Event::Still { .. })),
    )
}

/// A leg for people: its number from 1 and what it is about.
fn leg(plan: &Plan, leg: Option<usize>) -> String {
    leg.and_then(|index| Some((index, plan.route.legs.get(index)?)))
        .map_or_else(String::new, |(index, leg)| format!("{} {}", index + 1, leg.label))
}

/// The event plan as JSON.
pub(crate) fn json(event_plan: &EventPlan<'_>) -> Value {
    let plan = event_plan.plan;
    let (format, version) = wire::EVENT_PLAN;
    let events: Vec<Value> = event_plan
        .rows
        .iter()
        .map(|row| {
            let label = row.leg.and_then(|index| plan.route.legs.get(index)).map(|leg| &leg.label);
            json!({
                "leg": row.leg.map(|index| index + 1),
                "leg_label": label,
                "place": place::words(plan, row.change.position),
                "change": ChangeWire::of(plan, &row.change, Some(row.since)),
            })
        })
        .collect();
    json!({
        "format": format,
        "version": version,
        "plan": event_plan.identity.json(),
        "events": events,
    })
}
