//! What is heard, as a WAV file.

use std::io::{self, BufWriter, Seek, Write};

use hound::{SampleFormat, WavSpec, WavWriter};

use super::{Frame, RATE};

/// How many bits a sample of the file has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bits {
    /// 16, with a triangular dither of one step each way where there is sound, so that what is soft
    /// ends in a little hiss and not in a rattle. Silence stays silent.
    Sixteen,
    /// 24. The last step lies 138 dB below full scale, where nothing is heard; it is rounded.
    TwentyFour,
}

impl Bits {
    /// The number.
    #[must_use]
    pub const fn number(self) -> u16 {
        match self {
            Self::Sixteen => 16,
            Self::TwentyFour => 24,
        }
    }
}

/// Why a WAV file is not written.
#[derive(Debug)]
pub enum NotWritten {
    /// The sizes in its header have 32 bits, and it would be longer than they can say; so many
    /// frames are the most.
    TooLong {
        /// The most frames.
        most: u64,
    },
    /// It cannot be written.
    Io(io::Error),
}

/// A WAV file being written: 48 kHz, two channels, whole numbers.
pub struct WavFile<'w> {
    // The buffer takes single samples, so that what is behind it sees larger pieces.
    writer: WavWriter<BufWriter<Box<dyn Sink + 'w>>>,
    bits: Bits,
    dither: u64,
}

trait Sink: Write + Seek {}

impl<T: Write + Seek> Sink for T {}

/// Bytes that are written at a time.
const BUFFER: usize = 1 << 16;

/// More than the header of any file that is written here has, in bytes.
const HEADER: u64 = 128;

impl<'w> WavFile<'w> {
    /// Begins a file that will have so many frames.
    ///
    /// # Errors
    /// Where so many do not fit, or the beginning cannot be written.
    pub fn begin(to: impl Write + Seek + 'w, bits: Bits, frames: u64) -> Result<Self, NotWritten> {
        let most = (u64::from(u32::MAX) - HEADER) / (2 * u64::from(bits.number()) / 8);
        if frames > most {
            return Err(NotWritten::TooLong { most });
        }
        let spec = WavSpec {
            channels: 2,
            sample_rate: RATE,
            bits_per_sample: bits.number(),
            sample_format: SampleFormat::Int,
        };
        let to: Box<dyn Sink + 'w> = Box::new(to);
        let writer =
            WavWriter::new(BufWriter::with_capacity(BUFFER, to), spec).map_err(not_written)?;
        Ok(Self { writer, bits, dither: 0x9E37_79B9_7F4A_7C15 })
    }

    /// Writes frames.
    ///
    /// # Errors
    /// Where they cannot be written.
    pub fn write(&mut self, frames: &[Frame]) -> Result<(), NotWritten> {
        for sample in frames.as_flattened() {
            let whole = self.whole(*sample);
            self.writer.write_sample(whole).map_err(not_written)?;
        }
        Ok(())
    }

    /// Completes the header. The file is not complete before.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub fn finish(self) -> Result<(), NotWritten> {
        self.writer.finalize().map_err(not_written)
    }

    fn whole(&mut self, sample: f32) -> i32 {
        let (full, dither) = match self.bits {
            Bits::Sixteen if sample != 0.0 => (32_768.0, self.roll() - self.roll()),
            Bits::Sixteen => (32_768.0, 0.0),
            Bits::TwentyFour => (8_388_608.0, 0.0),
        };
        let value = (f64::from(sample) * full + dither).round();
        value.clamp(-full, full - 1.0) as i32
    }

    /// The next of an even spread from 0 to 1, the same in every run (xorshift by Marsaglia, 2003).
    fn roll(&mut self) -> f64 {
        self.dither ^= self.dither << 13;
        self.dither ^= self.dither >> 7;
        self.dither ^= self.dither << 17;
        (self.dither >> 11) as f64 / (1_u64 << 53) as f64
    }
}

fn not_written(error: hound::Error) -> NotWritten {
    NotWritten::Io(match error {
        hound::Error::IoError(error) => error,
        other => io::Error::other(other),
    })
}
