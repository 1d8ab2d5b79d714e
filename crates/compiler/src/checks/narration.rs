//! Narrations without words.

use diagnostic::{Page, Severity};
use route::{Name, Spanned};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "narration-without-words",
    severity: Severity::Error,
    finds: "A narration whose text has no word in it and that gives no length.",
    why: "Its length is reckoned from its words; without any it would be over as it starts.",
    example: "narrations:\n  arch: {text: \"…\"}",
    better: "narrations:\n  arch: {text: \"…\", length: 22 s}",
}];

pub(crate) fn without_words(name: &Spanned<Name>, findings: &mut Findings<'_>) {
    let headline = format!("the narration `{}` has no words", name.value);
    let finding = findings
        .error("narration-without-words", name.span, headline)
        .help("write its text, or give its `length`");
    findings.put(finding);
}
