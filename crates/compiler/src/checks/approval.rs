//! Approved plans.

use diagnostic::{Page, Severity};
use route::model::{Project, Status};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "approved-after-departure",
    severity: Severity::Warning,
    finds: "A tour approved on a day after the planned departure.",
    why: "Whoever reads the plan would take it for approved on a day on which it was not.",
    example: "departure: 2026-06-01T10:30:00Z\nstatus: {approved by: M. Oke, on: 2026-06-30}",
    better: "departure: 2026-07-01T10:30:00Z\nstatus: {approved by: M. Oke, on: 2026-06-30}",
}];

pub(crate) fn check(project: &Project, findings: &mut Findings<'_>) {
    let Status::Approved { on, .. } = &project.status else { return };
    if !project.could_be_read(project.departure.span) {
        return;
    }
    // Days written as the standard says sort as text does. A day begins up to 14 hours earlier in
    // the east than in UTC.
    let latest = project.departure.value + earth::Millis::from_secs(14 * 3600);
    let Ok(moment) = jiff::Timestamp::from_millisecond(latest.0) else { return };
    let departure = jiff::tz::TimeZone::UTC.to_datetime(moment).date().to_string();
    if *on <= departure {
        return;
    }
    let headline = format!("the tour is approved on {on}, after its departure");
    let finding = findings
        .warning("approved-after-departure", project.departure.span, headline)
        .label("the planned departure")
        .help("mend the day of the approval, or plan a later departure");
    findings.put(finding);
}
