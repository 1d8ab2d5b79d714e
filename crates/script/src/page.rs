//! A script as a page to be printed: self-contained, black on white, no cue broken over two sheets.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::document::{Document, Line, Version, take_name};
use crate::write::{pace_words, seconds};

/// How many takes of a line there is space for.
const TAKES: usize = 3;

/// The script as an HTML page of its own, for A4.
#[must_use]
pub fn page(document: &Document) -> String {
    let language = document.language.as_str();
    let spoken: Vec<&Line> = document.lines.iter().filter(|line| line.text.is_some()).collect();
    let others: Vec<&Line> = document.lines.iter().filter(|line| line.text.is_none()).collect();
    // That it is told in this language is what it is for.
    let told = format!("told in {language}");
    let differences: Vec<&str> =
        document.differences.iter().map(String::as_str).filter(|one| *one != told).collect();
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (document.tour) ": script in " (language) }
                style { (PreEscaped(STYLE)) (PreEscaped(foot(document))) }
            }
            body {
                header {
                    h1 { (document.tour) }
                    p.what { "Script for the voice, in " b { (language_name(language)) } }
                    dl {
                        div { dt { "Revision" } dd { (document.revision) ", " (document.status) } }
                        div { dt { "Plan" } dd.code { (document.code) } }
                        div { dt { "Pace" } dd { (pace_words(document.pace)) } }
                        div { dt { "To record" } dd { (counted(spoken.len())) ", " (document.total()) } }
                    }
                    @if !differences.is_empty() {
                        p { "Differs from the tour as written: " (differences.join("; ")) }
                    }
                    p.note {
                        "A length with “about” is reckoned from the text at this pace. Room is the \
                         time from the cue to the first thing that would spoil the narration, at whatever \
                         groundspeed there is the least of it. Call \
                         the files of takes as is said beside each name, and further takes t2, t3 \
                         and so on. Not for navigation."
                    }
                }
                main { @for line in spoken { (cue(document, line)) } }
                @if !others.is_empty() {
                    footer {
                        h2 { "Not in this language" }
                        ul { @for line in others { li { (other(line)) } } }
                    }
                }
            }
        }
    };
    markup.into_string()
}

/// A language by its tag: by its English name too where that is one of those that are met most.
fn language_name(tag: &str) -> String {
    const NAMES: [(&str, &str); 16] = [
        ("ar", "Arabic"),
        ("da", "Danish"),
        ("de", "German"),
        ("en", "English"),
        ("es", "Spanish"),
        ("fi", "Finnish"),
        ("fr", "French"),
        ("is", "Icelandic"),
        ("it", "Italian"),
        ("ja", "Japanese"),
        ("ko", "Korean"),
        ("nl", "Dutch"),
        ("no", "Norwegian"),
        ("pt", "Portuguese"),
        ("sv", "Swedish"),
        ("zh", "Chinese"),
    ];
    let main = tag.split('-').next().unwrap_or(tag);
    let name = NAMES.iter().find(|(known, _)| *known == main);
    name.map_or_else(|| tag.to_owned(), |(_, name)| format!("{name} ({tag})"))
}

/// What stands at the foot of each sheet of paper, so that a loose one is known.
fn foot(document: &Document) -> String {
    let words = format!("{}, {}, plan {}", document.tour, document.language, document.code);
    let escape = |c: char| match c {
        c if c.is_alphanumeric() || " ,.-".contains(c) => c.to_string(),
        c => format!("\\{:X} ", u32::from(c)),
    };
    let words: String = words.chars().map(escape).collect();
    format!("@page {{ @bottom-left {{ content: \"{words}\"; font: 11pt Georgia, serif; }} }}")
}

fn cue(document: &Document, line: &Line) -> Markup {
    let text = line.text.as_deref().unwrap_or_default();
    let count = line.pace.count(text);
    let unit = line.pace.unit();
    html! {
        article id=(anchor(line)) {
            div.head {
                span.number { (line.number) }
                h2 {
                    (line.name)
                    @if line.version == Version::Short { " " span.version { "short version" } }
                }
                span.file { (file_name(document, line)) }
            }
            p.cue {
                @for (number, when) in line.when.iter().enumerate() {
                    @if number > 0 { br; "or " }
                    (when)
                }
                @if let Some(planned) = line.planned_words() {
                    br; span.planned { "planned at " (planned) }
                }
                @if let Some(sync) = line.sync_words() { br; span.planned { (sync) } }
            }
            div.text lang=(document.language) dir="auto" {
                @for paragraph in text.split('\n').filter(|paragraph| !paragraph.trim().is_empty()) {
                    p { (paragraph) }
                }
            }
            @if let Some(note) = &line.pronunciation {
                p.pronunciation { b { "Say: " } span dir="auto" { (note) } }
            }
            p.measure {
                span { b { (count) } " " (unit) }
                @if let Some(length) = line.length_words() { span { b { (length) } } }
                @if let Some(room) = &line.room {
                    span {
                        "room " b { (seconds(room.least)) } ", "
                        b { (line.pace.told_in(room.least)) } " " (unit) ", until " (room.until)
                        @if let Some(planned) = room.planned.filter(|it| *it != room.least) {
                            " (at " (format!("{:.0}", room.groundspeed.knots())) " kt; "
                            (seconds(planned)) " as planned)"
                        }
                    }
                    @if let Some(by) = line.too_long_by() {
                        span.long { "too long by " (by) " " (unit) }
                    }
                }
            }
            (takes())
        }
    }
}

