//! Numbers with their units as people write them: `0.4 NM`, `900 ft`, `1.5 min`.
//!
//! A quantity is a decimal number, an optional blank and a unit. A number alone is refused, since
//! `900` could be feet or metres; so is a unit of another kind. Values come out in SI units
//! (degrees for angles), so `Length` in metres, `Speed` and `ClimbRate` in metres a second, `Time`
//! in seconds, `DataRate` in bits a second, `DataSize` in bytes; levels of sound stay in their own
//! unit.

use std::fmt;

use earth::Metres;

use crate::remedy::may_part_thousands;

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// A length, altitude, height or elevation.
    Length,
    /// A speed over the ground or through the air.
    Speed,
    /// A rate of climb or descent.
    ClimbRate,
    /// A length of time.
    Time,
    /// An angle that is no direction.
    Angle,
    /// A rate of data.
    DataRate,
    /// An amount of data.
    DataSize,
    /// Integrated loudness.
    Loudness,
    /// True peak.
    Peak,
    /// A difference of levels.
    Level,
    /// A share of a whole.
    Share,
}

/// A unit: how it is written, and how many SI units it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// As it is written.
    pub symbol: &'static str,
    /// A value in it becomes SI by this factor, divided by [`Self::over`]. Both are exact, and
    /// dividing last gives the same bits as the conversions of [`earth`].
    pub times: f64,
    /// See [`Self::times`].
    pub over: f64,
}

impl Unit {
    /// A value in this unit, in SI.
    #[must_use]
    pub const fn si(&self, value: f64) -> f64 {
        value * self.times / self.over
    }
}

const fn unit(symbol: &'static str, times: f64, over: f64) -> Unit {
    Unit { symbol, times, over }
}

impl Quantity {
    /// All kinds.
    pub const ALL: [Self; 11] = [
        Self::Length,
        Self::Speed,
        Self::ClimbRate,
        Self::Time,
        Self::Angle,
        Self::DataRate,
        Self::DataSize,
        Self::Loudness,
        Self::Peak,
        Self::Level,
        Self::Share,
    ];

    /// The kind in words, with its article.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Speed => "a speed",
            Self::ClimbRate => "a rate of climb",
            Self::Time => "a time",
            Self::Angle => "an angle",
            Self::DataRate => "a rate of data",
            Self::DataSize => "an amount of data",
            Self::Loudness => "a loudness",
            Self::Peak => "a true peak",
            Self::Level => "a difference of levels",
            Self::Share => "a share",
        }
    }

    /// The kind in words without an article, as the reference of the language has it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::DataRate => "bit rate",
            Self::DataSize => "data size",
            Self::Level => "level difference",
            _ => self.words().split_once(' ').map_or("", |(_, name)| name),
        }
    }

    /// The units it is written in.
    #[must_use]
    pub const fn units(self) -> &'static [Unit] {
        const MINUTE: f64 = 60.0;
        const HOUR: f64 = 3600.0;
        match self {
            Self::Length => {
                const {
                    &[
                        unit("m", 1.0, 1.0),
                        unit("km", 1000.0, 1.0),
                        unit("NM", Metres::PER_NAUTICAL_MILE, 1.0),
                        unit("ft", Metres::PER_FOOT, 1.0),
                    ]
                }
            }
            Self::Speed => {
                const {
                    &[
                        unit("kt", Metres::PER_NAUTICAL_MILE, HOUR),
                        unit("m/s", 1.0, 1.0),
                        unit("km/h", 1000.0, HOUR),
                    ]
                }
            }
            Self::ClimbRate => {
                const { &[unit("ft/min", Metres::PER_FOOT, MINUTE), unit("m/s", 1.0, 1.0)] }
            }
            Self::Time => {
                const { &[unit("s", 1.0, 1.0), unit("min", MINUTE, 1.0), unit("h", HOUR, 1.0)] }
            }
            Self::Angle => const { &[unit("deg", 1.0, 1.0), unit("°", 1.0, 1.0)] },
            Self::DataRate => const { &[unit("Mbit/s", 1e6, 1.0)] },
            Self::DataSize => const { &[unit("GB", 1e9, 1.0)] },
            Self::Loudness => const { &[unit("LUFS", 1.0, 1.0)] },
            Self::Peak => const { &[unit("dBTP", 1.0, 1.0)] },
            Self::Level => const { &[unit("dB", 1.0, 1.0)] },
            Self::Share => const { &[unit("%", 1.0, 100.0)] },
        }
    }

    /// Its units as a list to read: `m, km, NM or ft`.
    #[must_use]
    pub fn units_in_words(self) -> String {
        let symbols: Vec<&str> = self.units().iter().map(|unit| unit.symbol).collect();
        match symbols.split_last() {
            Some((last, [])) => (*last).to_owned(),
            Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
            None => String::new(),
        }
    }

    /// A regular expression for a quantity of this kind.
    #[must_use]
    pub fn pattern(self) -> String {
        let symbols: Vec<&str> = self.units().iter().map(|unit| unit.symbol).collect();
        format!("{NUMBER_PATTERN} ?({})", symbols.join("|"))
    }
}

