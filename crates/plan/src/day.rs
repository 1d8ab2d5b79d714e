//! What is said for the day, which stands above the plan.

use crate::model::{CameraId, Wind};

/// What is said for one day: the wind, and cameras that are not to be used.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Day {
    /// The day's wind, instead of the plan's.
    pub wind: Option<Wind>,
    /// Cameras out of service.
    pub out_of_service: Vec<CameraId>,
    /// Cameras not allowed today, for instance because a passenger did not agree.
    pub not_allowed: Vec<CameraId>,
}

impl Day {
    /// Whether a camera may be used today: it is in service and allowed.
    #[must_use]
    pub fn uses(&self, camera: CameraId) -> bool {
        !self.out_of_service.contains(&camera) && !self.not_allowed.contains(&camera)
    }
}

/// A thing the pilot does by hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hand {
    /// Picks a camera.
    Camera(CameraId),
    /// Returns the camera to automatic.
    Automatic,
    /// Switches recording on.
    RecordOn,
    /// Switches recording off.
    RecordOff,
    /// Takes a still.
    Still,
    /// Switches the voice off.
    VoiceOff,
    /// Switches the voice on.
    VoiceOn,
    /// Skips the narration playing.
    Skip,
    /// Radio or intercom is busy.
    RadioBusy,
    /// Radio and intercom are clear.
    RadioClear,
}
