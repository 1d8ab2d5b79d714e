//! A rule that is aimed by a sync word that there is not.

use diagnostic::{Page, Severity};
use route::{Name, Span, Spanned};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "sync-word-missing",
    severity: Severity::Error,
    finds: "A rule that is aimed `by: sync word`, and whose narration has none in the language that \
            the tour is told in.",
    why: "How long before the sight it begins is the time that its voice takes to reach the word.",
    example: "rules:\n  tell: {when: {before abeam: {sight: ARCH, by: sync word}}, narration: arch}\n\
              narrations:\n  arch: {text: Here is the arch.}",
    better: "narrations:\n  arch: {text: Here is the arch., sync word: arch at 1.2 s}",
}];

/// The rule has nothing said.
pub(crate) fn nothing_said(at: Span, findings: &mut Findings<'_>) {
    let finding = findings
        .error("sync-word-missing", at, "this rule has no narration, so no sync word either")
        .help("give it a `narration`, or write a time: `by: 12 s`");
    findings.put(finding);
}

/// What it says has no sync word, or one at its very beginning.
pub(crate) fn missing(
    at: Span,
    narration: &Spanned<Name>,
    language: &str,
    findings: &mut Findings<'_>,
) {
    let headline =
        format!("`{}` has no sync word behind its beginning in `{language}`", narration.value);
    let finding = findings.error("sync-word-missing", at, headline);
    let finding = finding.related(findings.sources().place(narration.span), "the narration");
    findings.put(
        finding.help(format!("add `sync word: {{{language}: … at 6.4 s}}` to it, or write a time")),
    );
}
