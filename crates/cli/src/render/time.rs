//! Times and lengths of time as people read them.

use std::fmt;

use earth::{Millis, Utc};

const DAY: i64 = 86_400_000;

/// A moment in UTC, `2026-06-01T10:35:30.250Z`; whole seconds without a fraction.
#[derive(Clone, Copy, Debug)]
pub(crate) struct UtcText(pub(crate) Utc);

impl fmt::Display for UtcText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}T{}Z", self.0.day(), TimeOfDay(self.0))
    }
}

/// The time of day in UTC, `10:35:30.250`; whole seconds without a fraction.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TimeOfDay(pub(crate) Utc);

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let of_day = self.0.0.rem_euclid(DAY);
        let (seconds, millis) = (of_day / 1000, of_day % 1000);
        write!(f, "{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)?;
        if millis != 0 { write!(f, ".{millis:03}") } else { Ok(()) }
    }
}

/// Time since take-off: `T+05:30`, `T+1:05:30`, `T-00:12` before it. Whole seconds, those begun
/// not counted.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Since(pub(crate) Millis);

impl fmt::Display for Since {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let seconds = self.0.0.div_euclid(1000);
        let sign = if seconds < 0 { '-' } else { '+' };
        f.pad(&format!("T{sign}{}", Clock(Millis(seconds.saturating_abs().saturating_mul(1000)))))
    }
}

/// Time since take-off where it is known, else nothing.
pub(crate) fn since_text(since: Option<Millis>) -> String {
    since.map_or_else(String::new, |since| Since(since).to_string())
}

/// A length of time as a clock shows it: `05:30`, `1:05:30`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Clock(pub(crate) Millis);

impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let seconds = self.0.0.div_euclid(1000);
        let (hours, minutes, seconds) = (seconds / 3600, seconds / 60 % 60, seconds % 60);
        if hours > 0 {
            f.pad(&format!("{hours}:{minutes:02}:{seconds:02}"))
        } else {
            f.pad(&format!("{minutes:02}:{seconds:02}"))
        }
    }
}

/// A length of time in words: `22 s`, `8.5 s`, `3 min 05 s`, `1 h 02 min`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Length(pub(crate) Millis);

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let millis = self.0.0.max(0);
        let text = if millis >= 3_600_000 {
            format!("{} h {:02} min", millis / 3_600_000, millis / 60_000 % 60)
        } else if millis >= 60_000 {
            format!("{} min {:02} s", millis / 60_000, millis / 1000 % 60)
        } else if millis % 1000 == 0 {
            format!("{} s", millis / 1000)
        } else {
            format!("{}.{} s", millis / 1000, millis / 100 % 10)
        };
        f.pad(&text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moments_and_lengths_read_well() {
        assert_eq!(UtcText(Utc(1_780_309_830_250)).to_string(), "2026-06-01T10:30:30.250Z");
        assert_eq!(UtcText(Utc(-1)).to_string(), "1969-12-31T23:59:59.999Z");
        assert_eq!(Since(Millis(330_999)).to_string(), "T+05:30");
        assert_eq!(Since(Millis(-1)).to_string(), "T-00:01");
        assert_eq!(Since(Millis(3_930_000)).to_string(), "T+1:05:30");
        assert_eq!(Length(Millis(8_500)).to_string(), "8.5 s");
        assert_eq!(Length(Millis(185_000)).to_string(), "3 min 05 s");
        assert_eq!(Length(Millis(3_725_000)).to_string(), "1 h 02 min");
    }
}
