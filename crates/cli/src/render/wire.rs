//! The JSON and CSV that other programs read. Each form has a name and a version, and is described
//! in `FORMATS.md` of this crate.

pub(crate) mod change;
pub(crate) mod state;

use earth::{Millis, Utc};
use serde::{Serialize, Serializer};
use serde_json::{Value, json};

use super::identity::Identity;
use super::time::{Since, UtcText};

/// The name and version of the list of changes.
pub(crate) const CHANGES: (&str, u32) = ("fulmar-changes", 1);
/// The name and version of what two plans differ in.
pub(crate) const COMPARISON: (&str, u32) = ("fulmar-plan-comparison", 1);
/// The name and version of what is seen on a flight.
pub(crate) const COVERAGE: (&str, u32) = ("fulmar-coverage", 1);
/// The name and version of cue sheets.
pub(crate) const CUE_SHEET: (&str, u32) = ("fulmar-cue-sheet", 1);
/// The name and version of the event plan.
pub(crate) const EVENT_PLAN: (&str, u32) = ("fulmar-event-plan", 1);
/// The name and version of the light at departures.
pub(crate) const LIGHT: (&str, u32) = ("fulmar-light", 1);
/// The name and version of what was mixed.
pub(crate) const MIX: (&str, u32) = ("fulmar-mix", 1);
/// The name and version of what recordings measure.
pub(crate) const RECORDINGS: (&str, u32) = ("fulmar-recordings", 1);
/// The name and version of the grid.
pub(crate) const GRID: (&str, u32) = ("fulmar-grid", 1);
/// The name and version of the states.
pub(crate) const STATES: (&str, u32) = ("fulmar-states", 1);
/// The name and version of the summary.
pub(crate) const SUMMARY: (&str, u32) = ("fulmar-summary", 1);
/// The name and version of a list of takes.
pub(crate) const TAKES: (&str, u32) = ("fulmar-take-list", 1);
/// The name and version of what a sheet changes.
pub(crate) const TEXTS: (&str, u32) = ("fulmar-texts", 1);
/// The name and version of an answer to why.
pub(crate) const WHY: (&str, u32) = ("fulmar-why", 1);

/// The first line of a file of JSON lines: what it is, and of which plan.
pub(crate) fn first_line((format, version): (&str, u32), identity: &Identity) -> Value {
    json!({ "format": format, "version": version, "plan": identity.json() })
}

/// A moment as RFC 3339 text.
#[derive(Clone, Copy, Debug)]
pub(crate) struct UtcWire(pub(crate) Utc);

impl Serialize for UtcWire {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&UtcText(self.0))
    }
}

/// Time since take-off as people are shown it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SinceWire(pub(crate) Millis);

impl Serialize for SinceWire {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(&Since(self.0))
    }
}
