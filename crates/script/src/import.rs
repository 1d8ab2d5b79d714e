//! What an edited sheet changes in a project: only texts and notes, each only where nobody else has
//! changed it meanwhile.

mod garbled;
mod target;

use std::collections::BTreeMap;

use diagnostic::Diagnostic;
use route::model::ByLanguage;
use route::{Project, Spanned, TextPlace, near};

use crate::columns::Column;
use crate::document::{Version, numbered};
use crate::sheet::{Row, Sheet};
use crate::text::{MadeFrom, digest, tidy};
use garbled::garbled;
use target::target;

/// What of a narration is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// What is said.
    Text,
    /// How its words are spoken.
    Pronunciation,
}

/// A text that the sheet changes.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// The narration's number in the tour; none where the tour does not ask for it.
    pub number: Option<u32>,
    /// Its name.
    pub name: String,
    /// Which of its texts.
    pub version: Version,
    /// The language.
    pub language: String,
    /// What of it.
    pub field: Field,
    /// What is there now; none where nothing is.
    pub before: Option<String>,
    /// What the sheet has.
    pub after: String,
    /// Where it is to be written.
    pub place: TextPlace,
}

/// What somebody wrote for the editor and not for the tour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Remark {
    /// The narration's name.
    pub name: String,
    /// Which of its texts.
    pub version: Version,
    /// The language.
    pub language: String,
    /// Take, its length and remark, as they stand in the sheet, those that are empty left out.
    pub words: Vec<String>,
}

/// What comes of a sheet.
#[derive(Clone, Debug, Default)]
pub struct Import {
    /// What it changes, in the order of its rows.
    pub changes: Vec<Change>,
    /// How many of its rows change nothing.
    pub unchanged: usize,
    /// What is written in it for the editor.
    pub remarks: Vec<Remark>,
    /// What is wrong with it, or should be known. While one of these is an error nothing should be
    /// written.
    pub findings: Vec<Diagnostic>,
}

/// What a row speaks of.
type Key<'a> = (&'a str, Version, &'a str);

/// Compares a sheet with a project.
#[must_use]
pub fn compare(project: &Project, sheet: &Sheet) -> Import {
    let numbers: BTreeMap<&str, u32> =
        numbered(project).into_iter().map(|(number, name)| (name, number)).collect();
    let mut comparing = Comparing { project, sheet, numbers, import: Import::default() };
    comparing.import.findings.extend(sheet.notes.iter().cloned());
    let mut seen: BTreeMap<Key<'_>, &Row> = BTreeMap::new();
    for row in &sheet.rows {
        let Some(key) = comparing.key(row) else { continue };
        if let Some(first) = seen.insert(key, row) {
            let (name, version, language) = key;
            let headline =
                format!("there are two rows for `{name}`, {} in {language}", version.word());
            let finding =
                Diagnostic::error("sheet-row-twice", sheet.place(row, Column::Name), headline)
                    .related(sheet.place(first, Column::Name), "the first one")
                    .help("take out the one that is not meant");
            comparing.import.findings.push(finding);
            continue;
        }
        comparing.row(row, key);
    }
    comparing.missing(&seen);
    comparing.import
}

struct Comparing<'a> {
    project: &'a Project,
    sheet: &'a Sheet,
    numbers: BTreeMap<&'a str, u32>,
    import: Import,
}

impl<'a> Comparing<'a> {
    fn error(&mut self, name: &'static str, row: &Row, column: Column, what: String, help: &str) {
        let headline = format!("row {}, column `{}`: {what}", row.number, column.key());
        let finding = Diagnostic::error(name, self.sheet.place(row, column), headline).help(help);
        self.import.findings.push(finding);
    }

