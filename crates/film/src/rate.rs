//! Frames and timecode.

use std::fmt;
use std::str::FromStr;

use earth::Millis;

/// So many frames a second, as a fraction, so that an hour has neither a frame too many nor one too
/// few.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rate {
    frames: i64,
    seconds: i64,
    drop_frame: bool,
}

/// The rates that are understood, with how they are written.
const RATES: &[(&str, Rate)] = &[
    ("23.976", Rate { frames: 24_000, seconds: 1001, drop_frame: false }),
    ("24", Rate { frames: 24, seconds: 1, drop_frame: false }),
    ("25", Rate { frames: 25, seconds: 1, drop_frame: false }),
    ("29.97", Rate { frames: 30_000, seconds: 1001, drop_frame: true }),
    ("29.97ndf", Rate { frames: 30_000, seconds: 1001, drop_frame: false }),
    ("30", Rate { frames: 30, seconds: 1, drop_frame: false }),
    ("48", Rate { frames: 48, seconds: 1, drop_frame: false }),
    ("50", Rate { frames: 50, seconds: 1, drop_frame: false }),
    ("59.94", Rate { frames: 60_000, seconds: 1001, drop_frame: true }),
    ("59.94ndf", Rate { frames: 60_000, seconds: 1001, drop_frame: false }),
    ("60", Rate { frames: 60, seconds: 1, drop_frame: false }),
];

impl Rate {
    /// 25 frames a second.
    pub const PAL: Self = Self { frames: 25, seconds: 1, drop_frame: false };

    /// How the rates that are understood are written.
    pub fn known() -> impl Iterator<Item = &'static str> {
        RATES.iter().map(|(name, _)| *name)
    }

    /// Frames a second.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "both are small")]
    pub fn per_second(self) -> f64 {
        self.frames as f64 / self.seconds as f64
    }

    /// Whether its timecode leaves out numbers, so that it keeps to the clock.
    #[must_use]
    pub const fn is_drop_frame(self) -> bool {
        self.drop_frame
    }

    /// The number of the frame that begins nearest to a time; frame 0 begins at time 0. Of two as
    /// near, the later.
    #[must_use]
    pub fn frame_at(self, time: Millis) -> i64 {
        let whole = i128::from(self.seconds) * 1000;
        let doubled = i128::from(time.0) * i128::from(self.frames) * 2 + whole;
        i64::try_from(doubled.div_euclid(whole * 2)).unwrap_or(i64::MAX)
    }

    /// When a frame begins, to the nearest millisecond.
    #[must_use]
    pub fn time_of(self, frame: i64) -> Millis {
        let frames = i128::from(self.frames);
        let doubled = i128::from(frame) * i128::from(self.seconds) * 2000 + frames;
        Millis(i64::try_from(doubled.div_euclid(frames * 2)).unwrap_or(i64::MAX))
    }

    /// The numbers that a second has in timecode: 30 also where there are 29.97 frames.
    fn numbers(self) -> i64 {
        (self.frames + self.seconds / 2) / self.seconds
    }

    /// The timecode of a frame: hours, minutes, seconds and frames, and after the seconds `;` where
    /// numbers are left out and else `:`. After 24 hours it begins again.
    ///
    /// # References
    /// SMPTE 12M: of drop-frame timecode the first two numbers (of 60 the first four) of each minute
    /// are left out, but not of each tenth minute; no frame is.
    #[must_use]
    pub fn timecode(self, frame: i64) -> String {
        let numbers = self.numbers();
        let left_out = if self.drop_frame { numbers / 15 } else { 0 };
        let minute = numbers * 60 - left_out;
        let ten_minutes = minute * 10 + left_out;
        let frame = frame.rem_euclid(ten_minutes * 6 * 24);
        let (tens, rest) = (frame / ten_minutes, frame % ten_minutes);
        // The first minute of ten is whole.
        let minutes_left_out = if rest < numbers * 60 { 0 } else { (rest - left_out) / minute };
        let number = frame + left_out * (tens * 9 + minutes_left_out);
        let (seconds, frames) = (number / numbers, number % numbers);
        let mark = if self.drop_frame { ';' } else { ':' };
        format!(
            "{:02}:{:02}:{:02}{mark}{frames:02}",
            seconds / 3600,
            seconds / 60 % 60,
            seconds % 60
        )
    }

    /// The frame of a timecode as [`Rate::timecode`] writes it; `;` and `.` before the frames stand
    /// for `:`.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn frame_of(self, timecode: &str) -> Result<i64, String> {
        let wrong = || format!("`{timecode}` is no timecode, such as 01:00:00:00");
        let parts: Vec<&str> = timecode.split([':', ';', '.']).collect();
        let [hours, minutes, seconds, frames] = parts[..] else { return Err(wrong()) };
        let number = |text: &str, below: i64| {
            let digits = text.len() == 2 && text.bytes().all(|it| it.is_ascii_digit());
            let number = text.parse::<i64>().ok().filter(|_| digits).ok_or_else(wrong)?;
            if number < below { Ok(number) } else { Err(wrong()) }
        };
        let numbers = self.numbers();
        let hours = number(hours, 24)?;
        let minutes = number(minutes, 60)?;
        let (seconds, frames) = (number(seconds, 60)?, number(frames, numbers)?);
        let left_out = if self.drop_frame { numbers / 15 } else { 0 };
        if seconds == 0 && frames < left_out && minutes % 10 != 0 {
            return Err(format!(
                "`{timecode}` is left out of drop-frame timecode; the minute begins with \
                 {left_out:02}"
            ));
        }
        let minutes = hours * 60 + minutes;
        Ok((minutes * 60 + seconds) * numbers + frames - left_out * (minutes - minutes / 10))
    }
}

impl FromStr for Rate {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let found = RATES.iter().find(|(name, _)| *name == text);
        found.map(|(_, rate)| *rate).ok_or_else(|| {
            let known: Vec<&str> = Self::known().collect();
            format!("`{text}` is no frame rate that is known here: {}", known.join(", "))
        })
    }
}

impl fmt::Display for Rate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = RATES.iter().find(|(_, rate)| rate == self).map_or("", |(name, _)| *name);
        f.write_str(name)
    }
}
