//! The pages of what a flight itself tells on its page.

use diagnostic::{Page, Severity};

/// The name of: a sight that is not filmed on the flight shown.
pub(crate) const SIGHT_MISSED: &str = "sight-missed";
/// The name of: filmed inside a no-filming zone.
pub(crate) const FILMED_INSIDE: &str = "filmed-inside";
/// The name of: an action of the pilot's hand that was refused.
pub(crate) const HAND_REFUSED: &str = "hand-refused";
/// The name of: GPS lost on the flight.
pub(crate) const GPS_LOST: &str = "gps-lost";

const PAGES: &[Page] = &[
    Page {
        name: SIGHT_MISSED,
        severity: Severity::Warning,
        finds: "A sight that on the flight shown is not filmed: the live camera, while recording, \
                does not hold it in one shot for as long as the tour wants, near or large enough. \
                A note where it is nice to have, a warning where passengers are promised it.",
        why: "What is in no film cannot be handed over, and the passengers saw it themselves.",
        example: "arch: {when: {in: arch}, camera: right}    # northbound it lies on the left",
        better: "arch: {when: {in: arch}, camera: {look at: ARCH, from: [left, right]}}",
    },
    Page {
        name: FILMED_INSIDE,
        severity: Severity::Warning,
        finds: "Time that was filmed inside a no-filming zone: before the entry was known at a fix, \
                or by hand where the route allows it.",
        why: "Somebody may have to cut it out, or to answer for it.",
        example: "zones:\n  garrison: {circle: {centre: FORT, radius: 500 m}, no filming: true}",
        better: "zones:\n  garrison: {circle: {centre: FORT, radius: 700 m}, no filming: true}",
    },
    Page {
        name: HAND_REFUSED,
        severity: Severity::Note,
        finds: "Something the pilot did by hand that was refused: a camera out of service or not \
                allowed, or recording in a no-filming zone.",
        why: "The pilot meant something by it; whoever debriefs should know what came of it.",
        example: "10:42:10 record on    # inside a no-filming zone",
        better: "10:43:30 record on    # outside it",
    },
    Page {
        name: GPS_LOST,
        severity: Severity::Note,
        finds: "A time in which no good fix came: no rule starts or ends and no narration starts.",
        why: "What was to be shown or told there may be missing, and the tour is not to blame.",
        example: "a receiver whose antenna is under a metal roof",
        better: "a receiver with a clear view of the sky",
    },
    Page {
        name: "shapes-unusable",
        severity: Severity::Error,
        finds: "A file of shapes for the map that is no GeoJSON, has a place that is none, or has too \
                many points for a page.",
        why: "Half a coastline misleads more than none.",
        example: "{\"type\": \"Point\", \"coordinates\": [46.3, 97.2]}    # latitude first",
        better: "{\"type\": \"Point\", \"coordinates\": [97.2, 46.3]}",
    },
];

/// The pages of everything that this crate finds.
#[must_use]
pub fn pages() -> &'static [Page] {
    PAGES
}
