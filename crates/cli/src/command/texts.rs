//! `fulmar texts`: an edited sheet against the texts of a tour.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use diagnostic::{Diagnostic, Place, Severity};
use route::{Choice, FileId, NewText, Project, Said, rewrite};
use script::{Change, Import, Sheet};
use similar::TextDiff;

use crate::args::{MessageFormat, TextFormat, TextsArgs};
use crate::input::file;
use crate::input::findings::Findings;
use crate::input::world::{Disk, own_path};
use crate::outcome::{Outcome, Stop};
use crate::output;
use crate::render::texts::{Page, json, list};
use crate::render::{self, words::counted};
use crate::terminal::Terminal;

/// A file with its new text.
struct Changed {
    own: PathBuf,
    name: String,
    before: Vec<u8>,
    after: String,
}

/// Says what a sheet changes, shows it as a diff, or writes it.
pub(super) fn run(
    args: &TextsArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut findings = Findings::default();
    let disk = Disk::default();
    let (project, import) = match prepare(args, &disk, &mut findings) {
        Ok(prepared) => prepared,
        Err(outcome) => {
            findings.tell(terminal, format)?;
            return Ok(outcome);
        }
    };
    findings.extend(import.findings.iter().cloned());
    let refused = findings.has_errors();
    let changed =
        if refused { Ok(Vec::new()) } else { changed(args, &disk, &project, &import.changes) };
    let changed = changed.unwrap_or_else(|found| {
        // They may point into the new texts, which are not written.
        findings.texts.clear();
        findings.extend(found);
        Vec::new()
    });
    let failed = findings.has_errors();
    let told = findings.tell(terminal, format)?;
    let page = Page { project: &project, import: &import };
    if args.diff {
        for file in &changed {
            let before = String::from_utf8_lossy(&file.before);
            let lines = TextDiff::from_lines(&*before, &file.after);
            let mut unified = lines.unified_diff();
            write!(terminal.out, "{}", unified.context_radius(3).header(&file.name, &file.name))?;
        }
    } else {
        match args.format {
            TextFormat::Text => list(&mut *terminal.out, &page)?,
            TextFormat::Json => render::json(&mut *terminal.out, &json(&page))?,
        }
    }
    terminal.out.flush()?;
    if import.changes.is_empty() {
        return Ok(told);
    }
    if failed {
        terminal.complain("nothing is written while there is an error");
        return Ok(Outcome::Findings);
    }
    if !args.write {
        let many = counted(import.changes.len(), "text");
        let files = counted(changed.len(), "file");
        terminal.complain(&format!("{many} in {files} would be changed; --write does it"));
        return Ok(Outcome::Findings);
    }
    write(&changed, told, format, terminal)
}

/// The tour, and what the sheet changes in it.
fn prepare(
    args: &TextsArgs,
    disk: &Disk,
    findings: &mut Findings,
) -> Result<(Project, Import), Outcome> {
    let (project, found) = route::read(disk, &file::name(&args.tour), None);
    findings.extend(found.into_iter().filter(|found| found.severity == Severity::Error));
    let Some(project) = project else { return Err(Outcome::CouldNotRun) };
    for source in project.sources.files() {
        findings.texts.insert(source.name.clone(), source.text.clone());
    }
    if findings.has_errors() {
        return Err(Outcome::Findings);
    }
    let name = file::name(&args.sheet);
    let sheet = file::read(&args.sheet, "a sheet of a script");
    match sheet.and_then(|bytes| Sheet::read(&bytes, &name)) {
        Ok(sheet) => {
            let import = script::compare(&project, &sheet);
            Ok((project, import))
        }
        Err(finding) => {
            findings.push(*finding);
            Err(Outcome::CouldNotRun)
        }
    }
}

