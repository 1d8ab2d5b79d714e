//! Long silences.

use diagnostic::{Page, Severity};
use earth::Utc;

use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "silence-long",
    severity: Severity::Warning,
    finds: "A stretch of the planned flight in the air without a narration that is longer than the \
            `longest silence` (90 s unless the tour sets another). A tour without any narration \
            is silent by design and not found.",
    why: "Passengers ask whether the headset is broken, and the pilot has to answer.",
    example: "# nothing is told for three minutes over the strait",
    better: "rules:\n  strait: {when: {in: strait}, narration: strait}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    if flown.plan.rules.iter().all(|rule| rule.narration.is_none()) {
        return;
    }
    let longest = flown.project.defaults.longest_silence;
    let mut began: Option<Utc> = None;
    let mut last = None;
    for moment in flown.moments.iter().filter(|moment| moment.airborne) {
        last = Some(moment.time);
        if moment.narration.is_none() {
            began.get_or_insert(moment.time);
        } else if let Some(from) = began.take() {
            say(flown, from, moment.time, longest, findings);
        }
    }
    if let Some((from, to)) = began.zip(last) {
        say(flown, from, to, longest, findings);
    }
}

fn say(flown: &Flown<'_>, from: Utc, to: Utc, longest: earth::Millis, findings: &mut Findings<'_>) {
    let silence = to - from;
    if silence <= longest {
        return;
    }
    let headline = format!(
        "nothing is told for {:.0} s, from {} to {}",
        silence.secs(),
        flown.clock(from),
        flown.clock(to)
    );
    let finding = findings
        .warning("silence-long", flown.leg_span(from), headline)
        .label("it begins on this leg")
        .help("tell something there, or set a `longest silence` of your own");
    findings.put(finding.moment(flown.moment(from)));
}
