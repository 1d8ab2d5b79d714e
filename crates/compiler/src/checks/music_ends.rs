//! Music that is over before it is to end.

use std::collections::BTreeMap;

use diagnostic::{Page, Severity};
use earth::{Millis, Utc};
use engine::Event;
use plan::{MusicId, RuleId};

use crate::findings::Findings;
use crate::review::Flown;

/// Less silence than this at the end is not found: the piece is fading out by then.
const LEAST: Millis = Millis(2000);

pub(super) const PAGES: &[Page] = &[Page {
    name: "music-ends",
    severity: Severity::Warning,
    finds: "A piece of music without a `loop` that on the planned flight is over before its rule \
            ends or another piece begins.",
    why: "The rest of the leg is silent, and on a day with more headwind it is longer still.",
    example: "music:\n  sea: {audio: sea.ogg}    # lasts 2 minutes, on a leg of 5",
    better: "music:\n  sea: {audio: sea.ogg, loop: {from: 8 s, to: 112 s, crossfade: 2 s}}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    // The longest silence of each piece.
    let mut silent: BTreeMap<MusicId, (Millis, Utc, RuleId)> = BTreeMap::new();
    let mut on: Option<(MusicId, Utc, RuleId)> = None;
    for change in &flown.changes {
        let Event::Music { from, to, .. } = change.event else { continue };
        if from == to {
            continue;
        }
        if let Some((music, since, rule)) = on.take() {
            let over = over_at(flown, music, since);
            let silence = over.map_or(Millis::ZERO, |over| change.effect - over);
            let known = silent.get(&music).map_or(LEAST, |(known, ..)| *known);
            if let Some(over) = over.filter(|_| silence > known) {
                silent.insert(music, (silence, over, rule));
            }
        }
        on = to.zip(change.rule).map(|(music, rule)| (music, change.effect, rule));
    }
    for (music, (silence, over, rule)) in silent {
        let Some(piece) = flown.plan.music.get(music.index()) else { continue };
        let Some(rule) = flown.project.rules.entries.get(rule.index()) else { continue };
        let at = rule.value.music.as_ref().map_or(rule.name.span, |music| music.span);
        let headline = format!(
            "`{}` is over at {}, and {:.0} s of silence follow",
            piece.name,
            flown.clock(over),
            silence.secs()
        );
        let finding = findings
            .warning("music-ends", at, headline)
            .help("give the piece a `loop`, or let other music follow");
        findings.put(finding.moment(flown.moment(over)));
    }
}

/// When a piece that has begun is over; none for one that is repeated, or whose length is not known.
fn over_at(flown: &Flown<'_>, music: MusicId, since: Utc) -> Option<Utc> {
    let piece = flown.plan.music.get(music.index())?;
    let length = piece.length.filter(|_| piece.repeat.is_none())?;
    Some(since + length)
}
