//! Quantities of sound, each its own type.

use std::fmt;

use earth::Millis;

/// Sampling rate: how many frames (one sample for each channel) make a second. Never nought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SampleRate(u32);

impl SampleRate {
    /// The lowest rate that is measured. Below it no speech can be understood.
    pub const LEAST: Self = Self(4_000);
    /// The highest rate that is measured; nothing records at more than this.
    pub const MOST: Self = Self(384_000);

    /// Below this rate much of what makes consonants clear is missing: a telephone has 8 kHz (ITU-T
    /// G.711), wideband speech 16 kHz (ITU-T G.722).
    pub const SPEECH: Self = Self(16_000);

    /// A rate in hertz, from [`Self::LEAST`] to [`Self::MOST`].
    #[must_use]
    pub fn new(hertz: u32) -> Option<Self> {
        (Self::LEAST.0..=Self::MOST.0).contains(&hertz).then_some(Self(hertz))
    }

    /// In hertz.
    #[must_use]
    pub const fn hertz(self) -> u32 {
        self.0
    }

    /// How long so many frames last, in whole milliseconds; a millisecond begun counts, so that
    /// nothing planned to begin after it begins before the last sample.
    ///
    /// ```
    /// let rate = sound::SampleRate::new(48_000).ok_or("no such rate")?;
    /// assert_eq!(rate.length(48_001), earth::Millis(1_001));
    /// # Ok::<(), &str>(())
    /// ```
    #[must_use]
    pub fn length(self, frames: u64) -> Millis {
        let millis = (u128::from(frames) * 1000).div_ceil(u128::from(self.0));
        Millis(i64::try_from(millis).unwrap_or(i64::MAX))
    }
}

impl fmt::Display for SampleRate {
    /// As people say it: `48 kHz`, `44.1 kHz`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} kHz", f64::from(self.0) / 1000.0)
    }
}

/// A level in decibels that is kept to a hundredth: no meter of sound means more than that, and
/// what the system's mathematics may add in the last bit is gone.
fn hundredths(value: f64) -> Option<f64> {
    // Adding nought makes a negative nought a plain one.
    value.is_finite().then(|| (value * 100.0).round() / 100.0 + 0.0)
}

/// Integrated loudness in LUFS (loudness units below full scale; LKFS is the same), gated, by
/// ITU-R BS.1770-4. Always finite: what is silent throughout has no loudness.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Lufs(f64);

impl Lufs {
    /// Kept to a hundredth; `None` for what is not a finite number.
    #[must_use]
    pub fn new(value: f64) -> Option<Self> {
        hundredths(value).map(Self)
    }

    /// The figure.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl fmt::Display for Lufs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} LUFS", self.0)
    }
}

/// True peak in dBTP: the highest level between the samples too, in decibels below full scale, by
/// ITU-R BS.1770-4 annex 2. Above nought it overloads a converter. Always finite.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Dbtp(f64);

impl Dbtp {
    /// Kept to a hundredth; `None` for what is not a finite number.
    #[must_use]
    pub fn new(value: f64) -> Option<Self> {
        hundredths(value).map(Self)
    }

    /// Of an amplitude, where 1 is full scale; `None` for nought.
    #[must_use]
    pub fn of_amplitude(amplitude: f64) -> Option<Self> {
        Self::new(20.0 * libm::log10(amplitude))
    }

    /// The figure.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

impl fmt::Display for Dbtp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.1} dBTP", self.0)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use super::*;

    #[test]
    fn a_millisecond_begun_counts_and_nothing_overflows() {
        let rate = SampleRate::new(44_100).unwrap();
        assert_eq!(rate.length(0), Millis(0));
        assert_eq!(rate.length(1), Millis(1));
        assert_eq!(rate.length(44_100), Millis(1000));
        assert_eq!(SampleRate::LEAST.length(u64::MAX), Millis(4_611_686_018_427_387_904));
    }

    #[test]
    fn rates_have_bounds() {
        assert_eq!(SampleRate::new(3_999), None);
        assert_eq!(SampleRate::new(384_001), None);
        assert_eq!(SampleRate::new(44_100).unwrap().to_string(), "44.1 kHz");
    }

    #[test]
    fn what_is_no_number_is_no_level() {
        assert_eq!(Lufs::new(f64::NEG_INFINITY), None);
        assert_eq!(Dbtp::new(f64::NAN), None);
        assert_eq!(Dbtp::of_amplitude(0.0), None);
        assert_eq!(Dbtp::of_amplitude(0.5), Dbtp::new(-6.02));
        assert_eq!(Lufs::new(-0.001).unwrap().get().to_bits(), 0.0_f64.to_bits());
    }
}
