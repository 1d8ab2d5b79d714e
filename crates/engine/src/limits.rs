//! The two times that a recorded flight may raise.

use earth::Millis;
use plan::Settings;

/// How long without a good fix until GPS is lost, and how long a flight without one is bridged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// After so long without a good fix GPS is lost.
    pub lost_after: Millis,
    /// Two good fixes farther apart have a gap between them. Never less than `lost_after`.
    pub bridge: Millis,
}

impl Limits {
    /// The plan's own.
    #[must_use]
    pub fn of(settings: &Settings) -> Self {
        Self { lost_after: settings.lost_after, bridge: settings.bridge.max(settings.lost_after) }
    }

    /// For a recorded flight whose fixes usually are so far apart: each limit that is less than
    /// three times that is raised to it, for the whole file.
    #[must_use]
    pub fn raised_for(self, usual_interval: Millis) -> Self {
        let least = usual_interval * 3;
        Self { lost_after: self.lost_after.max(least), bridge: self.bridge.max(least) }
    }
}
