//! Texts that were not edited but spoilt: read or saved in an encoding that is not theirs.

use crate::sheet::western_byte;

/// What happened to a text, where it is certain that nobody meant it.
pub(super) fn garbled(before: &str, after: &str) -> Option<String> {
    if after.contains('\u{FFFD}') {
        return Some("characters have been lost (there is a `\u{FFFD}`)".to_owned());
    }
    if let Some(c) = after.chars().find(|c| c.is_control() && !matches!(c, '\n' | '\t')) {
        return Some(format!("there is a control character (U+{:04X})", u32::from(c)));
    }
    if let Some((from, to)) = twice_encoded(after) {
        return Some(format!(
            "`{from}` stands where `{to}` was: UTF-8 that was read as Windows-1252"
        ));
    }
    let lost = before.chars().zip(after.chars()).find(|(was, is)| was != is && *is == '?');
    let same = before.chars().count() == after.chars().count()
        && before
            .chars()
            .zip(after.chars())
            .all(|(was, is)| was == is || (is == '?' && !was.is_ascii()));
    match lost {
        Some((was, _)) if same => Some(format!("`?` stands where `{was}` was")),
        _ => None,
    }
}

/// The first run of characters that is UTF-8 read as Windows-1252, and what it was: `Ã¼` for `ü`.
fn twice_encoded(text: &str) -> Option<(String, String)> {
    let mut run = String::new();
    for c in text.chars().chain(['\n']) {
        if !c.is_ascii() && western_byte(c).is_some() {
            run.push(c);
            continue;
        }
        if !run.is_empty() {
            let bytes: Vec<u8> = run.chars().filter_map(western_byte).collect();
            let meant = String::from_utf8(bytes).ok();
            // `weiß“` could be a letter of a script that nobody here writes.
            if let Some(meant) = meant.filter(|meant| meant.chars().all(is_usual)) {
                return Some((run, meant));
            }
            run.clear();
        }
    }
    None
}

/// Letters and marks of western languages.
fn is_usual(c: char) -> bool {
    matches!(c, '\u{A0}'..='\u{17F}' | '\u{2010}'..='\u{2044}' | '€' | '™')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_an_encoding_spoilt_is_told_from_what_was_edited() {
        let spoilt = [
            ("Wärter", "WÃ¤rter"),
            ("„Neuen“", "â€žNeuenâ€œ"),
            ("Wärter", "W\u{FFFD}rter"),
            ("日本", "??"),
            ("a", "a\u{8}"),
        ];
        for (before, after) in spoilt {
            assert!(garbled(before, after).is_some(), "{after}");
        }
        let edited = [
            ("Wärter", "Wächter"),
            ("Ja.", "Ja?"),
            ("Was sonst!", "Was sonst?"),
            ("", "Ça va, señor? Größe – „gut“ … São Ânia"),
            ("", "ÄÖÜ äöüß é è ê ë î ï"),
            ("", "„Das weiß“, sagt er, „daß“ und ‚Spaß‘"),
            ("one", "one\n\ntwo\tthree"),
        ];
        for (before, after) in edited {
            assert_eq!(garbled(before, after), None, "{after}");
        }
    }
}