/// The files with their new texts, which have been read again: they hold what the sheet has.
fn changed(
    args: &TextsArgs,
    disk: &Disk,
    project: &Project,
    changes: &[Change],
) -> Result<Vec<Changed>, Vec<Diagnostic>> {
    let mut by_file: BTreeMap<FileId, Vec<NewText<'_>>> = BTreeMap::new();
    for change in changes {
        let new = NewText { place: change.place.clone(), text: &change.after };
        by_file.entry(change.place.span().file).or_default().push(new);
    }
    let mut files = Vec::new();
    let mut refused = Vec::new();
    for (id, texts) in by_file {
        let Some(source) = project.sources.file(id) else { continue };
        match rewrite(source, &texts) {
            Ok(after) => {
                let own = own_path(Path::new(&*source.name));
                let before = disk.put(&own, after.clone().into_bytes()).unwrap_or_default();
                files.push(Changed { own, name: source.name.to_string(), before, after });
            }
            Err(error) => {
                let whole = Place::whole(source.name.clone());
                let place = error.at().map_or(whole, |at| project.sources.place(at));
                refused.push(not_written(place, &error.to_string()));
            }
        }
    }
    if !refused.is_empty() {
        return Err(refused);
    }
    // The tour as it would be: it has the new texts, and no mistake.
    let (again, found) = route::read(disk, &file::name(&args.tour), None);
    let sound = found.iter().all(|found| found.severity != Severity::Error);
    let again = again.filter(|again| sound && again.complete);
    let is_there = |change: &Change| {
        let text = again.as_ref().and_then(|again| script::written(again, change));
        text.is_some_and(|text| text.value == change.after)
    };
    match changes.iter().find(|change| !is_there(change)) {
        None => {
            let spoilt = again.map(|again| spoilt(project, &again, changes)).unwrap_or_default();
            if spoilt.is_empty() { Ok(files) } else { Err(spoilt) }
        }
        Some(change) => {
            let what = format!("the tour would not have the new text of `{}`", change.name);
            Err(vec![not_written(project.sources.place(change.place.span()), &what)])
        }
    }
}

/// The mistakes for which a tour could not be flown any more in a language whose texts are changed,
/// such as a text that has no word in it.
fn spoilt(before: &Project, after: &Project, changes: &[Change]) -> Vec<Diagnostic> {
    let languages: BTreeSet<&str> = changes.iter().map(|change| &*change.language).collect();
    let mut spoilt = Vec::new();
    for language in languages {
        let value = vec![language.to_owned()];
        let said = Said { value, place: Place::whole("the sheet") };
        let choice = Choice { languages: Some(said), ..Choice::default() };
        let mistakes = |project: &Project| {
            let Ok(project) = route::choose(project, &choice) else { return Vec::new() };
            let (plan, found) = compiler::compile(&project);
            let errors = found.into_iter().filter(|found| found.severity == Severity::Error);
            if plan.is_some() { Vec::new() } else { errors.collect::<Vec<_>>() }
        };
        let known = mistakes(before);
        let known: Vec<_> = known.iter().map(|one| (one.name, &one.headline)).collect();
        let is_new = |one: &Diagnostic| !known.contains(&(one.name, &one.headline));
        spoilt.extend(mistakes(after).into_iter().filter(is_new));
    }
    spoilt
}

fn not_written(place: Place, what: &str) -> Diagnostic {
    Diagnostic::error("text-not-written", place, format!("nothing was written: {what}"))
        .help("write this text into the file by hand")
}

fn write(
    changed: &[Changed],
    told: Outcome,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let mut unwritten = Findings::default();
    for file in changed {
        match output::replace(&file.own, &file.name, &file.before, file.after.as_bytes()) {
            Ok(()) if format != MessageFormat::Json => {
                terminal.complain(&format!("written: {}", file.name));
            }
            Ok(()) => {}
            Err(finding) => unwritten.push(*finding),
        }
    }
    if unwritten.list.is_empty() {
        return Ok(told);
    }
    unwritten.tell(terminal, format)?;
    Ok(Outcome::CouldNotRun)
}
