//! Every tour on every aircraft, in every variant and language: compiled, flown as planned, and
//! judged.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use compiler::Flights;
use diagnostic::{Diagnostic, Place, Severity};
use rayon::prelude::*;
use route::{Choice, Project, Said, Today};

use super::day::of_known_cameras;
use super::file;
use super::world::Disk;
use crate::args::AS_WRITTEN;
use crate::render::identity::Identity;

/// Which cells are wanted; an empty list is all that a tour has.
#[derive(Debug, Default)]
pub(crate) struct Wanted {
    /// Paths of aircraft files.
    pub(crate) aircraft: Vec<String>,
    /// Names of variants, or the word for the route as written.
    pub(crate) variants: Vec<Said<String>>,
    /// Language tags.
    pub(crate) languages: Vec<Said<String>>,
}

/// The grid.
#[derive(Debug)]
pub(crate) struct Grid {
    /// The tours, in the order in which they were named or found.
    pub(crate) tours: Vec<Tour>,
    /// What makes cells red, the gravest first; each once.
    pub(crate) reasons: Vec<Reason>,
}

/// A tour and its cells.
#[derive(Debug)]
pub(crate) struct Tour {
    /// Its file.
    pub(crate) file: String,
    /// Its title; the file's name where it could not be read.
    pub(crate) title: String,
    /// The languages of its columns.
    pub(crate) languages: Vec<String>,
    /// An aircraft and a variant each.
    pub(crate) rows: Vec<Row>,
    /// Whether it could not be read at all.
    pub(crate) unusable: bool,
    /// Whether it has an approval that was given for another plan. Somebody has to look at it again,
    /// but nothing is wrong with it for that.
    pub(crate) lapsed: bool,
}

/// A tour on an aircraft in a variant.
#[derive(Debug)]
pub(crate) struct Row {
    /// The aircraft's name, or its file where it could not be read.
    pub(crate) aircraft: String,
    /// The variant; none for the route as written.
    pub(crate) variant: Option<String>,
    /// A cell for each language.
    pub(crate) cells: Vec<Cell>,
}

/// A cell.
#[derive(Debug)]
pub(crate) struct Cell {
    /// Which plan it is; none where none came out.
    pub(crate) identity: Option<Identity>,
    /// What makes it red, as places among the grid's reasons; none where it is green.
    pub(crate) reasons: Vec<usize>,
    /// Everything found, until it is sorted into reasons.
    found: Vec<Diagnostic>,
}

/// What makes cells red.
#[derive(Debug)]
pub(crate) struct Reason {
    /// The finding, as the first of the cells has it.
    pub(crate) finding: Diagnostic,
    /// The cells: tour, row, language.
    pub(crate) cells: Vec<(usize, usize, usize)>,
}

impl Grid {
    /// Whether a tour could not be read at all.
    pub(crate) fn unusable(&self) -> bool {
        self.tours.iter().any(|tour| tour.unusable)
    }

    /// How many cells there are, and how many of them are red.
    pub(crate) fn count(&self) -> (usize, usize) {
        let cells = || self.tours.iter().flat_map(|tour| &tour.rows).flat_map(|row| &row.cells);
        (cells().count(), cells().filter(|cell| !cell.reasons.is_empty()).count())
    }
}

/// The tours in some files and folders, in order.
///
/// # Errors
/// A finding where a folder cannot be read or holds no tour.
pub(crate) fn tours(places: &[PathBuf]) -> Result<Vec<PathBuf>, Box<Diagnostic>> {
    let mut tours: Vec<PathBuf> = Vec::new();
    for place in places {
        if !place.is_dir() {
            tours.push(place.clone());
            continue;
        }
        let before = tours.len();
        in_folder(place, &mut tours).map_err(|error| {
            let headline = format!("the folder cannot be read: {error}");
            let finding = Diagnostic::error("no-tours", Place::whole(file::name(place)), headline);
            Box::new(finding.help("see whether the path is right"))
        })?;
        if tours.len() == before {
            let headline = "there is no tour in this folder";
            let finding = Diagnostic::error("no-tours", Place::whole(file::name(place)), headline);
            let help = "a tour is a file `….yaml` that has `tour:` at its top; name its folder";
            return Err(Box::new(finding.help(help)));
        }
    }
    let mut seen = std::collections::BTreeSet::new();
    tours.retain(|tour| seen.insert(tour.clone()));
    Ok(tours)
}

