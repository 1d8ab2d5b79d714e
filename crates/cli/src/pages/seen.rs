//! Pages about what is seen of a flight.

use diagnostic::Page;

use super::page;

pub(super) const PAGES: &[Page] = &[
    page!(
        "card-format",
        Error,
        "A pilot's card that is to be neither an HTML nor a PDF file, or a PDF file that could not be \
         made.",
        "The ending of the name says which of the two it is; anything else would be a file that nobody \
         can print.",
        "fulmar briefing west.yaml --output card",
        "fulmar briefing west.yaml --output card.pdf",
    ),
    page!(
        "card-full",
        Note,
        "A pilot's card on which not everything had room: one page at 11 points holds so much and no \
         more.",
        "What is left out is counted on the card itself, so that nobody takes it for the whole.",
        "a tour with forty quiet zones",
        "the same tour with zones that touch joined to one",
    ),
    page!(
        "letters-missing",
        Warning,
        "A name on the pilot's card in a script that the letters of the PDF file do not have: they have \
         Latin, Greek, Cyrillic, Armenian, Georgian, Hebrew and Arabic, and no Chinese, Japanese or \
         Korean.",
        "The pilot would read empty boxes in place of a landmark.",
        "fulmar briefing west.yaml --output card.pdf",
        "fulmar briefing west.yaml --output card.html, printed from a browser",
    ),
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
