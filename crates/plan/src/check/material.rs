//! What is said, played and shown: narrations, music, titles, the mix.

use earth::{Lufs, Millis};

use super::{At, Naming, is_date, unique};
use crate::bounds;
use crate::error::PlanError;
use crate::model::{Audio, Licence, Mix, Music, Narration, Plan, Repeat, Voice};

pub(super) fn check(plan: &Plan) -> Result<(), PlanError> {
    let at = At::of("plan");
    at.count(&bounds::NARRATIONS, plan.narrations.len())?;
    unique("narration", plan.narrations.iter().map(|n| (n.name.as_str(), Some(n.source))))?;
    for narration in &plan.narrations {
        check_narration(plan, narration)?;
    }
    at.count(&bounds::MUSIC, plan.music.len())?;
    unique("music", plan.music.iter().map(|music| (music.name.as_str(), None)))?;
    for music in &plan.music {
        check_music(music)?;
    }
    at.count(&bounds::TITLES, plan.titles.len())?;
    unique("title", plan.titles.iter().map(|title| (title.name.as_str(), None)))?;
    for title in &plan.titles {
        At::named("title", &title.name).text(&title.text)?;
    }
    check_mix(&plan.mix)
}

fn check_narration(plan: &Plan, narration: &Narration) -> Result<(), PlanError> {
    let at = At::named("narration", &narration.name).written(narration.source);
    at.source(plan, narration.source)?;
    if narration.voices.len() != plan.languages.len() {
        return at.broken("it has a voice for each language of the plan");
    }
    for voice in &narration.voices {
        check_voice(&at, voice)?;
    }
    let longest = narration.voices.iter().map(|voice| voice.length).max();
    if longest != Some(narration.length) {
        return at.broken("it lasts as long as the longest of its voices");
    }
    if let Some(pause) = narration.longest_pause {
        at.time(&bounds::LONGEST_PAUSE, pause)?;
    }
    if let Some(sight) = narration.sight {
        at.exists("place", sight.0, plan.places.len())?;
    }
    let Some(short) = narration.short else { return Ok(()) };
    at.exists("narration", short.0, plan.narrations.len())?;
    let shorter = plan.narrations.get(short.index());
    if shorter.is_some_and(|shorter| shorter.short.is_some()) {
        return at.broken("its short version has none of its own");
    }
    Ok(())
}

fn check_voice(at: &At, voice: &Voice) -> Result<(), PlanError> {
    at.part("language").name(&voice.language, Naming::ForPeople)?;
    at.text(&voice.text)?;
    at.time(&bounds::NARRATION_LENGTH, voice.length)?;
    if let Some(audio) = &voice.audio {
        check_audio(at, audio)?;
    }
    if let Some(word) = &voice.sync_word {
        at.part("sync word").name(&word.word, Naming::ForPeople)?;
        at.time(&bounds::SYNC_WORD, word.at)?;
    }
    Ok(())
}

fn check_audio(at: &At, audio: &Audio) -> Result<(), PlanError> {
    at.part("audio").name(&audio.file, Naming::ForPeople)?;
    let digit = |byte: u8| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte);
    if audio.content.len() != 64 || !audio.content.bytes().all(digit) {
        return at.broken("the content of a recording is told by 64 hexadecimal digits");
    }
    Ok(())
}

fn check_music(music: &Music) -> Result<(), PlanError> {
    let at = At::named("music", &music.name);
    at.name(&music.title, Naming::ForPeople)?;
    for text in [&music.composer, &music.publisher].into_iter().flatten() {
        at.name(text, Naming::ForPeople)?;
    }
    if let Some(audio) = &music.audio {
        check_audio(&at, audio)?;
    }
    if music.audio.is_some() != music.length.is_some() {
        return at.broken("it has a length where it has a recording, and only there");
    }
    if let Some(time) = music.length {
        at.time(&bounds::MUSIC_TIME, time)?;
    }
    if let Some(loudness) = music.level {
        level(&at, loudness)?;
    }
    if let Some(Licence { reference, until }) = &music.licence {
        if let Some(reference) = reference {
            at.part("licence").name(reference, Naming::ForPeople)?;
        }
        if until.as_ref().is_some_and(|until| !is_date(until)) {
            return at.broken("the last day of its licence is not a date written YYYY-MM-DD");
        }
    }
    let Some(Repeat { from, to, crossfade }) = music.repeat else { return Ok(()) };
    for time in [from, to, crossfade] {
        at.time(&bounds::MUSIC_TIME, time)?;
    }
    let lasts = to - from;
    if lasts <= Millis::ZERO || crossfade + crossfade > lasts {
        return at.broken("its loop ends before it begins, or is shorter than two crossfades");
    }
    if music.length.is_some_and(|length| to > length) {
        return at.broken("its loop ends behind the end of the recording");
    }
    Ok(())
}

fn level(at: &At, loudness: Lufs) -> Result<(), PlanError> {
    at.within(&bounds::LOUDNESS, loudness.get())
}

fn check_mix(mix: &Mix) -> Result<(), PlanError> {
    let at = At::of("mix");
    level(&at, mix.narration)?;
    level(&at, mix.music)?;
    at.within(&bounds::PEAK, mix.peak.get())?;
    at.within(&bounds::DUCK, mix.duck.get())?;
    for time in [mix.attack, mix.release, mix.fade, mix.crossfade] {
        at.time(&bounds::FADE, time)?;
    }
    Ok(())
}
