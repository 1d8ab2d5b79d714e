//! What a reader found besides the fixes.

use std::fmt;
use std::sync::Arc;

use diagnostic::{Diagnostic, Place, Severity};

/// What happens to a point, or a value, of which something is to be said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Class {
    /// The point is not flown.
    Rejected,
    /// A value of the point is left out, as if it were not given; the point is flown.
    LeftOut,
    /// It is taken, though the rules of GPX do not allow or not foresee it.
    Accepted,
}

macro_rules! kinds {
    ($($(#[doc = $doc:literal])* $kind:ident, $class:ident, $name:literal, $headline:literal, $help:literal;)*) => {
        /// Something that is counted for each point.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum Kind {
            $($(#[doc = $doc])* $kind,)*
        }

        impl Kind {
            /// All kinds, in the order in which they are reported.
            pub const ALL: &'static [Self] = &[$(Self::$kind),*];

            /// What happens to the point or the value.
            #[must_use]
            pub const fn class(self) -> Class {
                match self { $(Self::$kind => Class::$class),* }
            }

            /// The stable name of its diagnostics.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self { $(Self::$kind => $name),* }
            }

            /// What is to be said of all of them.
            const fn headline(self) -> &'static str {
                match self { $(Self::$kind => $headline),* }
            }

            /// What to do about it.
            const fn help(self) -> &'static str {
                match self { $(Self::$kind => $help),* }
            }
        }
    };
}

kinds! {
    /// Latitude or longitude is missing.
    MissingPosition, Rejected, "gpx-missing-position", "a point has no latitude or no longitude",
        "the point is left out; give it `lat` and `lon` in degrees";
    /// The latitude is no number from −90 to 90.
    BadLatitude, Rejected, "gpx-bad-latitude", "the latitude of a point cannot be used",
        "the point is left out; a latitude is a number from -90 to 90 with a full stop for its decimals";
    /// The longitude is no number from −180 to 180.
    BadLongitude, Rejected, "gpx-bad-longitude", "the longitude of a point cannot be used",
        "the point is left out; a longitude is a number from -180 to 180 with a full stop for its decimals";
    /// The point has no time though others have.
    MissingTime, Rejected, "gpx-missing-time", "a point has no time",
        "the point is left out; others of this file have a time, so it cannot be made up";
    /// The time cannot be understood.
    BadTime, Rejected, "gpx-bad-time", "the time of a point cannot be used",
        "the point is left out; write the time as 2026-03-01T18:00:00Z";
    /// The file breaks off within the point, or the point within another.
    Incomplete, Rejected, "gpx-incomplete-point", "a point is not complete",
        "the point is left out";
    /// The altitude is no number of metres that can be.
    BadAltitude, LeftOut, "gpx-bad-altitude", "the altitude of a point cannot be used",
        "the point is taken without it; an altitude is a number of metres from -1000 to 100000";
    /// The groundspeed is no number of metres a second that can be.
    BadSpeed, LeftOut, "gpx-bad-speed", "the speed of a point cannot be used",
        "the point is taken without it; a speed is a number of metres a second from 0 to 1000";
    /// The speed has a unit that is not known.
    UnknownUnit, LeftOut, "gpx-unknown-unit", "the speed of a point has an unknown unit",
        "the point is taken without it; known are m/s, kt and km/h";
    /// The course is no number from 0 to 360.
    BadCourse, LeftOut, "gpx-bad-course", "the course of a point cannot be used",
        "the point is taken without it; a course is a number of degrees true from 0 to 360";
    /// The course is magnetic.
    MagneticCourse, LeftOut, "gpx-magnetic-course", "the course of a point is magnetic",
        "the point is taken without it; the track is then reckoned from the positions";
    /// The heading is no number from 0 to 360.
    BadHeading, LeftOut, "gpx-bad-heading", "the heading of a point cannot be used",
        "the point is taken without it; a heading is a number of degrees from 0 to 360";
    /// The variation is no number from −180 to 360.
    BadVariation, LeftOut, "gpx-bad-variation", "the variation of a point cannot be used",
        "the point is taken without it; a variation is a number of degrees from 0 to 360, a west one 360 less it";
    /// A longitude of exactly 180, which GPX 1.1 writes −180.
    Longitude180, Accepted, "gpx-longitude-180", "a longitude is 180, which GPX 1.1 writes -180",
        "it is taken as it stands";
    /// A number with an exponent.
    Exponent, Accepted, "gpx-exponent", "a number has an exponent, which GPX does not allow",
        "it is taken as it stands";
    /// Children of a point or of the file in another order.
    Order, Accepted, "gpx-order", "elements stand in another order than GPX gives",
        "they are taken as they stand";
    /// Speed, course or heading in GPX 1.1's own namespace, which has none.
    OwnMotion, Accepted, "gpx-own-motion",
        "speed, course or heading stand in a namespace of GPX that has none",
        "they are taken as they stand";
    /// A time without a zone.
    NoZone, Accepted, "gpx-no-zone", "a time has no zone",
        "it is taken as UTC; if it was local time, all times of this flight are off by the zone";
    /// A time in an unusual form.
    OddTime, Accepted, "gpx-odd-time", "a time is written in an unusual form",
        "it is taken as it stands; the usual form is 2026-03-01T18:00:00Z";
    /// A negative variation.
    NegativeVariation, Accepted, "gpx-negative-variation",
        "a variation is negative, where GPX writes a west one as 360 less it",
        "it is taken as west";
    /// A value that is given twice, differently.
    Repeated, Accepted, "gpx-repeated-value", "a value is given twice and differently",
        "the one directly in the point is taken, else the first";
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// How many of each kind are reported one by one.
pub const REPORTED_ONE_BY_ONE: u64 = 5;
/// How many names of tracks are kept.
pub const NAMES_KEPT: usize = 100;

/// Which edition of GPX a file is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Version {
    /// 1.0.
    V10,
    /// 1.1; taken also where a file does not say.
    #[default]
    V11,
}

