//! Cameras in turn.

use diagnostic::{Page, Severity};
use earth::Millis;
use route::Spanned;

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "turn-too-short",
    severity: Severity::Warning,
    finds: "A turn of a camera that is shorter than the minimum shot.",
    why: "A change waits until the shot has lasted the minimum, and then the camera wanted at \
              that moment is taken: a turn that is too short is skipped or comes late.",
    example: "defaults: {minimum shot: 3 s}\nrules:\n  a: {camera: [{left: 8 s}, {nose: 2 s}]}",
    better: "rules:\n  a: {camera: [{left: 8 s}, {nose: 3 s}]}",
}];

pub(crate) fn check(time: Spanned<Millis>, minimum: Millis, findings: &mut Findings<'_>) {
    if time.value >= minimum {
        return;
    }
    let headline = format!(
        "this turn of {} s is shorter than the minimum shot of {} s",
        time.value.secs(),
        minimum.secs()
    );
    let finding = findings
        .warning("turn-too-short", time.span, headline)
        .help("make it longer, or set a shorter `minimum shot`");
    findings.put(finding);
}
