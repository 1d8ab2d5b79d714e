//! Where in a GPX document the reading is, and what its elements mean there.

use diagnostic::Diagnostic;
use earth::Fix;
use quick_xml::events::{BytesRef, BytesStart};

use crate::fields::{self, Field, SpeedUnit};
use crate::point::{Draft, found, shown};
use crate::reader::Waypoint;
use crate::report::{Kind, NAMES_KEPT, Report, Version};
use crate::source::Source;

/// Elements within elements; real files have about eight.
pub(crate) const DEEPEST: u32 = 1_000;
/// Bytes in the name of an element.
pub(crate) const LONGEST_NAME: usize = 1_024;
/// Bytes kept of the text of an element.
const LONGEST_TEXT: usize = 1_024;

/// The reading has ended, and what is to be said of that has been said.
pub(crate) struct Ended;

/// Which points are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Wanted {
    Track,
    Waypoints,
}

/// A point that was read.
pub(crate) enum Found {
    Point { fix: Fix, timed: bool, segment: u64 },
    Waypoint(Waypoint),
}

/// What kind of point is being read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum PointKind {
    Track,
    Waypoint,
    Route,
}

pub(crate) struct Document {
    pub(crate) report: Report,
    wanted: Wanted,
    pub(crate) depth: u32,
    pub(crate) root_seen: bool,
    /// The prefix of the root's name, with which GPX's own names are written.
    prefix: String,
    root_rank: u8,
    second_root_said: bool,
    /// The encoding the file declares, where only its ASCII part can be read.
    pub(crate) ascii_of: Option<String>,
    /// The depth of the innermost track or route that is open, 0 for none.
    track_depth: u32,
    /// The point that is being read, and its depth.
    pub(crate) point: Option<PointKind>,
    point_depth: u32,
    /// Of a point that is read for its content.
    draft: Draft,
    /// The element whose text is kept, and its depth.
    field: Option<Field>,
    field_depth: u32,
    text: Vec<u8>,
    text_too_long: bool,
    /// From this depth on, names without a prefix are not GPX's own; 0 for none.
    foreign_depth: u32,
}

impl Document {
    pub(crate) fn new(name: &str, wanted: Wanted) -> Self {
        Self {
            report: Report::new(name),
            wanted,
            depth: 0,
            root_seen: false,
            prefix: String::new(),
            root_rank: 0,
            second_root_said: false,
            ascii_of: None,
            track_depth: 0,
            point: None,
            point_depth: 0,
            draft: Draft::default(),
            field: None,
            field_depth: 0,
            text: Vec::new(),
            text_too_long: false,
            foreign_depth: 0,
        }
    }

    /// An element begins.
    pub(crate) fn start(
        &mut self,
        tag: &BytesStart<'_>,
        source: &mut Source<'_>,
    ) -> Result<(), Ended> {
        self.depth += 1;
        let local = tag.local_name();
        let name = local.as_ref();
        if self.depth > DEEPEST || name.len() > LONGEST_NAME {
            return Err(self.too_deep_or_long(source));
        }
        if self.point.is_some() {
            self.start_in_point(tag, name, source);
            return Ok(());
        }
        if self.depth == 1 {
            return self.root(tag, source);
        }
        if self.depth == 2 {
            self.rank_in_root(name, source);
        }
        match name {
            "trkpt" => self.start_point(PointKind::Track, tag, source),
            "wpt" => self.start_point(PointKind::Waypoint, tag, source),
            "rtept" => self.start_point(PointKind::Route, tag, source),
            "trkseg" => self.report.segments += 1,
            "trk" => {
                self.report.tracks += 1;
                self.track_depth = self.depth;
            }
            "rte" => {
                self.report.routes += 1;
                self.track_depth = 0;
            }
            "name" if self.track_depth > 0 && self.depth == self.track_depth + 1 => {
                self.keep_text(Field::Name);
            }
            _ => self.field = None,
        }
        Ok(())
    }

    fn rank_in_root(&mut self, name: &str, source: &Source<'_>) {
        let Some(rank) = fields::rank_in_root(name) else { return };
        if rank < self.root_rank && self.report.add(Kind::Order) {
            let detail = format!("`{name}` comes late");
            self.report.say(Kind::Order, source.event_place(), &detail);
        }
        self.root_rank = self.root_rank.max(rank);
    }

    fn start_point(&mut self, kind: PointKind, tag: &BytesStart<'_>, source: &mut Source<'_>) {
        self.point = Some(kind);
        self.point_depth = self.depth;
        self.field = None;
        match kind {
            PointKind::Track => self.report.points += 1,
            PointKind::Waypoint => self.report.waypoints += 1,
            PointKind::Route => self.report.route_points += 1,
        }
        if self.is_wanted(kind) {
            source.begin_point();
            self.draft = Draft::begin(tag, self.report.version, &mut self.report, source);
        }
    }

    fn is_wanted(&self, kind: PointKind) -> bool {
        (kind == PointKind::Track) == (self.wanted == Wanted::Track)
    }

