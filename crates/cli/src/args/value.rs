//! Values on the command line: a wind, a speed, a moment. Each is checked as it is read.

use std::str::FromStr;

use earth::{DegreesTrue, MetresPerSecond, Millis, Utc};

/// Greatest wind that is believed, in knots; no weather in which anybody flies sightseers has more.
const GREATEST_WIND_KNOTS: f64 = 150.0;
/// Greatest groundspeed that is believed, in knots.
const GREATEST_SPEED_KNOTS: f64 = 600.0;
/// Longest time since take-off that is believed: 1,000 hours.
const LONGEST_SINCE_TAKEOFF: i64 = 3_600_000_000;

/// A wind as `240/12kt`: whence it blows in degrees true, and how fast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct WindValue(pub(crate) plan::Wind);

impl FromStr for WindValue {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (from, speed_text) = text
            .split_once('/')
            .ok_or("a wind is written as 240/12kt: whence it blows, degrees true, and how fast")?;
        let degrees: f64 =
            from.trim().parse().map_err(|_| format!("`{from}` is no direction in degrees"))?;
        if !(0.0..=360.0).contains(&degrees) {
            return Err(format!("the direction {from} is outside 0 to 360 degrees"));
        }
        let speed = speed(speed_text)?;
        if speed.knots() > GREATEST_WIND_KNOTS {
            return Err(format!("a wind of more than {GREATEST_WIND_KNOTS} kt is not believed"));
        }
        Ok(Self(plan::Wind { from: DegreesTrue::of(degrees), speed }))
    }
}

/// A speed with its unit: `80kt`, `40 m/s`, `150 km/h`.
pub(crate) fn speed(text: &str) -> Result<MetresPerSecond, String> {
    let text = text.trim();
    let unit_at = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .ok_or_else(|| format!("a speed needs its unit: {text}kt, {text}m/s or {text}km/h"))?;
    let (number, unit) = text.split_at(unit_at);
    let value: f64 = number.parse().map_err(|_| format!("`{text}` is no speed such as 80kt"))?;
    let speed = match unit.trim() {
        "kt" => MetresPerSecond::from_knots(value),
        "m/s" => MetresPerSecond::of(value),
        "km/h" => MetresPerSecond::of(value / 3.6),
        other => return Err(format!("`{other}` is no unit of speed; use kt, m/s or km/h")),
    };
    if value < 0.0 || speed.knots() > GREATEST_SPEED_KNOTS {
        return Err(format!("a speed is from 0 to {GREATEST_SPEED_KNOTS} kt"));
    }
    Ok(speed)
}

/// A moment of a flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Moment {
    /// Counted from take-off, negative before it.
    SinceTakeoff(Millis),
    /// A time of day and date.
    At(Utc),
}

impl FromStr for Moment {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let advice = || {
            format!(
                "`{text}` is no moment; write T+05:30 (minutes and seconds since take-off) or \
                 2026-06-01T10:35:30Z"
            )
        };
        if let Some(rest) = text.strip_prefix("T+") {
            return clock(rest).map(Self::SinceTakeoff).ok_or_else(advice);
        }
        if let Some(rest) = text.strip_prefix("T-") {
            let before = clock(rest).ok_or_else(advice)?;
            return Ok(Self::SinceTakeoff(Millis(-before.0)));
        }
        utc(text).map(Self::At).ok_or_else(advice)
    }
}

/// A length of time as `mm:ss`, `h:mm:ss`, with or without a fraction of a second.
pub(crate) fn clock(text: &str) -> Option<Millis> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if !digits(fraction) {
        return None;
    }
    // Further digits are below a millisecond.
    let millis: i64 = format!("{fraction:0<3}").get(..3)?.parse().ok()?;
    let parts: Vec<&str> = whole.split(':').collect();
    if !(2..=3).contains(&parts.len()) || !parts.iter().all(|part| digits(part)) {
        return None;
    }
    let mut total: i64 = 0;
    for (index, part) in parts.iter().enumerate() {
        let value: i64 = part.parse().ok()?;
        if index > 0 && value > 59 {
            return None;
        }
        total = total.checked_mul(60)?.checked_add(value)?;
    }
    let total = total.checked_mul(1000)?.checked_add(millis)?;
    (total <= LONGEST_SINCE_TAKEOFF).then_some(Millis(total))
}

/// A time with its offset or `Z`, to the millisecond.
pub(crate) fn utc(text: &str) -> Option<Utc> {
    let time: jiff::Timestamp = text.trim().parse().ok()?;
    Some(Utc(time.as_millisecond()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    #[test]
    fn a_wind_needs_a_direction_and_a_speed_with_its_unit() {
        let wind: WindValue = "240/12kt".parse().unwrap();
        assert_eq!(wind.0.from.get(), 240.0);
        assert!((wind.0.speed.knots() - 12.0).abs() < 1e-9);
        for bad in [
            "240",
            "240/12",
            "361/5kt",
            "x/5kt",
            "240/-3kt",
            "240/12mph",
            "nan/3kt",
            "/",
            "240/999kt",
        ] {
            assert!(bad.parse::<WindValue>().is_err(), "{bad}");
        }
    }

    #[test]
    fn speeds_in_three_units() {
        assert!((speed("80 kt").unwrap().get() - 80.0 * 1852.0 / 3600.0).abs() < 1e-9);
        assert_eq!(speed("40m/s").unwrap().get(), 40.0);
        assert_eq!(speed("36km/h").unwrap().get(), 10.0);
        assert!(speed("80").unwrap_err().contains("80kt"));
        assert!(speed("").is_err());
    }

    #[test]
    fn moments() {
        let since = |text: &str| match text.parse::<Moment>().unwrap() {
            Moment::SinceTakeoff(time) => time.0,
            Moment::At(_) => panic!("{text}"),
        };
        assert_eq!(since("T+05:30"), 330_000);
        assert_eq!(since("T+1:05:30.25"), 3_930_250);
        assert_eq!(since("T-00:20"), -20_000);
        assert_eq!(since("T+90:00"), 5_400_000);
        assert_eq!("1970-01-01T01:00:00+01:00".parse(), Ok(Moment::At(Utc(0))));
        for bad in [
            "T+5",
            "T+05:61",
            "T+",
            "05:30",
            "T+-1:00",
            "2026-13-01T00:00:00Z",
            "T+1:2:3:4",
            "T+99999999999999999999:00",
            "T+05:30.x",
        ] {
            assert!(bad.parse::<Moment>().is_err(), "{bad}");
        }
    }
}
