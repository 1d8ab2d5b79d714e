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
        "band-beneath-ground",
        Warning,
        "A zone with an altitude band over ground that stands higher than the upper end of the band.",
        "Over that ground nobody is ever in the zone: where it is to be silent, it is not. A caution \
         from the files of heights, which are coarse.",
        "band: below 500 ft above PAD    # and a hill of 900 ft in the zone",
        "band: below 1400 ft",
    ),
    page!(
        "floor-in-ground",
        Note,
        "A zone with an altitude band whose lower end lies beneath the ground at some place in it.",
        "It does no harm; but a band that was meant to begin above the ground begins in it there.",
        "band: 500 ft..1500 ft    # and a hill of 900 ft in the zone",
        "band: 1200 ft..2200 ft",
    ),
    page!(
        "flown-low",
        Warning,
        "A planned flight that is less than 500 ft above the ground, as files of heights have it, more \
         than 1.5 NM from every take-off and landing.",
        "A caution, not a rule and not a clearance: such files know no trees, masts or wires. What is \
         allowed is said by the pilot in command, the flight manual, the operator's procedures and \
         local rules.",
        "- {to: PEAK, altitude: 1000 ft}    # on ground of 800 ft",
        "- {to: PEAK, altitude: 1600 ft}",
    ),
    page!(
        "elevation-differs",
        Note,
        "A place whose elevation, as written, differs from the files of heights by more than 30 m.",
        "One of the two is wrong, or the place lies elsewhere: then it is not where the camera looks.",
        "ARCH: {at: \"46.40 N, 33.20 W\", elevation: 0 m}    # 180 m in the file of heights",
        "ARCH: {at: \"46.41 N, 33.22 W\", elevation: 0 m}",
    ),
    page!(
        "terrain-elsewhere",
        Warning,
        "Files of heights that know nothing of any place on the flight.",
        "They are for another place, or have nothing but voids here: no hill hides a sight, as if there \
         were no such files.",
        "fulmar coverage west.yaml --planned --terrain N10E020.hgt",
        "fulmar coverage west.yaml --planned --terrain N46W034.hgt",
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
