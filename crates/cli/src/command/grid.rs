//! `fulmar grid`.

use std::path::{Path, PathBuf};

use diagnostic::{Diagnostic, Place};
use route::{Said, Today};

use crate::args::{AS_WRITTEN, GridArgs, MessageFormat, TextFormat, TodayArgs};
use crate::input::findings::Findings;
use crate::input::grid::{Grid, Wanted, judge, tours};
use crate::input::world::Disk;
use crate::input::{day, file, today};
use crate::outcome::{Outcome, Stop};
use crate::render;
use crate::render::grid;
use crate::terminal::Terminal;

/// Judges every tour on every aircraft, in every variant and language. The grid is the result, so
/// it goes to standard output.
pub(super) fn run(
    args: &GridArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let Some((tours, wanted, mut today)) = prepare(args, &mut findings) else {
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    };
    let words = [today.choice.conditions(), vec![day::words(&today)]].concat();
    let words = words.into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join("; ");
    // Which variants and languages there are is the grid's own business.
    today.choice.variant = None;
    today.choice.languages = None;
    let judged = judge(&tours, &wanted, &today);
    let unknown = unknown(&judged, &wanted);
    if !unknown.is_empty() {
        findings.extend(unknown);
        findings.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }
    match args.format {
        TextFormat::Text => grid::text(&mut *terminal.out, &judged, &words)?,
        TextFormat::Json => {
            render::json(&mut *terminal.out, &grid::json(&judged, &words))?;
        }
    }
    let (_, red) = judged.count();
    Ok(if judged.unusable() {
        Outcome::CouldNotRun
    } else if red > 0 {
        Outcome::Findings
    } else {
        Outcome::Clean
    })
}

fn prepare(args: &GridArgs, findings: &mut Findings) -> Option<(Vec<PathBuf>, Wanted, Today)> {
    let options = TodayArgs {
        today: args.today.clone(),
        conditions: args.conditions.clone(),
        ..TodayArgs::default()
    };
    let today = today::read(&Disk::default(), &options, findings)?;
    let tours = tours(&args.places).map_err(|finding| findings.push(*finding)).ok()?;
    let said = |names: &[String], option: &str| -> Vec<Said<String>> {
        let said = |name: &String| Said { value: name.clone(), place: Place::whole(option) };
        names.iter().map(said).collect()
    };
    let mut wanted = Wanted {
        aircraft: args.aircraft.iter().map(|path| file::name(path)).collect(),
        variants: said(&args.variant, "--variant"),
        languages: said(&args.language, "--language"),
    };
    // An option stands above the file.
    if wanted.aircraft.is_empty() {
        wanted.aircraft.extend(today.aircraft.iter().map(|said| said.value.clone()));
    }
    if wanted.variants.is_empty() {
        wanted.variants.extend(today.choice.variant.clone());
    }
    if wanted.languages.is_empty() {
        let said = today.choice.languages.iter();
        wanted.languages.extend(said.flat_map(|said| {
            let place = &said.place;
            said.value.iter().map(|tag| Said { value: tag.clone(), place: place.clone() })
        }));
    }
    mixed(&mut wanted.aircraft, &tours);
    Some((tours, wanted, today))
}

/// A plan names its files as seen from the tour's folder, which can be told where both are absolute
/// or neither is.
fn mixed(aircraft: &mut [String], tours: &[PathBuf]) {
    if !tours.iter().any(|tour| tour.is_absolute()) {
        return;
    }
    for path in aircraft.iter_mut().filter(|path| Path::new(path.as_str()).is_relative()) {
        if let Ok(whole) = std::path::absolute(&*path) {
            *path = file::name(&whole);
        }
    }
}

/// Variants and languages that are wanted and that no tour has.
fn unknown(grid: &Grid, wanted: &Wanted) -> Vec<Diagnostic> {
    if grid.unusable() {
        return Vec::new();
    }
    let tours = &grid.tours;
    let rows = || tours.iter().flat_map(|tour| &tour.rows);
    let has_variant =
        |name: &str| rows().any(|row| row.variant.as_deref().unwrap_or(AS_WRITTEN) == name);
    let has_language =
        |name: &str| tours.iter().any(|tour| tour.languages.iter().any(|tag| tag == name));
    let variants = wanted.variants.iter().filter(|said| !has_variant(&said.value));
    let languages = wanted.languages.iter().filter(|said| !has_language(&said.value));
    let finding = |name, what: &str, said: &Said<String>| {
        let headline = format!("no tour has the {what} `{}`", said.value);
        Diagnostic::error(name, said.place.clone(), headline)
            .help(format!("leave it out to see every {what} that there is"))
    };
    let variants = variants.map(|said| finding("unknown-variant", "variant", said));
    variants.chain(languages.map(|said| finding("unknown-language", "language", said))).collect()
}
