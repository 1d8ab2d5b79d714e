//! Cameras that are asked to look at a sight.

use diagnostic::{Page, Severity};
use route::{Name, Span, Spanned};

use crate::findings::Findings;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "cabin-camera-looks-out",
        severity: Severity::Error,
        finds: "A cabin camera among those that `look at` may choose from.",
        why: "It looks at the passengers and holds no sight.",
        example: "camera: {look at: ARCH, from: [left, cabin]}",
        better: "camera: {look at: ARCH, from: [left, nose]}",
    },
    Page {
        name: "cabin-camera-still",
        severity: Severity::Note,
        finds: "A still at the closest point to a sight that a cabin camera takes.",
        why: "It shows the passengers and not the sight. That may be meant; a slip looks the same.",
        example: "still: {at closest: ARCH, camera: cabin}",
        better: "still: {at closest: ARCH, camera: left}",
    },
    Page {
        name: "no-camera-looks-out",
        severity: Severity::Error,
        finds: "A `look at` on an aircraft whose cameras all look at the cabin.",
        why: "No camera can ever be chosen.",
        example: "cameras:\n  cabin: {input: 1, cabin: true}",
        better: "cameras:\n  left: {input: 1, mount: {bearing: 270, depression: 15 deg}, field of view: {width: 90 deg}}",
    },
];

/// A still of a sight, taken by a camera that does not see it.
pub(crate) fn cabin_still(name: &Spanned<Name>, findings: &mut Findings<'_>) {
    let headline = format!("`{}` is a cabin camera: the sight is not on this still", name.value);
    let finding = findings
        .note("cabin-camera-still", name.span, headline)
        .help("leave it if the faces are meant; else name a camera that looks out");
    findings.put(finding);
}

pub(crate) fn cabin(name: &Spanned<Name>, findings: &mut Findings<'_>) {
    let headline = format!("`{}` is a cabin camera and cannot look at a sight", name.value);
    let finding = findings
        .error("cabin-camera-looks-out", name.span, headline)
        .help("take it out of the list");
    findings.put(finding);
}

pub(crate) fn nobody(at: Span, findings: &mut Findings<'_>) {
    let finding = findings
        .error("no-camera-looks-out", at, "no camera of this aircraft looks out")
        .help("name a camera without `look at`, or give the aircraft another camera");
    findings.put(finding);
}
