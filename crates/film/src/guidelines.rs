//! How captions are to be read.

use earth::Millis;

use crate::rate::Rate;

/// By what captions are made and judged.
///
/// # References
/// Netflix English Template Timed Text Style Guide, section 2: 17 characters a second for adult
/// programmes (200 words a minute), 13 for children; section 5 and General Requirements: 42
/// characters a line, two lines, at least 5/6 s and at most 7 s, two frames between captions.
/// BBC Subtitle Guidelines, section 5.2: a caption may hang at most 1.5 s after the words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Guidelines {
    /// How many characters a line may have, as [`columns`](crate::columns) counts.
    pub line: usize,
    /// How many lines a caption may have.
    pub lines: usize,
    /// The least time that a caption stands.
    pub shortest: Millis,
    /// The greatest time that a caption stands.
    pub longest: Millis,
    /// How many characters a second can be read.
    pub speed: f64,
    /// The least time between two captions.
    pub gap: Millis,
    /// How long a caption may stand after its last word where nothing follows.
    pub hang: Millis,
}

impl Guidelines {
    /// The published figures for adults, with two frames of a rate between captions.
    #[must_use]
    pub fn adult(rate: Rate) -> Self {
        Self {
            line: 42,
            lines: 2,
            shortest: Millis(833),
            longest: Millis::from_secs(7),
            speed: 17.0,
            gap: rate.time_of(2),
            hang: Millis(1500),
        }
    }
}
