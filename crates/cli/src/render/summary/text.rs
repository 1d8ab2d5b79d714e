//! The summary as text.

use std::io::{self, Write};

use earth::{Millis, Utc};
use plan::{Narration, NarrationId, Plan};

use super::{Page, bytes_of};
use crate::render::table::Table;
use crate::render::time::{Clock, Length, TimeOfDay, since_text};
use crate::render::words::{self, so_many};
use crate::sink::as_planned::{Differences, Named, Never};
use compiler::summary::{CameraUse, Flight, NarrationUse};

/// Of more landings in a flight only the first and the last are told.
const MOST_LANDINGS: usize = 3;

/// Prints the summary.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn print(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    writeln!(out, "{}\n", page.identity.head())?;
    let flown =
        if page.files.is_empty() { "the planned route".to_owned() } else { page.files.join(", ") };
    let day = page.summary.flights.first().map(|flight| flight.first.day());
    let mut line = format!("{flown}: {}", so_many(page.summary.fixes, "good fix", "good fixes"));
    for (number, one, many) in [
        (page.points_left_out, "point that cannot be read", "points that cannot be read"),
        (page.rejected(), "fix rejected", "fixes rejected"),
    ] {
        if number > 0 {
            line.push_str(&format!(", {}", so_many(number, one, many)));
        }
    }
    if let Some(day) = day {
        line.push_str(&format!("; {day}"));
    }
    writeln!(out, "{line}")?;
    if let Some(raised) = page.raised {
        writeln!(
            out,
            "a fix every {} as a rule: GPS counts as lost after {}, up to {} are bridged",
            Length(raised.usual_interval),
            Length(raised.lost_after),
            Length(raised.bridge)
        )?;
    }
    if !page.day.is_empty() {
        writeln!(out, "for the day: {}", page.day)?;
    }
    if page.number_flown() == 0 {
        writeln!(out, "\nno take-off: the aircraft was never in the air")?;
    }
    let mut day = page.summary.flights.first().map(|flight| flight.first.day());
    for (index, flight) in page.flights().enumerate() {
        writeln!(out)?;
        let its_day = Some(flight.first.day());
        if its_day != day {
            writeln!(out, "{}", flight.first.day())?;
            day = its_day;
        }
        print_flight(out, page, flight, index + 1)?;
    }
    if page.number_flown() > 1 {
        writeln!(
            out,
            "\naltogether {} flights, recorded {}; {}",
            page.number_flown(),
            Length(page.recorded()),
            card(page.plan, page.recorded())
        )?;
    }
    print_never(out, page)
}

fn print_flight(
    out: &mut dyn Write,
    page: &Page<'_>,
    flight: &Flight,
    number: usize,
) -> io::Result<()> {
    writeln!(out, "{}", headline(flight, number))?;
    writeln!(out, "  GPS       {}", gps(flight))?;
    let takes = if flight.takes == 1 { "1 take" } else { &format!("{} takes", flight.takes) };
    writeln!(
        out,
        "  recorded  {} in {takes}; {}",
        Length(flight.recorded),
        card(page.plan, flight.recorded)
    )?;
    if flight.hand > 0 {
        let refused = if flight.refused > 0 {
            format!(", {} refused", flight.refused)
        } else {
            String::new()
        };
        writeln!(out, "  by hand   {} actions{refused}", flight.hand)?;
    }
    for inside in &flight.filmed_inside {
        let why = if inside.by_hand { "by hand, allowed" } else { "before the entry was known" };
        writeln!(
            out,
            "  filmed inside {} from {} for {}, {why}",
            words::zone(page.plan, inside.zone),
            TimeOfDay(inside.from),
            Length(inside.to - inside.from)
        )?;
    }
    let untold = flight.filmed_inside_times as usize - flight.filmed_inside.len();
    if untold > 0 {
        writeln!(out, "  and {untold} times more")?;
    }
    writeln!(out)?;
    cameras(page, flight).print(out, "  ")?;
    if !page.plan.narrations.is_empty() {
        writeln!(out)?;
        narrations(page.plan, flight).print(out, "  ")?;
    }
    if let Some(planned) = page.planned.filter(|_| flight.flew()) {
        print_differences(out, page.plan, planned, flight)?;
    }
    Ok(())
}

