//! The same for programs.

use compiler::fit::{Condition, Spoiler, Telling, Verdict};
use earth::Millis;
use serde_json::{Value, json};

use super::{Line, Page};
use crate::render::words;

/// Goes up with every change of the form.
const VERSION: u32 = 1;

/// All languages as JSON.
pub(crate) fn json(pages: &[Page<'_>], day: &str) -> Value {
    let mut languages: Vec<Value> = Vec::new();
    for page in pages {
        for (voice, language) in page.plan.languages.iter().enumerate() {
            let narrations: Vec<Value> =
                page.lines(voice).map(|line| narration(page, &line, voice)).collect();
            languages.push(json!({
                "language": language,
                "plan": page.identity.json(),
                "narrations": narrations,
            }));
        }
    }
    let list = |conditions: &[Condition]| conditions.iter().map(condition).collect::<Vec<_>>();
    let first = pages.first().map(|page| page.fits);
    let conditions = first.map(|fits| list(&fits.conditions)).unwrap_or_default();
    let not_flown = first.map(|fits| list(&fits.cannot_be_flown)).unwrap_or_default();
    json!({
        "format": "fulmar-fit",
        "version": VERSION,
        "day": day,
        "conditions": conditions,
        "cannot_be_flown": not_flown,
        "languages": languages,
    })
}

fn condition(condition: &Condition) -> Value {
    let wind = condition
        .wind
        .map(|wind| json!({ "from_deg": wind.from.get(), "speed_m_s": wind.speed.get() }));
    json!({ "wind": wind, "faster_m_s": condition.faster.get() })
}

fn narration(page: &Page<'_>, line: &Line<'_>, voice: usize) -> Value {
    let fit = line.fit;
    let told = |telling: &Option<Telling>| telling.as_ref().map(|it| telling_json(page, it, voice));
    let (verdict, spare) = match &line.verdict {
        Verdict::Fits(spare) => ("fits", Some(spare.0)),
        Verdict::TooLong { over, .. } => ("too_long", Some(-over.0)),
        Verdict::NotTold => ("not_told", None),
    };
    let advice = match &line.verdict {
        Verdict::TooLong { at, advice, .. } => Some(json!({
            "condition": at.condition,
            "earlier_ms": advice.earlier.map(|it| it.time.0),
            "earlier_m": advice.earlier.map(|it| it.way.get()),
            "shorter_by": advice.shorter,
            "room_for": advice.budget,
        })),
        _ => None,
    };
    let missing: Vec<Value> = fit
        .missing
        .iter()
        .map(|missing| json!({ "condition": missing.condition, "asked": missing.asked }))
        .collect();
    json!({
        "narration": line.name,
        "told_in": line.voice.language,
        "length_ms": line.voice.length.0,
        "estimated": line.voice.estimated,
        "counted_in": line.pace.unit(),
        "a_minute": line.pace.a_minute(),
        "count": line.pace.count(&line.voice.text),
        "verdict": verdict,
        "spare_ms": spare,
        "planned": told(&fit.planned),
        "least": told(&fit.least),
        "greatest": told(&fit.greatest),
        "tightest": told(&fit.tightest),
        "not_told_in": missing,
        "advice": advice,
    })
}

fn telling_json(page: &Page<'_>, telling: &Telling, voice: usize) -> Value {
    let plan = page.plan;
    let told = plan.narrations.get(telling.version.index());
    let told = told.and_then(|told| told.voices.get(voice));
    let length = telling.length_of(plan, voice);
    let word = told.and_then(|told| told.sync_word.as_ref());
    let millis = |time: Millis| time.0;
    let (spoiler, name) = match telling.spoiler {
        Spoiler::Next(next) => ("next_narration", Some(words::narration(plan, next).to_owned())),
        Spoiler::Waiting(other) => {
            ("narration_waiting", Some(words::narration(plan, other).to_owned()))
        }
        Spoiler::Quiet(zone) => ("quiet_zone", Some(words::zone(plan, zone).to_owned())),
        Spoiler::Behind(sight) => {
            let place = plan.places.get(sight.index());
            ("sight_behind", place.map(|place| place.name.clone()))
        }
        Spoiler::TakeOff => ("take_off", None),
        Spoiler::Landing => ("landing", None),
    };
    json!({
        "condition": telling.condition,
        "version": words::narration(plan, telling.version),
        "rule": words::rule(plan, telling.rule),
        "starts_ms": millis(telling.starts),
        "waited_ms": millis(telling.waited),
        "length_ms": millis(length),
        "groundspeed_m_s": telling.groundspeed.get(),
        "room_ms": millis(telling.room),
        "spare_ms": -millis(telling.over(length)),
        "spoiler": spoiler,
        "spoiler_name": name,
        "free_before_ms": millis(telling.free_before),
        "silence_after_ms": millis(telling.silence),
        "abeam_ms": telling.abeam.map(millis),
        "word": word.map(|word| word.word.clone()),
        "word_late_ms": word.zip(telling.abeam).map(|(word, abeam)| millis(word.at - abeam)),
    })
}
