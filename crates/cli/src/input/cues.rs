//! What a tour says, as cues to be recorded.

use std::path::Path;

use diagnostic::{Diagnostic, Place};
use route::Project;
use sound::takes::Cue;

use super::file;
use super::findings::Findings;
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
/// in that order.
///
/// A text that falls back to another language is that language's cue and no second one.
pub(crate) fn read(tour: &Path, languages: &[String], findings: &mut Findings) -> Script {
    let name = file::name(tour);
    let (project, found) = route::read(&Disk::default(), &name, None);
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
    let mut asked: Vec<&str> = Vec::new();
    for rule in &project.rules.entries {
        let Some(effect) = &rule.value.narration else { continue };
        let name = effect.value.narration.value.as_str();
        if !asked.contains(&name) {
            asked.push(name);
        }
    }
    let mut cues: Vec<Cue> = Vec::new();
    for (number, name) in (1..).zip(asked) {
        let Some(entry) = project.narrations.get(name) else { continue };
        for language in languages {
            let Some(told) = project.text_in(language, &entry.value.text) else {
                findings.push(
                    Diagnostic::warning(
                        "cue-without-text",
                        project.sources.place(entry.name.span),
                        format!("`{name}` has no text in {language}"),
                    )
                    .help(format!("write it, or give {language} a `fallback` in the tour")),
                );
                continue;
            };
            let cue = Cue {
                number,
                name: name.to_owned(),
                language: told.language.to_owned(),
                text: told.text.value.clone(),
            };
            if !cues.contains(&cue) {
                cues.push(cue);
            }
        }
    }
    cues
}