fn headline(flight: &Flight, number: usize) -> String {
    let Some(zero) = flight.zero else {
        return format!(
            "on the ground, no take-off, {} to {} UTC",
            TimeOfDay(flight.first),
            TimeOfDay(flight.last)
        );
    };
    let begin = match flight.took_off {
        Some(time) => format!("take-off {} UTC", TimeOfDay(time)),
        None => format!("begins in the air {} UTC", TimeOfDay(zero)),
    };
    let landing = |(time, home): &(Utc, bool)| {
        let at = if *home { "at home" } else { "away from home" };
        format!("landing {} {at} {}", TimeOfDay(*time), since_text(flight.since(*time)))
    };
    let landings: Vec<String> = match flight.landings.as_slice() {
        [first, .., last] if flight.landings.len() > MOST_LANDINGS => {
            let between = flight.landings_times - 2;
            vec![landing(first), format!("{between} more landings"), landing(last)]
        }
        few => few.iter().map(landing).collect(),
    };
    let end = if landings.is_empty() {
        format!("ends in the air {}", TimeOfDay(flight.last))
    } else {
        landings.join(", ")
    };
    let last = flight.landings.last().map_or(flight.last, |(time, _)| *time);
    format!("flight {number}: {begin}, {end}; {}", Length(last - zero))
}

fn gps(flight: &Flight) -> String {
    if flight.losses == 0 {
        return "good throughout".to_owned();
    }
    let times = if flight.losses == 1 { "once" } else { &format!("{} times", flight.losses) };
    let mut text = format!("lost {times}, {} altogether", Length(flight.lost_for));
    if flight.gaps > 0 {
        text.push_str(&format!("; {} too long to be bridged", flight.gaps));
    }
    text
}

/// What a time recorded takes on the card.
fn card(plan: &Plan, recorded: Millis) -> String {
    let recorder = plan.aircraft.recorder;
    let bytes = bytes_of(plan, recorded);
    let mut text = size(bytes);
    if recorder.streams > 1 {
        text.push_str(&format!(" ({} streams)", recorder.streams));
    }
    if let Some(card) = recorder.card_bytes.filter(|card| *card > 0) {
        let percent = u128::from(bytes) * 100 / u128::from(card);
        text.push_str(&format!(", {percent} % of the card"));
    }
    text
}

/// Bytes for people, in the decimal units that cards are sold in.
fn size(bytes: u64) -> String {
    let tenths = bytes / 100_000_000;
    if tenths >= 10 {
        format!("{}.{} GB", tenths / 10, tenths % 10)
    } else {
        format!("{} MB", bytes / 1_000_000)
    }
}

fn cameras(page: &Page<'_>, flight: &Flight) -> Table {
    let compared = page.planned.is_some();
    let mut head = vec!["camera", ">shots", ">live", ">recorded"];
    if compared {
        head.push(">as planned");
    }
    head.push(">stills");
    let mut table = Table::new(&head);
    let row = |name: &str, camera: &CameraUse, planned: Option<&CameraUse>| {
        let mut cells = vec![
            name.to_owned(),
            camera.shots.to_string(),
            Clock(camera.live).to_string(),
            Clock(camera.recorded).to_string(),
        ];
        if compared {
            cells.push(
                planned.map_or_else(String::new, |camera| Clock(camera.recorded).to_string()),
            );
        }
        let stills = camera.stills;
        cells.push(match planned.map(|camera| camera.stills) {
            Some(planned) if planned != stills => format!("{stills}, planned {planned}"),
            _ => stills.to_string(),
        });
        cells
    };
    for (index, (camera, used)) in
        page.plan.aircraft.cameras.iter().zip(&flight.cameras).enumerate()
    {
        let planned = page.planned.and_then(|planned| planned.cameras.get(index));
        table.row(row(&camera.name, used, planned));
    }
    table
}

/// The narrations that the rules ask for, in the order in which they started; then those that did
/// not.
fn narrations(plan: &Plan, flight: &Flight) -> Table {
    let mut table = Table::new(&["narration", "T", "what happened"]);
    let named = Named::by_rules(plan);
    let mut used: Vec<(&Narration, &NarrationUse)> = (0..)
        .map(NarrationId)
        .zip(plan.narrations.iter().zip(&flight.narrations))
        .filter(|(id, (narration, used))| {
            // Of two versions the one that was told is told of.
            let started = |id: NarrationId| {
                flight.narrations.get(id.index()).is_some_and(|used| used.started > 0)
            };
            let other = narration.short.is_some_and(started) && used.started == 0;
            let is_short = plan.narrations.iter().any(|whole| whole.short == Some(*id));
            named.narrations.contains(id) && !other || is_short && used.started > 0
        })
        .map(|(_, used)| used)
        .collect();
    used.sort_by_key(|(_, used)| (used.first_started.is_none(), used.first_started));
    for (narration, used) in used {
        let started = used.first_started.and_then(|time| flight.since(time));
        table.row(vec![
            narration.name.clone(),
            since_text(started),
            narration_words(plan, used, narration.length),
        ]);
    }
    table
}

