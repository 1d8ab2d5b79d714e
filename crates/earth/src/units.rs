//! Quantities with their units as types.
//!
//! Inside every type is one finite `f64` in the SI unit of its name (degrees for angles). A value
//! that is not finite is refused when it comes in from outside ([`Metres::new`], reading JSON) and
//! cannot come up later: arithmetic that would leave the finite range stops at its end.

use serde::{Deserialize, Serialize};

/// The error for a number that is not finite where a quantity is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("not a finite number")]
pub struct NotFinite;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(try_from = "f64", into = "f64")]
        pub struct $name(f64);

        impl $name {
            #[doc = concat!("Nought ", $unit, ".")]
            pub const ZERO: Self = Self(0.0);

            #[doc = concat!("A value in ", $unit, " that comes from outside.")]
            ///
            /// # Errors
            /// [`NotFinite`] for NaN and the infinities.
            pub fn new(value: f64) -> Result<Self, NotFinite> {
                if value.is_finite() { Ok(Self(value)) } else { Err(NotFinite) }
            }

            #[doc = concat!("A value in ", $unit, " that was computed from finite values.")]
            /// What is not finite all the same becomes the nearest finite value, NaN nought.
            #[must_use]
            pub const fn of(value: f64) -> Self {
                if value.is_nan() { Self(0.0) } else { Self(value.clamp(f64::MIN, f64::MAX)) }
            }

            #[doc = concat!("The number of ", $unit, ".")]
            #[must_use]
            pub const fn get(self) -> f64 {
                self.0
            }

            /// The magnitude.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl TryFrom<f64> for $name {
            type Error = NotFinite;
            fn try_from(value: f64) -> Result<Self, NotFinite> {
                Self::new(value)
            }
        }

        impl From<$name> for f64 {
            fn from(value: $name) -> f64 {
                value.0
            }
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self::of(self.0 + other.0)
            }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self::of(self.0 - other.0)
            }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self::of(self.0 * factor)
            }
        }
    };
}

quantity! {
    /// A length, distance, altitude (above mean sea level), height or elevation, in metres.
    Metres, "metres"
}
quantity! {
    /// An area in square metres.
    SquareMetres, "square metres"
}
quantity! {
    /// A speed in metres a second.
    MetresPerSecond, "metres a second"
}
quantity! {
    /// A share of a whole, as a fraction: 1 is all of it, 0.04 four per cent.
    Share, "wholes"
}
quantity! {
    /// An angle in degrees that is no direction: a field of view, a depression, a tolerance.
    Degrees, "degrees"
}

impl Share {
    /// The share in per cent.
    #[must_use]
    pub const fn percent(self) -> f64 {
        self.0 * 100.0
    }
}

impl Metres {
    /// Metres in one international nautical mile, exactly (BIPM SI Brochure).
    pub const PER_NAUTICAL_MILE: f64 = 1852.0;
    /// Metres in one international foot, exactly (1959 agreement).
    pub const PER_FOOT: f64 = 0.3048;

    /// A length given in nautical miles.
    #[must_use]
    pub const fn from_nautical_miles(value: f64) -> Self {
        Self::of(value * Self::PER_NAUTICAL_MILE)
    }

    /// A length given in feet.
    #[must_use]
    pub const fn from_feet(value: f64) -> Self {
        Self::of(value * Self::PER_FOOT)
    }

    /// The length in nautical miles.
    #[must_use]
    pub const fn nautical_miles(self) -> f64 {
        self.0 / Self::PER_NAUTICAL_MILE
    }

    /// The length in feet.
    #[must_use]
    pub const fn feet(self) -> f64 {
        self.0 / Self::PER_FOOT
    }
}

impl MetresPerSecond {
    /// A speed given in knots (nautical miles an hour).
    #[must_use]
    pub const fn from_knots(value: f64) -> Self {
        Self::of(value * Metres::PER_NAUTICAL_MILE / 3600.0)
    }

    /// The speed in knots.
    #[must_use]
    pub const fn knots(self) -> f64 {
        self.0 * 3600.0 / Metres::PER_NAUTICAL_MILE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_finite_stays_outside() {
        assert_eq!(Metres::new(f64::NAN), Err(NotFinite));
        assert_eq!(Metres::new(f64::INFINITY), Err(NotFinite));
        assert_eq!(Metres::of(f64::INFINITY).get(), f64::MAX);
        assert_eq!((Metres::of(f64::MAX) + Metres::of(f64::MAX)).get(), f64::MAX);
    }
}
