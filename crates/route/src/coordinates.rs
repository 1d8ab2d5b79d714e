//! Coordinates as people have them.
//!
//! Decimal degrees, degrees and decimal minutes, or degrees, minutes and seconds; a hemisphere
//! letter before or after each angle, or a minus; with `°`, `′` or `'`, `″` or `"`, or blanks
//! between the parts; a comma or a blank between the two. Latitude comes first, unless letters say
//! otherwise. Positions are WGS 84.

use std::fmt;

use earth::Position;

use crate::bounds;
use crate::units::number;

/// Why text is no position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CoordinateError {
    /// It cannot be read; the text says what is odd.
    Unreadable(&'static str),
    /// Commas where decimal points should be.
    DecimalComma,
    /// Minutes or seconds of 60 or more, a latitude beyond a pole, a longitude beyond 180.
    OutOfRange(String),
}

impl CoordinateError {
    /// The diagnostic it is reported as.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Unreadable(_) => "bad-coordinate",
            Self::DecimalComma => "decimal-comma",
            Self::OutOfRange(_) => "number-out-of-range",
        }
    }

    /// What to do.
    #[must_use]
    pub const fn help(&self) -> &'static str {
        match self {
            Self::Unreadable(_) => {
                "write latitude and longitude, such as `61.2345, -6.7890`, `61°12.345'N \
                 006°45.678'W` or `61 12 30 N, 6 45 10 W`"
            }
            Self::DecimalComma => "write decimals with a point: `61.2345, -6.7890`",
            Self::OutOfRange(_) => {
                "latitude is from 90 S to 90 N, longitude from 180 W to 180 E, minutes and seconds \
                 are below 60; latitude comes first"
            }
        }
    }
}

impl fmt::Display for CoordinateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unreadable(why) => write!(f, "these are not coordinates: {why}"),
            Self::DecimalComma => f.write_str("a comma in a number"),
            Self::OutOfRange(what) => f.write_str(what),
        }
    }
}

impl std::error::Error for CoordinateError {}

/// Which angle of a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// North and south.
    Latitude,
    /// East and west.
    Longitude,
}

/// Reads a position.
///
/// # Errors
/// [`CoordinateError`] says what is odd.
pub fn position(text: &str) -> Result<Position, CoordinateError> {
    let tokens = tokens(text)?;
    let (first, second) = halves(&tokens)?;
    let first = angle(first)?;
    let second = angle(second)?;
    let (lat, lon) = match (first.axis, second.axis) {
        (None, None) | (Some(Axis::Latitude), Some(Axis::Longitude)) => (first, second),
        (Some(Axis::Longitude), Some(Axis::Latitude)) => (second, first),
        (Some(_), Some(_)) => {
            return Err(CoordinateError::Unreadable("both angles have letters of one axis"));
        }
        _ => {
            return Err(CoordinateError::Unreadable(
                "one angle has a hemisphere letter and the other has none",
            ));
        }
    };
    made(in_range(lat.degrees, Axis::Latitude)?, in_range(lon.degrees, Axis::Longitude)?)
}

/// Reads one angle of a position, in degrees, north and east positive.
///
/// # Errors
/// [`CoordinateError`], also for a hemisphere letter of the other axis.
pub fn single(text: &str, axis: Axis) -> Result<f64, CoordinateError> {
    let tokens = tokens(text)?;
    if tokens.contains(&Token::Comma) {
        return Err(CoordinateError::DecimalComma);
    }
    let angle = angle(&tokens)?;
    if angle.axis.is_some_and(|found| found != axis) {
        return Err(CoordinateError::Unreadable("the hemisphere letter is of the other axis"));
    }
    in_range(angle.degrees, axis)
}

/// A position from angles that were read one by one.
///
/// # Errors
/// [`CoordinateError::OutOfRange`].
pub fn made(lat: f64, lon: f64) -> Result<Position, CoordinateError> {
    Position::new(lat, lon).map_err(|error| CoordinateError::OutOfRange(error.to_string()))
}

