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
