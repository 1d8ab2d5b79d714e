//! How many samples make a second.

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
}