/// What a reader found besides the fixes. Complete once the reader has given its last fix.
#[derive(Clone, Debug)]
pub struct Report {
    file: Arc<str>,
    /// The edition of GPX.
    pub version: Version,
    /// Track points seen, flown or not.
    pub points: u64,
    /// Fixes handed out.
    pub fixes: u64,
    /// Tracks seen.
    pub tracks: u64,
    /// Track segments seen.
    pub segments: u64,
    /// Waypoints seen; they are not flown.
    pub waypoints: u64,
    /// Routes seen; they are not flown.
    pub routes: u64,
    /// Route points seen; they are not flown.
    pub route_points: u64,
    /// The first names of tracks, in file order.
    pub names: Vec<String>,
    counts: Vec<u64>,
    /// Everything to be said, in the order in which it was found; the first few of each kind one
    /// by one, the others as one sum.
    pub diagnostics: Vec<Diagnostic>,
}

impl Report {
    pub(crate) fn new(file: &str) -> Self {
        Self {
            file: Arc::from(file),
            version: Version::default(),
            points: 0,
            fixes: 0,
            tracks: 0,
            segments: 0,
            waypoints: 0,
            routes: 0,
            route_points: 0,
            names: Vec::new(),
            counts: vec![0; Kind::ALL.len()],
            diagnostics: Vec::new(),
        }
    }

    /// How many of a kind were found.
    #[must_use]
    pub fn count(&self, kind: Kind) -> u64 {
        self.counts.get(kind as usize).copied().unwrap_or(0)
    }

    /// How many track points are not flown. With [`Report::fixes`] it makes [`Report::points`].
    #[must_use]
    pub fn rejected(&self) -> u64 {
        Kind::ALL.iter().filter(|k| k.class() == Class::Rejected).map(|k| self.count(*k)).sum()
    }

    /// Whether the file cannot be flown at all or breaks off.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(|d| d.severity == Severity::Error)
    }

    /// Counts one of a kind and says whether it is to be reported by itself.
    pub(crate) fn add(&mut self, kind: Kind) -> bool {
        match self.counts.get_mut(kind as usize) {
            Some(count) => {
                *count += 1;
                *count <= REPORTED_ONE_BY_ONE
            }
            None => false,
        }
    }

    /// Takes back what was counted and said of a kind.
    pub(crate) fn forget_details(&mut self, kind: Kind) {
        self.diagnostics.retain(|d| d.name != kind.name());
    }

    /// Reports one of a kind; the detail completes the headline.
    pub(crate) fn say(&mut self, kind: Kind, place: (u64, u64, u64), detail: &str) {
        let headline = if detail.is_empty() {
            kind.headline().to_owned()
        } else {
            format!("{}: {detail}", kind.headline())
        };
        let place = self.place(place);
        self.diagnostics
            .push(Diagnostic::new(kind.name(), severity(kind), place, headline).help(kind.help()));
    }

    /// Adds the sums of what was not reported one by one.
    pub(crate) fn sum_up(&mut self) {
        for &kind in Kind::ALL {
            let more = self.count(kind).saturating_sub(REPORTED_ONE_BY_ONE);
            let shown = self.diagnostics.iter().any(|d| d.name == kind.name());
            if more > 0 && shown {
                let headline = format!("{} ({more} more of {})", kind.headline(), self.count(kind));
                let place = Place::whole(Arc::clone(&self.file));
                self.diagnostics.push(
                    Diagnostic::new(kind.name(), severity(kind), place, headline).help(kind.help()),
                );
            }
        }
    }

    pub(crate) fn whole(&self) -> Place {
        Place::whole(Arc::clone(&self.file))
    }

    pub(crate) fn place(&self, (line, column, offset): (u64, u64, u64)) -> Place {
        let small = |n| u32::try_from(n).unwrap_or(u32::MAX);
        let at = usize::try_from(offset).unwrap_or(usize::MAX);
        Place {
            file: Arc::clone(&self.file),
            line: small(line),
            column: small(column),
            bytes: (at, at),
        }
    }
}

const fn severity(kind: Kind) -> Severity {
    match kind.class() {
        Class::Rejected | Class::LeftOut => Severity::Warning,
        Class::Accepted => Severity::Note,
    }
}
