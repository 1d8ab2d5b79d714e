//! Where a text may be broken, how well, and how wide its pieces are.

use unicode_width::UnicodeWidthChar;

/// How wide a text is, in columns, which is also how many characters are reckoned to be read.
///
/// Every character counts one: letters, spaces and punctuation alike. A full-width one (as in
/// Chinese, Japanese and Korean) counts two, marks that stand on another character count none.
/// Guidelines differ in this; the timed text guide of the University of Tennessee Libraries also
/// counts spaces and punctuation.
#[must_use]
pub fn columns(text: &str) -> usize {
    text.chars().map(|it| it.width().unwrap_or(0)).sum()
}

/// How well a text may be broken after a piece; the last is best.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Break {
    /// After a short word (an article, a preposition) that belongs to what follows it.
    Poor,
    /// After any other word, or between characters that are written without blanks.
    Fair,
    /// After a comma and its like.
    Phrase,
    /// After a sentence.
    Sentence,
}

/// What is not broken further: a word with its punctuation, or one character of a text written
/// without blanks with the punctuation that may not be parted from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    /// The text, without blanks around it.
    pub(crate) text: String,
    /// Whether a blank follows.
    pub(crate) blank: bool,
    /// How well it breaks here.
    pub(crate) after: Break,
    /// How many columns come before it in the whole text.
    pub(crate) from: usize,
    /// Its own columns.
    pub(crate) width: usize,
}

/// The pieces of a text. Blanks of any kind count as one; an empty text has none.
pub(crate) fn pieces(text: &str) -> Vec<Piece> {
    let mut all: Vec<Piece> = Vec::new();
    let mut from = 0;
    for word in text.split_whitespace() {
        let parts = parts(word);
        let last = parts.len().saturating_sub(1);
        for (place, part) in parts.into_iter().enumerate() {
            let width = columns(&part);
            let blank = place == last;
            all.push(Piece { after: quality(&part), text: part, blank, from, width });
            from += width + usize::from(blank);
        }
    }
    if let Some(last) = all.last_mut() {
        last.blank = false;
        last.after = Break::Sentence;
    }
    all
}

/// How many columns a text with these pieces has.
pub(crate) fn total(pieces: &[Piece]) -> usize {
    pieces.last().map_or(0, |last| last.from + last.width)
}

/// Pieces as a line of text.
pub(crate) fn line(pieces: &[Piece]) -> String {
    let mut text = String::new();
    for (place, piece) in pieces.iter().enumerate() {
        text.push_str(&piece.text);
        if piece.blank && place + 1 < pieces.len() {
            text.push(' ');
        }
    }
    text
}

/// A text in lines of at most so many columns, where its words allow it; none for an empty text.
pub(crate) fn wrapped(text: &str, most: usize) -> Vec<String> {
    let pieces = pieces(text);
    let mut lines = Vec::new();
    let mut start = 0;
    for (end, piece) in pieces.iter().enumerate() {
        let from = pieces.get(start).map_or(0, |first| first.from);
        if end > start && piece.from + piece.width > from + most {
            lines.push(line(pieces.get(start..end).unwrap_or_default()));
            start = end;
        }
    }
    if start < pieces.len() {
        lines.push(line(pieces.get(start..).unwrap_or_default()));
    }
    lines
}

/// Parts a word where it is written without blanks.
fn parts(word: &str) -> Vec<String> {
    let mut parts = Vec::new();
    let mut part = String::new();
    let mut before: Option<char> = None;
    for character in word.chars() {
        let joined = character.width().unwrap_or(0) == 0 || before == Some('\u{200d}');
        let may = before.is_some_and(|before| {
            !joined
                && (without_blanks(before) || without_blanks(character))
                && !opens(before)
                && !closes(character)
        });
        if may {
            parts.push(std::mem::take(&mut part));
        }
        part.push(character);
        // What stands on a character changes nothing about where it breaks.
        if !joined || character == '\u{200d}' {
            before = Some(character);
        }
    }
    parts.push(part);
    parts
}

/// Whether a character is of a script written without blanks between words, or its punctuation.
/// Korean has blanks. Thai, Lao and Khmer, whose words only a dictionary can part, are broken
/// where the author has put a blank.
fn without_blanks(character: char) -> bool {
    matches!(u32::from(character),
        0x2e80..=0x2fdf // radicals
        | 0x3000..=0x303f // punctuation
        | 0x3040..=0x30ff // Hiragana, Katakana
        | 0x3100..=0x312f | 0x31a0..=0x31bf // Bopomofo
        | 0x31f0..=0x31ff
        | 0x3400..=0x4dbf | 0x4e00..=0x9fff | 0xf900..=0xfaff // Han
        | 0xff01..=0xff0f | 0xff1a..=0xff20 | 0xff3b..=0xff40 | 0xff5b..=0xff65 // full-width signs
        | 0x20000..=0x3ffff)
}

