//! Narrations that do not fit at every groundspeed.

use diagnostic::{Page, Severity};
use earth::Millis;
use route::Span;

use crate::findings::Findings;
use crate::fit::{self, Condition, Fit, Fits, Spoiler, Telling, Verdict};
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "narration-too-long",
        severity: Severity::Warning,
        finds: "A narration that is too long at the greatest groundspeed that the tour expects \
                (`winds expected`, `airspeed tolerance`), or as planned: the next one comes, with \
                its breath, or the sight that it is about is behind, or the aircraft lands.",
        why: "With a wind from behind there is less time than on the day on which it was tried: \
              the passengers hear of a sight that is gone, and the next story comes late or never.",
        example: "winds expected: [{from: 250, speed: 30 kt}]\nnarrations:\n  arch: {text: \"…\", length: 45 s}",
        better: "narrations:\n  arch: {text: \"…\", length: 38 s}    # or a `short` version; `fulmar fit` says how much",
    },
    Page {
        name: "narration-cut-by-quiet-zone",
        severity: Severity::Warning,
        finds: "A narration that is cut off by a quiet zone, or by take-off, at one of the \
                groundspeeds that the tour expects, though not as planned.",
        why: "Half a story is worse than none, and on a calm day nobody notices.",
        example: "winds expected: [{from: 250, speed: 30 kt}]\nzones:\n  pad-quiet: {circle: {centre: PAD, radius: 1 NM}, quiet: true}",
        better: "rules:\n  quay: {when: {in: quay, not in: near-the-pad}, narration: quay}",
    },
];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let project = flown.project;
    if project.winds_expected.is_empty() && project.airspeed_tolerance.is_none() {
        return;
    }
    let Some(flights) = flown.flights else { return };
    let Some(fits) = fit::fast(project, flown.plan, flown.day, flights) else { return };
    for fit in &fits.narrations {
        let Some(told) = flown.plan.narrations.get(fit.narration.index()) else { continue };
        let voices = 0..told.voices.len();
        // What is too long in several languages is told of where it is worst.
        let worst = voices.filter_map(|voice| too_long(flown, fit, voice)).max_by_key(|it| it.over);
        if let Some(worst) = worst {
            say(flown, &fits, &told.name, &worst, findings);
        }
    }
}

/// A voice that is too long.
struct TooLong {
    at: Telling,
    over: Millis,
    as_planned: bool,
    language: String,
    shorter: String,
}

fn too_long(flown: &Flown<'_>, fit: &Fit, voice: usize) -> Option<TooLong> {
    let pace = fit::pace(flown.project, flown.plan, fit.narration, voice)?;
    let told = flown.plan.narrations.get(fit.narration.index())?.voices.get(voice)?;
    let verdict = fit.verdict(flown.plan, voice, pace);
    let Verdict::TooLong { at, over, as_planned, advice } = verdict else { return None };
    let unit = if advice.shorter == 1 { pace.one() } else { pace.unit() };
    let shorter = format!("{} {unit}", advice.shorter);
    Some(TooLong { at, over, as_planned, language: told.language.clone(), shorter })
}

fn say(flown: &Flown<'_>, fits: &Fits, name: &str, worst: &TooLong, findings: &mut Findings<'_>) {
    let TooLong { at, over, as_planned, language, shorter } = worst;
    let Some(span) = asked(flown, at) else { return };
    let (check, ends) = match at.spoiler {
        // As planned that is told by another check.
        Spoiler::Quiet(_) | Spoiler::TakeOff if *as_planned => return,
        Spoiler::Quiet(zone) => {
            let zone = flown.plan.zones.get(zone.index()).map_or("", |zone| &zone.name);
            ("narration-cut-by-quiet-zone", format!("it is quiet in `{zone}`"))
        }
        Spoiler::TakeOff => ("narration-cut-by-quiet-zone", "the aircraft takes off".to_owned()),
        Spoiler::Next(next) | Spoiler::Waiting(next) => {
            let next = flown.plan.narrations.get(next.index()).map_or("", |next| &next.name);
            ("narration-too-long", format!("`{next}` comes"))
        }
        Spoiler::Behind(sight) => {
            let sight = flown.plan.places.get(sight.index()).map_or("", |sight| &sight.name);
            ("narration-too-long", format!("`{sight}` is behind"))
        }
        Spoiler::Landing => ("narration-too-long", "the flight is over".to_owned()),
    };
    let in_it =
        if flown.plan.languages.len() > 1 { format!(" in {language}") } else { String::new() };
    let when = if *as_planned { " as planned already, and" } else { "" };
    let condition = fits.conditions.get(at.condition).map_or_else(String::new, words);
    let headline = format!(
        "`{name}`{in_it} is too long{when} by {:.1} s at {:.0} kt{condition}: {ends}",
        over.secs(),
        at.groundspeed.knots()
    );
    let finding = findings.warning(check, span, headline);
    let finding = finding
        .help(format!("make it {shorter} shorter, or begin it earlier; `fulmar fit` says more"));
    findings.put(finding);
}

/// Where it is asked for.
fn asked(flown: &Flown<'_>, at: &Telling) -> Option<Span> {
    let rule = flown.project.rules.entries.get(at.rule.index())?;
    Some(rule.value.narration.as_ref()?.value.narration.span)
}

fn words(condition: &Condition) -> String {
    let wind = condition
        .wind
        .map(|wind| format!("wind {:03.0}/{:.0} kt", wind.from.get(), wind.speed.knots()));
    let knots = condition.faster.knots();
    let faster = (knots != 0.0).then(|| {
        format!("{:.0} kt {}", knots.abs(), if knots > 0.0 { "faster" } else { "slower" })
    });
    let parts: Vec<String> = wind.into_iter().chain(faster).collect();
    if parts.is_empty() { String::new() } else { format!(" ({})", parts.join(", ")) }
}
