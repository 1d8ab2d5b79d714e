//! Narrations whose captions cannot be read.

use diagnostic::Page;
use film::{Guidelines, Rate};
use plan::NarrationId;

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = film::CAPTION_PAGES;

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    // By how many frames captions are apart hardly matters here.
    let guidelines = Guidelines::adult(Rate::PAL);
    // Libraries bring narrations for other tours too.
    let plan = flown.plan;
    let mut asked: Vec<NarrationId> = Vec::new();
    for effect in plan.rules.iter().filter_map(|rule| rule.narration) {
        let short = plan.narrations.get(effect.narration.index()).and_then(|it| it.short);
        asked.extend(std::iter::once(effect.narration).chain(short));
    }
    asked.sort();
    asked.dedup();
    for language in &plan.languages {
        for id in &asked {
            let Some(narration) = plan.narrations.get(id.index()) else { continue };
            // A short version stands with the long one.
            let name = narration.name.strip_suffix(" (short)").unwrap_or(&narration.name);
            let entry = flown.project.narrations.get(name);
            for mut finding in film::review_one(plan, *id, language, &guidelines) {
                if let Some(entry) = entry {
                    finding.place = findings.sources().place(entry.name.span);
                }
                findings.put(finding);
            }
        }
    }
}
