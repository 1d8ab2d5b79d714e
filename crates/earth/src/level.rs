//! Levels of sound, each its own type.
//!
//! All are decibels of one kind or another, finite, and kept to a hundredth: no meter of sound means
//! more than that, and what the system's mathematics may add in the last bit is gone.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::units::NotFinite;

/// A level to a hundredth; adding nought makes a negative nought a plain one.
fn hundredths(value: f64) -> Option<f64> {
    value.is_finite().then(|| (value * 100.0).round() / 100.0 + 0.0)
}

macro_rules! level {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            /// Kept to a hundredth; `None` for what is not a finite number.
            #[must_use]
            pub fn new(value: f64) -> Option<Self> {
                hundredths(value).map(Self)
            }

            /// Kept to a hundredth, of a value that is known to be finite; nought for one that is
            /// not all the same.
            #[must_use]
            pub fn of(value: f64) -> Self {
                Self(hundredths(value).unwrap_or(0.0))
            }

            #[doc = concat!("The figure in ", $unit, ".")]
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = NotFinite;
            fn try_from(value: f64) -> Result<Self, NotFinite> {
                Self::new(value).ok_or(NotFinite)
            }
        }

        impl From<$name> for f64 {
            fn from(level: $name) -> f64 {
                level.0
            }
        }

        impl fmt::Display for $name {
            #[doc = concat!("To a tenth, in ", $unit, ".")]
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!("{:.1} ", $unit), self.0)
            }
        }
    };
}

level! {
    /// Integrated loudness in LUFS (loudness units below full scale; LKFS is the same), gated, by
    /// ITU-R BS.1770-4. What is silent throughout has no loudness.
    Lufs, "LUFS"
}
level! {
    /// True peak in dBTP: the highest level between the samples too, in decibels below full scale,
    /// by ITU-R BS.1770-4 annex 2. Above nought it overloads a converter.
    Dbtp, "dBTP"
}
level! {
    /// A difference of levels, in decibels.
    Decibels, "dB"
}

impl Dbtp {
    /// Of an amplitude, where 1 is full scale; `None` for nought.
    #[must_use]
    pub fn of_amplitude(amplitude: f64) -> Option<Self> {
        Self::new(20.0 * libm::log10(amplitude))
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    #[test]
    fn what_is_no_number_is_no_level() {
        assert_eq!(Lufs::new(f64::NEG_INFINITY), None);
        assert_eq!(Dbtp::new(f64::NAN), None);
        assert_eq!(Dbtp::of_amplitude(0.0), None);
        assert_eq!(Dbtp::of_amplitude(0.5), Dbtp::new(-6.02));
        assert_eq!(Lufs::new(-0.001).unwrap().get().to_bits(), 0.0_f64.to_bits());
        assert_eq!(Decibels::of(12.0).to_string(), "12.0 dB");
    }
}
