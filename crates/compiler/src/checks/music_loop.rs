//! A loop of music that its recording does not hold.

use diagnostic::{Page, Severity};
use earth::Millis;
use route::model::Repeat;
use route::{Name, Spanned};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[Page {
    name: "loop-past-end",
    severity: Severity::Error,
    finds: "A loop of music that ends behind the end of its recording.",
    why: "There is nothing there to go back from.",
    example: "music:\n  theme: {audio: theme.flac, loop: {to: 40 s}}    # theme.flac lasts 38.5 s",
    better: "music:\n  theme: {audio: theme.flac, loop: {to: 38 s}}",
}];

/// Reports it.
pub(crate) fn past_end(
    name: &Spanned<Name>,
    repeat: &Spanned<Repeat>,
    length: Millis,
    findings: &mut Findings<'_>,
) {
    let headline = format!(
        "the loop of `{}` ends at {} s, and its recording lasts {} s",
        name.value,
        repeat.value.to.secs(),
        length.secs()
    );
    let finding = findings.error("loop-past-end", repeat.span, headline);
    findings.put(finding.help("make `to` earlier"));
}