fn in_range(degrees: f64, axis: Axis) -> Result<f64, CoordinateError> {
    let range = match axis {
        Axis::Latitude => bounds::LATITUDE,
        Axis::Longitude => bounds::LONGITUDE,
    };
    if (range.least..=range.most).contains(&degrees) {
        return Ok(degrees);
    }
    Err(CoordinateError::OutOfRange(format!("{} of {degrees} degrees does not exist", range.what)))
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Token<'t> {
    Number(&'t str),
    Minus,
    Comma,
    Degree,
    Minute,
    Second,
    Letter(char),
}

fn tokens(text: &str) -> Result<Vec<Token<'_>>, CoordinateError> {
    let mut out = Vec::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let mut taken = c.len_utf8();
        match c {
            ' ' | '\u{a0}' => {}
            '0'..='9' => {
                taken = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
                out.push(Token::Number(rest.get(..taken).unwrap_or_default()));
            }
            '-' | '\u{2212}' => out.push(Token::Minus),
            ',' => out.push(Token::Comma),
            '°' | 'º' => out.push(Token::Degree),
            '\'' if rest.starts_with("''") => {
                taken = 2;
                out.push(Token::Second);
            }
            '\'' | '′' | '’' => out.push(Token::Minute),
            '"' | '″' | '”' => out.push(Token::Second),
            'N' | 'S' | 'E' | 'W' => out.push(Token::Letter(c)),
            'n' | 's' | 'e' | 'w' => out.push(Token::Letter(c.to_ascii_uppercase())),
            _ => {
                return Err(CoordinateError::Unreadable("there is something that does not belong"));
            }
        }
        rest = rest.get(taken..).unwrap_or_default();
        if out.len() > 20 {
            return Err(CoordinateError::Unreadable("it is too long"));
        }
    }
    Ok(out)
}

/// Where the first angle ends and the second begins.
fn halves<'a, 't>(
    tokens: &'a [Token<'t>],
) -> Result<(&'a [Token<'t>], &'a [Token<'t>]), CoordinateError> {
    let places = |wanted: fn(&Token<'_>) -> bool| -> Vec<usize> {
        tokens.iter().enumerate().filter(|(_, t)| wanted(t)).map(|(at, _)| at).collect()
    };
    let commas = places(|t| *t == Token::Comma);
    match commas.as_slice() {
        [] => {}
        [at] => {
            let (first, second) = tokens.split_at(*at);
            return Ok((first, second.get(1..).unwrap_or_default()));
        }
        _ => return Err(CoordinateError::DecimalComma),
    }
    let letters = places(|t| matches!(t, Token::Letter(_)));
    let cut = match letters.as_slice() {
        // `N61 12 W6 45`: the second letter begins the second angle.
        [0, second] => *second,
        // `61 12 N 6 45 W`: the first letter ends the first angle.
        [first, _] => first + 1,
        [] => {
            let numbers = places(|t| matches!(t, Token::Number(_)));
            let half = numbers.len() / 2;
            if numbers.len() % 2 == 1 || half == 0 {
                return Err(CoordinateError::Unreadable("two angles of one form are needed"));
            }
            let start = numbers.get(half).copied().unwrap_or_default();
            let signed = start.checked_sub(1).and_then(|at| tokens.get(at)) == Some(&Token::Minus);
            start - usize::from(signed)
        }
        _ => return Err(CoordinateError::Unreadable("two hemisphere letters or none are needed")),
    };
    Ok(tokens.split_at(cut))
}

struct Angle {
    /// Signed.
    degrees: f64,
    /// Known where there is a letter.
    axis: Option<Axis>,
}

