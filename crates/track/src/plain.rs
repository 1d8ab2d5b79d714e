//! The quick way for plain points.
//!
//! Most points of most files are written alike: `trkpt` with `lat` and `lon`, in it `ele`, `time`
//! and a few more, perhaps motion in `extensions`, nothing to be said of any of them. Such a point
//! is read here straight from the bytes; the example `gpx_speed` prints what that gains. Whatever
//! is not entirely plain (a point with a prefix, an attribute where none is needed, a comment, a
//! reference, a value out of its range, anything to be counted, a point that goes on in the next
//! block) is declined and left to the reading of events, which alone says what a document means; a
//! test compares the two on thousands of damaged documents.

use earth::{DegreesTrue, Fix, HeadingReading, Metres, MetresPerSecond, Position, SourceHeading};

use crate::fields::{self, Field};
use crate::number;
use crate::point::{ALTITUDE, DIRECTION, SPEED, metres_per_second};
use crate::report::Version;
use crate::timestamp;

/// Elements within `extensions` that are still plain.
const DEEPEST: usize = 4;
/// Bytes in the name of a plain element.
const LONGEST_NAME: usize = 64;

/// A plain point at the head of some bytes, after blanks: how many bytes it takes, and its fix.
pub(crate) fn point(bytes: &[u8], version: Version) -> Option<(usize, Fix)> {
    let mut rest = Rest(bytes);
    rest.blanks();
    rest.expect(b"<trkpt")?;
    let position = rest.position()?;
    let mut fix = Fix::at(earth::Utc(0), position);
    let mut timed = false;
    let mut last_rank = None;
    loop {
        rest.blanks();
        rest.expect(b"<")?;
        if rest.0.first() == Some(&b'/') {
            break;
        }
        let name = rest.until(b'>')?;
        if name == b"extensions" {
            // They come last, so no second ones and nothing after them.
            rest.extensions(&mut fix)?;
            rest.blanks();
            rest.expect(b"<")?;
            break;
        }
        let text = rest.until(b'<')?;
        // What follows the text must be this element's end.
        rest.expect(b"/")?;
        rest.expect(name)?;
        rest.expect(b">")?;
        let name = std::str::from_utf8(name).ok()?;
        let rank = fields::rank_in_point(name)?;
        if last_rank.is_some_and(|last| rank <= last) || memchr::memchr(b'&', text).is_some() {
            return None;
        }
        last_rank = Some(rank);
        match name {
            "ele" => fix.altitude = Some(Metres::of(value(text, &ALTITUDE)?)),
            "time" => {
                let time = timestamp::parse(text).ok()?;
                if !time.zone || time.odd {
                    return None;
                }
                fix.time = time.utc;
                timed = true;
            }
            "course" if version == Version::V10 => {
                fix.track = Some(DegreesTrue::of(value(text, &DIRECTION)?));
            }
            "speed" if version == Version::V10 => {
                fix.groundspeed = Some(MetresPerSecond::of(value(text, &SPEED)?));
            }
            // A variation must be looked at for its range.
            "course" | "speed" | "magvar" => return None,
            _ => {}
        }
    }
    rest.expect(b"/trkpt>")?;
    if let Some(heading) = &mut fix.heading {
        heading.time = fix.time;
    }
    timed.then_some((bytes.len() - rest.0.len(), fix))
}

fn value(text: &[u8], range: &std::ops::RangeInclusive<f64>) -> Option<f64> {
    let number = number::parse(text)?;
    (!number.exponent && range.contains(&number.value)).then_some(number.value)
}

struct Rest<'a>(&'a [u8]);

impl<'a> Rest<'a> {
    fn blanks(&mut self) {
        while let [b' ' | b'\t' | b'\r' | b'\n', rest @ ..] = self.0 {
            self.0 = rest;
        }
    }

    fn expect(&mut self, text: &[u8]) -> Option<()> {
        self.0 = self.0.strip_prefix(text)?;
        Some(())
    }

