//! The comparison as a page to read: which plans, what differs on the flight, what was changed.

use std::io::{self, Write};

use compiler::compare::{Detail, Difference, How, NOT_AS_WRITTEN, Part, Value};
use earth::Millis;
use plan::Approval;

use super::value::{both, by_how_much, direction, distance, texts, words};
use super::{Page, Side};
use crate::render::identity::NOT_FOR_NAVIGATION;
use crate::render::table::Table;
use crate::render::time::Since;

/// A line that would be longer is broken into one for each detail.
const LONG: usize = 100;

/// Prints the page.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn print(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    writeln!(out, "Two plans compared; {NOT_FOR_NAVIGATION}\n")?;
    head(out, page)?;
    writeln!(out)?;
    let comparison = page.comparison;
    if !page.differs() {
        return if page.old.identity.code == page.new.identity.code {
            writeln!(out, "Nothing differs: this is the same plan.")
        } else {
            writeln!(out, "Nothing differs but where and how it is written.")
        };
    }
    remarks(out, page)?;
    if comparison.flight.is_empty() {
        writeln!(out, "On the planned flight nothing differs.")?;
    } else {
        writeln!(out, "On the planned flight")?;
        parts(out, &comparison.flight)?;
    }
    writeln!(out)?;
    // What the head shows is not told again.
    let changed: Vec<Difference> =
        comparison.plan.iter().filter(|one| one.part != Part::Identity).cloned().collect();
    if changed.is_empty() {
        writeln!(out, "In the plan nothing differs but what stands above.")
    } else {
        writeln!(out, "Changed in the plan")?;
        parts(out, &changed)
    }
}

fn head(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    let mut table = Table::new(&["", "older", "newer", ""]);
    let mut row = |what: &str, of: &dyn Fn(&Side) -> String| {
        let (old, new) = (of(&page.old), of(&page.new));
        let differs = if old == new || what == "file" { "" } else { "differs" };
        table.row(vec![what.to_owned(), old, new, differs.to_owned()]);
    };
    row("file", &|side| side.file.clone());
    row("tour", &|side| side.identity.title.clone());
    row("aircraft", &|side| side.identity.aircraft.clone());
    row("plan", &|side| side.identity.code.clone());
    row("revision", &|side| side.identity.revision.to_string());
    row("status", &|side| match &side.identity.approval {
        Approval::Draft => "draft".to_owned(),
        Approval::Approved { by, on } => format!("approved by {by} on {on}"),
    });
    if page.old.day != page.new.day {
        let said = |side: &Side| match side.day.as_str() {
            "" => "-".to_owned(),
            day => day.to_owned(),
        };
        row("for the day", &said);
    }
    let told_above = ["tour", "aircraft", "registration", "revision", "approval"];
    let identity = page.comparison.plan.iter().filter(|one| one.part == Part::Identity);
    for detail in identity.flat_map(|one| &one.details) {
        let Detail::Value { what, old, new } = detail else { continue };
        if told_above.contains(what) {
            continue;
        }
        let said = |value: &Option<Value>| value.as_ref().map_or_else(|| "-".to_owned(), words);
        if *what == NOT_AS_WRITTEN {
            // The aircraft and the language have rows of their own.
            let rest = |value: &Option<Value>| {
                let all = said(value);
                let own =
                    |item: &&str| item.starts_with("aircraft ") || item.starts_with("told in ");
                let rest: Vec<&str> = all.split(", ").filter(|item| !own(item)).collect();
                if rest.is_empty() { "-".to_owned() } else { rest.join(", ") }
            };
            let (old, new) = (rest(old), rest(new));
            if old != new {
                table.row(vec![(*what).to_owned(), old, new, "differs".to_owned()]);
            }
            continue;
        }
        table.row(vec![(*what).to_owned(), said(old), said(new), "differs".to_owned()]);
    }
    table.print(out, "")
}

