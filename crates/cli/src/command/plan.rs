//! `fulmar plan`.

use std::io::Write;

use engine::{Change, Engine, Event, Limits, Notice, Sink, State};

use super::fly::{fly_all, planned_flight};
use crate::args::{MessageFormat, PlanArgs, PlanFormat};
use crate::input::day;
use crate::input::file;
use crate::input::findings::Findings;
use crate::input::tour::{Load, load};
use crate::outcome::{Outcome, Stop};
use crate::render::event_plan::{EventPlan, Row, json, table};
use crate::terminal::Terminal;

/// Compiles a tour, flies its planned route and prints what happens when.
pub(super) fn run(
    args: &PlanArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let loaded = match load(&args.tour, args.aircraft.as_deref(), &mut findings) {
        Load::Ready(loaded) => loaded,
        Load::Mistakes => {
            findings.tell(terminal, format)?;
            return Ok(Outcome::Findings);
        }
        Load::Unusable => {
            findings.tell(terminal, format)?;
            return Ok(Outcome::CouldNotRun);
        }
    };
    let plan = &loaded.plan;
    let day = day::day(&args.day, plan).unwrap_or_else(|found| {
        findings.extend(found);
        plan::Day::default()
    });
    let flight = planned_flight(plan, &day).map_err(|finding| findings.push(*finding)).ok();
    let failed = findings.has_errors();
    findings.tell(terminal, format)?;
    let Some(flight) = flight.filter(|_| !failed) else { return Ok(Outcome::CouldNotRun) };

    if let Some(path) = &args.output {
        std::fs::write(path, plan::write(plan)).map_err(|error| {
            terminal.complain(&format!("error: {}: cannot be written: {error}", file::name(path)));
            Stop::Reported
        })?;
    }

    let mut engine = Engine::new(plan, &day, Limits::of(&plan.settings))
        .map_err(|error| Stop::CannotFly(error.to_string()))?;
    let mut collected = Collected::default();
    fly_all(&mut engine, &flight.fixes, &mut collected);
    // Counted from the take-off that the engine sees, as in every other output.
    let took_off = collected.0.iter().find(|change| change.event == Event::TookOff);
    let zero = took_off.map_or(flight.lift_off, |change| change.effect);
    let rows = collected
        .0
        .into_iter()
        .map(|change| Row {
            leg: flight.leg_at(change.own.unwrap_or(change.effect)),
            since: change.effect - zero,
            change,
        })
        .collect();
    let event_plan = EventPlan { plan, identity: &loaded.identity, rows };
    match args.format {
        PlanFormat::Table => table(&mut *terminal.out, &event_plan)?,
        PlanFormat::Json => {
            serde_json::to_writer_pretty(&mut terminal.out, &json(&event_plan))
                .map_err(std::io::Error::from)?;
            writeln!(terminal.out)?;
        }
    }
    Ok(Outcome::Clean)
}

/// Every change of the planned flight; a plan is bounded, and so is this.
#[derive(Default)]
struct Collected(Vec<Change>);

impl Sink for Collected {
    fn change(&mut self, change: &Change) {
        self.0.push(*change);
    }

    fn state(&mut self, _state: &State<'_>) {}

    fn notice(&mut self, _notice: &Notice) {}
}
