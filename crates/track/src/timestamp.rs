//! Times as GPX writes them (ISO 8601).

use earth::Utc;

/// A time read from text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Timestamp {
    /// The moment; fractions are rounded to the nearest millisecond, halves up.
    pub(crate) utc: Utc,
    /// A zone was given: `Z` or an offset.
    pub(crate) zone: bool,
    /// It was understood though it is not quite the form that GPX asks for: a small `t` or `z`, a
    /// decimal comma, an offset without its colon.
    pub(crate) odd: bool,
}

/// Why a text is no time; its words complete "the time … ".
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub(crate) enum TimeError {
    #[error("is empty")]
    Empty,
    #[error("is a date without a time of day")]
    DateOnly,
    #[error("has a blank where a `T` must stand")]
    Blank,
    #[error("has a second 60; leap seconds have no place in this time scale")]
    LeapSecond,
    #[error("has a year outside 0001 to 9999")]
    Year,
    #[error("has a month outside 01 to 12")]
    Month,
    #[error("has a day that its month does not have")]
    Day,
    #[error("has a time of day outside 00:00:00 to 24:00:00")]
    TimeOfDay,
    #[error("has an offset that is not `Z` or `+hh:mm` up to 14:00")]
    Zone,
    #[error("is not in the form 2026-03-01T18:00:00Z")]
    Form,
}

/// The first and last millisecond of the years 0001 and 9999.
const YEARS: std::ops::RangeInclusive<i64> = -62_135_596_800_000..=253_402_300_799_999;

/// Reads `YYYY-MM-DDThh:mm:ss`, any number of decimals, and `Z`, an offset or nothing. The moment
/// itself, after the offset, lies in the years 0001 to 9999. 24:00:00 is the next day's midnight.
pub(crate) fn parse(text: &[u8]) -> Result<Timestamp, TimeError> {
    let text = text.trim_ascii();
    let Some((date_and_time, tail)) = text.split_first_chunk::<19>() else {
        return Err(short(text));
    };
    let [y1, y2, y3, y4, b'-', mo1, mo2, b'-', d1, d2, separator, rest @ ..] = date_and_time else {
        return Err(TimeError::Form);
    };
    let [h1, h2, b':', mi1, mi2, b':', s1, s2] = rest else {
        return Err(if separator.is_ascii_digit() { TimeError::Form } else { short(text) });
    };
    match separator {
        b'T' | b't' => {}
        b' ' => return Err(TimeError::Blank),
        _ => return Err(TimeError::Form),
    }
    let year = two(*y1, *y2)? * 100 + two(*y3, *y4)?;
    let (month, day) = (two(*mo1, *mo2)?, two(*d1, *d2)?);
    let (hour, minute, second) = (two(*h1, *h2)?, two(*mi1, *mi2)?, two(*s1, *s2)?);
    if year == 0 {
        return Err(TimeError::Year);
    }
    if !(1..=12).contains(&month) {
        return Err(TimeError::Month);
    }
    if day == 0 || day > days_in(year, month) {
        return Err(TimeError::Day);
    }
    if second == 60 && minute < 60 && hour < 24 {
        return Err(TimeError::LeapSecond);
    }
    if hour > 24 || minute > 59 || second > 59 {
        return Err(TimeError::TimeOfDay);
    }
    let (millis, tail, comma) = fraction(tail)?;
    if hour == 24 && (minute, second, millis) != (0, 0, 0) {
        return Err(TimeError::TimeOfDay);
    }
    let (offset_minutes, zone, odd_zone) = zone(tail)?;
    let minutes = days_since_1970(year, month, day) * 1440 + hour * 60 + minute - offset_minutes;
    let utc = minutes * 60_000 + second * 1000 + millis;
    if !YEARS.contains(&utc) {
        return Err(TimeError::Year);
    }
    Ok(Timestamp { utc: Utc(utc), zone, odd: odd_zone || comma || *separator == b't' })
}

