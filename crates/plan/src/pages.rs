//! The table of everything that reading a plan file can find, a page each.

use diagnostic::{Page, Severity};

/// All pages, by name.
#[must_use]
pub fn pages() -> &'static [Page] {
    PAGES
}

const PAGES: &[Page] = &[
    Page {
        name: "plan-changed",
        severity: Severity::Error,
        finds: "A plan file whose content no longer gives the digest, or the code, that stands in \
                it.",
        why: "The code on a card and on a film says which plan was flown. A plan changed by hand \
              or damaged on its way would carry the code of another, and what was proved of the \
              one would be believed of the other.",
        example: "a radius of 600 m made 900 m in the plan file",
        better: "the radius changed in the tour, and the tour compiled again",
    },
    Page {
        name: "plan-content",
        severity: Severity::Error,
        finds: "A plan file with a key that is missing, not known or there twice, or a value of \
                the wrong kind.",
        why: "What is not understood cannot be flown, and leaving it out would fly another plan.",
        example: "\"minimum_shot\": \"3 s\"",
        better: "\"minimum_shot\": 3000",
    },
    Page {
        name: "plan-empty",
        severity: Severity::Error,
        finds: "A plan file with nothing in it.",
        why: "Most often a copy that was broken off, or a card pulled out too early.",
        example: "a file of 0 bytes",
        better: "the file copied again, or the tour compiled again",
    },
    Page {
        name: "plan-format",
        severity: Severity::Error,
        finds: "A file given as a plan that is something else.",
        why: "A flight or a tour in the place of the plan is soon given; it is better said at \
              once than guessed at.",
        example: "fulmar simulate flight.gpx flight.gpx",
        better: "fulmar simulate plan.json flight.gpx",
    },
    Page {
        name: "plan-not-json",
        severity: Severity::Error,
        finds: "A plan file that is cut off, damaged, or nested deeper than any plan.",
        why: "The rest of it is not known, so none of it can be trusted.",
        example: "{\"format\": \"fulmar-plan\", \"version\": 1, \"digest",
        better: "the file copied again, or the tour compiled again",
    },
    Page {
        name: "plan-not-text",
        severity: Severity::Error,
        finds: "A plan file with bytes that are not UTF-8.",
        why: "It was damaged, saved by a program that changed its encoding, or is no plan.",
        example: "a plan file saved as UTF-16",
        better: "the file as fulmar wrote it",
    },
    Page {
        name: "plan-unsound",
        severity: Severity::Error,
        finds: "A plan file that is whole and true to its digest, and says what no plan can: an \
                index to nothing, a value out of bounds, rules that wait for each other.",
        why: "The engine does not ask twice. Such a plan was not made by this program.",
        example: "\"home\": 9 in a plan with three places",
        better: "the tour compiled again",
    },
    Page {
        name: "plan-version",
        severity: Severity::Error,
        finds: "A plan file of a version that this program does not read.",
        why: "A later version may mean something else by the same word.",
        example: "\"version\": 2",
        better: "the tour compiled again with this program, or a program of the plan's age",
    },
];
