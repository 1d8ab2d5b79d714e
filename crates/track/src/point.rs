//! One point while it is being read.

use earth::{
    Degrees, DegreesTrue, Fix, HeadingReading, Metres, MetresPerSecond, Position, SourceHeading,
    Utc,
};
use quick_xml::XmlVersion;
use quick_xml::events::BytesStart;

use crate::fields::{Field, SpeedUnit};
use crate::number;
use crate::report::{Kind, Report, Version};
use crate::source::Source;
use crate::timestamp;

/// Altitudes that can be, in metres; the lowest land is at −430, the highest balloons at 53,000.
pub(crate) const ALTITUDE: std::ops::RangeInclusive<f64> = -1_000.0..=100_000.0;
/// Groundspeeds that can be, in metres a second.
pub(crate) const SPEED: std::ops::RangeInclusive<f64> = 0.0..=1_000.0;
/// Directions that can be, in degrees; 360 is 0.
pub(crate) const DIRECTION: std::ops::RangeInclusive<f64> = 0.0..=360.0;

/// Counts one of a kind, and reports it if it is among the first; the place is the point's.
pub(crate) fn found(
    report: &mut Report,
    source: &Source<'_>,
    kind: Kind,
    detail: impl FnOnce() -> String,
) {
    if report.add(kind) {
        report.say(kind, source.point_place(), &detail());
    }
}

/// A text as it is shown in a message: its first characters, quoted.
pub(crate) fn shown(text: &[u8]) -> String {
    const MOST: usize = 40;
    let text = String::from_utf8_lossy(text);
    let mut characters = text.trim().chars();
    let start: String = characters.by_ref().take(MOST).flat_map(char::escape_debug).collect();
    if characters.next().is_some() { format!("`{start}…`") } else { format!("`{start}`") }
}

/// A value and whether it stood directly in the point.
type Placed<T> = Option<(T, bool)>;

/// What is known of a point so far.
#[derive(Debug, Default)]
pub(crate) struct Draft {
    position: Option<Position>,
    /// The first reason why the point is not flown.
    pub(crate) rejection: Option<Kind>,
    time: Option<Utc>,
    altitude: Option<Metres>,
    speed: Placed<MetresPerSecond>,
    course: Placed<DegreesTrue>,
    heading: Placed<(DegreesTrue, bool)>,
    variation: Option<Degrees>,
    /// The name, where names are read.
    pub(crate) name: Option<String>,
    last_rank: u8,
}

impl Draft {
    /// Begins a point with the attributes of its tag.
    pub(crate) fn begin(
        tag: &BytesStart<'_>,
        version: Version,
        report: &mut Report,
        source: &Source<'_>,
    ) -> Self {
        let mut draft = Self::default();
        let (mut lat, mut lon) = (None, None);
        let mut exponent = false;
        for attribute in tag.attributes().with_checks(false) {
            let Ok(attribute) = attribute else {
                draft.reject(report, source, Kind::MissingPosition, || {
                    "its attributes cannot be read".to_owned()
                });
                return draft;
            };
            let (slot, kind) = match attribute.key.as_ref() {
                "lat" => (&mut lat, Kind::BadLatitude),
                "lon" => (&mut lon, Kind::BadLongitude),
                _ => continue,
            };
            if slot.is_some() {
                draft.reject(report, source, kind, || "it is given twice".to_owned());
                continue;
            }
            let parsed = if attribute.value.contains('&') {
                attribute
                    .normalized_value(XmlVersion::Implicit1_0)
                    .ok()
                    .and_then(|v| number::parse(v.as_bytes()))
            } else {
                number::parse(attribute.value.as_bytes())
            };
            let Some(parsed) = parsed else {
                draft.reject(report, source, kind, || {
                    format!("{} is not a decimal number", shown(attribute.value.as_bytes()))
                });
                // Held as given, so that it is not said to be missing.
                *slot = Some(0.0);
                continue;
            };
            exponent |= parsed.exponent;
            *slot = Some(parsed.value);
        }
        let (Some(lat), Some(lon)) = (lat, lon) else {
            draft.reject(report, source, Kind::MissingPosition, || match (lat, lon) {
                (None, Some(_)) => "`lat` is missing".to_owned(),
                (Some(_), None) => "`lon` is missing".to_owned(),
                _ => "`lat` and `lon` are missing".to_owned(),
            });
            return draft;
        };
        if draft.rejection.is_some() {
            return draft;
        }
        match Position::new(lat, lon) {
            Ok(position) => draft.position = Some(position),
            Err(error @ earth::PositionError::Latitude(_)) => {
                draft.reject(report, source, Kind::BadLatitude, || error.to_string());
                return draft;
            }
            Err(error @ earth::PositionError::Longitude(_)) => {
                draft.reject(report, source, Kind::BadLongitude, || error.to_string());
                return draft;
            }
        }
        if exponent {
            found(report, source, Kind::Exponent, String::new);
        }
        if lon == 180.0 && version == Version::V11 {
            found(report, source, Kind::Longitude180, String::new);
        }
        draft
    }

