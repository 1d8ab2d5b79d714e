//! The grid: tours by aircraft, variant and language.

use std::io::{self, Write};

use serde_json::{Value, json};

use super::findings;
use super::identity::{Identity, NOT_FOR_NAVIGATION};
use super::table::Table;
use super::wire;
use super::words::counted;
use crate::input::grid::{Cell, Grid, Reason, Row, Tour};

/// The route as written, in a table.
const AS_WRITTEN: &str = "as written";

/// Prints it for people: a table for each tour, then what makes cells red, each once.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn text(out: &mut dyn Write, grid: &Grid, today: &str) -> io::Result<()> {
    let (cells, red) = grid.count();
    let has_cells = |tour: &&Tour| tour.rows.iter().any(|row| !row.cells.is_empty());
    let tours = grid.tours.iter().filter(has_cells).count();
    writeln!(
        out,
        "{}, {}: {} green, {red} red; {NOT_FOR_NAVIGATION}",
        counted(tours, "tour"),
        counted(cells, "cell"),
        cells - red
    )?;
    if !today.is_empty() {
        writeln!(out, "today: {today}")?;
    }
    // A tour that has no such variant or language has no table.
    for tour in grid.tours.iter().filter(has_cells) {
        table(out, tour)?;
    }
    if grid.reasons.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nwhat is wrong, and what to do")?;
    for (number, reason) in grid.reasons.iter().enumerate() {
        let finding = &reason.finding;
        writeln!(
            out,
            "\n{}. {}: {}[{}]: {}",
            number + 1,
            finding.place,
            finding.severity,
            finding.name,
            finding.headline
        )?;
        for related in &finding.related {
            writeln!(out, "   {}: {}", related.place, related.label)?;
        }
        if !finding.help.is_empty() {
            writeln!(out, "   to do: {}", finding.help)?;
        }
        for line in whereabouts(grid, reason) {
            writeln!(out, "   in: {line}")?;
        }
    }
    Ok(())
}

fn table(out: &mut dyn Write, tour: &Tour) -> io::Result<()> {
    writeln!(out)?;
    match tour.rows.iter().flat_map(|row| &row.cells).find_map(|cell| cell.identity.as_ref()) {
        Some(identity) => {
            let (revision, status) = (identity.revision, identity.status());
            let lapsed = if tour.lapsed { "; its approval was given for another plan" } else { "" };
            writeln!(out, "{} ({}), revision {revision}, {status}{lapsed}", tour.title, tour.file)?;
        }
        None => writeln!(out, "{} ({})", tour.title, tour.file)?,
    }
    let mut head = vec!["aircraft", "variant"];
    head.extend(tour.languages.iter().map(String::as_str));
    let mut table = Table::new(&head);
    let mut before = "";
    for row in &tour.rows {
        let aircraft = if row.aircraft == before { "" } else { row.aircraft.as_str() };
        before = &row.aircraft;
        let mut cells = vec![aircraft.to_owned(), variant(row).to_owned()];
        cells.extend(row.cells.iter().map(verdict));
        table.row(cells);
    }
    table.print(out, "  ")
}

fn variant(row: &Row) -> &str {
    row.variant.as_deref().unwrap_or(AS_WRITTEN)
}

/// `green`, or `RED` with the numbers of the reasons.
fn verdict(cell: &Cell) -> String {
    if cell.reasons.is_empty() {
        return "green".to_owned();
    }
    let numbers: Vec<String> = cell.reasons.iter().map(|at| (at + 1).to_string()).collect();
    format!("RED {}", numbers.join(","))
}

/// In which cells something is wrong, a line for each tour.
fn whereabouts(grid: &Grid, reason: &Reason) -> Vec<String> {
    let mut lines = Vec::new();
    for (tour_at, tour) in grid.tours.iter().enumerate() {
        let mine: Vec<_> = reason.cells.iter().filter(|(tour, ..)| *tour == tour_at).collect();
        if mine.is_empty() {
            continue;
        }
        let all: usize = tour.rows.iter().map(|row| row.cells.len()).sum();
        if mine.len() == all {
            lines.push(match all {
                1 => tour.title.clone(),
                _ => format!("{}: everywhere", tour.title),
            });
            continue;
        }
        let rows = tour.rows.iter().enumerate().filter_map(|(row_at, row)| {
            let cells = mine.iter().filter(|(_, row, _)| *row == row_at);
            let languages: Vec<&str> = cells
                .filter_map(|(_, _, cell)| tour.languages.get(*cell).map(String::as_str))
                .collect();
            let name = format!("{} {}", row.aircraft, variant(row));
            match languages.len() {
                0 => None,
                number if number == row.cells.len() => Some(name),
                _ => Some(format!("{name} ({})", languages.join(", "))),
            }
        });
        lines.push(format!("{}: {}", tour.title, rows.collect::<Vec<_>>().join("; ")));
    }
    lines
}

/// The grid as JSON.
pub(crate) fn json(grid: &Grid, today: &str) -> Value {
    let (format, version) = wire::GRID;
    let (cells, red) = grid.count();
    let reasons: Vec<Value> =
        grid.reasons.iter().map(|reason| findings::as_json(&reason.finding)).collect();
    let rows = |tour: &Tour| -> Vec<Value> {
        let cells = tour.rows.iter().flat_map(|row| {
            let cells = row.cells.iter().zip(&tour.languages);
            cells.map(move |(cell, language)| {
                json!({
                    "aircraft": row.aircraft,
                    "variant": row.variant,
                    "language": language,
                    "green": cell.reasons.is_empty(),
                    "reasons": cell.reasons,
                    "plan": cell.identity.as_ref().map(Identity::json),
                })
            })
        });
        cells.collect()
    };
    let tours: Vec<Value> = grid
        .tours
        .iter()
        .map(|tour| {
            json!({
                "file": tour.file,
                "title": tour.title,
                "approval_lapsed": tour.lapsed,
                "cells": rows(tour),
            })
        })
        .collect();
    json!({
        "format": format,
        "version": version,
        "use": NOT_FOR_NAVIGATION,
        "day": today,
        "number_of_cells": cells,
        "number_red": red,
        "tours": tours,
        "reasons": reasons,
    })
}
