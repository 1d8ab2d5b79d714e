//! Narrations whose captions cannot be read.

use diagnostic::Page;
use film::{Guidelines, Rate};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = film::CAPTION_PAGES;

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    // By how many frames captions are apart hardly matters here.
    let guidelines = Guidelines::adult(Rate::PAL);
    for language in &flown.plan.languages {
        for (id, mut finding) in film::review(flown.plan, language, &guidelines) {
            let Some(narration) = flown.plan.narrations.get(id.index()) else { continue };
            // A short version stands with the long one.
            let name = narration.name.strip_suffix(" (short)").unwrap_or(&narration.name);
            if let Some(entry) = flown.project.narrations.get(name) {
                finding.place = findings.sources().place(entry.name.span);
            }
            findings.put(finding);
        }
    }
}
