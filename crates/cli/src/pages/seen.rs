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
    page!(
        "shapes-missing",
        Warning,
        "A file of shapes for the map (GeoJSON) that the tour names and that is not there, or cannot \
         be used.",
        "Without it there is no coastline beneath the flight; all else works as before.",
        "map: {shapes: ../costline.geojson}",
        "map: {shapes: ../coastline.geojson}",
    ),
    page!(
        "tiles-unusable",
        Error,
        "An address of map tiles that is none: it wants https or http, a host, and {z}, {x} and {y}.",
        "The page would ask for pictures that nobody has.",
        "map: {tiles: tiles.example}",
        "map: {tiles: \"https://tiles.example/{z}/{x}/{y}.png\"}",
    ),
    page!(
        "sound-unusable",
        Error,
        "A file of sound for the page that no browser plays, or that is too large to be carried.",
        "The page would open in silence, and nobody would be told.",
        "fulmar page west.yaml -o west.html --sound mix.aiff",
        "fulmar page west.yaml -o west.html --sound mix.ogg",
    ),
];
