//! The event plan: what happens when, as planned. A table to read, and JSON.

use std::io::{self, Write};

use compiler::{EventPlan, whereabouts};
use engine::Event;
use plan::Plan;
use serde_json::{Value, json};

use super::against;
use super::identity::Identity;
use super::table::Table;
use super::time::{Since, TimeOfDay};
use super::wire::change::ChangeWire;
use super::{wire, words};
use crate::input::tour::Against;

/// An event plan and what it is of.
pub(crate) struct Page<'a> {
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// Which plan it is.
    pub(crate) identity: &'a Identity,
    /// What was said for the day, in words; empty for nothing.
    pub(crate) day: String,
    /// What is lost and won against the tour as written, where something differs.
    pub(crate) against: Option<Against>,
    /// What happens when.
    pub(crate) event_plan: &'a EventPlan,
}

/// Prints the table.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn table(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    let plan = page.plan;
    writeln!(out, "{}", page.identity.head())?;
    if let Some(first) = page.event_plan.rows.first() {
        let day = if page.day.is_empty() { "" } else { &format!("; for the day: {}", page.day) };
        writeln!(out, "as planned, {} UTC{day}", first.change.effect.day())?;
    }
    if let Some(against) = &page.against {
        against::text(out, against, "")?;
    }
    writeln!(out)?;
    let mut table = Table::new(&["T", "UTC", "leg", "channel", "what", "why", "rule", "where"]);
    for row in &page.event_plan.rows {
        let words = words::change(plan, &row.change);
        let time = earth::Utc(row.change.effect.0.div_euclid(1000) * 1000);
        table.row(vec![
            Since(row.since).to_string(),
            TimeOfDay(time).to_string(),
            leg(plan, row.leg),
            words.channel.to_owned(),
            words.what,
            why(row, words.why),
            row.change.rule.map_or_else(String::new, |rule| words::rule_and_place(plan, rule)),
            whereabouts(plan, row.change.position, row.near),
        ]);
    }
    table.print(out, "")?;
    let number = |is: fn(&Event) -> bool| {
        page.event_plan.rows.iter().filter(|row| is(&row.change.event)).count() as u64
    };
    writeln!(
        out,
        "\n{}: {} of camera, {}, {}",
        words::so_many(page.event_plan.rows.len() as u64, "change", "changes"),
        number(|event| matches!(event, Event::Camera { .. })),
        words::so_many(
            number(|event| {
                use engine::NarrationEvent::Started;
                matches!(event, Event::Narration { what: Started, .. })
            }),
            "narration started",
            "narrations started"
        ),
        words::so_many(number(|event| matches!(event, Event::Still { .. })), "still", "stills"),
    )
}

/// Why, in words; of a still at the closest point also when that was, for it is known only later.
fn why(row: &compiler::Row, why: String) -> String {
    let own = row.change.own.filter(|own| *own != row.change.effect);
    match (row.change.event, own) {
        (Event::Still { .. }, Some(own)) => {
            let since = row.since - (row.change.effect - own);
            format!("{why}, which was at {}", Since(since))
        }
        _ => why,
    }
}

/// A leg for people: its number from 1 and what it is about.
fn leg(plan: &Plan, leg: Option<usize>) -> String {
    leg.and_then(|index| Some((index, plan.route.legs.get(index)?)))
        .map_or_else(String::new, |(index, leg)| format!("{} {}", index + 1, leg.label))
}

/// The event plan as JSON.
pub(crate) fn json(page: &Page<'_>) -> Value {
    let plan = page.plan;
    let (format, version) = wire::EVENT_PLAN;
    let events: Vec<Value> = page
        .event_plan
        .rows
        .iter()
        .map(|row| {
            let label = row.leg.and_then(|index| plan.route.legs.get(index)).map(|leg| &leg.label);
            json!({
                "leg": row.leg.map(|index| index + 1),
                "leg_label": label,
                "place": whereabouts(plan, row.change.position, row.near),
                "change": ChangeWire::of(plan, &row.change, Some(row.since)),
            })
        })
        .collect();
    json!({
        "format": format,
        "version": version,
        "plan": page.identity.json(),
        "day": page.day,
        "today": page.against.as_ref().map(against::json),
        "events": events,
    })
}
