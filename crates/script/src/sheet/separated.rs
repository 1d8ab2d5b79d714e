//! A text of cells between commas, semicolons or tabs, as the spreadsheet programs of different
//! countries write it.

use diagnostic::{Diagnostic, Place};

use super::{Cell, MOST_COLUMNS, MOST_ROWS, Table, at, heading_row, no_headings};
use crate::columns::Column;

/// The rows of a text, and which of them has the headings. What parts the cells is seen by that
/// row; a line `sep=;`, which one such program writes at the top, is passed over.
pub(super) fn read(text: &str, file: &str) -> Result<(Table, usize), Box<Diagnostic>> {
    // With lines that end in two characters the reader would count them wrong.
    let text = &text.replace("\r\n", "\n").replace('\r', "\n");
    let mut best: Option<(usize, Table, usize)> = None;
    for separator in [b',', b';', b'\t'] {
        let table = rows(text, separator, file)?;
        let Some(heading) = heading_row(&table) else { continue };
        let known = table.get(heading).map_or(0, |(_, cells)| {
            let known =
                |cell: &&Cell| matches!(cell, Cell::Text(text) if Column::of(text).is_some());
            cells.iter().flatten().filter(known).count()
        });
        if best.as_ref().is_none_or(|(most, ..)| known > *most) {
            best = Some((known, table, heading));
        }
    }
    // Whoever writes a quotation mark into a cell doubles it and quotes the cell, so they are even.
    if let Some((_, table, _)) = &best
        && text.matches('"').count() % 2 == 1
    {
        let row = table.last().map_or(1, |(row, _)| *row);
        let headline = "a quotation mark opens a cell and none closes it";
        let finding = Diagnostic::error("sheet-cut-off", at(file, row, 1), headline);
        return Err(Box::new(
            finding.help("the file may be cut off: copy or save it again, best as .xlsx"),
        ));
    }
    let Some((_, table, heading)) = best else { return Err(Box::new(no_headings(file))) };
    Ok((table, heading))
}

fn rows(text: &str, separator: u8, file: &str) -> Result<Table, Box<Diagnostic>> {
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(separator)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut table = Table::new();
    let mut record = csv::StringRecord::new();
    let mut row: u64 = 0;
    loop {
        let from = reader.position().line();
        // The text is in memory and UTF-8, so there is nothing left that can go wrong.
        let more = reader.read_record(&mut record).map_err(|error| {
            let finding = Diagnostic::error("not-a-sheet", Place::whole(file), error.to_string());
            Box::new(finding.help("save the sheet as .xlsx, or as .csv in UTF-8"))
        })?;
        if !more {
            break;
        }
        // Rows are counted as a spreadsheet shows them: a cell may have several lines, and an empty
        // line, which the reader passes over, is a row.
        let lines = reader.position().line().saturating_sub(from).max(1);
        let within: usize = record.iter().map(|cell| cell.matches('\n').count()).sum();
        row += 1 + (lines - 1).saturating_sub(within as u64);
        let row = u32::try_from(row).unwrap_or(u32::MAX);
        if table.len() >= MOST_ROWS || record.len() > MOST_COLUMNS {
            return Err(too_large(file, row));
        }
        let cell = |text: &str| (!text.is_empty()).then(|| Cell::Text(text.to_owned()));
        table.push((row, record.iter().map(cell).collect()));
    }
    Ok(table)
}

pub(super) fn too_large(file: &str, row: u32) -> Box<Diagnostic> {
    let headline = format!("a sheet has at most {MOST_ROWS} rows and {MOST_COLUMNS} columns here");
    Box::new(
        Diagnostic::error("sheet-too-large", at(file, row, 1), headline)
            .help("take out what is not part of the script"),
    )
}