    /// Whether a plain track point may come next: one of a document whose own names have no prefix,
    /// directly in a segment.
    pub(crate) fn may_be_plain(&self) -> bool {
        self.point.is_none()
            && self.depth >= 3
            && self.depth < DEEPEST - 8
            && self.prefix.is_empty()
            && self.wanted == Wanted::Track
            && self.field.is_none()
    }

    /// Counts a plain point.
    pub(crate) fn plain_point(&mut self, fix: Fix) -> Found {
        self.report.points += 1;
        Found::Point { fix, timed: true, segment: self.report.segments }
    }

    /// Whether the track point that is open has not been rejected yet.
    pub(crate) fn is_open_point_flown(&self) -> bool {
        self.wanted == Wanted::Track && self.draft.rejection.is_none()
    }

    fn start_in_point(&mut self, tag: &BytesStart<'_>, name: &str, source: &Source<'_>) {
        // An element with children says nothing by itself.
        self.field = None;
        if name == "trkpt" {
            self.report.points += 1;
            found(&mut self.report, source, Kind::Incomplete, || {
                "it stands within another point".to_owned()
            });
            return;
        }
        if !self.point.is_some_and(|kind| self.is_wanted(kind)) {
            return;
        }
        let direct = self.depth == self.point_depth + 1;
        if direct && let Some(rank) = fields::rank_in_point(name) {
            self.draft.child(rank, &mut self.report, source);
        }
        let attributes = tag.attributes_raw();
        if self.foreign_depth == 0 && !attributes.is_empty() && attributes.contains("xmlns=") {
            self.foreign_depth = self.depth;
        }
        let field = match name {
            "ele" if direct => Some(Field::Altitude),
            "time" if direct => Some(Field::Time),
            "ele" | "time" => None,
            "name" if direct && self.wanted == Wanted::Waypoints => Some(Field::Name),
            _ if self.wanted == Wanted::Waypoints => None,
            "magvar" if direct => Some(Field::Variation),
            _ => self.motion(tag, name, direct, source),
        };
        if let Some(field) = field {
            self.keep_text(field);
        }
    }

    fn motion(
        &mut self,
        tag: &BytesStart<'_>,
        name: &str,
        direct: bool,
        source: &Source<'_>,
    ) -> Option<Field> {
        let mut field = fields::motion(name)?;
        let has_own_name = matches!(name, "speed" | "course") && direct;
        let is_right = has_own_name && self.report.version == Version::V10;
        if self.foreign_depth == 0 && !is_right && prefix(tag) == self.prefix {
            found(&mut self.report, source, Kind::OwnMotion, || format!("`{name}`"));
        }
        for attribute in tag.attributes().with_checks(false).flatten() {
            let key = attribute.key.as_ref();
            let value = attribute.value.trim();
            match &mut field {
                Field::Speed(unit) if matches!(key, "unit" | "uom") => {
                    *unit = SpeedUnit::named(value);
                }
                Field::Course { magnetic } | Field::Heading { magnetic }
                    if value.eq_ignore_ascii_case("magnetic") =>
                {
                    *magnetic = true;
                }
                _ => {}
            }
        }
        Some(field)
    }

    fn keep_text(&mut self, field: Field) {
        self.field = Some(field);
        self.field_depth = self.depth;
        self.text.clear();
        self.text_too_long = false;
    }

    /// An element ends.
    pub(crate) fn end(&mut self, source: &Source<'_>) -> Option<Found> {
        let depth = self.depth;
        self.depth = depth.saturating_sub(1);
        if let Some(field) = self.field
            && self.field_depth == depth
        {
            self.field = None;
            self.end_of_field(field, depth, source);
        }
        if self.foreign_depth == depth {
            self.foreign_depth = 0;
        }
        if self.track_depth == depth {
            self.track_depth = 0;
        }
        let kind = self.point?;
        if self.point_depth != depth {
            return None;
        }
        self.point = None;
        if !self.is_wanted(kind) {
            return None;
        }
        if kind == PointKind::Track {
            let (fix, timed) = self.draft.fix()?;
            return Some(Found::Point { fix, timed, segment: self.report.segments });
        }
        let (position, elevation) = self.draft.place()?;
        Some(Found::Waypoint(Waypoint {
            position,
            elevation,
            name: self.draft.name.take(),
            route: (kind == PointKind::Route).then_some(self.report.routes),
        }))
    }

    fn end_of_field(&mut self, field: Field, depth: u32, source: &Source<'_>) {
        if self.point.is_some() {
            let direct = depth == self.point_depth + 1;
            let text: &[u8] = if self.text_too_long && field != Field::Name {
                b"(a very long text)"
            } else {
                &self.text
            };
            self.draft.take(field, text, direct, &mut self.report, source);
            return;
        }
        let name = String::from_utf8_lossy(&self.text);
        let name = name.trim();
        if self.report.names.len() < NAMES_KEPT && !name.is_empty() {
            self.report.names.push(name.to_owned());
        }
    }

