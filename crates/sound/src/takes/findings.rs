//! What is the matter with a folder of takes, said to people.

use diagnostic::{Diagnostic, Place};

use super::{Astray, Cue, Matched, Standing, TakeFile};

/// So many names are told of those that lack a take; the rest are counted.
const MOST_NAMES: usize = 6;

impl Matched {
    /// What is the matter; `folder` is the folder's name, without a `/` at its end. What is the
    /// matter with a recording itself is told by its own review.
    #[must_use]
    pub fn findings(&self, cues: &[Cue], files: &[TakeFile], folder: &str) -> Vec<Diagnostic> {
        let at = |file: usize| Place::whole(format!("{folder}/{}", files[file].path));
        let mut found = self.missing(cues, folder);
        for (cue, own) in cues.iter().zip(&self.cues) {
            let Some(take) = own.take().filter(|_| cue.said) else { continue };
            if matches!(own.standing, Standing::TextChanged { .. }) {
                let Cue { name, language, .. } = cue;
                found.push(
                    Diagnostic::warning(
                        "take-outdated",
                        at(take.file),
                        format!(
                            "the text of `{name}` in {language} has changed since this was recorded"
                        ),
                    )
                    .help(format!(
                        "record it again, or, if it still fits: --accept {name}/{language}"
                    )),
                );
            }
        }
        for (file, why) in &self.astray {
            found.push(match why {
                Astray::NoCue { near } => {
                    let help = match near {
                        Some(near) => format!("is it `{near}`? "),
                        None => String::new(),
                    };
                    Diagnostic::warning(
                        "take-astray",
                        at(*file),
                        "this is a take of no narration that there is",
                    )
                    .help(format!(
                        "{help}name it by number, narration, language and take, such as 012_arch_de_t2"
                    ))
                }
                Astray::NoLanguage => Diagnostic::warning(
                    "take-language",
                    at(*file),
                    "this take does not say in which language it is",
                )
                .help("put the language into its name, such as 012_arch_de_t2, or into a folder's"),
            });
        }
        for (one, other) in &self.doubles {
            found.push(
                Diagnostic::warning(
                    "take-twice",
                    at(*one),
                    format!(
                        "{} is the same take by its name, and has another content",
                        files[*other].path
                    ),
                )
                .help("give the later one the next number; until then the last by name is used"),
            );
        }
        for (cue, file) in &self.gone {
            let Some(Cue { name, language, said: true, .. }) = cues.get(*cue) else { continue };
            found.push(
                Diagnostic::warning(
                    "take-gone",
                    Place::whole(format!("{folder}/{file}")),
                    format!("this take of `{name}` in {language} was chosen, and is gone or recorded over"),
                )
                .help("bring it back, or choose another in the notes; until then the newest is used"),
            );
        }
        found
    }

    /// A finding for each language that lacks takes.
    fn missing(&self, cues: &[Cue], folder: &str) -> Vec<Diagnostic> {
        let mut languages: Vec<&str> = Vec::new();
        for cue in cues {
            if !languages.contains(&cue.language.as_str()) {
                languages.push(&cue.language);
            }
        }
        let mut found = Vec::new();
        for language in languages {
            let pairs = || {
                cues.iter().zip(&self.cues).filter(|(cue, _)| cue.said && cue.language == language)
            };
            let names: Vec<String> = pairs()
                .filter(|(_, own)| own.standing == Standing::Missing)
                .map(|(cue, _)| format!("`{}`", cue.name))
                .collect();
            if names.is_empty() {
                continue;
            }
            let shown = names.iter().take(MOST_NAMES).cloned().collect::<Vec<_>>().join(", ");
            let more = match names.len().saturating_sub(MOST_NAMES) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            found.push(
                Diagnostic::warning(
                    "take-missing",
                    Place::whole(folder),
                    format!(
                        "{} of {} narrations have no take in {language}: {shown}{more}",
                        names.len(),
                        pairs().count()
                    ),
                )
                .help("record them, and name each file such as 012_arch_de_t2"),
            );
        }
        found
    }
}
