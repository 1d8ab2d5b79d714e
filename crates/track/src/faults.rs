//! What is wrong with a document as a whole, and what is said at its end.

use diagnostic::{Diagnostic, Place};
use quick_xml::errors::Error;
use quick_xml::events::BytesDecl;

use crate::document::{DEEPEST, Document, Ended, LONGEST_NAME, PointKind};
use crate::made_times::MadeTimes;
use crate::point::shown;
use crate::reader::MOST_WAYPOINTS;
use crate::report::Kind;
use crate::source::{LONGEST_EVENT, Source, Stop, Unreadable};

const SAVE_AS_UTF8: &str =
    "save the file as UTF-8 with the program that wrote it, or convert it with a text editor";

impl Document {
    /// Reports an error that ends the reading.
    pub(crate) fn error(
        &mut self,
        name: &'static str,
        place: Place,
        headline: impl Into<String>,
        help: impl Into<String>,
    ) -> Ended {
        self.report.diagnostics.push(Diagnostic::error(name, place, headline).help(help));
        Ended
    }

    /// Refuses a file for its first bytes.
    pub(crate) fn refuse(&mut self, what: Unreadable) {
        let whole = self.report.whole();
        let (name, headline, help) = match what {
            Unreadable::Empty => (
                "gpx-empty",
                "the file is empty".to_owned(),
                "copy it again from where it was recorded",
            ),
            Unreadable::Encoding(encoding) => (
                "gpx-encoding",
                format!("the file is written in {encoding}, which cannot be read"),
                SAVE_AS_UTF8,
            ),
            Unreadable::Zip => (
                "gpx-archive",
                "the file is a zip archive".to_owned(),
                "unpack it and give the GPX file in it; of packed files only gzip is read",
            ),
        };
        self.error(name, whole, headline, help);
    }

    /// The XML declaration: an encoding that cannot be read is refused by name. Of those that
    /// write ASCII as it is, files of ASCII alone are read.
    pub(crate) fn declaration(
        &mut self,
        declaration: &BytesDecl<'_>,
        source: &mut Source<'_>,
    ) -> Result<(), Ended> {
        let Some(Ok(encoding)) = declaration.encoding() else { return Ok(()) };
        let plain: String =
            encoding.chars().filter(char::is_ascii_alphanumeric).collect::<String>();
        match plain.to_ascii_lowercase().as_str() {
            "utf8" => Ok(()),
            "usascii" | "ascii" | "iso88591" | "iso885915" | "latin1" | "windows1252"
            | "cp1252" => {
                self.ascii_of = Some(shown(encoding.as_bytes()));
                source.refuse_all_but_ascii();
                Ok(())
            }
            _ => {
                let place = self.report.place(source.event_place());
                let headline = format!(
                    "the file declares the encoding {}, which cannot be read",
                    shown(encoding.as_bytes())
                );
                Err(self.error("gpx-encoding", place, headline, SAVE_AS_UTF8))
            }
        }
    }

    /// A document type: read over, its entities never put in.
    pub(crate) fn doctype(&mut self, source: &Source<'_>) {
        let name = "gpx-doctype";
        if self.report.diagnostics.iter().all(|d| d.name != name) {
            let place = self.report.place(source.event_place());
            let headline = "the file has a document type declaration, which GPX has no use for";
            self.report.diagnostics.push(
                Diagnostic::warning(name, place, headline)
                    .help("it is read over; entities that it declares are not put in"),
            );
        }
    }

    pub(crate) fn too_deep_or_long(&mut self, source: &Source<'_>) -> Ended {
        let place = self.report.place(source.event_place());
        let (name, headline) = if self.depth > DEEPEST {
            ("gpx-too-deep", format!("elements stand more than {DEEPEST} deep in each other"))
        } else {
            ("gpx-too-long", format!("the name of an element is longer than {LONGEST_NAME} bytes"))
        };
        let help = self.what_is_kept("no receiver writes this; find out what made the file");
        self.error(name, place, headline, help)
    }

