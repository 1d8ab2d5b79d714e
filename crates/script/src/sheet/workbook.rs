//! A workbook of Office Open XML. Its cells are read one by one: a sheet may name a cell in the
//! last of a million rows, and no room is made for those between.

use std::collections::BTreeMap;
use std::io::{Cursor, Read, copy, sink};

use calamine::{DataRef, DataType, Reader, Xlsx, XlsxError};
use diagnostic::{Diagnostic, Place};

use super::separated::too_large;
use super::{Cell, MOST_COLUMNS, MOST_ROWS, Table, heading_row, no_headings, not_a_sheet};

/// The most bytes of a workbook's parts, unpacked; no script has a hundredth of that.
const MOST_UNPACKED: u64 = 256 << 20;

/// The rows of the one worksheet that has the headings of a script, and which of them has those.
pub(super) fn read(bytes: &[u8], file: &str) -> Result<(Table, usize), Box<Diagnostic>> {
    let refuse = |what: String| Box::new(not_a_sheet(file, &what));
    unpacks(bytes).map_err(refuse)?;
    let mut workbook = Xlsx::new(Cursor::new(bytes))
        .map_err(|error| refuse(format!("the workbook is damaged ({error})")))?;
    let mut found: Option<(String, Table, usize)> = None;
    for name in workbook.sheet_names() {
        let table = match table(&mut workbook, &name) {
            Ok(table) => table,
            Err(Wrong::TooLarge(row)) => return Err(too_large(file, row)),
            // A chart is no table.
            Err(Wrong::NoTable) => continue,
            Err(Wrong::Damaged(error)) => {
                return Err(refuse(format!("its worksheet `{name}` is damaged ({error})")));
            }
        };
        let Some(heading) = heading_row(&table) else { continue };
        if let Some((first, ..)) = &found {
            let headline = format!("two of its worksheets have a script: `{first}` and `{name}`");
            let finding = Diagnostic::error("sheet-twice", Place::whole(file), headline);
            return Err(Box::new(finding.help("take out the one that is not meant")));
        }
        found = Some((name, table, heading));
    }
    let Some((_, table, heading)) = found else { return Err(Box::new(no_headings(file))) };
    Ok((table, heading))
}

/// Unpacks all parts and forgets them: a small file may unpack to more than there is memory for.
fn unpacks(bytes: &[u8]) -> Result<(), String> {
    let damaged = |error: String| format!("the workbook is damaged ({error})");
    let mut archive =
        zip::ZipArchive::new(Cursor::new(bytes)).map_err(|error| damaged(error.to_string()))?;
    let mut left = MOST_UNPACKED;
    for index in 0..archive.len() {
        let part = archive.by_index(index).map_err(|error| damaged(error.to_string()))?;
        let unpacked = copy(&mut part.take(left + 1), &mut sink())
            .map_err(|error| damaged(error.to_string()))?;
        left = left
            .checked_sub(unpacked)
            .ok_or_else(|| format!("it unpacks to more than {} MiB", MOST_UNPACKED >> 20))?;
    }
    Ok(())
}

enum Wrong {
    NoTable,
    TooLarge(u32),
    Damaged(String),
}

fn table(workbook: &mut Xlsx<Cursor<&[u8]>>, name: &str) -> Result<Table, Wrong> {
    let mut cells = workbook.worksheet_cells_reader(name).map_err(|error| match error {
        XlsxError::NotAWorksheet(_) => Wrong::NoTable,
        error => Wrong::Damaged(error.to_string()),
    })?;
    let damaged = |error: XlsxError| Wrong::Damaged(error.to_string());
    let mut rows: BTreeMap<u32, Vec<Option<Cell>>> = BTreeMap::new();
    while let Some(found) = cells.next_cell().map_err(damaged)? {
        let (row, column) = found.get_position();
        let Some(cell) = cell(found.get_value()) else { continue };
        let index = usize::try_from(column).unwrap_or(usize::MAX);
        if index >= MOST_COLUMNS || (rows.len() >= MOST_ROWS && !rows.contains_key(&row)) {
            return Err(Wrong::TooLarge(row.saturating_add(1)));
        }
        let cells = rows.entry(row).or_default();
        if cells.len() <= index {
            cells.resize(index + 1, None);
        }
        if let Some(place) = cells.get_mut(index) {
            *place = Some(cell);
        }
    }
    Ok(rows.into_iter().map(|(row, cells)| (row.saturating_add(1), cells)).collect())
}

fn cell(value: &DataRef<'_>) -> Option<Cell> {
    match value {
        DataRef::Empty => None,
        DataRef::Error(error) => Some(Cell::Other(format!("the error {error}"))),
        DataRef::Bool(_) => Some(Cell::Other("a truth value".to_owned())),
        DataRef::DateTime(_) | DataRef::DateTimeIso(_) | DataRef::DurationIso(_) => {
            Some(Cell::Other("a date or time".to_owned()))
        }
        value => {
            let text = value.as_string().unwrap_or_default();
            (!text.is_empty()).then_some(Cell::Text(text))
        }
    }
}
