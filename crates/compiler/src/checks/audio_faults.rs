//! What is the matter with the sound of a recording that the tour uses.

use diagnostic::{Page, Severity};
use earth::Millis;

use super::recordings::{played, said};
use crate::findings::Findings;
use crate::review::Flown;

/// More silence than this before the first sound of a narration is found (as `fulmar audio` tells).
const LONG_HEAD: Millis = Millis(500);
/// More silence than this behind its last sound is found (as `fulmar audio` tells).
const LONG_TAIL: Millis = Millis(1000);

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "audio-clipped",
        severity: Severity::Warning,
        finds: "A recording that the tour uses, of a narration or of music, with samples at full \
                scale one behind the other.",
        why: "It crackles, and turning it down does not mend it.",
        example: "narrations:\n  arch: {text: …, audio: arch.wav}    # recorded too loud",
        better: "narrations:\n  arch: {text: …, audio: arch-2.wav}    # 6 dB below full scale",
    },
    Page {
        name: "audio-silence",
        severity: Severity::Warning,
        finds: "A recording of a narration with more than half a second of silence before its first \
                sound, or more than a second behind its last.",
        why: "It seems to begin late, music stays low for nothing, and its length, by which it is \
              judged whether it fits, is not that of what is said.",
        example: "narrations:\n  arch: {text: …, audio: arch.wav}    # begins with 1.4 s of silence",
        better: "# cut off, with a tenth of a second left at each end",
    },
];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let said = said(flown.project);
    let narrations = said.iter().filter_map(|said| said.named.zip(said.recorded));
    let music = played(flown.project);
    let music = music.into_iter().filter_map(|(named, recorded)| Some((named, recorded?)));
    for (named, recorded) in narrations.clone().chain(music) {
        if recorded.clipped == 0 {
            continue;
        }
        let headline = format!("`{}` is clipped, {}", named.value, places(recorded.clipped));
        let finding = findings
            .warning("audio-clipped", named.span, headline)
            .help("record it anew at a lower level; turning it down does not mend it");
        findings.put_or_join(finding);
    }
    for (named, recorded) in narrations {
        let long = |silence: Millis, most: Millis, where_: &str| {
            (silence > most).then(|| format!("{:.1} s of silence {where_}", silence.secs()))
        };
        let parts: Vec<String> = [
            long(recorded.head, LONG_HEAD, "before its first sound"),
            long(recorded.tail, LONG_TAIL, "behind its last"),
        ]
        .into_iter()
        .flatten()
        .collect();
        if parts.is_empty() {
            continue;
        }
        let headline = format!("`{}` has {}", named.value, parts.join(" and "));
        let finding = findings
            .warning("audio-silence", named.span, headline)
            .help("cut it off, and leave a tenth of a second at each end");
        findings.put_or_join(finding);
    }
}

fn places(number: u64) -> String {
    if number == 1 { "in one place".to_owned() } else { format!("in {number} places") }
}
