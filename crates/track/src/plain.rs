//! The quick way for plain points.
//!
//! Most points of most files are written alike: `trkpt` with `lat` and `lon`, in it `ele`, `time`
//! and a few more, nothing to be said of any of them. Such a point is read here straight from the
//! bytes, at about three times the speed of going through the XML events. Whatever is not entirely
//! plain (a prefix, an attribute, a comment, a reference, an element below an element, a value out
//! of its range, anything to be counted) is declined and left to the reading of events, which alone
//! says what a document means; a test compares the two on thousands of documents.

use earth::{DegreesTrue, Fix, Metres, MetresPerSecond, Position};

use crate::fields;
use crate::number;
use crate::point::{ALTITUDE, DIRECTION, SPEED};
use crate::report::Version;
use crate::timestamp;

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
}