    /// What a row speaks of; none where that cannot be told, which is reported.
    fn key(&mut self, row: &'a Row) -> Option<Key<'a>> {
        for column in Column::NEEDED {
            if let Some(what) = row.strange(column) {
                let what = format!("the cell holds {what} and no text");
                let help = "write the text again, with an apostrophe before it where it begins \
                            with `=`, `+`, `-` or a number";
                self.error("sheet-cell-no-text", row, column, what, help);
                return None;
            }
        }
        let name = row.text(Column::Name).trim();
        let Some(entry) = self.project.narrations.get(name) else {
            let names = self.project.narrations.entries.iter().map(|entry| &*entry.name.value);
            let (what, help) = if name.is_empty() {
                ("the row has no name".to_owned(), "put back the name that it had".to_owned())
            } else {
                let meant = near(name, names);
                let help = meant.map_or_else(
                    || "put back the name that it had; names are changed in the files".to_owned(),
                    |meant| format!("`{meant}` is near"),
                );
                (format!("no narration is called `{name}`"), help)
            };
            self.error("sheet-name-unknown", row, Column::Name, what, &help);
            return None;
        };
        let language = row.text(Column::Language).trim();
        let other = self.project.other_languages.entries.iter();
        let other = other.map(|entry| entry.name.value.as_str());
        let carried = self.project.carried.iter().map(|tag| tag.value.as_str());
        let mut own: Vec<&str> = vec![self.project.language.as_str()];
        for language in carried.chain(other) {
            if !own.contains(&language) {
                own.push(language);
            }
        }
        let Some(language) = own.iter().copied().find(|own| *own == language) else {
            let what = format!("this tour is not told in the language `{language}`");
            let help = format!("it is told in {}", own.join(", "));
            self.error("sheet-language-unknown", row, Column::Language, what, &help);
            return None;
        };
        let version = match row.text(Column::Version).trim().to_lowercase().as_str() {
            "long" => Version::Long,
            "short" => Version::Short,
            other => {
                let what = format!("`{other}` is none of the two versions");
                self.error(
                    "sheet-version-unknown",
                    row,
                    Column::Version,
                    what,
                    "write long or short",
                );
                return None;
            }
        };
        Some((entry.name.value.as_str(), version, language))
    }

    fn row(&mut self, row: &'a Row, (name, version, language): Key<'a>) {
        let Some(made_from) = MadeFrom::read(row.text(Column::MadeFrom)) else {
            let what = "it does not say of which text the row was made".to_owned();
            let help = "put back what was there, from the sheet as it was written: by it is seen \
                        whether somebody has changed the text meanwhile";
            self.error("sheet-origin-missing", row, Column::MadeFrom, what, help);
            return;
        };
        self.remark(row, (name, version, language));
        let before = self.import.changes.len() + self.import.findings.len();
        let fields = [
            (Field::Text, Column::Text, made_from.text),
            (Field::Pronunciation, Column::Pronunciation, made_from.note),
        ];
        for (field, column, origin) in fields {
            // Whoever takes the column of notes out of a sheet takes no note away.
            if self.sheet.columns.contains_key(&column) {
                self.field(row, (name, version, language), field, column, &origin);
            }
        }
        if self.import.changes.len() + self.import.findings.len() == before {
            self.import.unchanged += 1;
        }
    }

    fn field(
        &mut self,
        row: &Row,
        (name, version, language): Key<'_>,
        field: Field,
        column: Column,
        origin: &str,
    ) {
        let texts = authored(self.project, name, version, field);
        let own = language == self.project.language;
        let now = texts.and_then(|texts| texts.get(language, own));
        let before = now.map(|now| tidy(&now.value));
        let after = tidy(row.text(column));
        if before.as_deref().unwrap_or_default() == after {
            return;
        }
        let what = match field {
            Field::Text => "text",
            Field::Pronunciation => "note on pronunciation",
        };
        let made = if after.is_empty() { digest(None) } else { digest(Some(&after)) };
        let was = digest(before.as_deref());
        if made == origin {
            // The sheet has it as it was; the tour has a newer one.
            let finding = Diagnostic::note(
                "sheet-text-older",
                self.sheet.place(row, column),
                format!("the {what} of `{name}` in {language} is newer in the tour, and stays"),
            );
            self.import.findings.push(with_place(finding, self.project, now, "the newer one"));
            return;
        }
        if was != origin {
            let there = before.as_deref().unwrap_or("nothing");
            let here = if after.is_empty() { "nothing" } else { &after };
            let headline = format!(
                "row {}, column `{}`: the {what} of `{name}` in {language} was changed here, and \
                 meanwhile in the tour too",
                row.number,
                column.key()
            );
            let finding = Diagnostic::error("text-changed-twice", self.sheet.place(row, column), headline)
                .help(format!(
                    "in the tour: {there}\nin the sheet: {here}\nwrite into the sheet what is to be \
                     said, with what is in the tour now as its origin: `fulmar script` writes a new \
                     sheet"
                ));
            self.import.findings.push(with_place(
                finding,
                self.project,
                now,
                "as it is in the tour",
            ));
            return;
        }
        if after.is_empty() {
            let what = format!("the {what} of `{name}` has been emptied");
            let help =
                "put the text back; what is not to be said any more is taken out of the rules";
            let help = if field == Field::Text { help } else { "a note is taken out in the file" };
            self.error("sheet-text-empty", row, column, what, help);
            return;
        }
        if let Some(what) = garbled(before.as_deref().unwrap_or_default(), &after) {
            let help = "the sheet was opened or saved in an encoding that is not its own; take it \
                        anew, and save it as .xlsx, or as .csv in UTF-8";
            self.error("sheet-garbled", row, column, what, help);
            return;
        }
        match target(self.project, name, version, field, language, now.map(|now| now.span)) {
            Ok(place) => self.import.changes.push(Change {
                number: self.numbers.get(name).copied(),
                name: name.to_owned(),
                version,
                language: language.to_owned(),
                field,
                before,
                after,
                place,
            }),
            Err(help) => {
                let what = format!("there is no place yet for a {what} of `{name}` in {language}");
                self.error("sheet-text-no-place", row, column, what, &help);
            }
        }
    }

    fn remark(&mut self, row: &Row, (name, version, language): Key<'_>) {
        let columns = [Column::Take, Column::TakeLength, Column::Remark];
        let said = columns.into_iter().filter(|column| !row.text(*column).trim().is_empty());
        let words = said.map(|column| format!("{}: {}", column.key(), row.text(column).trim()));
        let words: Vec<String> = words.collect();
        if !words.is_empty() {
            let (name, language) = (name.to_owned(), language.to_owned());
            self.import.remarks.push(Remark { name, version, language, words });
        }
    }

    /// Texts of the sheet's languages that have no row: that is said, and they stay.
    fn missing(&mut self, seen: &BTreeMap<Key<'_>, &Row>) {
        let mut languages: Vec<&str> = seen.keys().map(|(.., language)| *language).collect();
        languages.sort_unstable();
        languages.dedup();
        for language in languages {
            let own = language == self.project.language;
            let missing: Vec<String> = numbered(self.project)
                .into_iter()
                .flat_map(|(_, name)| [(name, Version::Long), (name, Version::Short)])
                .filter(|(name, version)| {
                    let texts = authored(self.project, name, *version, Field::Text);
                    let is_there = texts.is_some_and(|texts| texts.get(language, own).is_some());
                    is_there && !seen.contains_key(&(*name, *version, language))
                })
                .map(|(name, version)| match version {
                    Version::Long => name.to_owned(),
                    Version::Short => format!("{name} (short)"),
                })
                .collect();
            if missing.is_empty() {
                continue;
            }
            let many = missing.len();
            let headline = format!(
                "{many} text{} of the tour in {language} {} no row, and {} as {} {}: {}",
                if many == 1 { "" } else { "s" },
                if many == 1 { "has" } else { "have" },
                if many == 1 { "stays" } else { "stay" },
                if many == 1 { "it" } else { "they" },
                if many == 1 { "is" } else { "are" },
                missing.join(", ")
            );
            let place = diagnostic::Place::whole(self.sheet.file.as_str());
            self.import.findings.push(
                Diagnostic::warning("sheet-row-missing", place, headline)
                    .help("if they were taken out by mistake, put their rows back"),
            );
        }
    }
}

fn with_place(
    finding: Diagnostic,
    project: &Project,
    now: Option<&Spanned<String>>,
    label: &str,
) -> Diagnostic {
    match now {
        Some(now) => finding.related(project.sources.place(now.span), label),
        None => finding,
    }
}

/// What an author wrote of a narration, by language.
fn authored<'p>(
    project: &'p Project,
    name: &str,
    version: Version,
    field: Field,
) -> Option<&'p ByLanguage<String>> {
    let narration = &project.narrations.get(name)?.value;
    match (field, version) {
        (Field::Text, Version::Long) => Some(&narration.told.text),
        (Field::Text, Version::Short) => narration.short.as_ref().map(|short| &short.value.text),
        (Field::Pronunciation, Version::Long) => narration.pronunciation.as_ref(),
        // Notes stand with the long version.
        (Field::Pronunciation, Version::Short) => None,
    }
}

/// Where what a change writes is read again: the text there; for whoever checks what was written.
#[must_use]
pub fn written<'p>(project: &'p Project, change: &Change) -> Option<&'p Spanned<String>> {
    let texts = authored(project, &change.name, change.version, change.field)?;
    texts.get(&change.language, change.language == project.language)
}