fn angle(mut tokens: &[Token<'_>]) -> Result<Angle, CoordinateError> {
    let mut letter = None;
    if let [Token::Letter(c), rest @ ..] = tokens {
        letter = Some(*c);
        tokens = rest;
    }
    if let [rest @ .., Token::Letter(c)] = tokens {
        if letter.is_some() {
            return Err(CoordinateError::Unreadable("one angle has two hemisphere letters"));
        }
        letter = Some(*c);
        tokens = rest;
    }
    let mut negative = false;
    if let [Token::Minus, rest @ ..] = tokens {
        if letter.is_some() {
            return Err(CoordinateError::Unreadable("a minus beside a hemisphere letter"));
        }
        negative = true;
        tokens = rest;
    }

    let mut parts: Vec<&str> = Vec::new();
    let mut marks = [Token::Degree, Token::Minute, Token::Second].into_iter();
    while let [Token::Number(written), rest @ ..] = tokens {
        let Some(mark) = marks.next() else {
            return Err(CoordinateError::Unreadable("an angle has more than three parts"));
        };
        parts.push(*written);
        tokens = match rest {
            [found @ (Token::Degree | Token::Minute | Token::Second), rest @ ..] => {
                if *found != mark {
                    return Err(CoordinateError::Unreadable(
                        "the marks for degrees, minutes and seconds are out of order",
                    ));
                }
                rest
            }
            _ => rest,
        };
    }
    if !tokens.is_empty() || parts.is_empty() {
        return Err(CoordinateError::Unreadable("an angle is incomplete or has something over"));
    }

    let mut degrees = 0.0;
    for (at, written) in parts.iter().enumerate() {
        if at + 1 < parts.len() && written.contains('.') {
            return Err(CoordinateError::Unreadable("only the last part may have decimals"));
        }
        let Some(value) = number(written) else {
            return Err(CoordinateError::Unreadable("there is a number that cannot be read"));
        };
        if at > 0 && value >= 60.0 {
            let what = if at == 1 { "minutes" } else { "seconds" };
            return Err(CoordinateError::OutOfRange(format!("{written} {what} do not exist")));
        }
        degrees += match at {
            0 => value,
            1 => value / 60.0,
            _ => value / 3600.0,
        };
    }
    if negative || matches!(letter, Some('S' | 'W')) {
        degrees = -degrees;
    }
    let axis = letter.map(|c| match c {
        'N' | 'S' => Axis::Latitude,
        _ => Axis::Longitude,
    });
    Ok(Angle { degrees, axis })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
    use super::*;

    fn near(text: &str, lat: f64, lon: f64) {
        let at = position(text).unwrap();
        assert!((at.lat() - lat).abs() < 1e-9, "{text}: {}", at.lat());
        assert!((at.lon() - lon).abs() < 1e-9, "{text}: {}", at.lon());
    }

    #[test]
    fn one_place_in_every_form() {
        // 61 degrees 12.5 minutes are 61.208333..; 6 degrees 45.25 minutes are 6.7541666..
        let (lat, lon) = (61.0 + 12.5 / 60.0, -(6.0 + 45.25 / 60.0));
        for text in [
            "61°12.5'N 006°45.25'W",
            "61° 12.5′ N, 6° 45.25′ W",
            "N61°12.5' W006°45.25'",
            "N 61 12.5 W 6 45.25",
            "W6 45.25, N61 12.5",
            "6 45.25 W 61 12.5 N",
            "61 12.5 -6 45.25",
            "61 12 30 N, 6 45 15 W",
            "61°12'30\"N 6°45'15\"W",
            "61°12′30″N 6°45′15″W",
            "61°12'30''n 6°45'15''w",
            "61 12 30 -6 45 15",
        ] {
            near(text, lat, lon);
        }
        near("61.2345, -6.7890", 61.2345, -6.789);
        near("61.2345,-6.7890", 61.2345, -6.789);
        near("61.2N 6.7W", 61.2, -6.7);
        near("-33.5 151.25", -33.5, 151.25);
        near("0 0", 0.0, 0.0);
        near("90 180", 90.0, 180.0);
    }

    /// Degrees and minutes with their decimal degrees as printed with the sentences in gpsd, "NMEA
    /// Revealed" (E. S. Raymond, 12 July 2025), section RMC, and D. DePriest, "NMEA data".
    #[test]
    fn published_degrees_and_minutes() {
        for (text, lat, lon) in [
            ("44 04.13993 N, 121 18.86023 W", 44.068_998_833, -121.314_337_167),
            ("48 07.038 N, 011 31.000 E", 48.117_3, 11.516_666_667),
        ] {
            near(text, lat, lon);
        }
        // "4533.35 is 45 degrees and 33.35 minutes, .35 minute is exactly 21 seconds" (same).
        let minutes = position("45 33.35 N, 0 E").unwrap().lat();
        let seconds = position("45 33 21 N, 0 E").unwrap().lat();
        assert!((minutes - seconds).abs() < 1e-12);
    }

    #[test]
    fn what_is_odd_is_refused() {
        for (text, name) in [
            ("", "bad-coordinate"),
            ("61.2", "bad-coordinate"),
            ("61.2N 6.7", "bad-coordinate"),
            ("61.2N 6.7S", "bad-coordinate"),
            ("N61.2N 6.7W", "bad-coordinate"),
            ("-61.2N 6.7W", "bad-coordinate"),
            ("61'12 N 6 W", "bad-coordinate"),
            ("61.5 12 N 6 45 W", "bad-coordinate"),
            ("61 12 13 14 N 6 45 W", "bad-coordinate"),
            ("61..2 6", "bad-coordinate"),
            ("61.2; 6.7", "bad-coordinate"),
            ("1 2 3", "bad-coordinate"),
            ("61,2345, -6,7890", "decimal-comma"),
            ("61,2N 6,7W", "decimal-comma"),
            ("91 0", "number-out-of-range"),
            ("0, 180.001", "number-out-of-range"),
            ("6.7, 161.2 N", "bad-coordinate"),
            ("61 60 N 6 45 W", "number-out-of-range"),
            ("61 12 60 N 6 45 10 W", "number-out-of-range"),
        ] {
            assert_eq!(position(text).unwrap_err().name(), name, "{text}");
        }
    }

    #[test]
    fn single_angles() {
        assert!((single("61 30 N", Axis::Latitude).unwrap() - 61.5).abs() < 1e-12);
        assert!((single("-6.5", Axis::Longitude).unwrap() + 6.5).abs() < 1e-12);
        assert!(single("6 W", Axis::Latitude).is_err());
        assert!(single("6,5", Axis::Latitude).is_err());
    }
}
