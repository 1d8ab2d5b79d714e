//! Times and lengths of time as people read them.

use std::fmt;

use earth::{Millis, Utc};

const DAY: i64 = 86_400_000;

/// A moment in UTC, `2026-06-01T10:35:30.250Z`; whole seconds without a fraction.
#[derive(Clone, Copy, Debug)]
pub(crate) struct UtcText(pub(crate) Utc);

impl fmt::Display for UtcText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = date(self.0.0.div_euclid(DAY));
        write!(f, "{year:04}-{month:02}-{day:02}T{}Z", TimeOfDay(self.0))
    }
}

/// The day of a moment in UTC, `2026-06-01`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct DayText(pub(crate) Utc);

impl fmt::Display for DayText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (year, month, day) = date(self.0.0.div_euclid(DAY));
        write!(f, "{year:04}-{month:02}-{day:02}")
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

/// Year, month and day of a day counted from 1970-01-01, by the Gregorian calendar: years are
/// counted from March, so that the leap day is the last of its year.
fn date(days: i64) -> (i64, i64, i64) {
    const DAYS_IN_400_YEARS: i64 = 146_097;
    // 1 March of the year 0 is 719,468 days before 1970-01-01.
    let days = days.saturating_add(719_468);
    let cycle = days.div_euclid(DAYS_IN_400_YEARS);
    let of_cycle = days.rem_euclid(DAYS_IN_400_YEARS);
    let year_of_cycle = (of_cycle - of_cycle / 1460 + of_cycle / 36_524 - of_cycle / 146_096) / 365;
    let of_year = of_cycle - (365 * year_of_cycle + year_of_cycle / 4 - year_of_cycle / 100);
    let month_from_march = (5 * of_year + 2) / 153;
    let day = of_year - (153 * month_from_march + 2) / 5 + 1;
    let month = if month_from_march < 10 { month_from_march + 3 } else { month_from_march - 9 };
    let year = year_of_cycle + cycle * 400 + i64::from(month <= 2);
    (year, month, day)
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
    fn dates_against_an_independent_calendar() {
        let days = (-800_000..2_900_000).step_by(997);
        for day in days {
            let ours = DayText(Utc(day * DAY)).to_string();
            // Outside its range the other calendar has nothing to say.
            let Ok(theirs) = jiff::Timestamp::from_millisecond(day * DAY) else { continue };
            let theirs = theirs.to_string();
            if !theirs.starts_with('-') {
                assert_eq!(Some(ours.as_str()), theirs.get(..10));
            }
        }
    }

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
