//! Which plan it is, and the defaults of its rules.

use plan::{Approval, Light, ManualCamera, Mix, MusicOnRadio, Plan, Settings};

use super::words::on_radio;
use super::{Details, Difference, NOT_AS_WRITTEN, Part, Two, Value};

fn words(words: &str) -> Value {
    Value::Words(words.to_owned())
}

fn approval(approval: &Approval) -> Value {
    match approval {
        Approval::Draft => words("draft"),
        Approval::Approved { by, on } => Value::Words(format!("approved by {by} on {on}")),
    }
}

/// Title, aircraft, revision, approval and language.
pub(super) fn identity(two: &Two<'_>, into: &mut Vec<Difference>) {
    // Every member of a plan is compared somewhere; the compiler asks here about a new one.
    let Plan {
        title,
        revision,
        approval: was,
        languages,
        differences,
        sources: _,
        settings: _,
        mix: _,
        light: _,
        wind: _,
        aircraft,
        places: _,
        landing_sites: _,
        route: _,
        zones: _,
        rules: _,
        narrations: _,
        music: _,
        titles: _,
    } = two.old;
    let new = two.new;
    let mut details = Details::default();
    details.both("tour", title.as_str(), &new.title, words);
    details.both("aircraft", aircraft.name.as_str(), &new.aircraft.name, words);
    let registration = |of: &Option<String>| of.clone().map(Value::Words);
    details.value(
        "registration",
        registration(&aircraft.registration),
        registration(&new.aircraft.registration),
    );
    details.both("revision", *revision, new.revision, |number| Value::Count(number.into()));
    details.both("approval", was, &new.approval, approval);
    let told = |languages: &Vec<String>| Value::Words(languages.join(" and "));
    details.both("language", languages, &new.languages, told);
    let list = |differences: &Vec<String>| {
        (!differences.is_empty()).then(|| Value::Words(differences.join(", ")))
    };
    details.value(NOT_AS_WRITTEN, list(differences), list(&new.differences));
    into.extend(details.changed(Part::Identity, "", None));
}

fn by_hand(manual: ManualCamera) -> Value {
    match manual {
        ManualCamera::For(time) => Value::Time(time),
        ManualCamera::UntilReturned => words("until returned"),
    }
}

/// The defaults of the rules.
pub(super) fn compare(two: &Two<'_>, into: &mut Vec<Difference>) {
    let Settings {
        minimum_speed,
        greatest_speed,
        lost_after,
        bridge,
        late_allowance,
        turnaround,
        default_turn,
        minimum_shot,
        shot_hold,
        manual_camera,
        breath,
        direction_slack,
        altitude_slack,
        groundspeed_slack,
        on_radio: radio,
        longest_pause,
    } = &two.old.settings;
    let new = &two.new.settings;
    let mut details = Details::default();
    let (speed, time) = (Value::Speed, Value::Time);
    details.both("minimum shot", *minimum_shot, new.minimum_shot, time);
    details.both("turn in the default sequence", *default_turn, new.default_turn, time);
    details.both("a camera picked by hand stays", *manual_camera, new.manual_camera, by_hand);
    details.both("breath after a narration", *breath, new.breath, time);
    let radio_words = |radio| words(on_radio(radio));
    details.both("narrations while the radio is busy", *radio, new.on_radio, radio_words);
    details.both("longest pause of a narration", *longest_pause, new.longest_pause, time);
    details.both("GPS is lost after", *lost_after, new.lost_after, time);
    details.both("longest gap in GPS that is bridged", *bridge, new.bridge, time);
    details.both("shot hold after GPS is lost", *shot_hold, new.shot_hold, time);
    details.both("allowance for a late fix", *late_allowance, new.late_allowance, time);
    details.both("turnaround between flights", *turnaround, new.turnaround, time);
    details.both("minimum speed", *minimum_speed, new.minimum_speed, speed);
    details.both("greatest plausible speed", *greatest_speed, new.greatest_speed, speed);
    let angle = Value::Angle;
    details.both("slack of track and heading", *direction_slack, new.direction_slack, angle);
    let height = Value::Altitude;
    details.both("slack of altitude", *altitude_slack, new.altitude_slack, height);
    details.both("slack of groundspeed", *groundspeed_slack, new.groundspeed_slack, speed);
    mix(two, &mut details);
    let Light { into_lens } = two.old.light;
    details.both("the sun shines into a lens within", into_lens, two.new.light.into_lens, angle);
    into.extend(details.changed(Part::Settings, "", None));
}

/// How voice and music are balanced.
fn mix(two: &Two<'_>, details: &mut Details) {
    let Mix { narration, peak, music, duck, attack, release, fade, crossfade, radio } =
        &two.old.mix;
    let new = &two.new.mix;
    let loudness = |level: earth::Lufs| Value::Words(level.to_string());
    details.both("loudness of narrations", *narration, new.narration, loudness);
    details.both("highest peak", *peak, new.peak, |level| Value::Words(level.to_string()));
    details.both("loudness of music", *music, new.music, loudness);
    let decibels = |level: earth::Decibels| Value::Words(level.to_string());
    details.both("music is ducked by", *duck, new.duck, decibels);
    details.both("music goes down in", *attack, new.attack, Value::Time);
    details.both("music comes up in", *release, new.release, Value::Time);
    details.both("music fades in", *fade, new.fade, Value::Time);
    details.both("one piece gives way in", *crossfade, new.crossfade, Value::Time);
    details.both("music while the radio is busy", *radio, new.radio, |radio| {
        words(match radio {
            MusicOnRadio::Ducked => "ducked",
            MusicOnRadio::Paused => "paused",
        })
    });
}