    pub(crate) fn text_outside(&mut self, text: &str, source: &Source<'_>) -> Result<(), Ended> {
        let place = self.report.place(source.event_place());
        if self.root_seen {
            let headline = format!("text outside the document: {}", shown(text.as_bytes()));
            let help = self.what_is_kept("remove what stands after the end tag of `gpx`");
            return Err(self.error("gpx-not-well-formed", place, headline, help));
        }
        let headline = format!("this is not XML: it begins with {}", shown(text.as_bytes()));
        let help = "give a GPX file, which begins with `<?xml` or `<gpx`";
        Err(self.error("gpx-not-xml", place, headline, help))
    }

    /// The parser cannot go on.
    pub(crate) fn broken(&mut self, error: &Error, source: &Source<'_>) -> Result<(), Ended> {
        let event = self.report.place(source.event_place());
        let here = self.report.place(source.here());
        // Bytes are read ahead, so a stop may lie further on than what is wrong here: it is to blame
        // only once the parser has come to it.
        let stop = if matches!(error, Error::Io(_)) { source.stop.as_ref() } else { None };
        Err(match (stop, error) {
            (Some(Stop::Failed(words)), _) => {
                let help = self.what_is_kept("check the medium and copy the file again");
                self.error("gpx-read-failed", here, format!("reading failed: {words}"), help)
            }
            (Some(Stop::GzipDamaged(words)), _) => {
                let help = self.what_is_kept("copy the file again, or unpack it with gzip");
                let headline = format!("the gzip data is damaged or ends early: {words}");
                self.error("gpx-gzip-damaged", here, headline, help)
            }
            (Some(Stop::TooLong), _) => {
                let headline =
                    format!("a tag or text is longer than {LONGEST_EVENT} bytes, which is refused");
                let help =
                    self.what_is_kept("no receiver writes this; find out what made the file");
                self.error("gpx-too-long", event, headline, help)
            }
            (Some(Stop::NotAscii), _) => {
                let encoding = self.ascii_of.clone().unwrap_or_default();
                let headline = format!(
                    "the file declares the encoding {encoding}, of which only ASCII characters \
                     can be read, and this is none"
                );
                let help = self.what_is_kept(SAVE_AS_UTF8);
                self.error("gpx-encoding", here, headline, help)
            }
            (None, Error::Syntax(_)) => self.truncated(event),
            (None, error) => {
                let help = self.what_is_kept("correct the file at this place");
                let headline = format!("the file is not well-formed XML from here on: {error}");
                self.error("gpx-not-well-formed", event, headline, help)
            }
        })
    }

    pub(crate) fn end_of_file(&mut self, source: &Source<'_>) -> Result<(), Ended> {
        let here = self.report.place(source.here());
        if !self.root_seen {
            let help = "copy it again from where it was recorded";
            return Err(self.error("gpx-empty", here, "the file holds no GPX document", help));
        }
        if self.depth > 0 {
            return Err(self.truncated(here));
        }
        Err(Ended)
    }

    fn truncated(&mut self, place: Place) -> Ended {
        let within = if self.point.is_some() { "within a point" } else { "before its end tag" };
        let headline = format!("the file ends {within}: its last part is missing");
        let help = self.what_is_kept("copy the file again if there is a longer one");
        self.error("gpx-truncated", place, headline, help)
    }

    fn what_is_kept(&self, what_to_do: &str) -> String {
        let whole = match self.point {
            Some(PointKind::Track) => self.report.points.saturating_sub(1),
            _ => self.report.points,
        };
        let points = if whole == 1 { "track point" } else { "track points" };
        let are = if whole == 1 { "is" } else { "are" };
        format!("the {whole} {points} before this place {are} kept; {what_to_do}")
    }

