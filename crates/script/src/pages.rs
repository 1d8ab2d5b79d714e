//! The pages of what can be found in a sheet.

use diagnostic::{Page, Severity};

/// All pages of this crate.
#[must_use]
pub fn pages() -> &'static [Page] {
    PAGES
}

const fn page(
    name: &'static str,
    severity: Severity,
    [finds, why, example, better]: [&'static str; 4],
) -> Page {
    Page { name, severity, finds, why, example, better }
}

const PAGES: &[Page] = &[
    page(
        "not-a-sheet",
        Severity::Error,
        [
            "A file that is to bring edited texts and is no sheet of a script: a page, a PDF, a \
             workbook of the old kind or with a password, a damaged one.",
            "Only what is read whole may change a tour; nothing is taken from it.",
            "fulmar texts tour.yaml script.html",
            "fulmar texts tour.yaml script.xlsx",
        ],
    ),
    page(
        "sheet-undecodable",
        Severity::Error,
        [
            "A text file whose bytes are in no encoding that a spreadsheet program writes: neither \
             UTF-8 nor UTF-16 nor Windows-1252, or one that is cut off.",
            "Letters would be guessed, and a voice artist reads what is written.",
            "a .csv that was joined together from two files of different encodings",
            "the sheet saved as .xlsx, or as .csv in UTF-8",
        ],
    ),
    page(
        "sheet-encoding",
        Severity::Warning,
        [
            "A .csv that is not UTF-8. It is read as Windows-1252, as spreadsheet programs of \
             western countries write it; or as UTF-16, which is certain and therefore a note.",
            "Nothing in such a file says what its letters are. One word of it is shown, so that \
             you see whether they are right.",
            "read as Windows-1252, in which this line has `Wärter`",
            "the sheet saved as .csv in UTF-8",
        ],
    ),
    page(
        "sheet-too-large",
        Severity::Error,
        [
            "A sheet with more rows or columns than a script can have.",
            "It is hardly the sheet that is meant, and reading all of it would take long.",
            "a workbook in which a cell in the last possible row was filled by accident",
            "the same with that row taken out",
        ],
    ),
    page(
        "sheet-cut-off",
        Severity::Error,
        [
            "A .csv in which a quotation mark opens a cell and none closes it.",
            "The file is cut off, or a mark was typed where none belongs; a text would come back \
             with its end missing, or with the rows below in it.",
            "arch,\"The arch is high eno",
            "arch,\"The arch is high enough, they say.\"",
        ],
    ),
    page(
        "sheet-twice",
        Severity::Error,
        [
            "A workbook in which two worksheets have a script.",
            "It cannot be told which of the two holds what is meant.",
            "the worksheets `Script` and `Script (2)`",
            "`Script` alone",
        ],
    ),
    page(
        "sheet-without-headings",
        Severity::Error,
        [
            "A sheet in which no row near the top has the headings of a script.",
            "By the headings it is known what is in which column.",
            "1,arch,Tinker's Arch is high enough",
            "[name],[version],[language],text,[made from]\narch,long,en,Tinker's Arch is high enough,…",
        ],
    ),
    page(
        "sheet-column-missing",
        Severity::Error,
        [
            "A sheet without one of the columns that are needed to bring a text back: name, \
             version, language, text, made from.",
            "Without them it would have to be guessed where a text belongs, or whether somebody \
             has changed it meanwhile.",
            "[name],text",
            "[name],[version],[language],text,[made from]",
        ],
    ),
    page(
        "sheet-column-twice",
        Severity::Error,
        [
            "Two columns with one heading.",
            "It cannot be told which of the two is meant.",
            "[name],text,text",
            "[name],text",
        ],
    ),
    page(
        "sheet-column-unknown",
        Severity::Note,
        [
            "A column whose heading is none of a script's. It is not read.",
            "Your own columns do no harm; but one that was renamed does not come back.",
            "[name],new text",
            "[name],text",
        ],
    ),
    page(
        "sheet-cell-no-text",
        Severity::Error,
        [
            "A cell that should hold a text and holds a date, a truth value or an error.",
            "A spreadsheet program has taken what was typed for something else, and what was typed \
             is lost.",
            "- and then silence      (shown as #NAME?)",
            "'- and then silence",
        ],
    ),
    page(
        "sheet-name-unknown",
        Severity::Error,
        [
            "A row whose name is that of no narration.",
            "Its text belongs nowhere. Names are given in the files and not in a sheet.",
            "arhc",
            "arch",
        ],
    ),
    page(
        "sheet-language-unknown",
        Severity::Error,
        [
            "A row in a language in which the tour is not told.",
            "Its text belongs nowhere: it may be the sheet of another tour.",
            "fr, where the tour has `language: en` and `other languages: {de: {}}`",
            "de",
        ],
    ),
    page(
        "sheet-version-unknown",
        Severity::Error,
        [
            "A row whose version is neither long nor short.",
            "A narration may have two texts, and it would have to be guessed which one is meant.",
            "lang",
            "long",
        ],
    ),
    page(
        "sheet-row-twice",
        Severity::Error,
        [
            "Two rows for one text.",
            "It cannot be told which of the two is meant, even where they are alike: one of them \
             may have been meant for another narration.",
            "arch,long,de,…\narch,long,de,…",
            "arch,long,de,…",
        ],
    ),
    page(
        "sheet-row-missing",
        Severity::Warning,
        [
            "Texts of the tour, in a language of the sheet, that have no row in it.",
            "They stay as they are: a row that is taken out takes no text away. But somebody may \
             think that it does, or may have lost them by mistake.",
            "a sheet that was sorted with some of its rows hidden, and cut",
            "the whole sheet",
        ],
    ),
    page(
        "sheet-origin-missing",
        Severity::Error,
        [
            "A row that does not say of which text it was made.",
            "By that it is seen whether somebody has changed the text in the tour meanwhile. \
             Without it, his work could be lost.",
            "arch,long,de,Der Bogen,",
            "arch,long,de,Der Bogen,text-3f2a9c0b1d note-none",
        ],
    ),
    page(
        "sheet-text-older",
        Severity::Note,
        [
            "A text that nobody has touched in the sheet, and that has been changed in the tour \
             since the sheet was written.",
            "The newer one stays; a new sheet has it.",
            "a sheet that was out for a month",
            "fulmar script tour.yaml --language de --output script.xlsx",
        ],
    ),
    page(
        "text-changed-twice",
        Severity::Error,
        [
            "A text that was changed in the sheet, and since the sheet was written in the tour too.",
            "One of the two would be lost. Both are shown; nothing is written until somebody has \
             decided.",
            "the artist shortens a sentence that the editor has meanwhile taken out",
            "a new sheet, with what is to be said in it",
        ],
    ),
    page(
        "sheet-text-empty",
        Severity::Error,
        [
            "A text that has been emptied in the sheet.",
            "A narration without a text is a mistake; a cell is easily emptied by accident.",
            "arch,long,de,,text-3f2a9c0b1d note-none",
            "arch,long,de,Der Bogen ist hoch.,text-3f2a9c0b1d note-none",
        ],
    ),
    page(
        "sheet-garbled",
        Severity::Error,
        [
            "A text in which letters have been spoilt: UTF-8 that was read as Windows-1252, letters \
             replaced by `?`, control characters.",
            "Nobody meant that; a program opened or saved the sheet in an encoding that is not its \
             own.",
            "Der WÃ¤rter von Orrick Light",
            "Der Wärter von Orrick Light",
        ],
    ),
    page(
        "sheet-text-no-place",
        Severity::Error,
        [
            "A text in the sheet for which there is no place in the files yet, such as a short \
             version of a narration that has none.",
            "A sheet changes texts; what a narration consists of is written in the files.",
            "arch,short,de,Der Bogen.,text-none note-none",
            "arch: {text: …, short: {text: {de: Der Bogen.}}} in the file first",
        ],
    ),
    page(
        "text-not-written",
        Severity::Error,
        [
            "A text that cannot be written into its file so that nothing else in it changes.",
            "What was written is read again before it is kept; where that would not give the same \
             tour with the new text, the file stays as it is.",
            "a file that was saved with a mistake in it while the sheet was compared",
            "the file without the mistake, and the command once more",
        ],
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_page_is_whole() {
        for page in pages() {
            assert!(page.is_whole(), "{}", page.name);
        }
    }
}
