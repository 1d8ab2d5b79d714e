//! Cameras that are never live.

use diagnostic::{Page, Severity};

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "camera-never-live",
    severity: Severity::Note,
    finds: "A camera of the aircraft that is never live on the planned flight, though it may be today.",
    why: "It is carried, powered and cleaned for nothing on this tour; most often a rule that \
          should use it names another.",
    example: "cameras: {left: …, right: …, tail: …}\nrules: {arch: {camera: [left, right]}}",
    better: "rules: {arch: {camera: [left, right, tail]}}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let Some(aircraft) = &flown.project.aircraft else { return };
    for (number, entry) in (0..).zip(&aircraft.cameras.entries) {
        let camera = plan::CameraId(number);
        let live = flown.moments.iter().any(|moment| moment.camera == Some(camera));
        // One that must not be live today has been said to be so.
        let left_out = flown.day.out_of_service.iter().chain(&flown.day.not_allowed);
        if live || left_out.into_iter().any(|left_out| *left_out == camera) {
            continue;
        }
        let headline = format!("the camera `{}` is never live on this tour", entry.name.value);
        let finding = findings
            .note("camera-never-live", entry.name.span, headline)
            .help("name it in a rule, if there is something for it to see");
        findings.put(finding);
    }
}