fn in_folder(folder: &Path, tours: &mut Vec<PathBuf>) -> std::io::Result<()> {
    let mut entries: Vec<_> = std::fs::read_dir(folder)?.collect::<Result<_, _>>()?;
    entries.sort_by_key(std::fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        // As a person would write it.
        let path = path.strip_prefix(".").map(Path::to_path_buf).unwrap_or(path);
        // A link to a folder may lead round in a circle, so it is not followed.
        if entry.file_type()?.is_dir() {
            if !entry.file_name().to_string_lossy().starts_with('.') {
                in_folder(&path, tours)?;
            }
            continue;
        }
        let yaml = path.extension().is_some_and(|ending| ending == "yaml" || ending == "yml");
        if yaml && is_tour(&path) {
            tours.push(path);
        }
    }
    Ok(())
}

/// Whether a file has the key of a tour, so that one with mistakes is looked at too.
fn is_tour(path: &Path) -> bool {
    let Ok(bytes) = file::read(path, "a tour") else { return false };
    let text = String::from_utf8_lossy(&bytes);
    text.trim_start_matches('\u{feff}').lines().any(|line| line.starts_with("tour:"))
}

/// Judges every wanted cell of some tours.
pub(crate) fn judge(tours: &[PathBuf], wanted: &Wanted, today: &Today) -> Grid {
    let tours: Vec<Tour> =
        tours.par_iter().map(|path| tour(&file::name(path), wanted, today)).collect();
    sorted(tours)
}

/// A tour as it was read for one aircraft.
struct Read {
    project: Option<Project>,
    found: Vec<Diagnostic>,
    aircraft: Option<String>,
}

fn read(tour: &str, aircraft: Option<String>) -> Read {
    let (project, found) = super::project::read(&Disk::default(), tour, aircraft.as_deref());
    Read { project, found, aircraft }
}

fn tour(path: &str, wanted: &Wanted, today: &Today) -> Tour {
    let first = read(path, wanted.aircraft.first().cloned());
    let more: Vec<String> = match (&first.project, wanted.aircraft.split_first()) {
        (_, Some((_, more))) => more.to_vec(),
        (Some(project), None) => {
            project.other_aircraft.iter().map(|other| other.value.clone()).collect()
        }
        (None, None) => Vec::new(),
    };
    let Some(project) = &first.project else {
        let cell = Cell { identity: None, reasons: Vec::new(), found: first.found };
        let row = Row { aircraft: "?".to_owned(), variant: None, cells: vec![cell] };
        return Tour {
            file: path.to_owned(),
            title: path.to_owned(),
            languages: vec!["?".to_owned()],
            rows: vec![row],
            unusable: true,
            lapsed: false,
        };
    };
    let title = project.title.value.clone();
    let languages = languages(project, wanted);
    let variants = variants(project, wanted);
    let mut reads = vec![first];
    let more: Vec<Read> = more.into_par_iter().map(|aircraft| read(path, Some(aircraft))).collect();
    reads.extend(more);
    let rows: Vec<(&Read, Option<String>)> = reads
        .iter()
        .flat_map(|read| variants.iter().map(move |variant| (read, variant.clone())))
        .collect();
    let rows = rows
        .into_par_iter()
        .map(|(read, variant)| {
            // Whatever is told in whichever language, the flight is the same.
            let flights = OnceLock::new();
            let cell =
                |language: &String| cell(read, variant.as_deref(), language, today, &flights);
            let cells = languages.par_iter().map(cell).collect();
            Row { aircraft: aircraft_name(read), cells, variant }
        })
        .collect();
    Tour { file: path.to_owned(), title, languages, rows, unusable: false, lapsed: false }
}

fn aircraft_name(read: &Read) -> String {
    let project = read.project.as_ref();
    let model = project.and_then(|project| project.aircraft.as_ref());
    match (model, &read.aircraft) {
        (Some(aircraft), _) => aircraft.model.value.clone(),
        (None, Some(path)) => path.clone(),
        (None, None) => "?".to_owned(),
    }
}

