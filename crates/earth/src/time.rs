//! Times and durations in whole milliseconds.

use serde::{Deserialize, Serialize};

/// A length of time in whole milliseconds; may be negative.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Millis(pub i64);

/// A moment in UTC: whole milliseconds since 1970-01-01T00:00:00Z, leap seconds not counted.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Utc(pub i64);

impl Millis {
    /// No time at all.
    pub const ZERO: Self = Self(0);

    /// A duration of so many whole seconds.
    #[must_use]
    pub const fn from_secs(seconds: i64) -> Self {
        Self(seconds.saturating_mul(1000))
    }

    /// The nearest whole millisecond to so many seconds; NaN becomes nought.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a float to integer cast saturates, as wanted"
    )]
    pub fn from_secs_f64(seconds: f64) -> Self {
        Self(libm::round(seconds * 1000.0) as i64)
    }

    /// The duration in seconds.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "exact below 285,000 years")]
    pub const fn secs(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    /// The duration in whole milliseconds as a float.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "exact below 285,000 years")]
    pub const fn get(self) -> f64 {
        self.0 as f64
    }
}

/// A day, in milliseconds.
const DAY: i64 = 86_400_000;

impl Utc {
    /// The day by the Gregorian calendar, `2026-06-01`. Of a moment in local time it is the local day.
    #[must_use]
    pub fn day(self) -> String {
        let (year, month, day) = date(self.0.div_euclid(DAY));
        format!("{year:04}-{month:02}-{day:02}")
    }

    /// The time of day in hours and minutes, those begun not counted: `09:30`.
    #[must_use]
    pub fn clock(self) -> String {
        Millis(self.0).clock()
    }
}

impl Millis {
    /// As a time of day since midnight, of whichever day, in hours and minutes, those begun not
    /// counted: `09:30`.
    #[must_use]
    pub fn clock(self) -> String {
        let minutes = self.0.rem_euclid(DAY) / 60_000;
        format!("{:02}:{:02}", minutes / 60, minutes % 60)
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

impl std::ops::Add<Millis> for Utc {
    type Output = Utc;
    fn add(self, by: Millis) -> Utc {
        Utc(self.0.saturating_add(by.0))
    }
}

impl std::ops::Sub<Millis> for Utc {
    type Output = Utc;
    fn sub(self, by: Millis) -> Utc {
        Utc(self.0.saturating_sub(by.0))
    }
}

impl std::ops::Sub for Utc {
    type Output = Millis;
    fn sub(self, other: Utc) -> Millis {
        Millis(self.0.saturating_sub(other.0))
    }
}

impl std::ops::Add for Millis {
    type Output = Millis;
    fn add(self, other: Millis) -> Millis {
        Millis(self.0.saturating_add(other.0))
    }
}

impl std::ops::Sub for Millis {
    type Output = Millis;
    fn sub(self, other: Millis) -> Millis {
        Millis(self.0.saturating_sub(other.0))
    }
}

impl std::ops::Mul<i64> for Millis {
    type Output = Millis;
    fn mul(self, factor: i64) -> Millis {
        Millis(self.0.saturating_mul(factor))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_against_an_independent_calendar() {
        let days = (-800_000..2_900_000).step_by(997);
        for day in days {
            let ours = Utc(day * DAY).day();
            // Outside its range the other calendar has nothing to say.
            let Ok(theirs) = jiff::Timestamp::from_millisecond(day * DAY) else { continue };
            let theirs = theirs.to_string();
            if !theirs.starts_with('-') {
                assert_eq!(Some(ours.as_str()), theirs.get(..10));
            }
        }
    }

    #[test]
    fn a_clock_goes_round() {
        assert_eq!(Millis::from_secs(34_259).clock(), "09:30");
        assert_eq!(Millis(-1).clock(), "23:59");
        assert_eq!(Utc(DAY).clock(), "00:00");
    }
}
