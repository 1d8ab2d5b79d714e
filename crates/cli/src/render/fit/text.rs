//! The table for people.

use std::collections::BTreeSet;
use std::io::{self, Write};

use compiler::fit::{Telling, Verdict};
use earth::{MetresPerSecond, Millis};

use super::{Line, Page, faster, seconds};
use crate::render::table::Table;
use crate::render::time::Since;
use crate::render::words::so_many;

/// Prints the tables of all languages.
pub(crate) fn text(out: &mut dyn Write, pages: &[Page<'_>], day: &str) -> io::Result<()> {
    let Some(first) = pages.first() else { return Ok(()) };
    writeln!(out, "{}", first.identity.head())?;
    if !day.is_empty() {
        writeln!(out, "today: {day}")?;
    }
    flown(out, first)?;
    for page in pages {
        for (voice, language) in page.plan.languages.iter().enumerate() {
            let lines: Vec<Line<'_>> = page.lines(voice).collect();
            writeln!(out)?;
            heading(out, page, language, &lines)?;
            table(out, page, &lines)?;
            on_the_picture(out, page, voice)?;
            what_to_do(out, page, voice, &lines)?;
        }
    }
    Ok(())
}

/// In what the route was flown.
fn flown(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    let fits = page.fits;
    let mut winds: Vec<String> = Vec::new();
    let mut airspeeds: Vec<String> = Vec::new();
    for condition in &fits.conditions {
        let wind = condition.wind.map_or_else(
            || "as planned".to_owned(),
            |wind| format!("{:03.0}/{:.0} kt", wind.from.get(), wind.speed.knots()),
        );
        let airspeed = faster(condition.faster).unwrap_or_else(|| "as planned".to_owned());
        for (list, words) in [(&mut winds, wind), (&mut airspeeds, airspeed)] {
            if !list.contains(&words) {
                list.push(words);
            }
        }
    }
    let (winds, airspeeds) = (winds.join(", "), airspeeds.join(", "));
    writeln!(out, "flown with the wind {winds}; with the airspeed {airspeeds}")?;
    if fits.conditions.len() == 1 && fits.cannot_be_flown.is_empty() {
        writeln!(
            out,
            "the tour names no `winds expected` and no `airspeed tolerance`, so only the planned \
             groundspeeds are looked at"
        )?;
    }
    for condition in &fits.cannot_be_flown {
        let words = condition.words();
        writeln!(out, "not looked at, since the route cannot be flown so: {words}")?;
    }
    Ok(())
}

fn heading(
    out: &mut dyn Write,
    page: &Page<'_>,
    language: &str,
    lines: &[Line<'_>],
) -> io::Result<()> {
    let pace = lines.first().map_or_else(String::new, |line| {
        format!(", {:.0} {} a minute", line.pace.a_minute(), line.pace.unit())
    });
    let at_once = if page.plan.languages.len() > 1 { ", carried with others" } else { "" };
    writeln!(out, "{language}{pace}{at_once}")
}

fn table(out: &mut dyn Write, page: &Page<'_>, lines: &[Line<'_>]) -> io::Result<()> {
    let mut table = Table::new(&[
        "narration",
        ">from",
        ">length",
        ">room as planned",
        ">at the least speed",
        ">at the greatest",
        ">to spare",
        ">budget",
        "verdict",
    ]);
    for line in lines {
        let fit = line.fit;
        let room = |telling: &Option<Telling>| {
            telling.as_ref().map_or_else(
                || "not told".to_owned(),
                |it| {
                    let short = if it.version == fit.narration { "" } else { "short, " };
                    format!("{short}{} {:>6}", seconds(it.room), knots(it.groundspeed))
                },
            )
        };
        let spare = match &line.verdict {
            Verdict::Fits(spare) => seconds(*spare),
            Verdict::TooLong { over, .. } => format!("-{}", seconds(*over)),
            Verdict::NotTold => String::new(),
        };
        let budget = fit.tightest.as_ref().map_or_else(String::new, |it| {
            format!("{} {}", line.pace.told_in(it.room), line.pace.unit())
        });
        let about = if line.voice.estimated { "about " } else { "" };
        table.row(vec![
            line.name.to_owned(),
            fit.planned.as_ref().map_or_else(String::new, |it| Since(it.starts).to_string()),
            format!("{about}{}", seconds(line.voice.length)),
            room(&fit.planned),
            room(&fit.least),
            room(&fit.greatest),
            spare,
            budget,
            verdict(page, line),
        ]);
    }
    table.print(out, "  ")
}

fn knots(speed: MetresPerSecond) -> String {
    format!("{:.0} kt", speed.knots())
}

/// The verdict in a few words.
fn verdict(page: &Page<'_>, line: &Line<'_>) -> String {
    let mut parts = Vec::new();
    match &line.verdict {
        Verdict::Fits(_) => {}
        Verdict::TooLong { as_planned: true, .. } => parts.push("too long as planned".to_owned()),
        Verdict::TooLong { at, .. } => parts.push(format!("too long at {}", knots(at.groundspeed))),
        Verdict::NotTold => parts.push("not told as planned".to_owned()),
    }
    if line.fit.planned.is_some() && !line.fit.missing.is_empty() {
        let flights = line.fit.missing.len();
        parts.push(format!("not told on {flights} of {}", page.fits.conditions.len()));
    }
    if let Some(least) = &line.fit.least
        && least.silence > page.project.defaults.longest_silence
    {
        let at = knots(least.groundspeed);
        parts.push(format!("{:.0} s of silence after it at {at}", least.silence.secs()));
    }
    if parts.is_empty() { "fits".to_owned() } else { parts.join("; ") }
}

/// How far a marked word falls from the sight abeam.
fn on_the_picture(out: &mut dyn Write, page: &Page<'_>, voice: usize) -> io::Result<()> {
    let mut table =
        Table::new(&["word", "of", ">as planned", ">at the least speed", ">at the greatest"]);
    let mut any = false;
    for fit in &page.fits.narrations {
        let off = |telling: &Option<Telling>| -> Option<String> {
            let telling = telling.as_ref()?;
            let told = page.plan.narrations.get(telling.version.index())?;
            let word = told.voices.get(voice)?.sync_word.as_ref()?;
            Some(early_or_late(word.at - telling.abeam?))
        };
        let told = page.plan.narrations.get(fit.narration.index());
        let word = told.and_then(|told| told.voices.get(voice)?.sync_word.as_ref());
        let (Some(told), Some(word), Some(planned)) = (told, word, off(&fit.planned)) else {
            continue;
        };
        any = true;
        table.row(vec![
            format!("“{}”", word.word),
            told.name.clone(),
            planned,
            off(&fit.least).unwrap_or_default(),
            off(&fit.greatest).unwrap_or_default(),
        ]);
    }
    if any {
        writeln!(out, "\n  how far a word falls from its sight abeam")?;
        table.print(out, "  ")?;
    }
    Ok(())
}

fn early_or_late(off: Millis) -> String {
    match off.0 {
        -49..=49 => "on it".to_owned(),
        50.. => format!("{} late", seconds(off)),
        _ => format!("{} early", seconds(Millis(-off.0))),
    }
}

/// What to do about each that does not fit.
fn what_to_do(
    out: &mut dyn Write,
    page: &Page<'_>,
    voice: usize,
    lines: &[Line<'_>],
) -> io::Result<()> {
    for line in lines {
        if let Verdict::TooLong { at, over, advice, .. } = &line.verdict {
            writeln!(
                out,
                "\n  {} is {} too long at {} ({}): after {} of {} {}",
                line.name,
                seconds(*over),
                knots(at.groundspeed),
                page.condition(at.condition),
                seconds(at.room),
                seconds(at.length_of(page.plan, voice)),
                at.spoiler.words(page.plan),
            )?;
            let (one, many) = (line.pace.one(), line.pace.unit());
            let count = so_many(advice.shorter.into(), one, many);
            let shorter = format!("{count} shorter (there is room for {})", advice.budget);
            match &advice.earlier {
                Some(earlier) => writeln!(
                    out,
                    "    what helps most: begin it {} ({:.0} m) earlier, and all its words can \
                     stay; or make it {shorter}",
                    seconds(earlier.time),
                    earlier.way.get(),
                )?,
                None => {
                    let waits = at.waited > Millis::ZERO;
                    let why = if waits { ", for it has to wait already" } else { "" };
                    writeln!(
                        out,
                        "    what helps most: make it {shorter}; it cannot begin so much \
                         earlier{why}"
                    )?;
                }
            }
        }
        let seen = BTreeSet::from_iter(line.fit.missing.iter().map(|missing| missing.condition));
        if line.fit.planned.is_some() && !seen.is_empty() {
            let asked = line.fit.missing.iter().all(|missing| missing.asked);
            let why = if asked {
                "something else stands in its way for too long"
            } else {
                "its rule is not active"
            };
            let flights: Vec<String> = seen.into_iter().map(|it| page.condition(it)).collect();
            writeln!(out, "\n  {} is not told with {}: {why}", line.name, flights.join("; with "))?;
        }
    }
    Ok(())
}
