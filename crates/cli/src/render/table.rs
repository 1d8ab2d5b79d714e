//! Columns of text for people.

use std::io::{self, Write};

/// A table that is printed once its columns' widths are known: each as wide as its widest cell.
///
/// Columns count characters; text of scripts whose letters are wider or narrower than one cell
/// stands a little out of line and nothing else.
#[derive(Debug)]
pub(crate) struct Table {
    head: Vec<String>,
    right: Vec<bool>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// A table with these headings; one that begins with `>` has its column set to the right.
    pub(crate) fn new(head: &[&str]) -> Self {
        Self {
            head: head.iter().map(|name| name.trim_start_matches('>').to_owned()).collect(),
            right: head.iter().map(|name| name.starts_with('>')).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; cells beyond the headings are left out.
    pub(crate) fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// Prints it, each line after `indent`.
    ///
    /// # Errors
    /// Where `out` cannot be written.
    pub(crate) fn print(&self, out: &mut dyn Write, indent: &str) -> io::Result<()> {
        let widths: Vec<usize> = self
            .head
            .iter()
            .enumerate()
            .map(|(column, head)| {
                let cells = self.rows.iter().filter_map(|row| row.get(column));
                cells.map(|cell| cell.chars().count()).chain([head.chars().count()]).max()
            })
            .map(Option::unwrap_or_default)
            .collect();
        if self.head.iter().any(|head| !head.is_empty()) {
            self.line(out, indent, &widths, &self.head)?;
        }
        for row in &self.rows {
            self.line(out, indent, &widths, row)?;
        }
        Ok(())
    }

    fn line(
        &self,
        out: &mut dyn Write,
        indent: &str,
        widths: &[usize],
        cells: &[String],
    ) -> io::Result<()> {
        let mut line = String::from(indent);
        for ((cell, width), right) in cells.iter().zip(widths).zip(&self.right) {
            if *right {
                line.push_str(&format!("{cell:>width$}  "));
            } else {
                line.push_str(&format!("{cell:<width$}  "));
            }
        }
        writeln!(out, "{}", line.trim_end())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    #[test]
    fn columns_are_as_wide_as_their_widest_cell() {
        let mut table = Table::new(&["camera", ">shots"]);
        table.row(vec!["left".into(), "12".into()]);
        table.row(vec!["sæl-rookery".into(), "3".into()]);
        let mut out = Vec::new();
        table.print(&mut out, "  ").unwrap();
        assert_eq!(
            String::from_utf8(out).unwrap(),
            "  camera       shots\n  left            12\n  sæl-rookery      3\n"
        );
    }
}