/// A regular expression for a number, without anchors.
pub const NUMBER_PATTERN: &str = r"-?[0-9]+(\.[0-9]+)?";

/// Why text is no quantity of the kind that is needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum QuantityError {
    /// A number, and nothing behind it.
    UnitMissing(Quantity),
    /// A unit that measures something else.
    UnitOfAnotherKind {
        /// What is needed.
        needed: Quantity,
        /// What the unit measures.
        found: Quantity,
        /// The unit as written.
        unit: String,
    },
    /// No unit of ours.
    UnitUnknown {
        /// What is needed.
        needed: Quantity,
        /// What stands in the unit's place.
        unit: String,
        /// The unit that is probably meant.
        meant: Option<&'static str>,
    },
    /// The number has a comma in it.
    DecimalComma(String),
    /// No number at the start.
    NoNumber(Quantity),
}

impl QuantityError {
    /// The diagnostic it is reported as.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::UnitMissing(_) => "unit-missing",
            Self::UnitOfAnotherKind { .. } => "unit-wrong",
            Self::UnitUnknown { .. } => "unit-unknown",
            Self::DecimalComma(_) => "decimal-comma",
            Self::NoNumber(_) => "bad-quantity",
        }
    }

    /// What to do.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::UnitMissing(needed) => format!("add {}", needed.units_in_words()),
            Self::UnitUnknown { meant: Some(meant), .. } => format!("write `{meant}`"),
            Self::UnitOfAnotherKind { needed, .. } | Self::UnitUnknown { needed, .. } => {
                format!("write {} in {}", needed.words(), needed.units_in_words())
            }
            Self::DecimalComma(better) if may_part_thousands(better) => {
                format!("write `{}`, or with a point `{better}`", better.replacen('.', "", 1))
            }
            Self::DecimalComma(better) => format!("write a point: `{better}`"),
            Self::NoNumber(needed) => format!(
                "write a number and a unit, such as `{}`",
                match needed {
                    Quantity::Length => "600 m",
                    Quantity::Speed => "80 kt",
                    Quantity::ClimbRate => "500 ft/min",
                    Quantity::Time => "20 s",
                    Quantity::Angle => "15 deg",
                    Quantity::DataRate => "25 Mbit/s",
                    Quantity::DataSize => "128 GB",
                    Quantity::Loudness => "-18 LUFS",
                    Quantity::Peak => "-3 dBTP",
                    Quantity::Level => "12 dB",
                    Quantity::Share => "5 %",
                }
            ),
        }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnitMissing(needed) => write!(f, "{} needs a unit", needed.words()),
            Self::UnitOfAnotherKind { needed, found, unit } => {
                write!(f, "`{unit}` measures {}, but {} is needed", found.words(), needed.words())
            }
            Self::UnitUnknown { unit, .. } => write!(f, "`{unit}` is not a unit"),
            Self::DecimalComma(_) => f.write_str("a comma in a number"),
            Self::NoNumber(needed) => write!(f, "this is not {}", needed.words()),
        }
    }
}

impl std::error::Error for QuantityError {}

/// Reads a plain decimal number: an optional minus, digits, and an optional point with digits
/// behind it. No exponent, no plus, no blanks. None for anything else, or beyond what an `f64`
/// holds.
#[must_use]
pub fn number(text: &str) -> Option<f64> {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    let good = match unsigned.split_once('.') {
        Some((whole, part)) => digits(whole) && digits(part),
        None => digits(unsigned),
    };
    if !good {
        return None;
    }
    text.parse().ok().filter(|value: &f64| value.is_finite())
}

/// Reads a quantity, in SI units (degrees for an angle).
///
/// # Errors
/// [`QuantityError`] says what is wrong and what to do.
pub fn quantity(text: &str, needed: Quantity) -> Result<f64, QuantityError> {
    let end = text
        .char_indices()
        .find(|(_, c)| !(c.is_ascii_digit() || matches!(c, '-' | '.' | ',')))
        .map_or(text.len(), |(at, _)| at);
    let (written, rest) = text.split_at(end);
    let symbol = rest.strip_prefix(' ').unwrap_or(rest);
    if written.contains(',') && number(&written.replacen(',', ".", 1)).is_some() {
        return Err(QuantityError::DecimalComma(text.replacen(',', ".", 1)));
    }
    let Some(value) = number(written) else {
        return Err(QuantityError::NoNumber(needed));
    };
    if symbol.is_empty() {
        return Err(QuantityError::UnitMissing(needed));
    }
    if let Some(unit) = needed.units().iter().find(|unit| unit.symbol == symbol) {
        let value = unit.si(value);
        // Only a number near the end of what an f64 holds comes here.
        return if value.is_finite() { Ok(value) } else { Err(QuantityError::NoNumber(needed)) };
    }
    let other = Quantity::ALL
        .into_iter()
        .find(|kind| kind.units().iter().any(|unit| unit.symbol == symbol));
    if let Some(found) = other {
        return Err(QuantityError::UnitOfAnotherKind { needed, found, unit: symbol.to_owned() });
    }
    Err(QuantityError::UnitUnknown {
        needed,
        unit: symbol.to_owned(),
        meant: meant(symbol).filter(|meant| needed.units().iter().any(|u| u.symbol == *meant)),
    })
}

