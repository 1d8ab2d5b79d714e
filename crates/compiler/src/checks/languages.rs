//! Texts that are missing in a language.

use std::collections::BTreeSet;

use diagnostic::{Diagnostic, Page, Severity};
use route::model::{ByLanguage, Project};
use route::{Name, Spanned};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "text-missing",
        severity: Severity::Error,
        finds: "Narrations and titles that rules use and that have no text in the language that the \
                tour is compiled for.",
        why: "The passengers of that language would hear silence, or words they do not \
                  understand, and nobody decided so.",
        example: "other languages: {de: {}}\nnarrations:\n  arch: {text: {en: The Arch is hollow.}}",
        better: "other languages: {de: {fallback: en}}    # or with a text in `de`",
    },
    Page {
        name: "text-missing-elsewhere",
        severity: Severity::Warning,
        finds: "Narrations and titles that rules use and that have no text in another language of \
                the tour than the one that it is compiled for.",
        why: "Compiled for that language, the tour would be refused.",
        example: "other languages: {de: {}}\nnarrations:\n  arch: {text: The Arch is hollow.}",
        better: "narrations:\n  arch: {text: {en: The Arch is hollow., de: Der Bogen ist hohl.}}",
    },
    Page {
        name: "unknown-fallback",
        severity: Severity::Error,
        finds: "A `fallback` on a language that the tour does not have.",
        why: "Nobody has written a word in it.",
        example: "other languages: {de: {fallback: fr}}",
        better: "other languages: {de: {fallback: en}}",
    },
    Page {
        name: "text-fallback",
        severity: Severity::Note,
        finds: "Narrations and titles that are told in another language than the one that was \
                chosen, because the tour says `fallback`.",
        why: "The author wanted it so; whoever sells the flight should know.",
        example: "other languages: {de: {fallback: en}}\nnarrations:\n  arch: {text: {en: The Arch is hollow.}}",
        better: "narrations:\n  arch: {text: {en: The Arch is hollow., de: Der Bogen ist hohl.}}",
    },
];

/// Reports texts that are missing, or told in another language.
pub(crate) fn check(project: &Project, findings: &mut Findings<'_>) {
    // The tour's own language could not be read, which has been reported: what is missing in it is
    // not known.
    if project.language.is_empty() {
        return;
    }
    let chosen = project.languages();
    let used = used(project);
    let own = std::iter::once((project.language.as_str(), None));
    let others = project.other_languages.entries.iter();
    let others = others.map(|entry| (entry.name.value.as_str(), Some(entry.name.span)));
    for (language, written) in own.chain(others) {
        let missing: Vec<&Spanned<Name>> = used
            .iter()
            .filter(|(_, texts)| project.text_in(language, texts).is_none())
            .map(|(name, _)| *name)
            .collect();
        let Some(first) = missing.first() else { continue };
        let headline = format!("{} in `{language}`", no_text(&missing));
        let at = written.unwrap_or(first.span);
        let finding = if chosen.contains(&language) {
            findings.error("text-missing", at, headline)
        } else {
            findings.warning("text-missing-elsewhere", at, headline)
        };
        let elsewhere = missing.iter().filter(|name| name.span != at);
        let finding = places(finding, elsewhere, "no text here", findings);
        let help = match written {
            Some(_) => format!(
                "write `text: {{{language}: …}}`, or say in which language it is told instead: \
                 `{language}: {{fallback: {}}}`",
                project.language
            ),
            None => format!("write `text: {{{language}: …}}`"),
        };
        findings.put(finding.help(help));
    }
    fallen_back(project, &used, findings);
}

fn fallen_back(
    project: &Project,
    used: &[(&Spanned<Name>, &ByLanguage<String>)],
    findings: &mut Findings<'_>,
) {
    for language in project.languages() {
        fallen_back_in(project, language, used, findings);
    }
}

fn fallen_back_in(
    project: &Project,
    chosen: &str,
    used: &[(&Spanned<Name>, &ByLanguage<String>)],
    findings: &mut Findings<'_>,
) {
    let Some(entry) = project.other_languages.get(chosen) else { return };
    let elsewhere: Vec<&Spanned<Name>> = used
        .iter()
        .filter(|(_, texts)| {
            project.text_in(chosen, texts).is_some_and(|told| told.language != chosen)
        })
        .map(|(name, _)| *name)
        .collect();
    if elsewhere.is_empty() {
        return;
    }
    let headline = format!("{} told in another language than `{chosen}`", are(&elsewhere));
    let finding = findings.note("text-fallback", entry.name.span, headline);
    let finding = places(finding, elsewhere.iter(), "told in another language", findings);
    findings.put(finding.help(format!("write their texts in `{chosen}`")));
}

/// At most this many places are shown beside a finding.
const PLACES: usize = 3;

fn places<'n>(
    finding: Diagnostic,
    names: impl Iterator<Item = &'n &'n Spanned<Name>>,
    label: &str,
    findings: &Findings<'_>,
) -> Diagnostic {
    names
        .take(PLACES)
        .fold(finding, |finding, name| finding.related(findings.sources().place(name.span), label))
}

fn no_text(names: &[&Spanned<Name>]) -> String {
    match names {
        [one] => format!("`{}` has no text", one.value),
        all => format!("{} texts are missing", all.len()),
    }
}

fn are(names: &[&Spanned<Name>]) -> String {
    match names {
        [one] => format!("`{}` is", one.value),
        all => format!("{} texts are", all.len()),
    }
}

/// The narrations and titles that rules use, each once, in the order written; without those that
/// could not be read in whole, for what they lack may be there and have been reported.
fn used(project: &Project) -> Vec<(&Spanned<Name>, &ByLanguage<String>)> {
    let rules = || project.rules.entries.iter().map(|entry| &entry.value);
    let told: BTreeSet<&str> = rules()
        .filter_map(|rule| rule.narration.as_ref())
        .map(|effect| effect.value.narration.value.as_str())
        .collect();
    let shown: BTreeSet<&str> =
        rules().filter_map(|rule| rule.title.as_ref()).map(|name| name.value.as_str()).collect();
    let narrations = project.narrations.entries.iter();
    let narrations = narrations.filter(|entry| told.contains(entry.name.value.as_str()));
    let titles = project.titles.entries.iter();
    let titles = titles.filter(|entry| shown.contains(entry.name.value.as_str()));
    let narrations = narrations.map(|entry| (entry.span, &entry.name, &entry.value.told.text));
    narrations
        .chain(titles.map(|entry| (entry.span, &entry.name, &entry.value.text)))
        .filter(|(span, _, _)| project.could_be_read(*span))
        .map(|(_, name, text)| (name, text))
        .collect()
}

/// The language of a fallback that the tour does not have.
pub(crate) fn unknown_fallback(project: &Project, findings: &mut Findings<'_>) {
    if project.language.is_empty() {
        return;
    }
    let known = |name: &str| name == project.language || project.other_languages.names(name);
    for entry in &project.other_languages.entries {
        let Some(fallback) = &entry.value.fallback else { continue };
        if known(&fallback.value) && fallback.value != entry.name.value {
            continue;
        }
        let headline = format!("`{}` is no other language of this tour", fallback.value);
        let help = format!("write `fallback: {}`, or leave it out", project.language);
        let finding = findings.error("unknown-fallback", fallback.span, headline).help(help);
        findings.put(finding);
    }
}
