//! What is noted of a folder of takes: which words each take was recorded for.
//!
//! It is a JSON file beside the takes, a line a take, to be read and edited by people too: an
//! editor chooses a take by `"chosen": true`. A take is known by its content, so renaming a file
//! loses nothing, and a file recorded over is a new take.

use std::fmt::Write;

use diagnostic::{Diagnostic, Place};
use serde::{Deserialize, Serialize};

use super::{Cue, same_words};
use crate::digest::Digest;

/// The name that the file says it has.
const FORMAT: &str = "fulmar-takes";
const VERSION: u32 = 1;

/// A take that is noted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Noted {
    /// The name of the narration.
    pub cue: String,
    /// The language.
    pub language: String,
    /// The number of the take.
    pub take: u32,
    /// The file as seen from the folder, when it was last seen.
    pub file: String,
    /// Whether an editor has chosen it; without any that is chosen, the highest number is used.
    pub chosen: bool,
    /// The digest of its content, 64 hexadecimal digits.
    pub content: String,
    /// The text when it was recorded.
    pub text: String,
}

/// The takes that are noted, in the order in which they were.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Ledger {
    noted: Vec<Noted>,
}

#[derive(Deserialize)]
struct Head {
    format: String,
    version: u32,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Wire {
    #[serde(rename = "format")]
    _format: String,
    #[serde(rename = "version")]
    _version: u32,
    takes: Vec<Noted>,
}

impl Ledger {
    /// Reads the text of a ledger; `file` is its name.
    ///
    /// # Errors
    /// What is wrong with it, where, and what to do.
    pub fn read(text: &str, file: &str) -> Result<Self, Box<Diagnostic>> {
        let wrong = |error: &serde_json::Error| {
            Box::new(
                Diagnostic::error(
                    "takes-file",
                    place(text, file, error),
                    format!("this is not what notes of takes look like: {error}"),
                )
                .help("undo what was last changed in it, or take the file away and note anew"),
            )
        };
        let text = text.trim_start_matches('\u{feff}');
        let head: Head = serde_json::from_str(text).map_err(|error| wrong(&error))?;
        if head.format != FORMAT || head.version != VERSION {
            return Err(Box::new(
                Diagnostic::error(
                    "takes-file",
                    Place::whole(file),
                    format!(
                        "this is {} {}, and {FORMAT} {VERSION} is wanted",
                        head.format, head.version
                    ),
                )
                .help("use the fulmar that wrote it, or take the file away and note anew"),
            ));
        }
        let wire: Wire = serde_json::from_str(text).map_err(|error| wrong(&error))?;
        Ok(Self { noted: wire.takes })
    }

    /// The text of the file: a line a take.
    #[must_use]
    pub fn write(&self) -> String {
        let mut text =
            format!("{{\n\"format\": \"{FORMAT}\", \"version\": {VERSION},\n\"takes\": [");
        for (index, noted) in self.noted.iter().enumerate() {
            // A plain struct of texts and numbers always has a JSON form.
            let line = serde_json::to_string(noted).unwrap_or_default();
            let comma = if index == 0 { "" } else { "," };
            let _ = write!(text, "{comma}\n{line}");
        }
        text.push_str("\n]\n}\n");
        text
    }

    /// All takes that are noted.
    #[must_use]
    pub fn noted(&self) -> &[Noted] {
        &self.noted
    }

    /// The takes that are noted of a cue.
    pub(super) fn of(&self, cue: &Cue) -> impl Iterator<Item = &Noted> {
        let (name, language) = (cue.name.clone(), cue.language.clone());
        self.noted.iter().filter(move |noted| noted.cue == name && noted.language == language)
    }

    /// What is noted of a content as a take of a cue.
    pub(super) fn find(&self, cue: &Cue, content: Digest) -> Option<&Noted> {
        let content = content.to_string();
        self.of(cue).find(|noted| noted.content == content)
    }

    /// Notes a take. One that is known keeps its text, but for one that is accepted.
    pub(super) fn note(
        &mut self,
        cue: &Cue,
        file: &str,
        take: u32,
        content: Digest,
        accepted: bool,
    ) {
        let content = content.to_string();
        let known = self.noted.iter_mut().find(|noted| {
            noted.cue == cue.name && noted.language == cue.language && noted.content == content
        });
        match known {
            Some(noted) => {
                noted.file = file.to_owned();
                noted.take = take;
                if accepted && !same_words(&noted.text, &cue.text) {
                    noted.text.clone_from(&cue.text);
                }
            }
            None => self.noted.push(Noted {
                cue: cue.name.clone(),
                language: cue.language.clone(),
                take,
                file: file.to_owned(),
                chosen: false,
                content,
                text: cue.text.clone(),
            }),
        }
    }
}

/// Where the reader of JSON stopped; its columns count bytes.
fn place(text: &str, file: &str, error: &serde_json::Error) -> Place {
    let before: usize =
        text.split_inclusive('\n').take(error.line().max(1) - 1).map(str::len).sum();
    let at = before + error.column().max(1) - 1;
    Place::in_text(file, text, at, at + 1)
}