/// What whoever signs should know of the signatures.
fn remarks(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    let (old, new) = (&page.old.identity, &page.new.identity);
    let differences = &page.comparison.plan;
    // What is chosen for a day or an aircraft is no other revision.
    let chosen = |one: &Difference| {
        let whats = one.details.iter().filter_map(|detail| match detail {
            Detail::Value { what, .. } => Some(*what),
            _ => None,
        });
        one.part == Part::Identity
            && whats.into_iter().any(|what| ["tour", "aircraft", NOT_AS_WRITTEN].contains(&what))
    };
    let written_anew = differences.iter().any(|one| one.part != Part::Identity);
    if old.revision == new.revision && written_anew && !differences.iter().any(chosen) {
        writeln!(out, "Both say revision {}, and they differ.\n", old.revision)?;
    }
    if old.approval == new.approval && new.approval != Approval::Draft && old.code != new.code {
        writeln!(out, "The newer plan carries the approval of the older one.\n")?;
    }
    Ok(())
}

const fn heading(part: Part) -> &'static str {
    match part {
        Part::Flight => "Flight",
        Part::Told => "Narrations",
        Part::Filmed => "Sights in the film",
        Part::Live => "Cameras, time live",
        Part::Recorded => "Recording",
        Part::FilmedInside => "Filmed inside a no-filming zone",
        Part::Stills => "Stills",
        Part::Played | Part::Music => "Music",
        Part::Shown | Part::Title => "Titles",
        Part::Identity => "Which plan",
        Part::Route => "Planned route",
        Part::Place => "Sights and waypoints",
        Part::Zone => "Zones",
        Part::Rule => "Rules",
        Part::Narration => "Narrations",
        Part::Aircraft => "Aircraft",
        Part::Camera => "Cameras",
        Part::Settings => "Settings",
    }
}

fn parts(out: &mut dyn Write, differences: &[Difference]) -> io::Result<()> {
    let groups = differences.chunk_by(|one, other| heading(one.part) == heading(other.part));
    for group in groups {
        let Some(first) = group.first() else { continue };
        writeln!(out, "  {}", heading(first.part))?;
        let shifts = shifts(group);
        let folded = |difference: &Difference| {
            shifts.iter().any(|shift| shift.of.iter().any(|one| std::ptr::eq(*one, difference)))
        };
        for difference in group.iter().filter(|difference| !folded(difference)) {
            entry(out, difference)?;
        }
        for shift in &shifts {
            writeln!(out, "    {}", shift.words())?;
        }
    }
    Ok(())
}

fn entry(out: &mut dyn Write, difference: &Difference) -> io::Result<()> {
    let (subject, details) = phrases(difference);
    let line = line(&subject, &details);
    if line.chars().count() <= LONG || details.len() < 2 {
        return writeln!(out, "    {line}");
    }
    if subject.is_empty() {
        return details.iter().try_for_each(|detail| writeln!(out, "    {detail}"));
    }
    writeln!(out, "    {subject}:")?;
    details.iter().try_for_each(|detail| writeln!(out, "      {detail}"))
}

/// Things that only begin earlier or later on the flight, by the same time to a second: what comes
/// after a change on the way comes later as a whole, and need not be read one by one.
struct Shift<'a> {
    least: Millis,
    most: Millis,
    of: Vec<&'a Difference>,
}

/// So many that are shifted alike are told together.
const ALIKE: usize = 3;

