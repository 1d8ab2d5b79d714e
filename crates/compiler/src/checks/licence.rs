//! Licences that are over.

use std::collections::BTreeSet;

use diagnostic::{Page, Severity};
use earth::Utc;

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "licence-past",
    severity: Severity::Warning,
    finds: "Music that rules ask for and whose licence has ended by the day of the tour's \
            `departure`; `fulmar music` finds the same of the days of flights. Days are those of \
            UTC, and the last day counts.",
    why: "Whoever sells the film then sells what he has no right to.",
    example: "departure: 2027-06-01T10:30:00Z\nmusic:\n  sea: {licence: {reference: L-7, until: 2027-05-31}}",
    better: "music:\n  sea: {licence: {reference: L-8, until: 2028-05-31}}    # renewed, or other music",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let project = flown.project;
    let Some(day) = day(project.departure.value) else { return };
    let asked = project.rules.entries.iter().filter_map(|rule| rule.value.music.as_ref());
    let asked: BTreeSet<&str> = asked.map(|music| music.value.as_str()).collect();
    for entry in &project.music.entries {
        let licence = entry.value.licence.as_ref();
        let Some(until) = licence.and_then(|licence| licence.value.until.as_ref()) else {
            continue;
        };
        // Days are written so that they sort as texts.
        if !asked.contains(entry.name.value.as_str()) || day <= until.value {
            continue;
        }
        let headline = format!(
            "the licence for `{}` ends on {}, and the tour departs on {day}",
            entry.name.value, until.value
        );
        let finding = findings
            .warning("licence-past", until.span, headline)
            .related(findings.sources().place(project.departure.span), "the departure")
            .help("renew it, or choose other music");
        findings.put(finding);
    }
}

/// The day of a moment in UTC, `YYYY-MM-DD`; none beyond the years that a calendar knows.
fn day(time: Utc) -> Option<String> {
    let moment = jiff::Timestamp::from_millisecond(time.0).ok()?;
    Some(jiff::tz::Offset::UTC.to_datetime(moment).date().to_string())
}