/// What may not stand at the beginning of a line.
fn closes(character: char) -> bool {
    const CLOSING: &str = "、。，．・：；？！゛゜ヽヾゝゞ々ー’”）〕］｝〉》」』】〙〗〟｠»…‥\
        ぁぃぅぇぉっゃゅょゎゕゖァィゥェォッャュョヮヵヶ,.:;?!)]}%％℃°";
    CLOSING.contains(character)
}

/// What may not stand at the end of a line.
fn opens(character: char) -> bool {
    const OPENING: &str = "‘“（〔［｛〈《「『【〘〖〝｟«([{¥＄￥$£€#";
    OPENING.contains(character)
}

fn quality(part: &str) -> Break {
    const QUOTES: &[char] = &[
        '"', '\'', '”', '’', '»', '«', '“', ')', ']', '）', '」', '』', '】', '》', '〉', '‹', '›',
    ];
    const ENDS: &[char] =
        &['.', '!', '?', '…', '。', '！', '？', '．', '।', '॥', '؟', '۔', '։', '።', '‽'];
    const PAUSES: &[char] = &[',', ';', ':', '、', '，', '；', '：', '–', '—', '،', '؛', '·', '・'];
    let bare = part.trim_end_matches(QUOTES);
    let Some(last) = bare.chars().next_back() else { return Break::Fair };
    if last == '.' && is_abbreviation(bare) {
        return Break::Poor;
    }
    if ENDS.contains(&last) {
        return Break::Sentence;
    }
    if PAUSES.contains(&last) {
        return Break::Phrase;
    }
    let short = bare.chars().count() <= 4 && bare.chars().all(char::is_alphabetic);
    let spaced = !bare.chars().any(without_blanks);
    if short && spaced { Break::Poor } else { Break::Fair }
}

/// Whether a word with a full stop is rather shortened than the last of a sentence, as `St.`,
/// `Mrs.` or `J.`: a capital and at most two small letters.
fn is_abbreviation(word: &str) -> bool {
    let letters: Vec<char> = word.trim_end_matches('.').chars().collect();
    let [first, rest @ ..] = letters.as_slice() else { return false };
    first.is_uppercase()
        && rest.len() <= 2
        && rest.iter().all(|it| it.is_lowercase())
        && !rest.iter().any(|it| "aeiouyäöü".contains(*it))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(String, Break)> {
        pieces(text).into_iter().map(|it| (it.text, it.after)).collect()
    }

    #[test]
    fn words_break_at_blanks_and_best_after_sentences() {
        let pieces = told("The arch, by\n St. Loe.  “Look!” he said");
        let texts: Vec<&str> = pieces.iter().map(|(text, _)| text.as_str()).collect();
        assert_eq!(texts, ["The", "arch,", "by", "St.", "Loe.", "“Look!”", "he", "said"]);
        let after: Vec<Break> = pieces.iter().map(|(_, after)| *after).collect();
        use Break::{Phrase, Poor, Sentence};
        assert_eq!(after, [Poor, Phrase, Poor, Poor, Sentence, Sentence, Poor, Sentence]);
    }

    #[test]
    fn scripts_without_blanks_break_between_characters_but_not_at_punctuation() {
        let texts: Vec<String> = told("「橋」です。Arch橋3km").into_iter().map(|it| it.0).collect();
        assert_eq!(texts, ["「橋」", "で", "す。", "Arch", "橋", "3km"]);
        // A small kana stays with what it belongs to, a mark with what it stands on.
        let texts: Vec<String> = told("ちょうか\u{3099}").into_iter().map(|it| it.0).collect();
        assert_eq!(texts, ["ちょ", "う", "か\u{3099}"]);
    }

    #[test]
    fn a_text_is_wrapped_at_its_words() {
        assert_eq!(wrapped(" The  arch of Loe ", 8), ["The arch", "of Loe"]);
        assert_eq!(wrapped("Llanfair at sea", 5), ["Llanfair", "at", "sea"]);
        assert_eq!(wrapped("海の橋です", 6), ["海の橋", "です"]);
        assert_eq!(wrapped(" ", 5), [""; 0]);
    }

    #[test]
    fn full_width_counts_two_and_marks_count_none() {
        assert_eq!(columns("Loe, 3"), 6);
        assert_eq!(columns("橋です。"), 8);
        assert_eq!(columns("e\u{301}"), 1);
        assert_eq!(total(&pieces("a  bc \n d")), 6);
        assert_eq!(line(&pieces(" a  bc \n d ")), "a bc d");
        assert_eq!(pieces(" \n"), []);
    }
}