impl Shift<'_> {
    fn words(&self) -> String {
        let later = self.most > Millis::ZERO;
        let (near, far) = match later {
            true => (self.least, self.most),
            false => (self.most, self.least),
        };
        let seconds = |shift: Millis| format!("{:.0}", shift.secs().abs());
        let by = match seconds(near) == seconds(far) {
            true => seconds(near),
            false => format!("{} to {}", seconds(near), seconds(far)),
        };
        let name = |difference: &Difference| {
            let start =
                starts(difference).map_or_else(String::new, |(_, new)| Since(new).to_string());
            format!("{} at {start}", difference.name)
        };
        let mut words = format!("{by} s {}:", if later { "later" } else { "earlier" });
        let mut left = LONG.saturating_sub(words.chars().count());
        let last = self.of.len().saturating_sub(1);
        for (index, difference) in self.of.iter().enumerate() {
            let item = format!("{}{}", name(difference), if index < last { "," } else { "" });
            let width = item.chars().count() + 1;
            if width > left {
                words.push_str("\n     ");
                left = LONG;
            }
            words.push(' ');
            words.push_str(&item);
            left = left.saturating_sub(width);
        }
        words
    }
}

/// When something starts in the older and in the newer plan, if that is all it differs in.
fn starts(difference: &Difference) -> Option<(Millis, Millis)> {
    match difference.details.as_slice() {
        [Detail::Value { old: Some(Value::Since(old)), new: Some(Value::Since(new)), .. }] => {
            Some((*old, *new))
        }
        _ => None,
    }
}

fn shifts(group: &[Difference]) -> Vec<Shift<'_>> {
    let mut alone: Vec<(Millis, usize, &Difference)> = group
        .iter()
        .enumerate()
        .filter_map(|(at, one)| starts(one).map(|(old, new)| (new - old, at, one)))
        .collect();
    alone.sort_by_key(|(by, at, _)| (*by, *at));
    let mut shifts: Vec<(Shift<'_>, Vec<usize>)> = Vec::new();
    for (by, at, one) in alone {
        match shifts.last_mut() {
            Some((shift, order))
                if (by - shift.least) <= Millis(1_000)
                    && (by > Millis::ZERO) == (shift.least > Millis::ZERO) =>
            {
                shift.most = by;
                shift.of.push(one);
                order.push(at);
            }
            _ => shifts.push((Shift { least: by, most: by, of: vec![one] }, vec![at])),
        }
    }
    shifts.retain(|(shift, _)| shift.of.len() >= ALIKE);
    for (shift, order) in &mut shifts {
        let mut both: Vec<(usize, &Difference)> =
            order.iter().copied().zip(shift.of.iter().copied()).collect();
        both.sort_by_key(|(at, _)| *at);
        shift.of = both.into_iter().map(|(_, one)| one).collect();
    }
    shifts.into_iter().map(|(shift, _)| shift).collect()
}

fn line(subject: &str, details: &[String]) -> String {
    let details = details.join("; ");
    match (subject, details.as_str()) {
        (subject, "") => subject.to_owned(),
        ("", details) => details.to_owned(),
        (subject, details) => format!("{subject}: {details}"),
    }
}

/// A difference in one line of words.
pub(super) fn in_words(difference: &Difference) -> String {
    let (subject, details) = phrases(difference);
    line(&subject, &details)
}

/// What it is about, with what has become of it, and in what it differs.
fn phrases(difference: &Difference) -> (String, Vec<String>) {
    let known_as = difference.known_as.as_ref();
    let mut subject = match known_as.filter(|known| **known != difference.name) {
        Some(known) => match difference.part {
            Part::Filmed | Part::Place | Part::Music | Part::Played => {
                format!("{known} ({})", difference.name)
            }
            _ => format!("{} (“{known}”)", difference.name),
        },
        None => difference.name.clone(),
    };
    let fate = match (&difference.how, difference.part) {
        (How::Changed, _) => String::new(),
        (How::Renamed { from }, _) => format!("has another name, was {from}"),
        (How::Added, Part::Told) => "newly told".to_owned(),
        (How::Gone, Part::Told) => "no longer told".to_owned(),
        (How::Added, Part::Filmed) => "newly filmed".to_owned(),
        (How::Gone, Part::Filmed) => "no longer filmed".to_owned(),
        (How::Added, Part::Played) => "newly played".to_owned(),
        (How::Gone, Part::Played) => "no longer played".to_owned(),
        (How::Added, Part::Shown) => "newly shown".to_owned(),
        (How::Gone, Part::Shown) => "no longer shown".to_owned(),
        (How::Added, _) => "new".to_owned(),
        (How::Gone, _) => "gone".to_owned(),
    };
    if !fate.is_empty() {
        subject = format!("{subject}, {fate}");
    }
    let all = &difference.details;
    (subject, all.iter().map(|detail| phrase(difference, detail)).collect())
}

