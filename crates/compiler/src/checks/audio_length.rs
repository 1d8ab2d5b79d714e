//! Recordings that last much longer or shorter than their texts would.

use diagnostic::{Page, Severity};

use super::recordings::said;
use crate::findings::Findings;
use crate::review::Flown;

/// A recording that is further off its text than this, as a part of what the text is reckoned at,
/// is found. The same words at another pace differ by less (common practice, no source).
const OFF: f64 = 0.15;
/// One that is off by less than this is never found: a few words last what they last.
const LEAST: f64 = 1.0;

pub(super) const PAGES: &[Page] = &[Page {
    name: "audio-length",
    severity: Severity::Warning,
    finds: "A recording that lasts more than 15 % longer or shorter, and by a second or more, than \
            its text at the pace of its language.",
    why: "Most often it is the recording of another text, of an older one, or only a part of it; \
          else the pace of the language is not that of its voice, and texts that are not yet \
          recorded are reckoned wrongly.",
    example: "arch: {text: {en: 65 words, which take 30 s}, audio: {en: arch.ogg}}    # lasts 41 s",
    better: "arch: {…, audio: {en: arch-2.ogg}}    # or `words per minute: 95`, if it is meant so",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    for said in said(flown.project) {
        let Some((named, recorded)) = said.named.zip(said.recorded) else { continue };
        let (lasts, reckoned) = (recorded.length.secs(), said.reckoned(flown.project).secs());
        let off = lasts - reckoned;
        if off.abs() <= reckoned * OFF || off.abs() < LEAST {
            continue;
        }
        let headline = format!(
            "the recording of {} lasts {lasts:.1} s, {:.0} % {} than its text in `{}` is reckoned \
             at ({reckoned:.1} s)",
            said.name(),
            (off / reckoned).abs() * 100.0,
            if off > 0.0 { "longer" } else { "shorter" },
            said.language,
        );
        let text = findings.sources().place(said.text.span);
        let finding = findings
            .warning("audio-length", named.span, headline)
            .related(text, "the text")
            .help(
                "listen whether it says this text; if it does, write the `words per minute` that it \
                 is told at",
            );
        findings.put(finding);
    }
}