    /// The point will not be flown, for this reason if it is the first.
    fn reject(
        &mut self,
        report: &mut Report,
        source: &Source<'_>,
        kind: Kind,
        detail: impl FnOnce() -> String,
    ) {
        if self.rejection.is_none() {
            self.rejection = Some(kind);
            found(report, source, kind, detail);
        }
    }

    /// Notes where a child stands among its siblings.
    pub(crate) fn child(&mut self, rank: u8, report: &mut Report, source: &Source<'_>) {
        if rank < self.last_rank && self.last_rank != u8::MAX {
            found(report, source, Kind::Order, String::new);
            // Once a point is enough.
            self.last_rank = u8::MAX;
        } else if self.last_rank != u8::MAX {
            self.last_rank = rank;
        }
    }

    /// Takes the text of an element that has ended. An empty element says nothing.
    pub(crate) fn take(
        &mut self,
        field: Field,
        text: &[u8],
        direct: bool,
        report: &mut Report,
        source: &Source<'_>,
    ) {
        let text = text.trim_ascii();
        if text.is_empty() {
            return;
        }
        match field {
            Field::Time => self.take_time(text, report, source),
            Field::Name => self.name = Some(String::from_utf8_lossy(text).into_owned()),
            Field::Altitude => {
                let value = within(text, &ALTITUDE, Kind::BadAltitude, report, source);
                keep_first(&mut self.altitude, value.map(Metres::of), report, source);
            }
            Field::Variation => self.take_variation(text, report, source),
            Field::Speed(unit) => {
                let Some(value) = speed(text, unit, report, source) else { return };
                keep(&mut self.speed, value, direct, report, source);
            }
            Field::Course { magnetic: true } => {
                found(report, source, Kind::MagneticCourse, || shown(text));
            }
            Field::Course { magnetic: false } => {
                let value = within(text, &DIRECTION, Kind::BadCourse, report, source);
                if let Some(value) = value {
                    keep(&mut self.course, DegreesTrue::of(value), direct, report, source);
                }
            }
            Field::Heading { magnetic } => {
                let value = within(text, &DIRECTION, Kind::BadHeading, report, source);
                if let Some(value) = value {
                    let value = (DegreesTrue::of(value), magnetic);
                    keep(&mut self.heading, value, direct, report, source);
                }
            }
        }
    }

    fn take_time(&mut self, text: &[u8], report: &mut Report, source: &Source<'_>) {
        let time = match timestamp::parse(text) {
            Ok(time) => time,
            Err(error) => {
                self.reject(report, source, Kind::BadTime, || format!("{} {error}", shown(text)));
                return;
            }
        };
        if !time.zone {
            found(report, source, Kind::NoZone, || shown(text));
        }
        if time.odd {
            found(report, source, Kind::OddTime, || shown(text));
        }
        keep_first(&mut self.time, Some(time.utc), report, source);
    }

