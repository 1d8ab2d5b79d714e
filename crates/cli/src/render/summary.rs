//! The summary of a flown recording: for a person at a glance, and as JSON.

pub(crate) mod json;
pub(crate) mod text;

use earth::Millis;
use plan::Plan;

use super::identity::Identity;
use crate::sink::notices::Notices;
use compiler::summary::{Flight, Summary};

/// Everything a summary is made of.
pub(crate) struct Page<'a> {
    /// The plan flown.
    pub(crate) plan: &'a Plan,
    /// Which plan it is.
    pub(crate) identity: &'a Identity,
    /// The files flown; none for the planned flight.
    pub(crate) files: Vec<String>,
    /// What was said for the day, in words; empty for nothing.
    pub(crate) day: String,
    /// Track points seen and not flown, because they could not be read.
    pub(crate) points_left_out: u64,
    /// What was counted.
    pub(crate) summary: &'a Summary,
    /// What the engine said about its input.
    pub(crate) notices: &'a Notices,
    /// The usual interval for which the limits of a lost GPS were raised, and what they are now.
    pub(crate) raised: Option<Raised>,
    /// The planned flight to compare with; none when the planned flight is what is flown.
    pub(crate) planned: Option<&'a Flight>,
}

/// Limits that were raised for a recording of few fixes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Raised {
    /// The usual interval of the recording.
    pub(crate) usual_interval: Millis,
    /// After how long GPS is lost.
    pub(crate) lost_after: Millis,
    /// The longest time that is bridged.
    pub(crate) bridge: Millis,
}

/// Bytes that a recording takes.
pub(crate) fn bytes_of(plan: &Plan, recorded: Millis) -> u64 {
    let recorder = plan.aircraft.recorder;
    let milliseconds = u128::from(recorded.0.max(0).unsigned_abs());
    let bits = milliseconds * u128::from(recorder.bits_per_second) * u128::from(recorder.streams);
    u64::try_from(bits / 8000).unwrap_or(u64::MAX)
}

impl Page<'_> {
    /// The flights that were in the air, and time on the ground in which something was recorded or
    /// said.
    fn flights(&self) -> impl Iterator<Item = &Flight> {
        self.summary.flights.iter().filter(|flight| {
            flight.flew()
                || flight.recorded.0 > 0
                || flight.narrations.iter().any(|narration| narration.started > 0)
        })
    }

    /// How many were in the air.
    fn number_flown(&self) -> usize {
        self.summary.flights.iter().filter(|flight| flight.flew()).count()
    }

    /// Time recorded on all flights.
    fn recorded(&self) -> Millis {
        self.summary.flights.iter().fold(Millis::ZERO, |sum, flight| sum + flight.recorded)
    }

    /// Fixes that were read and rejected.
    fn rejected(&self) -> u64 {
        use crate::sink::notices::Kind;
        [Kind::NotLater, Kind::TooLate, Kind::TooFast]
            .iter()
            .map(|kind| self.notices.number(*kind))
            .sum()
    }
}