/// Why a text too short for a date and a time of day is none.
fn short(text: &[u8]) -> TimeError {
    let date = |t: &[u8]| {
        matches!(t, [y @ .., b'-', m1, m2, b'-', d1, d2]
            if y.len() == 4 && [y, &[*m1, *m2, *d1, *d2]].concat().iter().all(u8::is_ascii_digit))
    };
    match text.split_at_checked(10) {
        _ if text.is_empty() => TimeError::Empty,
        Some((start, [])) if date(start) => TimeError::DateOnly,
        Some((start, [b'Z' | b'z' | b'+' | b'-', ..])) if date(start) => TimeError::DateOnly,
        _ => TimeError::Form,
    }
}

fn two(tens: u8, ones: u8) -> Result<i64, TimeError> {
    if tens.is_ascii_digit() && ones.is_ascii_digit() {
        Ok(i64::from(tens - b'0') * 10 + i64::from(ones - b'0'))
    } else {
        Err(TimeError::Form)
    }
}

/// The milliseconds of a fraction, what follows it, and whether it began with a comma.
fn fraction(tail: &[u8]) -> Result<(i64, &[u8], bool), TimeError> {
    let (comma, digits) = match tail.split_first() {
        Some((b'.', digits)) => (false, digits),
        Some((b',', digits)) => (true, digits),
        _ => return Ok((0, tail, false)),
    };
    let count = digits.iter().take_while(|b| b.is_ascii_digit()).count();
    let (digits, rest) = digits.split_at_checked(count).ok_or(TimeError::Form)?;
    if digits.is_empty() {
        return Err(TimeError::Form);
    }
    let at = |i: usize| digits.get(i).map_or(0, |b| i64::from(b - b'0'));
    let up = i64::from(at(3) >= 5);
    Ok((at(0) * 100 + at(1) * 10 + at(2) + up, rest, comma))
}

/// Minutes east of UTC, whether a zone was given, and whether its form is odd.
fn zone(tail: &[u8]) -> Result<(i64, bool, bool), TimeError> {
    let (sign, h1, h2, m1, m2, odd) = match *tail {
        [] => return Ok((0, false, false)),
        [b'Z'] => return Ok((0, true, false)),
        [b'z'] => return Ok((0, true, true)),
        [sign, h1, h2, b':', m1, m2] => (sign, h1, h2, m1, m2, false),
        [sign, h1, h2, m1, m2] => (sign, h1, h2, m1, m2, true),
        [sign, h1, h2] => (sign, h1, h2, b'0', b'0', true),
        _ => return Err(TimeError::Zone),
    };
    let hours = two(h1, h2).map_err(|_| TimeError::Zone)?;
    let minutes = two(m1, m2).map_err(|_| TimeError::Zone)?;
    let east = hours * 60 + minutes;
    if minutes > 59 || east > 14 * 60 {
        return Err(TimeError::Zone);
    }
    match sign {
        b'+' => Ok((east, true, odd)),
        b'-' => Ok((-east, true, odd)),
        _ => Err(TimeError::Zone),
    }
}

