//! A sheet that comes back: CSV however a spreadsheet program wrote it, or a workbook.

mod encoding;
mod separated;
mod workbook;

use std::collections::BTreeMap;

use diagnostic::{Diagnostic, Place};

use crate::columns::Column;
use crate::text::unguarded;
pub(crate) use encoding::western_byte;

/// The most rows that are believed; no tour says a thousandth of that.
pub(crate) const MOST_ROWS: usize = 20_000;
/// The most columns that are believed.
pub(crate) const MOST_COLUMNS: usize = 400;
/// Within how many rows the headings stand.
const HEADINGS_WITHIN: usize = 20;

/// A sheet as it came back: its rows, with what each has in the columns that are known.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The file's name as the person gave it.
    pub(crate) file: String,
    /// Where each column stands, from 1.
    pub(crate) columns: BTreeMap<Column, u32>,
    /// The rows below the headings that have anything in them.
    pub(crate) rows: Vec<Row>,
    /// What a person should know of how it was read.
    pub(crate) notes: Vec<Diagnostic>,
}

/// A row.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    /// Its number as a spreadsheet shows it, from 1.
    pub(crate) number: u32,
    cells: BTreeMap<Column, Cell>,
}

/// What a cell has in it; nothing at all where it is empty.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Cell {
    /// A text, as written.
    Text(String),
    /// What is no text, in words: `a date`, `the error #NAME?`.
    Other(String),
}

/// Rows of cells, each with its number.
pub(crate) type Table = Vec<(u32, Vec<Option<Cell>>)>;

impl Row {
    /// The text in a column; nothing where it is empty.
    pub(crate) fn text(&self, column: Column) -> &str {
        match self.cells.get(&column) {
            Some(Cell::Text(text)) => unguarded(text),
            _ => "",
        }
    }

    /// What is no text in a column that should have one.
    pub(crate) fn strange(&self, column: Column) -> Option<&str> {
        match self.cells.get(&column) {
            Some(Cell::Other(what)) => Some(what),
            _ => None,
        }
    }
}

impl Sheet {
    /// Reads a sheet from the bytes of a file, which is called `file`. A workbook is known by its
    /// content, whatever the file's name ends in.
    ///
    /// # Errors
    /// A finding where it is no sheet of a script, or cannot be read; with its place.
    pub fn read(bytes: &[u8], file: &str) -> Result<Self, Box<Diagnostic>> {
        if let Some(refused) = refused(bytes, file) {
            return Err(Box::new(refused));
        }
        let mut notes = Vec::new();
        let (table, heading) = if bytes.starts_with(b"PK") {
            workbook::read(bytes, file)?
        } else {
            let text = encoding::decode(bytes, file, &mut notes)?;
            separated::read(&text, file)?
        };
        let columns = columns(&table, heading, file, &mut notes)?;
        let body = table.into_iter().skip(heading + 1);
        let rows = body.filter_map(|(number, mut cells)| {
            let take = |(column, at): (&Column, &u32)| {
                let index = usize::try_from(*at).ok()?.checked_sub(1)?;
                Some((*column, cells.get_mut(index)?.take()?))
            };
            let cells: BTreeMap<Column, Cell> = columns.iter().filter_map(take).collect();
            let said = |cell: &Cell| !matches!(cell, Cell::Text(text) if text.trim().is_empty());
            cells.values().any(said).then_some(Row { number, cells })
        });
        let rows = rows.collect();
        Ok(Self { file: file.to_owned(), columns, rows, notes })
    }

    /// Where a column of a row is.
    pub(crate) fn place(&self, row: &Row, column: Column) -> Place {
        let column = self.columns.get(&column).copied().unwrap_or(1);
        at(&self.file, row.number, column)
    }
}

/// A row and column of a sheet as a place.
pub(crate) fn at(file: &str, row: u32, column: u32) -> Place {
    Place { line: row, column, ..Place::whole(file) }
}