/// The unit that is meant by other ways of writing it.
fn meant(symbol: &str) -> Option<&'static str> {
    Some(match symbol.trim().to_lowercase().as_str() {
        "m" | "metre" | "metres" | "meter" | "meters" | "mtr" => "m",
        "km" | "kilometre" | "kilometres" | "kilometer" | "kilometers" => "km",
        "nm" | "nmi" | "nautical miles" | "nautical mile" | "sm" => "NM",
        "ft" | "feet" | "foot" | "'" => "ft",
        "kt" | "kts" | "kn" | "knot" | "knots" => "kt",
        "m/s" | "mps" | "ms" => "m/s",
        "km/h" | "kmh" | "kph" => "km/h",
        "ft/min" | "fpm" => "ft/min",
        "s" | "sec" | "secs" | "second" | "seconds" => "s",
        "min" | "mins" | "minute" | "minutes" => "min",
        "h" | "hr" | "hour" | "hours" => "h",
        "deg" | "degree" | "degrees" | "º" => "deg",
        "mbit/s" | "mbps" | "mb/s" => "Mbit/s",
        "gb" | "gbyte" | "gib" | "g" => "GB",
        "lufs" | "lkfs" | "lu" => "LUFS",
        "dbtp" | "dbfs" => "dBTP",
        "db" | "decibel" | "decibels" => "dB",
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]
    use super::*;

    /// Factors as published: BIPM SI Brochure, 8th edition 2006, page 127 (nautical mile); the
    /// international agreement of 1959 (foot); knot, km/h and ft/min follow from them.
    #[test]
    fn factors_are_the_published_ones() {
        let factor = |kind: Quantity, symbol: &str| {
            kind.units().iter().find(|u| u.symbol == symbol).unwrap().si(1.0)
        };
        assert_eq!(factor(Quantity::Length, "NM"), 1852.0);
        assert_eq!(factor(Quantity::Length, "ft"), 0.3048);
        assert_eq!(factor(Quantity::Speed, "kt"), 1852.0 / 3600.0);
        assert!((factor(Quantity::ClimbRate, "ft/min") - 0.00508).abs() < 1e-15);
        // 1 kt = 1.852 km/h (Aviation Formulary 1.47, unit conversions).
        let ratio = factor(Quantity::Speed, "kt") / factor(Quantity::Speed, "km/h");
        assert!((ratio - 1.852).abs() < 1e-12);
    }

    #[test]
    fn quantities_are_read() {
        assert_eq!(quantity("0.4 NM", Quantity::Length), Ok(0.4 * 1852.0));
        assert_eq!(quantity("600m", Quantity::Length), Ok(600.0));
        assert_eq!(quantity("-30 ft", Quantity::Length), Ok(-30.0 * 0.3048));
        assert_eq!(quantity("1.5 min", Quantity::Time), Ok(90.0));
        assert_eq!(quantity("15°", Quantity::Angle), Ok(15.0));
        assert_eq!(quantity("128 GB", Quantity::DataSize), Ok(128e9));
    }

    #[test]
    fn what_is_no_quantity_is_named() {
        let name = |text, kind| quantity(text, kind).unwrap_err().name();
        assert_eq!(name("900", Quantity::Length), "unit-missing");
        assert_eq!(name("900 kt", Quantity::Length), "unit-wrong");
        assert_eq!(name("900 furlong", Quantity::Length), "unit-unknown");
        assert_eq!(name("0,4 NM", Quantity::Length), "decimal-comma");
        for odd in ["", "NM", "1e3 m", "+3 m", ".5 m", "5. m", "1.2.3 m", "--1 m", "٣ m"] {
            assert!(quantity(odd, Quantity::Length).is_err(), "{odd}");
        }
        assert_eq!(quantity("3  m", Quantity::Length).unwrap_err().name(), "unit-unknown");
        let huge = format!("{} km", "9".repeat(308));
        assert_eq!(name(&huge, Quantity::Length), "bad-quantity");
    }

    #[test]
    fn other_spellings_are_advised() {
        for (odd, kind, better) in [
            ("5 nm", Quantity::Length, "NM"),
            ("5 feet", Quantity::Length, "ft"),
            ("5 kts", Quantity::Speed, "kt"),
            ("5 sec", Quantity::Time, "s"),
            ("500 fpm", Quantity::ClimbRate, "ft/min"),
        ] {
            let help = quantity(odd, kind).unwrap_err().help();
            assert_eq!(help, format!("write `{better}`"));
        }
    }
}
