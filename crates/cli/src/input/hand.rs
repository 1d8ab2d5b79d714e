//! A file of what the pilot did by hand, to be played along with a flight.
//!
//! CSV with the heading `time,action,camera`. Lines that begin with `#` and blank lines are left
//! out. A time is UTC with its offset or `Z` (`2026-06-01T10:35:00Z`), or `+05:30` (minutes and
//! seconds, or hours, minutes and seconds) from the first fix of the flight. `camera` is written
//! only for the action `camera`.

use std::ops::Range;
use std::path::Path;
use std::sync::Arc;

use diagnostic::{Diagnostic, Place};
use earth::{Millis, Utc};
use plan::{Hand, Plan};

use super::file;
use super::findings::Findings;
use crate::args::{clock, utc};
use crate::input::day;

/// The most actions in a file.
const MOST_ACTIONS: usize = 100_000;

/// The actions and how they are written.
const ACTIONS: [(&str, Option<Hand>); 10] = [
    ("camera", None),
    ("automatic", Some(Hand::Automatic)),
    ("record on", Some(Hand::RecordOn)),
    ("record off", Some(Hand::RecordOff)),
    ("still", Some(Hand::Still)),
    ("voice off", Some(Hand::VoiceOff)),
    ("voice on", Some(Hand::VoiceOn)),
    ("skip", Some(Hand::Skip)),
    ("radio busy", Some(Hand::RadioBusy)),
    ("radio clear", Some(Hand::RadioClear)),
];

/// When an action is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum When {
    At(Utc),
    AfterFirstFix(Millis),
}

/// Actions of the pilot's hand, in the order of the file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct HandActions(Vec<(When, Hand)>);

impl HandActions {
    /// The actions with their times, in time order; those of one time in the order of the file.
    pub(crate) fn timed(&self, first_fix: Utc) -> Vec<(Utc, Hand)> {
        let mut timed: Vec<(Utc, Hand)> = self
            .0
            .iter()
            .map(|(when, action)| match when {
                When::At(time) => (*time, *action),
                When::AfterFirstFix(after) => (first_fix + *after, *action),
            })
            .collect();
        timed.sort_by_key(|(time, _)| *time);
        timed
    }
}

/// Reads a hand file; every mistake in it goes to `findings`.
pub(crate) fn read(path: &Path, plan: &Plan, findings: &mut Findings) -> HandActions {
    let bytes = match file::read(path, "a file of hand actions") {
        Ok(bytes) => bytes,
        Err(finding) => {
            findings.push(*finding);
            return HandActions::default();
        }
    };
    let name: Arc<str> = file::name(path).into();
    let text = match String::from_utf8(bytes) {
        Ok(text) => text,
        Err(error) => {
            let good = error.utf8_error().valid_up_to();
            let whole = String::from_utf8_lossy(error.as_bytes());
            findings.push(
                Diagnostic::error(
                    file::UNREADABLE,
                    Place::in_text(name, &whole, good, good),
                    "the file is not UTF-8 text",
                )
                .help("save it as plain text or CSV in UTF-8"),
            );
            return HandActions::default();
        }
    };
    let (actions, found) = parse(&name, &text, plan);
    findings.texts.insert(name, text.into());
    findings.extend(found);
    actions
}

/// One field of a line, with its place in the text.
struct Field<'a> {
    text: &'a str,
    bytes: Range<usize>,
}

/// The fields of a line, blanks and one pair of quotes around each left out.
fn fields(line: &str, start: usize) -> Vec<Field<'_>> {
    let mut at = start;
    line.split(',')
        .map(|raw| {
            let begin = at;
            at += raw.len() + 1;
            let trimmed = raw.trim();
            let bare = trimmed
                .strip_prefix('"')
                .and_then(|rest| rest.strip_suffix('"'))
                .unwrap_or(trimmed)
                .trim();
            let offset = raw.find(bare).unwrap_or(0);
            Field { text: bare, bytes: begin + offset..begin + offset + bare.len() }
        })
        .collect()
}