/// What became of a narration, in words.
fn narration_words(plan: &Plan, used: &NarrationUse, length: Millis) -> String {
    let times = |number: u32| if number > 1 { format!(" {number} times") } else { String::new() };
    let mut parts = Vec::new();
    if used.started > 0 {
        if used.ended > 0 {
            parts.push(format!("played{} ({})", times(used.ended), Length(length)));
        }
        for (by, played) in &used.cut_off {
            let by = words::cut(plan, *by);
            parts.push(format!("cut off after {} of {}: {by}", Length(*played), Length(length)));
        }
        if used.ended + used.cut_offs == 0 {
            parts.push("started".to_owned());
        }
    }
    if used.waited > 0 && used.started > 0 {
        let what = used.waited_for.map_or_else(String::new, |by| words::obstacle(plan, by));
        parts.push(format!("waited {}: {what}", Length(used.longest_wait)));
    }
    if used.paused > 0 {
        parts.push(format!("paused{}", times(used.paused)));
    }
    if used.skipped > 0 {
        let what = used.skipped_for.map_or_else(String::new, |by| words::obstacle(plan, by));
        parts.push(format!("skipped{}: {what}", times(used.skipped)));
    }
    if used.given_up > 0 {
        let what = used.given_up_for.map_or("", words::given_up);
        parts.push(format!("given up{}: {what}", times(used.given_up)));
    }
    if parts.is_empty() { "not asked for".to_owned() } else { parts.join("; ") }
}

fn print_differences(
    out: &mut dyn Write,
    plan: &Plan,
    planned: &Flight,
    flight: &Flight,
) -> io::Result<()> {
    let missing = Differences::only_in(plan, planned, flight);
    let extra = Differences::only_in(plan, flight, planned);
    if missing.is_empty() && extra.is_empty() {
        return writeln!(out, "\n  every rule, zone and narration came as planned, and no other");
    }
    if !missing.is_empty() {
        writeln!(out, "\n  planned, but it did not happen")?;
        let when = |since: Option<Millis>| match since {
            Some(_) => format!("planned {}", since_text(since)),
            None => "planned".to_owned(),
        };
        let mut table = Table::new(&["", "", "", ""]);
        for (id, since) in &missing.zones {
            let name = words::zone(plan, *id).to_owned();
            table.row(vec!["zone".into(), name, when(*since), "never entered".into()]);
        }
        for (id, since) in &missing.rules {
            let name = words::rule(plan, *id).to_owned();
            let place = plan.rules.get(id.index()).map(|rule| words::source(plan, rule.source));
            let place = format!("never active; {}", place.unwrap_or_default());
            table.row(vec!["rule".into(), name, when(*since), place]);
        }
        for (id, since) in &missing.narrations {
            let name = words::narration(plan, *id).to_owned();
            let used = flight.narrations.get(id.index()).cloned().unwrap_or_default();
            let length = plan.narrations.get(id.index()).map_or(Millis::ZERO, |told| told.length);
            let what = narration_words(plan, &used, length);
            table.row(vec!["narration".into(), name, when(*since), what]);
        }
        table.print(out, "    ")?;
    }
    if !extra.is_empty() {
        writeln!(out, "\n  not planned, but it happened")?;
        let mut table = Table::new(&["", "", ""]);
        for (id, since) in &extra.zones {
            table.row(vec!["zone".into(), words::zone(plan, *id).into(), since_text(*since)]);
        }
        for (id, since) in &extra.rules {
            table.row(vec!["rule".into(), words::rule(plan, *id).into(), since_text(*since)]);
        }
        for (id, since) in &extra.narrations {
            let name = words::narration(plan, *id).into();
            table.row(vec!["narration".into(), name, since_text(*since)]);
        }
        table.print(out, "    ")?;
    }
    Ok(())
}

fn print_never(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    let never = Never::of(page.plan, page.summary.flights.iter().chain(page.planned));
    if never.is_empty() {
        return Ok(());
    }
    let also = if page.planned.is_some() { ", also as planned" } else { "" };
    writeln!(out)?;
    let plan = page.plan;
    let rules: Vec<&str> = never.rules.iter().map(|id| words::rule(plan, *id)).collect();
    let narrations: Vec<&str> =
        never.narrations.iter().map(|id| words::narration(plan, *id)).collect();
    let zones: Vec<&str> = never.zones.iter().map(|id| words::zone(plan, *id)).collect();
    for (what, names) in [
        ("rules never active", rules),
        ("narrations never played", narrations),
        ("zones never entered", zones),
    ] {
        if !names.is_empty() {
            writeln!(out, "{what}{also}: {}", names.join(", "))?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_decimal() {
        assert_eq!(size(999_999_999), "999 MB");
        assert_eq!(size(9_060_000_000), "9.0 GB");
    }
}
