//! What a tour says, as cues to be recorded.

use std::path::Path;

use diagnostic::{Diagnostic, Place};
use route::Project;
use route::model::{Entry, Narration};
use sound::takes::Cue;

use super::file;
use super::findings::Findings;
use super::project;
use super::world::Disk;

/// What came of a tour.
pub(crate) enum Script {
    /// Its cues.
    Ready(Vec<Cue>),
    /// There are mistakes in the tour, and they have been found.
    Mistakes,
    /// It could not be read at all, or a language is not one of its own; why has been said.
    Unusable,
}

/// Reads a tour: every narration that one of its rules asks for, in the order in which the rules
/// are written, each in these of the tour's languages, or in all of them. Its number is its place
/// in that order. Behind them the other narrations of its libraries, which it does not say.
///
/// A short version is a cue of its own, with the number of the long one.
///
/// A text that falls back to another language is that language's cue and no second one.
pub(crate) fn read(tour: &Path, languages: &[String], findings: &mut Findings) -> Script {
    let name = file::name(tour);
    let (project, found) = project::read(&Disk::default(), &name, None);
    findings.extend(found);
    let Some(project) = project else { return Script::Unusable };
    for source in project.sources.files() {
        findings.texts.insert(source.name.clone(), source.text.clone());
    }
    if findings.has_errors() {
        return Script::Mistakes;
    }
    let other = project.other_languages.entries.iter().map(|entry| entry.name.value.as_str());
    let own: Vec<&str> = std::iter::once(project.language.as_str()).chain(other).collect();
    let mut all_known = true;
    for language in languages.iter().filter(|language| !own.contains(&language.as_str())) {
        all_known = false;
        findings.push(
            Diagnostic::error(
                "unknown-language",
                Place::whole(&*name),
                format!("this tour is not told in the language `{language}`"),
            )
            .help(format!("it is told in {}", own.join(", "))),
        );
    }
    if !all_known {
        return Script::Unusable;
    }
    let wanted =
        |language: &&str| languages.is_empty() || languages.iter().any(|one| one == language);
    let wanted: Vec<&str> = own.into_iter().filter(wanted).collect();
    Script::Ready(cues(&project, &wanted, findings))
}

fn cues(project: &Project, languages: &[&str], findings: &mut Findings) -> Vec<Cue> {
    let mut names: Vec<(u32, &str)> = script::numbered(project);
    let said = names.len();
    let others = project.narrations.entries.iter().map(|entry| entry.name.value.as_str());
    for name in others {
        if !names.iter().any(|(_, known)| *known == name) {
            names.push((u32::try_from(names.len() + 1).unwrap_or(u32::MAX), name));
        }
    }
    let mut cues: Vec<Cue> = Vec::new();
    for (place, (number, name)) in names.into_iter().enumerate() {
        let Some(entry) = project.narrations.get(name) else { continue };
        let said = place < said;
        let long = (script::Version::Long, &entry.value.told);
        let short = entry.value.short.iter().map(|short| (script::Version::Short, &short.value));
        for (version, written) in std::iter::once(long).chain(short) {
            for language in languages {
                let Some(told) = project.text_in(language, &written.text) else {
                    if said {
                        findings.push(without_text(project, entry, language));
                    }
                    continue;
                };
                let cue = Cue {
                    number,
                    name: script::take_name(name, version),
                    language: told.language.to_owned(),
                    text: told.text.value.clone(),
                    said,
                };
                if !cues.contains(&cue) {
                    cues.push(cue);
                }
            }
        }
    }
    cues
}

fn without_text(project: &Project, entry: &Entry<Narration>, language: &str) -> Diagnostic {
    Diagnostic::warning(
        "cue-without-text",
        project.sources.place(entry.name.span),
        format!("`{}` has no text in {language}", entry.name.value),
    )
    .help(format!("write it, or give {language} a `fallback` in the tour"))
}