fn days_in(year: i64, month: i64) -> i64 {
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

/// Days from 1970-01-01 in the proleptic Gregorian calendar, for years from 1. Counted in years
/// that begin in March, so that the leap day is a year's last.
fn days_since_1970(year: i64, month: i64, day: i64) -> i64 {
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let leap_days = year / 4 - year / 100 + year / 400;
    // From 0000-03-01 to 1970-01-01 are 719,468 days.
    year * 365 + leap_days + (month * 153 + 2) / 5 + day - 1 - 719_468
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop")]
    use super::*;
    use proptest::prelude::*;

    fn utc(text: &str) -> Result<i64, TimeError> {
        parse(text.as_bytes()).map(|t| t.utc.0)
    }

    #[test]
    fn the_forms_of_one_moment() {
        let moment = Ok(1_772_388_000_000);
        assert_eq!(utc("2026-03-01T18:00:00Z"), moment);
        assert_eq!(utc("\n 2026-03-01T18:00:00Z\t"), moment);
        assert_eq!(utc("2026-03-01T18:00:00"), moment);
        assert!(!parse(b"2026-03-01T18:00:00").unwrap().zone);
        assert_eq!(utc("2026-03-01T11:00:00-07:00"), moment);
        assert_eq!(utc("2026-03-02T08:00:00+14:00"), moment);
        for odd in ["2026-03-01t18:00:00z", "2026-03-01T20:30:00+0230", "2026-03-01T19:00:00+01"] {
            assert_eq!(utc(odd), moment, "{odd}");
            assert!(parse(odd.as_bytes()).unwrap().odd, "{odd}");
        }
        assert_eq!(utc("2026-02-28T24:00:00Z"), utc("2026-03-01T00:00:00Z"));
    }

    #[test]
    fn fractions_go_to_the_nearest_millisecond() {
        let second = utc("2026-03-01T18:00:00Z").unwrap();
        for (fraction, millis) in [
            (".25", 250),
            (".250", 250),
            (".0004999", 0),
            (".0005", 1),
            (".9995", 1000),
            (",5", 500),
            (".123456789012345678901234567890", 123),
        ] {
            assert_eq!(utc(&format!("2026-03-01T18:00:00{fraction}Z")), Ok(second + millis));
        }
    }

    #[test]
    fn what_is_no_time() {
        for (text, why) in [
            ("", TimeError::Empty),
            ("2026-03-01", TimeError::DateOnly),
            ("2026-03-01Z", TimeError::DateOnly),
            ("2026-03-01 18:00:00Z", TimeError::Blank),
            ("2016-12-31T23:59:60Z", TimeError::LeapSecond),
            ("0000-01-01T00:00:00Z", TimeError::Year),
            ("0001-01-01T00:00:00+00:01", TimeError::Year),
            ("9999-12-31T23:59:59.9999Z", TimeError::Year),
            ("9999-12-31T24:00:00Z", TimeError::Year),
            ("2026-13-01T18:00:00Z", TimeError::Month),
            ("2026-00-01T18:00:00Z", TimeError::Month),
            ("2026-02-29T18:00:00Z", TimeError::Day),
            ("1900-02-29T18:00:00Z", TimeError::Day),
            ("2026-03-00T18:00:00Z", TimeError::Day),
            ("2026-03-01T25:00:00Z", TimeError::TimeOfDay),
            ("2026-03-01T24:00:01Z", TimeError::TimeOfDay),
            ("2026-03-01T18:60:00Z", TimeError::TimeOfDay),
            ("2026-03-01T18:00:61Z", TimeError::TimeOfDay),
            ("2026-03-01T18:00:00+14:01", TimeError::Zone),
            ("2026-03-01T18:00:00+01:60", TimeError::Zone),
            ("2026-03-01T18:00:00 UTC", TimeError::Zone),
            ("2026-03-01T18:00:00.Z", TimeError::Form),
            ("2026-03-01T18:00Z", TimeError::Form),
            ("01.03.2026 18:00:00", TimeError::Form),
            ("-2026-03-01T18:00:00Z", TimeError::Form),
            ("12026-03-01T18:00:00Z", TimeError::Form),
            ("1772388000", TimeError::Form),
            ("2O26-03-01T18:00:00Z", TimeError::Form),
        ] {
            assert_eq!(utc(text), Err(why), "{text}");
        }
        assert_eq!(utc("0001-01-01T00:00:00Z"), Ok(*YEARS.start()));
        assert_eq!(utc("9999-12-31T23:59:59.999Z"), Ok(*YEARS.end()));
    }

    proptest! {
        /// jiff counts days by its own code.
        #[test]
        fn agrees_with_another_calendar(millis in -62_135_596_800_000..253_402_207_200_000_i64) {
            let text = jiff::Timestamp::from_millisecond(millis).unwrap().to_string();
            prop_assert_eq!(utc(&text), Ok(millis));
        }

        #[test]
        fn no_bytes_make_it_stop(bytes in proptest::collection::vec(any::<u8>(), 0..40)) {
            let _ = parse(&bytes);
        }
    }
}