/// Boxes to tick and lines to write on.
fn takes() -> Markup {
    html! {
        table {
            thead { tr { th.take { "Take" } th.length { "Length" } th { "Remark" } } }
            tbody {
                @for take in 1..=TAKES {
                    tr { td.take { span.box {} " " (take) } td.length {} td {} }
                }
            }
        }
    }
}

fn other(line: &Line) -> Markup {
    html! {
        (line.number) " " (line.name)
        @if let Some(language) = &line.told_in { ": told in " (language) }
        @else { ": there is no text yet" }
    }
}

/// How the file of a take is to be called, so that it finds its way: `005_arch_de_t1.wav`.
fn file_name(document: &Document, line: &Line) -> String {
    let name = take_name(&line.name, line.version);
    format!("{:03}_{name}_{}_t1.wav", line.number, document.language)
}

fn anchor(line: &Line) -> String {
    take_name(&line.name, line.version)
}

fn counted(lines: usize) -> String {
    format!("{lines} text{}", if lines == 1 { "" } else { "s" })
}

const STYLE: &str = r#"
@page { size: A4; margin: 16mm 17mm 18mm; @bottom-right { content: counter(page) " / " counter(pages); font: 11pt Georgia, serif; } }
* { box-sizing: border-box; }
html { font: 11pt/1.4 Georgia, "Times New Roman", "Noto Serif", serif; color: #000; background: #fff; }
body { max-width: 178mm; margin: 0 auto; padding: 8mm 4mm; }
h1 { font-size: 22pt; line-height: 1.15; margin: 0 0 1mm; }
h2 { font-size: 14pt; line-height: 1.2; margin: 0; }
p { margin: 0; }
.what { font-size: 13pt; }
header { border-bottom: 1.2pt solid #000; padding-bottom: 4mm; margin-bottom: 6mm; }
dl { display: flex; flex-wrap: wrap; gap: 1mm 9mm; margin: 4mm 0 3mm; }
dt { color: #333; }
dd { margin: 0; font-weight: bold; }
.code { font-family: "DejaVu Sans Mono", Consolas, monospace; letter-spacing: .05em; }
.note { color: #222; max-width: 150mm; }
article { break-inside: avoid; padding: 0 0 5mm; margin: 0 0 6mm; border-bottom: .5pt solid #777; }
article:last-child { border-bottom: 0; }
.head { display: flex; align-items: baseline; gap: 4mm; break-after: avoid; }
.number { min-width: 11mm; padding: .4mm 2mm; border: 1.1pt solid #000; border-radius: 1.5mm; font-size: 14pt; font-weight: bold; text-align: center; }
.version { font-weight: normal; font-style: italic; font-size: 11pt; }
.file { margin-left: auto; font-family: "DejaVu Sans Mono", Consolas, monospace; }
.cue { margin: 1.6mm 0 0; font-style: italic; break-after: avoid; }
.planned { font-style: normal; color: #222; }
.text { margin: 3mm 0; padding-left: 5mm; border-left: 2.4pt solid #000; font-size: 14pt; line-height: 1.6; hyphens: manual; overflow-wrap: anywhere; }
.text p + p { margin-top: 2.5mm; }
.pronunciation { margin: 0 0 2mm; }
.measure { display: flex; flex-wrap: wrap; gap: 0 7mm; }
.measure .long { font-weight: bold; border: 1.1pt solid #000; padding: 0 2mm; }
table { width: calc(100% - 1pt); margin-top: 2.5mm; border-collapse: collapse; }
th { text-align: left; font-weight: normal; color: #333; padding: 0 2mm; }
td { border: .6pt solid #555; height: 8mm; padding: 0 2mm; vertical-align: middle; }
.take { width: 21mm; white-space: nowrap; }
.length { width: 30mm; }
.box { display: inline-block; width: 4.2mm; height: 4.2mm; border: 1pt solid #000; vertical-align: -.7mm; margin-right: 1.5mm; }
footer { break-inside: avoid; }
footer ul { margin: 2mm 0 0; padding-left: 6mm; }
@media print { body { max-width: none; padding: 0; } }
"#;
