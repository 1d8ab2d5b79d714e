//! The bytes of a text file to text, as spreadsheet programs write it: UTF-8 with or without a byte
//! order mark, UTF-16 with one or plainly without, and else Windows-1252, which is said.

use diagnostic::{Diagnostic, Place};

/// Windows-1252 from 0x80 to 0x9F; the other bytes are the characters of the same number. Five are
/// none. By the Unicode Consortium's table CP1252.TXT (from memory).
const UPPER: [Option<char>; 32] = [
    Some('€'),
    None,
    Some('‚'),
    Some('ƒ'),
    Some('„'),
    Some('…'),
    Some('†'),
    Some('‡'),
    Some('ˆ'),
    Some('‰'),
    Some('Š'),
    Some('‹'),
    Some('Œ'),
    None,
    Some('Ž'),
    None,
    None,
    Some('‘'),
    Some('’'),
    Some('“'),
    Some('”'),
    Some('•'),
    Some('–'),
    Some('—'),
    Some('˜'),
    Some('™'),
    Some('š'),
    Some('›'),
    Some('œ'),
    None,
    Some('ž'),
    Some('Ÿ'),
];

fn western(byte: u8) -> Option<char> {
    match byte {
        0x80..=0x9F => UPPER.get(usize::from(byte - 0x80)).copied().flatten(),
        _ => Some(char::from(byte)),
    }
}

/// The byte of a character in Windows-1252, if it has one.
pub(crate) fn western_byte(c: char) -> Option<u8> {
    (0..=255).find(|byte| western(*byte) == Some(c))
}

/// The text of a file.
///
/// # Errors
/// A finding with the line where the bytes are no text in any of these encodings.
pub(super) fn decode(
    bytes: &[u8],
    file: &str,
    notes: &mut Vec<Diagnostic>,
) -> Result<String, Box<Diagnostic>> {
    if let Some(rest) = bytes.strip_prefix(b"\xEF\xBB\xBF") {
        return String::from_utf8(rest.to_vec()).map_err(|error| {
            let good = error.utf8_error().valid_up_to();
            undecodable(file, line_of(rest, good), "it says that it is UTF-8, and is not")
        });
    }
    if let Some(rest) = bytes.strip_prefix(b"\xFF\xFE") {
        return utf_16(rest, u16::from_le_bytes, file, "UTF-16", notes);
    }
    if let Some(rest) = bytes.strip_prefix(b"\xFE\xFF") {
        return utf_16(rest, u16::from_be_bytes, file, "UTF-16", notes);
    }
    // Headings are ASCII: in UTF-16 every second byte of theirs is nought.
    let start = bytes.get(..bytes.len().min(64)).unwrap_or_default();
    let noughts = |odd: usize| start.iter().skip(odd).step_by(2).filter(|byte| **byte == 0).count();
    if noughts(1) * 3 > start.len() {
        return utf_16(bytes, u16::from_le_bytes, file, "UTF-16 without a mark", notes);
    }
    if noughts(0) * 3 > start.len() {
        return utf_16(bytes, u16::from_be_bytes, file, "UTF-16 without a mark", notes);
    }
    match String::from_utf8(bytes.to_vec()) {
        Ok(text) => Ok(text),
        Err(error) => {
            let good = error.utf8_error().valid_up_to();
            let text: Option<String> = bytes.iter().map(|byte| western(*byte)).collect();
            let Some(text) = text else {
                let what = "it is neither UTF-8 nor Windows-1252";
                return Err(undecodable(file, line_of(bytes, good), what));
            };
            let line = line_of(bytes, good);
            let shown = text.lines().nth(line as usize - 1).unwrap_or_default();
            let word = shown.split([' ', ',', ';', '\t', '"']).find(|word| !word.is_ascii());
            let headline = match word {
                Some(word) => format!("read as Windows-1252, in which this line has `{word}`"),
                None => "read as Windows-1252".to_owned(),
            };
            let place = Place { line, column: 1, ..Place::whole(file) };
            notes.push(
                Diagnostic::warning("sheet-encoding", place, headline)
                    .help("if that is wrong, save the sheet as .xlsx, or as .csv in UTF-8"),
            );
            Ok(text)
        }
    }
}

fn utf_16(
    bytes: &[u8],
    order: fn([u8; 2]) -> u16,
    file: &str,
    what: &str,
    notes: &mut Vec<Diagnostic>,
) -> Result<String, Box<Diagnostic>> {
    let (pairs, odd) = bytes.as_chunks::<2>();
    let units: Vec<u16> = pairs.iter().map(|pair| order(*pair)).collect();
    let mut text = String::with_capacity(units.len());
    for unit in char::decode_utf16(units) {
        match unit {
            Ok(c) => text.push(c),
            Err(_) => {
                let line = line_of(text.as_bytes(), text.len());
                return Err(undecodable(file, line, "half of a character of UTF-16 is missing"));
            }
        }
    }
    if !odd.is_empty() {
        let line = line_of(text.as_bytes(), text.len());
        return Err(undecodable(
            file,
            line,
            "it is UTF-16 and ends in half a character: it is cut off",
        ));
    }
    notes.push(Diagnostic::note("sheet-encoding", Place::whole(file), format!("read as {what}")));
    Ok(text)
}

fn undecodable(file: &str, line: u32, what: &str) -> Box<Diagnostic> {
    let place = Place { line, column: 1, ..Place::whole(file) };
    Box::new(
        Diagnostic::error("sheet-undecodable", place, format!("this is no text: {what}"))
            .help("save the sheet as .xlsx, or as .csv in UTF-8"),
    )
}

fn line_of(bytes: &[u8], at: usize) -> u32 {
    let above = bytes.get(..at).unwrap_or_default();
    let lines = above.iter().filter(|byte| **byte == b'\n').count();
    u32::try_from(lines + 1).unwrap_or(u32::MAX)
}
