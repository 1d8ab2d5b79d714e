//! Rules that do nothing.

use diagnostic::{Page, Severity};
use route::{Name, Spanned};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "rule-without-effect",
    severity: Severity::Warning,
    finds: "A rule that has no effect and that no other rule comes `after`.",
    why: "It changes nothing; an effect was probably forgotten.",
    example: "rules:\n  arch: {when: {in: arch}}",
    better: "rules:\n  arch: {when: {in: arch}, camera: left}",
}];

pub(crate) fn report(name: &Spanned<Name>, findings: &mut Findings<'_>) {
    let headline = format!("the rule `{}` does nothing", name.value);
    let finding = findings
        .warning("rule-without-effect", name.span, headline)
        .help("give it an effect, such as `camera` or `narration`, or take it out");
    findings.put(finding);
}