/// The languages of a tour that are wanted; its own first.
fn languages(project: &Project, wanted: &Wanted) -> Vec<String> {
    let others = project.other_languages.entries.iter().map(|entry| entry.name.value.to_string());
    let all = std::iter::once(project.language.clone()).chain(others);
    all.filter(|language| is_wanted(language, &wanted.languages)).collect()
}

/// The variants of a tour that are wanted; none is the route as written.
fn variants(project: &Project, wanted: &Wanted) -> Vec<Option<String>> {
    let written = is_wanted(AS_WRITTEN, &wanted.variants).then_some(None);
    let others = project.variants.entries.iter().map(|entry| entry.name.value.to_string());
    let others = others.filter(|name| is_wanted(name, &wanted.variants));
    written.into_iter().chain(others.map(Some)).collect()
}

fn is_wanted(name: &str, wanted: &[Said<String>]) -> bool {
    wanted.is_empty() || wanted.iter().any(|said| said.value == name)
}

fn cell(
    read: &Read,
    variant: Option<&str>,
    language: &str,
    today: &Today,
    flights: &OnceLock<Option<Flights>>,
) -> Cell {
    let mut found = read.found.clone();
    let identity = read.project.as_ref().and_then(|project| {
        let said = |name: &str| Said { value: name.to_owned(), place: Place::whole("the grid") };
        let choice = Choice {
            variant: variant.map(said),
            languages: Some(Said {
                value: vec![language.to_owned()],
                place: Place::whole("the grid"),
            }),
            ..today.choice.clone()
        };
        let chosen = match route::choose(project, &choice) {
            Ok(chosen) => chosen,
            Err(mistakes) => {
                found.extend(mistakes);
                return None;
            }
        };
        let (plan, more) = compiler::compile(&chosen);
        found.extend(more);
        let plan = plan?;
        let day = of_known_cameras(today, &plan);
        let flights = flights.get_or_init(|| Flights::fly(&chosen, &plan, &day));
        let reviewed = flights
            .iter()
            .flat_map(|flights| compiler::review_flight(&chosen, &plan, &day, flights));
        found.extend(reviewed);
        Some(Identity::new(&plan, plan::digest(&plan).code()))
    });
    found.retain(|finding| finding.severity != Severity::Note);
    Cell { identity, reasons: Vec::new(), found }
}

/// The finding of an approval that was given for another plan.
const LAPSED: &str = "approval-of-another-plan";

/// What tells reasons apart: what it is, and where. The words may differ from cell to cell, for
/// they tell times.
type Key = (Severity, Arc<str>, (usize, usize), &'static str);

/// Gathers what was found in the cells into reasons.
fn sorted(mut tours: Vec<Tour>) -> Grid {
    let mut by_key: BTreeMap<Key, Reason> = BTreeMap::new();
    for (tour_at, tour) in tours.iter_mut().enumerate() {
        for (row_at, row) in tour.rows.iter_mut().enumerate() {
            for (cell_at, cell) in row.cells.iter_mut().enumerate() {
                for finding in std::mem::take(&mut cell.found) {
                    if finding.name == LAPSED {
                        tour.lapsed = true;
                        continue;
                    }
                    let place = &finding.place;
                    let key = (finding.severity, place.file.clone(), place.bytes, finding.name);
                    let reason =
                        by_key.entry(key).or_insert_with(|| Reason { finding, cells: Vec::new() });
                    let at = (tour_at, row_at, cell_at);
                    if reason.cells.last() != Some(&at) {
                        reason.cells.push(at);
                    }
                }
            }
        }
    }
    let reasons: Vec<Reason> = by_key.into_values().collect();
    for (number, reason) in reasons.iter().enumerate() {
        for (tour, row, cell) in &reason.cells {
            let row = tours.get_mut(*tour).and_then(|tour| tour.rows.get_mut(*row));
            if let Some(cell) = row.and_then(|row| row.cells.get_mut(*cell)) {
                cell.reasons.push(number);
            }
        }
    }
    Grid { tours, reasons }
}
