//! A text as it is in a cell, and the digest by which it is seen whether it is still the same.

/// A text as it is compared and written: line breaks are `\n`, no blanks stand at the end of a line
/// or at either end of the whole.
pub(crate) fn tidy(text: &str) -> String {
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let lines: Vec<&str> = text.trim().split('\n').map(str::trim_end).collect();
    lines.join("\n")
}

/// What a spreadsheet program takes for the beginning of a formula.
const FORMULA: [char; 4] = ['=', '+', '-', '@'];

/// A text for a cell of CSV: with an apostrophe before what would be taken for a formula, and one
/// more before what would be taken for that.
pub(crate) fn guarded(text: &str) -> String {
    let bare = text.trim_start_matches('\'');
    if bare.starts_with(FORMULA) { format!("'{text}") } else { text.to_owned() }
}

/// A text for a cell of a workbook, where nothing is taken for a formula.
pub(crate) fn guarded_in_workbook(text: &str) -> String {
    if text.starts_with('\'') { guarded(text) } else { text.to_owned() }
}

/// A text of a cell without the apostrophe of [`guarded`].
pub(crate) fn unguarded(text: &str) -> &str {
    let bare = text.trim_start_matches('\'');
    let guarded = text.strip_prefix('\'').filter(|_| bare.starts_with(FORMULA));
    guarded.unwrap_or(text)
}

/// How many hexadecimal digits of a digest a sheet carries: a text that was changed passes for the
/// one it was once in a million millions.
const DIGITS: usize = 10;

/// The digest of a text, or `none`: the first digits of BLAKE3 over its UTF-8 bytes.
pub(crate) fn digest(text: Option<&str>) -> String {
    let Some(text) = text else { return "none".to_owned() };
    let hex = blake3::hash(tidy(text).as_bytes()).to_hex();
    hex.chars().take(DIGITS).collect()
}

/// What a sheet says a text and its notes were when it was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct MadeFrom {
    /// The digest of the text.
    pub(crate) text: String,
    /// The digest of the notes on its pronunciation.
    pub(crate) note: String,
}

impl MadeFrom {
    /// Of a text and its notes as they are.
    pub(crate) fn new(text: Option<&str>, note: Option<&str>) -> Self {
        Self { text: digest(text), note: digest(note) }
    }

    /// As it stands in a cell: `text-3f2a9c0b1d note-none`. No spreadsheet takes that for a number
    /// or a date.
    pub(crate) fn cell(&self) -> String {
        format!("text-{} note-{}", self.text, self.note)
    }

    /// Read from a cell; none where it is something else.
    pub(crate) fn read(cell: &str) -> Option<Self> {
        let is_digest = |digest: &&str| {
            *digest == "none"
                || (digest.len() == DIGITS && digest.bytes().all(|byte| byte.is_ascii_hexdigit()))
        };
        let mut words = cell.split_whitespace();
        let text = words.next()?.strip_prefix("text-").filter(is_digest)?;
        let note = words.next()?.strip_prefix("note-").filter(is_digest)?;
        if words.next().is_some() {
            return None;
        }
        Some(Self { text: text.to_owned(), note: note.to_owned() })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_spreadsheet_does_to_line_breaks_and_blanks_is_no_change() {
        assert_eq!(tidy("  a \r\nb\rc\n\n"), "a\nb\nc");
        assert_eq!(digest(Some("a\r\nb ")), digest(Some("a\nb")));
        assert_ne!(digest(Some("a b")), digest(Some("a\nb")));
    }

    #[test]
    fn what_would_be_a_formula_is_read_as_it_was_written() {
        for text in ["=1", "- a", "'=1", "''+", "'tis", "", "'", "a", "@"] {
            assert_eq!(unguarded(&guarded(text)), text);
            assert_eq!(unguarded(&guarded_in_workbook(text)), text);
        }
        assert_eq!((guarded("-"), guarded_in_workbook("-")), ("'-".to_owned(), "-".to_owned()));
    }

    #[test]
    fn where_a_row_comes_from_is_read_as_it_was_written() {
        let made = MadeFrom::new(Some("Tinker's Arch"), None);
        assert_eq!(MadeFrom::read(&made.cell()), Some(made));
        for other in ["", "text-none", "text-3f note-none", "text-none note-none x", "3 note-none"]
        {
            assert_eq!(MadeFrom::read(other), None, "{other}");
        }
    }
}