/// What is certainly no sheet that can be read.
fn refused(bytes: &[u8], file: &str) -> Option<Diagnostic> {
    let start = bytes.iter().position(|byte| !byte.is_ascii_whitespace()).unwrap_or(bytes.len());
    let rest = bytes.get(start..).unwrap_or_default();
    let what = if rest.is_empty() {
        "it is empty"
    } else if bytes.starts_with(b"PK") && has(bytes, b"opendocument") {
        "it is an OpenDocument file"
    } else if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        "it is a workbook of the old kind (.xls), or one with a password"
    } else if rest.starts_with(b"%PDF") {
        "it is a PDF"
    } else if rest.starts_with(b"<") {
        "it is a page, and a page does not come back"
    } else {
        return None;
    };
    Some(not_a_sheet(file, what))
}

fn has(bytes: &[u8], word: &[u8]) -> bool {
    let beginning = bytes.get(..bytes.len().min(4096)).unwrap_or_default();
    beginning.windows(word.len()).any(|window| window == word)
}

fn not_a_sheet(file: &str, what: &str) -> Diagnostic {
    Diagnostic::error(
        "not-a-sheet",
        Place::whole(file),
        format!("this cannot be read as a sheet of a script: {what}"),
    )
    .help("save the sheet as .xlsx, or as .csv in UTF-8")
}

/// Which row has the headings: the first that has those of name and text.
pub(crate) fn heading_row(table: &Table) -> Option<usize> {
    let is_heading = |(_, cells): &(u32, Vec<Option<Cell>>)| {
        let has = |column| cells.iter().flatten().any(|cell| heading(cell) == Some(column));
        has(Column::Name) && has(Column::Text)
    };
    table.iter().take(HEADINGS_WITHIN).position(is_heading)
}

fn heading(cell: &Cell) -> Option<Column> {
    match cell {
        Cell::Text(text) => Column::of(text),
        Cell::Other(_) => None,
    }
}

pub(crate) fn no_headings(file: &str) -> Diagnostic {
    let needed: Vec<&str> = Column::NEEDED.iter().map(|column| column.key()).collect();
    Diagnostic::error(
        "sheet-without-headings",
        Place::whole(file),
        format!("none of the first {HEADINGS_WITHIN} rows has the headings of a script"),
    )
    .help(format!(
        "one row has to have at least {}; write the sheet again with `fulmar script`, and leave \
         that row as it is",
        needed.join(", ")
    ))
}

fn columns(
    table: &Table,
    heading_at: usize,
    file: &str,
    notes: &mut Vec<Diagnostic>,
) -> Result<BTreeMap<Column, u32>, Box<Diagnostic>> {
    let empty = (1, Vec::new());
    let (row, cells) = table.get(heading_at).unwrap_or(&empty);
    let mut columns = BTreeMap::new();
    let mut strange = Vec::new();
    for (number, cell) in (1_u32..).zip(cells) {
        let Some(cell) = cell else { continue };
        match heading(cell) {
            Some(column) => {
                if let Some(first) = columns.insert(column, number) {
                    let headline =
                        format!("there are two columns with the heading `{}`", column.key());
                    let finding =
                        Diagnostic::error("sheet-column-twice", at(file, *row, number), headline)
                            .related(at(file, *row, first), "the first one")
                            .help("take out the one that is not meant");
                    return Err(Box::new(finding));
                }
            }
            None => {
                if let Cell::Text(text) = cell
                    && !text.trim().is_empty()
                {
                    strange.push((number, text.trim().to_owned()));
                }
            }
        }
    }
    for needed in Column::NEEDED {
        if !columns.contains_key(&needed) {
            let headline = format!("the column `{}` is missing", needed.key());
            let finding = Diagnostic::error("sheet-column-missing", at(file, *row, 1), headline)
                .help(
                    "put it back, from the sheet as it was written; without it nobody can tell \
                     where a text belongs",
                );
            return Err(Box::new(finding));
        }
    }
    if let Some((first, _)) = strange.first() {
        let names: Vec<String> = strange.iter().map(|(_, name)| format!("`{name}`")).collect();
        let headline =
            format!("not read, since no column of a script is called so: {}", names.join(", "));
        notes.push(
            Diagnostic::note("sheet-column-unknown", at(file, *row, *first), headline)
                .help("if one of them is meant to come back, give it the heading that it had"),
        );
    }
    Ok(columns)
}
