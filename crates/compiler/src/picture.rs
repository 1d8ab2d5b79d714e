//! Which sights are in the picture.

use earth::{DegreesTrue, Metres, Surface};
use plan::{CameraId, Place, Plan};

/// What is live at a moment, whence, and where the nose points.
pub(crate) struct View<'a> {
    /// The camera that is live.
    pub(crate) camera: Option<CameraId>,
    /// Where the nose points, if known.
    pub(crate) heading: Option<DegreesTrue>,
    /// Where the aircraft is.
    pub(crate) from: &'a Surface,
    /// How high, if known.
    pub(crate) altitude: Option<Metres>,
}

/// Whether the live camera holds a sight in its frame, no farther away than `within`; the aircraft
/// is taken as level. A cabin camera never does.
pub(crate) fn holds(
    plan: &Plan,
    view: &View<'_>,
    sight: &Place,
    at: &Surface,
    within: Metres,
) -> bool {
    let camera = view.camera.and_then(|id| plan.aircraft.cameras.get(id.index()));
    let (Some(camera), Some(heading)) = (camera, view.heading) else { return false };
    !camera.cabin
        && view.from.chord(at) <= within.get()
        && engine::in_frame(camera, (view.from, view.altitude), heading, (at, sight.elevation))
}
