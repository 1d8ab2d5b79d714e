//! Approved plans.

use diagnostic::{Page, Severity};
use plan::{Approval, Plan};
use route::model::{Project, Status};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "approved-after-departure",
        severity: Severity::Warning,
        finds: "A tour approved on a day after the planned departure.",
        why: "Whoever reads the plan would take it for approved on a day on which it was not.",
        example: "departure: 2026-06-01T10:30:00Z\n\
                  status: {approved by: M. Oke, on: 2026-06-30, plan: 0a1b2c}",
        better: "departure: 2026-07-01T10:30:00Z\n\
                 status: {approved by: M. Oke, on: 2026-06-30, plan: 0a1b2c}",
    },
    Page {
        name: "approval-of-another-plan",
        severity: Severity::Warning,
        finds: "A tour with an approval that was given for another plan than the one it makes now, \
                or that does not say for which. It counts as a draft.",
        why: "What was changed since nobody has approved: in the tour, or in a library or an \
              aircraft that it shares with others.",
        example: "status: {approved by: M. Oke, on: 2026-05-30, plan: 0a1b2c}\n\
                  # and the tour now makes plan 9f8e7d",
        better: "status: {approved by: M. Oke, on: 2026-06-02, plan: 9f8e7d}\n\
                 # once M. Oke has seen what is different",
    },
];

/// Gives a plan the approval of its tour, if it was given for this plan. A plan that differs by what
/// was chosen (another aircraft or variant) is a draft without a word, unless its code is named too.
pub(crate) fn settle(project: &Project, plan: &mut Plan, findings: &mut Findings<'_>) {
    let Status::Approved { by, on, plans, span } = &project.status else { return };
    let code = plan::digest(plan).code();
    if plans.iter().any(|approved| approved.value == code) {
        plan.approval = Approval::Approved { by: by.clone(), on: on.clone() };
        return;
    }
    if !plan.differences.is_empty() {
        return;
    }
    let finding = match plans.as_slice() {
        [] => findings
            .warning(
                "approval-of-another-plan",
                *span,
                "the approval does not say for which plan it was given, so the tour is a draft",
            )
            .help(format!("if it was given for the tour as it is now, add `plan: {code}`")),
        [first, ..] => findings
            .warning(
                "approval-of-another-plan",
                first.span,
                format!(
                    "approved was plan {}; the tour now makes plan {code}, a draft",
                    first.value
                ),
            )
            .help(format!(
                "have the changes approved and write `plan: {code}`, or make it `status: draft`"
            )),
    };
    findings.put(finding);
}

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
