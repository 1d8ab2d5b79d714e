//! Pages about what comes up while a flight is flown.

use diagnostic::Page;

use super::page;

pub(super) const PAGES: &[Page] = &[
    page!(
        "limits-raised",
        Note,
        "A recording with few fixes, for which the time after which GPS counts as lost, or the \
         time that is bridged, was raised to three times the usual interval between its fixes.",
        "By the plan's own limits GPS would be lost between almost any two fixes of such a \
         recording. What happens in flight, with a fix a second, may differ in detail.",
        "a recording with a fix every 10 s",
        "a recording with a fix every second",
    ),
    page!(
        "flight-twice",
        Warning,
        "A flight that lies in two of the files given: both took off at the same instant.",
        "Told twice, its music would be reported and paid for twice.",
        "fulmar music west.yaml logs, with june.gpx and june-copy.gpx in it",
        "fulmar music west.yaml logs, with one of them",
    ),
    page!(
        "cue-sheet-gap",
        Note,
        "A piece of music that was played and for which no composer, publisher or licence is \
         written.",
        "Whoever collects for composers sends such a sheet back.",
        "sea: {title: The Sea}",
        "sea: {title: The Sea, composer: …, publisher: …, licence: {reference: L-7, until: 2027-05-31}}",
    ),
    page!(
        "fix-rejected",
        Warning,
        "A fix that is not later than the last good one, comes more than 30 min after it, or could \
         only be reached above the greatest plausible speed.",
        "It changes nothing in the flight. Many of them mean that a receiver stood in the shade, \
         or that files are given in the wrong order.",
        "fulmar simulate west.yaml second-half.gpx first-half.gpx",
        "fulmar simulate west.yaml first-half.gpx second-half.gpx",
    ),
    page!(
        "fixes-believed",
        Warning,
        "Three rejected fixes in a row that agree with each other, so that the third was believed.",
        "What was flown before it and what comes after it do not belong together: the aircraft was \
         moved without power, or the recording holds two receivers or two days.",
        "two recordings of one flight in one file",
        "one recording in one file",
    ),
    page!(
        "track-stands-in",
        Note,
        "A flight without a source of heading and without a wind: where the nose points is taken \
         to be where the aircraft goes.",
        "In a side wind the nose points elsewhere, and a camera that is to look at a sight may be \
         off by as much.",
        "fulmar simulate west.yaml flight.gpx",
        "fulmar simulate west.yaml flight.gpx --wind 240/12kt",
    ),
    page!(
        "magnetic-model-date",
        Note,
        "A flight on a date that the magnetic model at hand does not cover; its nearest day is \
         used.",
        "The declination drifts by a tenth of a degree or so a year, and magnetic windows with it.",
        "track: 320..040 magnetic",
        "track: 320..040",
    ),
    page!(
        "planned-flight",
        Error,
        "A planned route that cannot be flown in the wind of the day.",
        "The aircraft would be blown back faster than it flies.",
        "--wind 240/95kt",
        "--wind 240/12kt",
    ),
    page!(
        "moment-outside",
        Error,
        "A moment that is not in the recording, or since the take-off of a flight that is not in \
         it.",
        "Nothing is known of what was not flown.",
        "--at T+95:00",
        "--at T+05:30",
    ),
    page!(
        "hand-after-end",
        Warning,
        "An action by hand after the last fix of the flight, which was therefore not done.",
        "Most likely its time is of another day or zone than the recording.",
        "time,action,camera\n+99:00,skip,",
        "time,action,camera\n+09:00,skip,",
    ),
];
