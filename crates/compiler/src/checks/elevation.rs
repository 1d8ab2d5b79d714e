//! Altitudes that hang on the elevation of a place.

use diagnostic::{Page, Severity};
use earth::Metres;
use route::Span;

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "elevation-unknown",
        severity: Severity::Error,
        finds: "A height above a place, a take-off or a landing, where the elevation of the place \
                is not known.",
        why: "Altitudes are kept above mean sea level; without the elevation nobody can say \
                  what is meant.",
        example: "waypoints:\n  PAD: {at: \"61.2 N, 6.7 W\"}\n\
                  zones:\n  low: {circle: {centre: PAD, radius: 1 km}, band: below 500 ft above PAD}",
        better: "waypoints:\n  PAD: {at: \"61.2 N, 6.7 W\", elevation: 12 ft}",
    },
    Page {
        name: "band-upside-down",
        severity: Severity::Error,
        finds: "A band whose lower end comes out above its upper end once the elevations of the \
                places it names are known.",
        why: "Nothing is ever in such a band.",
        example: "band: 500 ft above PEAK..1500 ft    # PEAK is 1200 ft high",
        better: "band: 1500 ft..500 ft above PEAK",
    },
];

pub(crate) fn unknown(findings: &mut Findings<'_>, at: Span, why: &str, help: &str) {
    let finding = findings.error("elevation-unknown", at, why).help(help);
    findings.put(finding);
}

pub(crate) fn upside_down(findings: &mut Findings<'_>, at: Span, from: Metres, to: Metres) {
    let headline = format!(
        "the lower end of this band, {:.0} ft, is above its upper end, {:.0} ft",
        from.feet(),
        to.feet()
    );
    let finding = findings
        .error("band-upside-down", at, headline)
        .label("above mean sea level, with the elevations of the places named")
        .help("put the lower end first, or mend an elevation");
    findings.put(finding);
}