fn parse(name: &Arc<str>, text: &str, plan: &Plan) -> (HandActions, Vec<Diagnostic>) {
    let mut actions = Vec::new();
    let mut findings = Vec::new();
    let body = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut start = text.len() - body.len();
    let mut columns: Option<Columns> = None;
    for raw in body.split_inclusive('\n') {
        let line = raw.trim_end_matches(['\n', '\r']);
        let line_start = start;
        start += raw.len();
        if line.trim().is_empty() || line.trim_start().starts_with('#') {
            continue;
        }
        let fields = fields(line, line_start);
        let place =
            |bytes: &Range<usize>| Place::in_text(name.clone(), text, bytes.start, bytes.end);
        let whole_line = line_start..line_start + line.len();
        let Some(found) = &columns else {
            match Columns::of(&fields) {
                Some(found) => columns = Some(found),
                None => {
                    findings.push(
                        Diagnostic::error(
                            "hand-file-heading",
                            place(&whole_line),
                            "the first line does not name the columns of a file of hand actions",
                        )
                        .help("write `time,action,camera` as the first line"),
                    );
                    return (HandActions::default(), findings);
                }
            }
            continue;
        };
        if actions.len() >= MOST_ACTIONS {
            findings.push(
                Diagnostic::error(
                    "hand-file-too-long",
                    place(&whole_line),
                    format!("there are more than {MOST_ACTIONS} actions"),
                )
                .help("no pilot does as much in a day; check that this is the file you mean"),
            );
            break;
        }
        match found.action(&fields, &whole_line, plan) {
            Ok(action) => actions.push(action),
            Err(mistake) => findings.push(mistake.at(place(&mistake.bytes))),
        }
    }
    if columns.is_none() {
        findings.push(
            Diagnostic::error(
                "hand-file-heading",
                Place::whole(name.clone()),
                "there is no heading",
            )
            .help("write `time,action,camera` as the first line"),
        );
    }
    (HandActions(actions), findings)
}

/// A mistake in a line, before its place is made.
struct Mistake {
    name: &'static str,
    bytes: Range<usize>,
    headline: String,
    help: String,
}

impl Mistake {
    fn at(&self, place: Place) -> Diagnostic {
        Diagnostic::error(self.name, place, self.headline.clone()).help(self.help.clone())
    }
}

/// Which column is which.
struct Columns {
    time: usize,
    action: usize,
    camera: Option<usize>,
}

