//! What the engine says about its input, counted and the first of each kept.

use engine::{Change, Notice, Rejection, Sink, State};

/// How many notices of a kind are kept in full; the rest is counted.
pub(crate) const MOST_KEPT: usize = 5;

/// One kind of notice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    /// A fix not later than the last good one.
    NotLater,
    /// A fix too late after the last good one.
    TooLate,
    /// A fix that would need too great a speed.
    TooFast,
    /// Rejected fixes that agreed.
    Believed,
    /// The track stands in for the heading.
    TrackStandsIn,
    /// The magnetic model does not cover the date.
    MagneticModelDate,
    /// A hand action after the last fix.
    HandAfterEnd,
}

impl Kind {
    const ALL: [Self; 7] = [
        Self::NotLater,
        Self::TooLate,
        Self::TooFast,
        Self::Believed,
        Self::TrackStandsIn,
        Self::MagneticModelDate,
        Self::HandAfterEnd,
    ];

    const fn of(notice: &Notice) -> Self {
        match notice {
            Notice::Rejected { why: Rejection::NotLater, .. } => Self::NotLater,
            Notice::Rejected { why: Rejection::TooLate, .. } => Self::TooLate,
            Notice::Rejected { why: Rejection::TooFast, .. } => Self::TooFast,
            Notice::Believed { .. } => Self::Believed,
            Notice::TrackStandsIn { .. } => Self::TrackStandsIn,
            Notice::MagneticModelDate { .. } => Self::MagneticModelDate,
            Notice::HandAfterEnd { .. } => Self::HandAfterEnd,
        }
    }
}

/// Notices by kind: how many, and the first few.
#[derive(Clone, Debug, Default)]
pub(crate) struct Notices {
    by_kind: [(u64, Vec<Notice>); 7],
}

impl Notices {
    /// None yet.
    pub(crate) fn new() -> Self {
        Self::default()
    }

    /// Each kind that came, its number and the first few.
    pub(crate) fn each(&self) -> impl Iterator<Item = (Kind, u64, &[Notice])> {
        Kind::ALL
            .iter()
            .zip(&self.by_kind)
            .filter(|(_, (number, _))| *number > 0)
            .map(|(kind, (number, first))| (*kind, *number, first.as_slice()))
    }

    /// How many of a kind came.
    pub(crate) fn number(&self, kind: Kind) -> u64 {
        self.each().find(|(other, ..)| *other == kind).map_or(0, |(_, number, _)| number)
    }
}

impl Sink for Notices {
    fn change(&mut self, _change: &Change) {}

    fn state(&mut self, _state: &State<'_>) {}

    fn notice(&mut self, notice: &Notice) {
        let kind = Kind::of(notice);
        for (other, (number, first)) in Kind::ALL.iter().zip(&mut self.by_kind) {
            if *other == kind {
                *number += 1;
                if first.len() < MOST_KEPT {
                    first.push(*notice);
                }
            }
        }
    }
}
