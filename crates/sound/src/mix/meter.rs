//! Meters for what is heard.

use ebur128::{EbuR128, Mode};

use super::{Dbtp, Frame, Lufs, RATE};

/// So many frames are given to the meter at a time.
const BLOCK: usize = 4800;

/// Loudness and true peak of two channels. Memory does not grow.
pub(super) struct Meter {
    /// `None` only where the meter's library refuses two channels at 48 kHz, which it does not.
    meter: Option<EbuR128>,
    block: Vec<Frame>,
}

impl Meter {
    /// A meter that keeps every loudness there was: exact, for sources.
    pub(super) fn exact() -> Self {
        Self::new(Mode::I | Mode::TRUE_PEAK)
    }

    /// A meter that counts loudness by tenths of a unit, for what may last.
    pub(super) fn counting() -> Self {
        Self::new(Mode::I | Mode::TRUE_PEAK | Mode::HISTOGRAM)
    }

    fn new(mode: Mode) -> Self {
        Self { meter: EbuR128::new(2, RATE, mode).ok(), block: Vec::with_capacity(BLOCK) }
    }

    pub(super) fn take(&mut self, frame: Frame) {
        self.block.push(frame);
        if self.block.len() >= BLOCK {
            self.flush();
        }
    }

    fn flush(&mut self) {
        if let Some(meter) = &mut self.meter {
            // It can only refuse what is not a whole number of frames.
            let _ = meter.add_frames_f32(self.block.as_flattened());
        }
        self.block.clear();
    }

    /// Integrated loudness so far; `None` where there is none, and below 0.4 s.
    pub(super) fn loudness(&mut self) -> Option<Lufs> {
        self.flush();
        self.meter.as_ref()?.loudness_global().ok().and_then(Lufs::new)
    }

    /// True peak so far; `None` where all is nought.
    pub(super) fn true_peak(&mut self) -> Option<Dbtp> {
        self.flush();
        let meter = self.meter.as_ref()?;
        let peaks = (0..2).filter_map(|channel| meter.true_peak(channel).ok());
        Dbtp::of_amplitude(peaks.fold(0.0, f64::max))
    }
}