    /// GPX writes a west variation w as 360 − w; here east is positive.
    fn take_variation(&mut self, text: &[u8], report: &mut Report, source: &Source<'_>) {
        let Some(value) = within(text, &(-180.0..=360.0), Kind::BadVariation, report, source)
        else {
            return;
        };
        if value < 0.0 {
            found(report, source, Kind::NegativeVariation, || shown(text));
        }
        let east = if value > 180.0 { value - 360.0 } else { value };
        keep_first(&mut self.variation, Some(Degrees::of(east)), report, source);
    }

    /// The point as a fix and whether it has a time of its own; `None` if it is rejected, which
    /// has been counted. Without one, the fix's time is a place to write to.
    pub(crate) fn fix(&self) -> Option<(Fix, bool)> {
        let position = match self.rejection {
            Some(_) => return None,
            None => self.position?,
        };
        let time = self.time.unwrap_or_default();
        let heading = self.heading.map(|((degrees, magnetic), _)| SourceHeading {
            time,
            reading: if magnetic {
                HeadingReading::Magnetic { degrees, variation: self.variation }
            } else {
                HeadingReading::True(degrees)
            },
        });
        let fix = Fix {
            time,
            position,
            altitude: self.altitude,
            groundspeed: self.speed.map(|(speed, _)| speed),
            track: self.course.map(|(course, _)| course),
            heading,
        };
        Some((fix, self.time.is_some()))
    }

    /// Position and elevation of a point that is not flown.
    pub(crate) fn place(&self) -> Option<(Position, Option<Metres>)> {
        self.position.map(|position| (position, self.altitude))
    }
}

/// A speed in metres a second; `None` if its unit is not known.
pub(crate) fn metres_per_second(value: f64, unit: SpeedUnit) -> Option<f64> {
    match unit {
        SpeedUnit::MetresPerSecond => Some(value),
        SpeedUnit::Knots => Some(MetresPerSecond::from_knots(value).get()),
        SpeedUnit::KilometresPerHour => Some(value / 3.6),
        SpeedUnit::Unknown => None,
    }
}

fn speed(
    text: &[u8],
    unit: SpeedUnit,
    report: &mut Report,
    source: &Source<'_>,
) -> Option<MetresPerSecond> {
    let Some(parsed) = number::parse(text) else {
        found(report, source, Kind::BadSpeed, || shown(text));
        return None;
    };
    let Some(value) = metres_per_second(parsed.value, unit) else {
        found(report, source, Kind::UnknownUnit, || shown(text));
        return None;
    };
    if !SPEED.contains(&value) {
        found(report, source, Kind::BadSpeed, || shown(text));
        return None;
    }
    if parsed.exponent {
        found(report, source, Kind::Exponent, || shown(text));
    }
    Some(MetresPerSecond::of(value))
}

fn within(
    text: &[u8],
    range: &std::ops::RangeInclusive<f64>,
    kind: Kind,
    report: &mut Report,
    source: &Source<'_>,
) -> Option<f64> {
    let parsed = number::parse(text).filter(|n| range.contains(&n.value));
    let Some(parsed) = parsed else {
        found(report, source, kind, || shown(text));
        return None;
    };
    if parsed.exponent {
        found(report, source, Kind::Exponent, || shown(text));
    }
    Some(parsed.value)
}

fn keep_first<T: PartialEq + Copy>(
    slot: &mut Option<T>,
    value: Option<T>,
    report: &mut Report,
    source: &Source<'_>,
) {
    match (&slot, value) {
        (_, None) => {}
        (None, _) => *slot = value,
        (Some(old), Some(new)) => {
            if *old != new {
                found(report, source, Kind::Repeated, String::new);
            }
        }
    }
}

/// What stands directly in the point stands above what stands below; else the first is kept.
fn keep<T: PartialEq + Copy>(
    slot: &mut Placed<T>,
    value: T,
    direct: bool,
    report: &mut Report,
    source: &Source<'_>,
) {
    match *slot {
        None => *slot = Some((value, direct)),
        Some((old, old_direct)) => {
            if old != value {
                found(report, source, Kind::Repeated, String::new);
            }
            if direct && !old_direct {
                *slot = Some((value, direct));
            }
        }
    }
}