    /// What comes before the next such byte, which is passed over.
    fn until(&mut self, byte: u8) -> Option<&'a [u8]> {
        let at = memchr::memchr(byte, self.0)?;
        let (before, rest) = self.0.split_at_checked(at)?;
        self.0 = rest.get(1..)?;
        Some(before)
    }

    /// `lat` and `lon`, in either order and nothing else, and the end of the tag.
    fn position(&mut self) -> Option<Position> {
        let (first_is_lat, first) = self.coordinate()?;
        let (second_is_lat, second) = self.coordinate()?;
        self.expect(b">")?;
        let (lat, lon) = match (first_is_lat, second_is_lat) {
            (true, false) => (first, second),
            (false, true) => (second, first),
            _ => return None,
        };
        if lon == 180.0 {
            return None;
        }
        Position::new(lat, lon).ok()
    }

    fn coordinate(&mut self) -> Option<(bool, f64)> {
        self.expect(b" ")?;
        let is_lat = match self.0 {
            [b'l', b'a', b't', b'=', rest @ ..] => {
                self.0 = rest;
                true
            }
            [b'l', b'o', b'n', b'=', rest @ ..] => {
                self.0 = rest;
                false
            }
            _ => return None,
        };
        let quote = match self.0.first()? {
            quote @ (b'"' | b'\'') => *quote,
            _ => return None,
        };
        self.0 = self.0.get(1..)?;
        let number = number::parse(self.until(quote)?)?;
        (!number.exponent).then_some((is_lat, number.value))
    }

    /// What `extensions` hold, and their end tag: elements with text or with elements.
    fn extensions(&mut self, fix: &mut Fix) -> Option<()> {
        let mut open: [&[u8]; DEEPEST] = [&[]; DEEPEST];
        let mut depth = 0;
        loop {
            self.blanks();
            self.expect(b"<")?;
            if self.0.first() == Some(&b'/') {
                self.expect(b"/")?;
                let name = self.until(b'>')?;
                if depth == 0 {
                    return (name == b"extensions").then_some(());
                }
                depth -= 1;
                if *open.get(depth)? != name {
                    return None;
                }
                continue;
            }
            let (name, bare) = plain_tag(self.until(b'>')?)?;
            let (prefix, local) = name_parts(name)?;
            let field = fields::motion(local);
            if let [b'<', next, ..] = self.0.trim_ascii_start()
                && *next != b'/'
            {
                // Elements within: a name of the table would then say nothing by itself.
                if field.is_some() {
                    return None;
                }
                *open.get_mut(depth)? = name;
                depth += 1;
                continue;
            }
            let text = self.until(b'<')?;
            self.expect(b"/")?;
            self.expect(name)?;
            self.expect(b">")?;
            if memchr::memchr(b'&', text).is_some() {
                return None;
            }
            if let Some(field) = field {
                if !bare || prefix.is_empty() {
                    return None;
                }
                take(field, text, fix)?;
            }
        }
    }
}

/// The name of a start tag and whether it has no attributes; declined if it is no plain start tag
/// or changes the namespace of names without a prefix.
fn plain_tag(tag: &[u8]) -> Option<(&[u8], bool)> {
    let end = tag.iter().position(u8::is_ascii_whitespace).unwrap_or(tag.len());
    let (name, attributes) = tag.split_at_checked(end)?;
    let quotes = attributes.iter().filter(|b| **b == b'"').count();
    let odd = quotes % 2 == 1
        || attributes.contains(&b'\'')
        || tag.ends_with(b"/")
        || matches!(tag.first(), None | Some(b'!' | b'?'))
        || name.len() > LONGEST_NAME
        || memchr::memmem::find(attributes, b"xmlns=").is_some();
    if odd { None } else { Some((name, attributes.is_empty())) }
}

/// Prefix and local name; a point within a point is declined.
fn name_parts(name: &[u8]) -> Option<(&str, &str)> {
    let name = std::str::from_utf8(name).ok()?;
    let (prefix, local) = name.split_once(':').unwrap_or(("", name));
    (local != "trkpt").then_some((prefix, local))
}

/// Takes a value of motion that has not been given yet.
fn take(field: Field, text: &[u8], fix: &mut Fix) -> Option<()> {
    match field {
        Field::Speed(unit) if fix.groundspeed.is_none() => {
            let number = number::parse(text).filter(|n| !n.exponent)?;
            let speed = metres_per_second(number.value, unit).filter(|s| SPEED.contains(s))?;
            fix.groundspeed = Some(MetresPerSecond::of(speed));
        }
        Field::Course { magnetic: false } if fix.track.is_none() => {
            fix.track = Some(DegreesTrue::of(value(text, &DIRECTION)?));
        }
        Field::Heading { magnetic } if fix.heading.is_none() => {
            let degrees = DegreesTrue::of(value(text, &DIRECTION)?);
            let reading = if magnetic {
                HeadingReading::Magnetic { degrees, variation: None }
            } else {
                HeadingReading::True(degrees)
            };
            fix.heading = Some(SourceHeading { time: fix.time, reading });
        }
        _ => return None,
    }
    Some(())
}