    /// Text, or character data.
    pub(crate) fn text(&mut self, text: &str, source: &Source<'_>) -> Result<(), Ended> {
        if self.field.is_some() {
            self.append(text.as_bytes());
        } else if self.depth == 0 && !text.trim().is_empty() {
            return self.text_outside(text, source);
        }
        Ok(())
    }

    fn append(&mut self, text: &[u8]) {
        let room = LONGEST_TEXT.saturating_sub(self.text.len());
        match text.get(..room) {
            Some(part) if text.len() > room => {
                self.text.extend_from_slice(part);
                self.text_too_long = true;
            }
            _ => self.text.extend_from_slice(text),
        }
    }

    /// A reference to a character or an entity. Entities that a document declares are never put
    /// in; what refers to one cannot be used.
    pub(crate) fn reference(&mut self, reference: &BytesRef<'_>) {
        if self.field.is_none() {
            return;
        }
        let character = match &**reference {
            "lt" => '<',
            "gt" => '>',
            "amp" => '&',
            "quot" => '"',
            "apos" => '\'',
            _ => reference.resolve_char_ref().ok().flatten().unwrap_or('\u{fffd}'),
        };
        self.append(character.encode_utf8(&mut [0; 4]).as_bytes());
    }

    fn root(&mut self, tag: &BytesStart<'_>, source: &Source<'_>) -> Result<(), Ended> {
        let local = tag.local_name();
        if local.as_ref() != "gpx" {
            let name = shown(local.as_ref().as_bytes());
            let place = self.report.place(source.event_place());
            let headline = format!("this is not GPX: its root element is {name}");
            let help = "give a file whose root element is `gpx`, as GPX 1.0 and 1.1 have it";
            return Err(self.error("gpx-not-gpx", place, headline, help));
        }
        if self.root_seen && !self.second_root_said {
            self.second_root_said = true;
            let place = self.report.place(source.event_place());
            let headline = "another GPX document follows in the same file";
            self.report.diagnostics.push(
                Diagnostic::warning("gpx-second-document", place, headline)
                    .help("its tracks are flown after those before it"),
            );
        }
        self.root_seen = true;
        self.root_rank = 0;
        prefix(tag).clone_into(&mut self.prefix);
        self.check_root(tag, source);
        Ok(())
    }

    /// Finds the edition, and reports what does not fit.
    fn check_root(&mut self, tag: &BytesStart<'_>, source: &Source<'_>) {
        let (mut version, mut creator, mut namespace) = (None, false, None);
        let own = if self.prefix.is_empty() {
            "xmlns".to_owned()
        } else {
            format!("xmlns:{}", self.prefix)
        };
        for attribute in tag.attributes().with_checks(false).flatten() {
            match attribute.key.as_ref() {
                "version" => version = Some(attribute.value.trim().to_owned()),
                "creator" => creator = true,
                key if key == own => namespace = Some(attribute.value.trim().to_owned()),
                _ => {}
            }
        }
        let by_namespace = match namespace.as_deref() {
            Some("http://www.topografix.com/GPX/1/0") => Some(Version::V10),
            Some("http://www.topografix.com/GPX/1/1") => Some(Version::V11),
            _ => None,
        };
        let by_version = match version.as_deref() {
            Some("1.0") => Some(Version::V10),
            Some("1.1") => Some(Version::V11),
            _ => None,
        };
        self.report.version = by_version.or(by_namespace).unwrap_or_default();
        if by_namespace.is_none() {
            let what = namespace.map_or_else(
                || "the file names no namespace".to_owned(),
                |n| format!("the namespace {} is not one of GPX", shown(n.as_bytes())),
            );
            let help = "it is read as GPX all the same, by the names of its elements";
            self.root_warning("gpx-namespace", what, help, source);
        }
        match (version, by_version, by_namespace) {
            (None, ..) => self.root_warning(
                "gpx-version",
                "the file does not say which version of GPX it is".to_owned(),
                "it is read by its namespace, else as 1.1",
                source,
            ),
            (Some(version), None, _) => self.root_warning(
                "gpx-version",
                format!("the version {} is not one of GPX", shown(version.as_bytes())),
                "it is read by its namespace, else as 1.1",
                source,
            ),
            (_, Some(a), Some(b)) if a != b => self.root_warning(
                "gpx-version",
                "version and namespace name different editions of GPX".to_owned(),
                "it is read by its version",
                source,
            ),
            _ => {}
        }
        if !creator {
            let place = self.report.place(source.event_place());
            self.report.diagnostics.push(
                Diagnostic::note("gpx-creator", place, "the file does not name its creator")
                    .help("it is read all the same"),
            );
        }
    }

    fn root_warning(
        &mut self,
        name: &'static str,
        headline: String,
        help: &str,
        source: &Source<'_>,
    ) {
        // Once a file, however many documents follow in it.
        if self.report.diagnostics.iter().all(|d| d.name != name) {
            let place = self.report.place(source.event_place());
            self.report.diagnostics.push(Diagnostic::warning(name, place, headline).help(help));
        }
    }
}

fn prefix<'a>(tag: &'a BytesStart<'_>) -> &'a str {
    tag.name().prefix().map_or("", |p| p.into_inner())
}
