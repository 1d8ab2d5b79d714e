//! WebVTT and SubRip.

use earth::Millis;

use crate::captions::Cue;

/// A format of captions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// WebVTT.
    WebVtt,
    /// SubRip.
    SubRip,
}

/// Writes captions, which are in the order of their times and of which each ends after it begins.
///
/// `notes` are lines about the file; WebVTT has them as a comment, SubRip has no room for them. Of
/// `at_top`, WebVTT is told that captions stand at the top of the picture.
///
/// # References
/// W3C, WebVTT: The Web Video Text Tracks Format. SubRip has no specification; common practice is a
/// number, a line of times with a comma before the milliseconds, the text, and an empty line.
#[must_use]
pub fn write(cues: &[Cue], format: Format, notes: &[String], at_top: bool) -> String {
    match format {
        Format::WebVtt => web_vtt(cues, notes, at_top),
        Format::SubRip => sub_rip(cues),
    }
}

fn web_vtt(cues: &[Cue], notes: &[String], at_top: bool) -> String {
    let mut text = String::from("WEBVTT\n\n");
    if !notes.is_empty() {
        text.push_str("NOTE\n");
        for note in notes {
            let note = note.replace("-->", "→");
            let line: Vec<&str> = note.split_whitespace().collect();
            if !line.is_empty() {
                text.push_str(&line.join(" "));
                text.push('\n');
            }
        }
        text.push('\n');
    }
    let settings = if at_top { " line:0" } else { "" };
    for (number, cue) in (1..).zip(cues) {
        let number: usize = number;
        let times = format!("{} --> {}{settings}", time(cue.from, '.'), time(cue.to, '.'));
        text.push_str(&format!("{number}\n{times}\n"));
        for line in &cue.lines {
            text.push_str(&escaped(line));
            text.push('\n');
        }
        text.push('\n');
    }
    text
}

fn escaped(line: &str) -> String {
    line.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

fn sub_rip(cues: &[Cue]) -> String {
    let mut text = String::new();
    for (number, cue) in (1..).zip(cues) {
        let number: usize = number;
        let times = format!("{} --> {}", time(cue.from, ','), time(cue.to, ','));
        text.push_str(&format!("{number}\r\n{times}\r\n"));
        for line in &cue.lines {
            // Readers take what is between < and > for a tag, and there is no way to say otherwise.
            text.push_str(&line.replace("-->", "→").replace('<', "‹").replace('>', "›"));
            text.push_str("\r\n");
        }
        text.push_str("\r\n");
    }
    text
}

/// A time as `00:01:02.345`; what is before nought is nought.
fn time(time: Millis, mark: char) -> String {
    let millis = time.0.max(0);
    let seconds = millis / 1000;
    let (hours, minutes) = (seconds / 3600, seconds / 60 % 60);
    format!("{hours:02}:{minutes:02}:{:02}{mark}{:03}", seconds % 60, millis % 1000)
}
