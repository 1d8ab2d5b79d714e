//! Pages about what is seen of a flight.

use diagnostic::Page;

use super::page;

pub(super) const PAGES: &[Page] = &[
    page!(
        "no-departures",
        Note,
        "A tour that does not say at which local times it is sold.",
        "Light is judged for the departures that are sold; without any, only the planned one is \
         looked at.",
        "departure: 2026-06-14T10:30:00-02:00",
        "departure: 2026-06-14T10:30:00-02:00 and departures: [\"09:00\", \"10:30\", \"15:30\"]",
    ),
    page!(
        "terrain-missing",
        Warning,
        "A file of heights that the tour names and that is not there, or cannot be used.",
        "Without it the ground is not known and no hill hides a sight; all else works as before.",
        "terrain: ../terrain/isels.tif",
        "terrain: ../terrain/isles.tif",
    ),
];
