//! `fulmar check --fix` and `--diff`: what can only have been meant one way, mended.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use diagnostic::{Edit, mend};
use serde_json::json;
use similar::TextDiff;

use super::Checked;
use crate::args::{CheckArgs, MessageFormat};
use crate::input::findings::Findings;
use crate::input::world::{Disk, own_path};
use crate::outcome::{Outcome, Stop};
use crate::output;
use crate::render::words::counted;
use crate::terminal::Terminal;

/// What is mended may bring out more that can be: a key that is known now has a value. Hardly more
/// than twice; this is where it ends at the latest.
const ROUNDS: usize = 16;

/// A file to be changed.
struct Changed {
    /// As the person, or the file that includes it, named it.
    name: String,
    before: Vec<u8>,
    after: String,
    made: Vec<(Edit, &'static str)>,
}

/// Mends the tours and their files, or shows how they would be mended.
pub(super) fn run(
    args: &CheckArgs,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    let disk = Disk::default();
    let mut changed = BTreeMap::new();
    let mut checked = Checked::new(args, &disk);
    for _ in 0..ROUNDS {
        if !mend_once(&checked, &disk, &mut changed) {
            break;
        }
        checked = Checked::new(args, &disk);
    }
    if args.diff {
        return diff(&mut checked, &changed, format, terminal);
    }
    let mut unwritten = Findings::default();
    let mut written = Vec::new();
    for (path, file) in &changed {
        match output::replace(path, &file.name, &file.before, file.after.as_bytes()) {
            Ok(()) => written.push(file),
            Err(finding) => unwritten.push(*finding),
        }
    }
    let all_written = unwritten.list.is_empty();
    unwritten.tell(terminal, format)?;
    tell(&written, format, terminal)?;
    // What is left is found in the files as they are now.
    let checked = Checked::new(args, &Disk::default());
    checked.print(format, terminal)?;
    Ok(if all_written { checked.outcome() } else { Outcome::CouldNotRun })
}

/// Makes the edits of what was found, in memory. Whether there were any.
fn mend_once(checked: &Checked, disk: &Disk, changed: &mut BTreeMap<PathBuf, Changed>) -> bool {
    let findings = &checked.found.list;
    let edits = || findings.iter().flat_map(|finding| &finding.edits);
    // One file may be called by several names.
    let own: BTreeMap<&str, PathBuf> = edits()
        .map(|edit| &*edit.place.file)
        .map(|name| (name, own_path(Path::new(name))))
        .collect();
    let mut names: BTreeMap<&PathBuf, &str> = BTreeMap::new();
    for (name, path) in &own {
        names.entry(path).or_insert(name);
    }
    let mut any = false;
    for (path, name) in names {
        let Some(text) = checked.found.texts.get(name) else { continue };
        let mended = mend(text, |other| own.get(other) == Some(path), findings);
        if mended.made.is_empty() || mended.text == **text {
            continue;
        }
        any = true;
        let before = disk.put(path, mended.text.clone().into_bytes()).unwrap_or_default();
        let file = changed.entry(path.clone()).or_insert_with(|| Changed {
            name: name.to_owned(),
            before,
            after: String::new(),
            made: Vec::new(),
        });
        file.made.extend(mended.made.iter().map(|(finding, edit)| ((*edit).clone(), finding.name)));
        file.made.sort_by_key(|(edit, _)| edit.place.line);
        file.after = mended.text;
    }
    any
}

/// Says what was changed.
fn tell(written: &[&Changed], format: MessageFormat, terminal: &mut Terminal) -> Result<(), Stop> {
    for file in written {
        for (edit, finding) in &file.made {
            if format == MessageFormat::Json {
                let line = json!({
                    "format": "fulmar-fix",
                    "version": 1,
                    "file": file.name,
                    "line": edit.place.line,
                    "finding": finding,
                    "title": edit.title,
                    "replacement": edit.replacement,
                });
                writeln!(terminal.out, "{line}")?;
            } else {
                writeln!(terminal.out, "{}:{}: {}", file.name, edit.place.line, done(&edit.title))?;
            }
        }
    }
    if format != MessageFormat::Json && !written.is_empty() {
        let many = written.iter().map(|file| file.made.len()).sum();
        let (changes, files) = (counted(many, "change"), counted(written.len(), "file"));
        writeln!(terminal.out, "{changes} made in {files}\n")?;
    }
    Ok(())
}

/// A title as it is told afterwards: `write …` becomes `wrote …`.
fn done(title: &str) -> String {
    match title.strip_prefix("write ") {
        Some(rest) => format!("wrote {rest}"),
        None => title.to_owned(),
    }
}

/// Prints what would be changed. What is found is told only where a tour cannot be read; else it is
/// for a check without `--diff` to tell.
fn diff(
    checked: &mut Checked,
    changed: &BTreeMap<PathBuf, Changed>,
    format: MessageFormat,
    terminal: &mut Terminal,
) -> Result<Outcome, Stop> {
    for file in changed.values() {
        let before = String::from_utf8_lossy(&file.before);
        let lines = TextDiff::from_lines(&*before, &file.after);
        let mut unified = lines.unified_diff();
        write!(terminal.out, "{}", unified.context_radius(3).header(&file.name, &file.name))?;
    }
    terminal.out.flush()?;
    if checked.unusable {
        checked.found.tell(terminal, format)?;
        return Ok(Outcome::CouldNotRun);
    }
    if changed.is_empty() {
        return Ok(Outcome::Clean);
    }
    let many = changed.values().map(|file| file.made.len()).sum();
    let (changes, files) = (counted(many, "change"), counted(changed.len(), "file"));
    writeln!(terminal.err, "{changes} in {files}; --fix instead of --diff makes them")?;
    Ok(Outcome::Findings)
}