fn phrase(difference: &Difference, detail: &Detail) -> String {
    match detail {
        Detail::Moved { what, by, towards } => {
            let by = format!("moved {} {}", distance(*by), direction(*towards));
            let as_a_whole = matches!(*what, "position" | "centre" | "line")
                && !difference.details.iter().any(|other| matches!(other, Detail::Corners { .. }));
            if as_a_whole { by } else { format!("{what} {by}") }
        }
        Detail::Corners { moved, of, by } => {
            format!("{moved} of {of} corners moved, by up to {}", distance(*by))
        }
        Detail::With(zones) => match zones.as_slice() {
            [zone] => format!("and with it the zone {zone}"),
            zones => format!("and with it the zones {}", zones.join(", ")),
        },
        Detail::Value { what, old: Some(old), new: Some(new) } => {
            // Where the heading has said it.
            let what = match difference.part {
                Part::Live | Part::Filmed => "",
                Part::Stills if difference.name.is_empty() => "in all",
                Part::Stills => "",
                _ => what,
            };
            if difference.part == Part::Filmed && difference.how != How::Changed {
                return format!("{}, before {}", words(new), words(old));
            }
            changed(what, old, new).trim_start().to_owned()
        }
        Detail::Value { what, old, new } => {
            let in_new = new.is_some();
            let Some(value) = new.as_ref().or(old.as_ref()) else { return String::new() };
            one_sided(difference, what, value, in_new)
        }
    }
}

fn changed(what: &str, old: &Value, new: &Value) -> String {
    if let (Value::Text(old), Value::Text(new)) = (old, new) {
        return format!("{what} {}", texts(old, new));
    }
    let how_much = by_how_much(old, new);
    let (mut old, mut new) = both(old, new);
    if what == "condition" {
        (old, new) = (format!("“{old}”"), format!("“{new}”"));
    }
    match how_much {
        Some(how_much) => format!("{what} {how_much}, {old} -> {new}"),
        None => format!("{what} {old} -> {new}"),
    }
}

/// A property that only one of the plans has.
fn one_sided(difference: &Difference, what: &str, value: &Value, in_new: bool) -> String {
    let words = words(value);
    let of_the_flight = matches!(difference.part, Part::Told | Part::Played | Part::Shown);
    match (&difference.how, what) {
        (How::Added | How::Gone, "starts") if of_the_flight => {
            if in_new {
                format!("at {words}")
            } else {
                format!("was at {words}")
            }
        }
        (How::Added | How::Gone, "not told") => {
            if in_new {
                format!("now {words}")
            } else {
                format!("before, {words}")
            }
        }
        (How::Added | How::Gone, "condition") => format!("when “{words}”"),
        (How::Added | How::Gone, "lasts") if of_the_flight => format!("for {words}"),
        (How::Added | How::Gone, "kind" | "where") => words,
        (How::Added | How::Gone, "position") => format!("at {words}"),
        (How::Added | How::Gone, _) => match value {
            Value::Yes(true) => what.to_owned(),
            _ => format!("{what} {words}"),
        },
        _ if difference.part == Part::Live => {
            let side = if in_new { "newer" } else { "older" };
            format!("{words}; only the {side} plan has this camera")
        }
        (_, "condition") if in_new => format!("new condition “{words}”"),
        (_, "condition") => format!("no longer on condition “{words}”"),
        _ if in_new => format!("new {what}: {words}"),
        _ => format!("no longer {what}: {words}"),
    }
}