impl Columns {
    fn of(heading: &[Field<'_>]) -> Option<Self> {
        let known = |field: &Field<'_>| matches!(field.text, "time" | "action" | "camera");
        if !heading.iter().all(known) {
            return None;
        }
        let at = |name: &str| heading.iter().position(|field| field.text == name);
        Some(Self { time: at("time")?, action: at("action")?, camera: at("camera") })
    }

    fn action(
        &self,
        fields: &[Field<'_>],
        line: &Range<usize>,
        plan: &Plan,
    ) -> Result<(When, Hand), Mistake> {
        let missing = |what: &str| Mistake {
            name: "hand-file-line",
            bytes: line.clone(),
            headline: format!("the line has no {what}"),
            help: "write it as `+05:30,camera,left` or `2026-06-01T10:35:00Z,skip,`".to_owned(),
        };
        let get = |column: usize| fields.get(column).filter(|field| !field.text.is_empty());
        let time = get(self.time).ok_or_else(|| missing("time"))?;
        let word = get(self.action).ok_or_else(|| missing("action"))?;
        let camera = self.camera.and_then(get);
        let last = [Some(self.time), Some(self.action), self.camera].into_iter().flatten().max();
        if let Some(extra) = fields.iter().skip(last.unwrap_or(0) + 1).find(|f| !f.text.is_empty())
        {
            return Err(Mistake {
                name: "hand-file-line",
                bytes: extra.bytes.clone(),
                headline: "the line has more fields than the heading has columns".to_owned(),
                help: "leave out what stands behind the last column".to_owned(),
            });
        }
        let when = when(time)?;
        let Some((_, action)) = ACTIONS.iter().find(|(name, _)| *name == word.text) else {
            let names: Vec<&str> = ACTIONS.iter().map(|(name, _)| *name).collect();
            return Err(Mistake {
                name: "hand-file-action",
                bytes: word.bytes.clone(),
                headline: format!("`{}` is nothing a pilot does by hand", word.text),
                help: format!("the actions are {}", names.join(", ")),
            });
        };
        match (action, camera) {
            (Some(action), None) => Ok((when, *action)),
            (Some(_), Some(camera)) => Err(Mistake {
                name: "hand-file-camera",
                bytes: camera.bytes.clone(),
                headline: format!("`{}` takes no camera", word.text),
                help: "leave the camera out, or write the action `camera`".to_owned(),
            }),
            (None, None) => Err(Mistake {
                name: "hand-file-camera",
                bytes: word.bytes.clone(),
                headline: "the action `camera` does not say which".to_owned(),
                help: format!("the cameras are {}", day::camera_names(plan)),
            }),
            (None, Some(camera)) => {
                let id = day::camera(plan, camera.text).ok_or_else(|| Mistake {
                    name: "hand-file-camera",
                    bytes: camera.bytes.clone(),
                    headline: format!("{} has no camera `{}`", plan.aircraft.name, camera.text),
                    help: format!("the cameras are {}", day::camera_names(plan)),
                })?;
                Ok((when, Hand::Camera(id)))
            }
        }
    }
}

fn when(time: &Field<'_>) -> Result<When, Mistake> {
    let found = match time.text.strip_prefix('+') {
        Some(after) => clock(after).map(When::AfterFirstFix),
        None => utc(time.text).map(When::At),
    };
    found.ok_or_else(|| Mistake {
        name: "hand-file-time",
        bytes: time.bytes.clone(),
        headline: format!("`{}` is no time", time.text),
        help: "write UTC as 2026-06-01T10:35:00Z, or +05:30 from the first fix".to_owned(),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;
    use crate::render::testing::small_plan;

    fn parsed(text: &str) -> (HandActions, Vec<Diagnostic>) {
        parse(&"hand.csv".into(), text, &small_plan())
    }

    #[test]
    fn actions_in_time_order_and_else_in_the_order_written() {
        let (actions, findings) = parsed(
            "# by hand\ntime,action,camera\n+00:20,radio busy,\n+00:10, camera , right\r\n\
             1970-01-01T00:00:10Z,still\n\"+00:20\",skip\n",
        );
        assert_eq!(findings, []);
        assert_eq!(
            actions.timed(Utc(0)),
            [
                (Utc(10_000), Hand::Camera(plan::CameraId(1))),
                (Utc(10_000), Hand::Still),
                (Utc(20_000), Hand::RadioBusy),
                (Utc(20_000), Hand::Skip),
            ]
        );
    }

    #[test]
    fn every_mistake_is_found_where_it_stands() {
        let (_, findings) = parsed(
            "time,action,camera\nnoon,skip\n+00:10,camera\n+00:10,camera,lft\n+00:10,jump\n\
             +00:10,skip,left\n,skip\n+00:10,skip,,x\n",
        );
        let found: Vec<(&str, u32, u32)> = findings
            .iter()
            .map(|finding| (finding.name, finding.place.line, finding.place.column))
            .collect();
        assert_eq!(
            found,
            [
                ("hand-file-time", 2, 1),
                ("hand-file-camera", 3, 8),
                ("hand-file-camera", 4, 15),
                ("hand-file-action", 5, 8),
                ("hand-file-camera", 6, 13),
                ("hand-file-line", 7, 1),
                ("hand-file-line", 8, 14),
            ]
        );
    }

    #[test]
    fn a_file_without_its_heading_is_refused() {
        assert_eq!(parsed("+00:10,skip\n").1[0].name, "hand-file-heading");
        assert_eq!(parsed("# nothing\n").1[0].name, "hand-file-heading");
    }
}