    /// Says what is known at the end of the bytes, however they ended.
    pub(crate) fn last_words(&mut self, source: &Source<'_>) {
        if self.point.take() == Some(PointKind::Track) && self.is_open_point_flown() {
            let place = source.point_place();
            if self.report.add(Kind::Incomplete) {
                self.report.say(Kind::Incomplete, place, "the file ends within it");
            }
        }
        // Of what is no GPX at all nothing more is said.
        if self.report.diagnostics.iter().any(|found| found.name == "gpx-not-xml") {
            return;
        }
        self.replaced(
            source.not_utf8(),
            "gpx-not-utf8",
            "not UTF-8 and read as `?`",
            "positions and times are not concerned; names may be",
        );
        self.replaced(
            source.nul(),
            "gpx-nul",
            "NUL and read as blanks",
            "a recorder that loses power can leave them; see whether the end of the flight is there",
        );
    }

    fn replaced(
        &mut self,
        replaced: Option<(u64, (u64, u64, u64))>,
        name: &'static str,
        what: &str,
        help: &str,
    ) {
        let Some((count, first)) = replaced else { return };
        let place = self.report.place(first);
        let (bytes, are) = if count == 1 { ("byte", "is") } else { ("bytes", "are") };
        let headline = format!("{count} {bytes} of the file {are} {what}");
        self.report.diagnostics.push(Diagnostic::warning(name, place, headline).help(help));
    }

    /// Says so if a track file has nothing to fly. Fixes that wait to be handed out count.
    pub(crate) fn judge_track(&mut self, some_wait: bool) {
        let report = &mut self.report;
        if report.fixes > 0 || some_wait {
            return;
        }
        if report.points > 0 && report.count(Kind::MissingTime) == report.points {
            report.forget_details(Kind::MissingTime);
            let headline = format!("none of the {} track points has a time", report.points);
            let help = "say how fast the track was flown, as in `--groundspeed 80kt`, and times are \
                        made from the distances";
            self.error("gpx-no-times", self.report.whole(), headline, help);
            return;
        }
        if report.has_errors() {
            return;
        }
        if report.points > 0 {
            let headline = format!("none of the {} track points can be flown", report.points);
            let help = "see what is said of the first of them";
            self.error("gpx-no-usable-points", self.report.whole(), headline, help);
            return;
        }
        let headline = format!(
            "the file has no track points ({} waypoints and {} route points, which are not flown)",
            report.waypoints, report.route_points
        );
        let help = "give a file with a recorded track (`trk`)";
        self.error("gpx-no-track-points", self.report.whole(), headline, help);
    }

    /// Says how many waypoints were too many.
    pub(crate) fn judge_waypoints(&mut self, too_many: u64) {
        if too_many > 0 {
            let headline = format!(
                "the file has more than {MOST_WAYPOINTS} waypoints and route points; the last \
                 {too_many} are left out"
            );
            let whole = self.report.whole();
            self.report.diagnostics.push(
                Diagnostic::warning("gpx-too-many-waypoints", whole, headline)
                    .help("split the file"),
            );
        }
    }

    pub(crate) fn note_made_times(&mut self, how: MadeTimes) {
        let start = jiff::Timestamp::from_millisecond(how.start.0)
            .map_or_else(|_| format!("{} ms", how.start.0), |t| t.to_string());
        let headline = format!(
            "the file has no times: they are made for a groundspeed of {:.1} kt, from {start}",
            how.groundspeed.knots()
        );
        let whole = self.report.whole();
        self.report.diagnostics.push(
            Diagnostic::note("gpx-made-times", whole, headline)
                .help("hovers and changes of speed are not in it"),
        );
    }

    pub(crate) fn note_times_not_made(&mut self) {
        let whole = self.report.whole();
        self.report.diagnostics.push(
            Diagnostic::warning(
                "gpx-groundspeed-not-used",
                whole,
                "the file has times of its own, so the groundspeed given is not used",
            )
            .help("leave the groundspeed out"),
        );
    }

    /// A time where so many points had none that times are being made.
    pub(crate) fn warn_of_late_times(&mut self, source: &Source<'_>) {
        let name = "gpx-late-times";
        if self.report.diagnostics.iter().all(|d| d.name != name) {
            let place = self.report.place(source.point_place());
            self.report.diagnostics.push(
                Diagnostic::warning(
                    name,
                    place,
                    "a point has a time after very many that have none; times are made for it too",
                )
                .help("split the file if both parts are to be flown"),
            );
        }
    }
}
