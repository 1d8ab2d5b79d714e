//! Pages about what is handed on of a flight: captions and edits.

use diagnostic::Page;

use super::page;

pub(super) const PAGES: &[Page] = &[
    page!(
        "no-such-flight",
        Error,
        "A number of a flight that is not in the recording. Flights are counted from 1, those on \
         one power-up one after the other; what never took off is not counted.",
        "Nothing can be handed on of what was not flown.",
        "fulmar captions west.yaml day.gpx --flight-number 9",
        "fulmar captions west.yaml day.gpx --flight-number 2",
    ),
    page!(
        "no-such-time",
        Error,
        "A clock that does not run in the flight: the film's, of a flight in which nothing was \
         recorded, or that of a take that is not there; take-off, of a flight that never took off.",
        "What is handed on needs a time on that clock.",
        "fulmar captions west.yaml flight.gpx --take 9",
        "fulmar captions west.yaml flight.gpx --take 1",
    ),
    page!(
        "language-not-carried",
        Error,
        "A language in which nothing is said on this flight.",
        "Captions are timed to what is said, in the languages that are carried at once.",
        "fulmar captions west.yaml --planned --language en,de --in fr",
        "fulmar captions west.yaml --planned --language en,de --in de",
    ),
    page!(
        "timecode-unusable",
        Error,
        "A timecode that is none, or whose number is left out of drop-frame timecode.",
        "The edit would begin somewhere else than asked for.",
        "--rate 25 --start 10:00:00:25",
        "--rate 25 --start 10:00:00:24",
    ),
    page!(
        "still-outside-the-film",
        Note,
        "Stills that were taken while nothing was recorded.",
        "They have no time in the film, so no mark in its edit; the files are there all the same.",
        "fulmar edit west.yaml flight.gpx --clock film",
        "fulmar edit west.yaml flight.gpx --clock flight",
    ),
    page!(
        "edit-list-too-long",
        Warning,
        "An edit decision list with more than 999 events.",
        "Events are numbered with three figures by custom, and some readers stop there.",
        "fulmar edit west.yaml flight.gpx --format edl",
        "fulmar edit west.yaml flight.gpx --format edl --take 1",
    ),
];
