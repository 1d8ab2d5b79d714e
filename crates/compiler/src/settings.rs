//! What the tour sets for all rules, and the aircraft.

use earth::{Degrees, Millis};
use plan::{Camera, Hidden, Lens, ManualCamera, OnRadio, Recorder, Settings};
use route::model::{self, Aircraft, Defaults, HandCamera, Project};

use crate::checks::recorder;
use crate::findings::Findings;

pub(crate) fn settings(defaults: &Defaults) -> Settings {
    Settings {
        minimum_speed: defaults.minimum_speed,
        greatest_speed: defaults.greatest_speed,
        lost_after: defaults.lost_after,
        bridge: defaults.bridge,
        late_allowance: defaults.late_allowance,
        turnaround: defaults.turnaround,
        default_turn: defaults.shot,
        minimum_shot: defaults.minimum_shot,
        shot_hold: defaults.shot_hold,
        manual_camera: match defaults.manual_camera {
            HandCamera::For(time) => ManualCamera::For(time),
            HandCamera::UntilReturned => ManualCamera::UntilReturned,
        },
        breath: defaults.breath,
        direction_slack: defaults.direction_slack,
        altitude_slack: defaults.altitude_slack,
        groundspeed_slack: defaults.groundspeed_slack,
        on_radio: on_radio(defaults.on_radio),
        longest_pause: defaults.longest_pause,
    }
}

pub(crate) fn on_radio(on_radio: model::OnRadio) -> OnRadio {
    match on_radio {
        model::OnRadio::Ducked => OnRadio::Ducked,
        model::OnRadio::Paused => OnRadio::Paused,
        model::OnRadio::Dropped => OnRadio::Dropped,
    }
}

pub(crate) fn wind(wind: model::Wind) -> plan::Wind {
    plan::Wind { from: wind.from, speed: wind.speed }
}

/// The wind of the whole tour: its own, else the route's.
pub(crate) fn tour_wind(project: &Project) -> Option<plan::Wind> {
    let route = project.route.settings.wind;
    project.wind.or(route).map(|given| wind(given.value))
}

/// How fast a narration is told in a language, in words a minute: at its own pace, else that of the
/// language, else that of the tour.
pub(crate) fn pace(project: &Project, narration: &model::Narration, language: &str) -> f64 {
    let other = project.other_languages.get(language);
    let other = other.and_then(|entry| entry.value.words_per_minute);
    let own = narration.words_per_minute.or(other);
    own.map_or(project.defaults.words_per_minute, |pace| pace.value)
}

/// Narrations are told at the speed of speech: words (what stands between blanks and has a letter
/// or a digit in it) over words a minute, rounded up to a tenth of a second. A text in a script
/// that puts no blanks between words is one long word; its narration needs a `length`.
#[must_use]
pub fn spoken(text: &str, words_per_minute: f64) -> Millis {
    let is_word = |word: &&str| word.chars().any(char::is_alphanumeric);
    let words = u32::try_from(text.split_whitespace().filter(is_word).count());
    let seconds = f64::from(words.unwrap_or(u32::MAX)) * 60.0 / words_per_minute.max(1.0);
    // A hair less, so that what comes out even in tenths is not rounded up by its last digits.
    let tenths = (seconds * 10.0 - 1e-9).ceil();
    Millis::from_secs_f64(tenths / 10.0)
}

pub(crate) fn aircraft(
    aircraft: &Aircraft,
    project: &Project,
    findings: &mut Findings<'_>,
) -> plan::Aircraft {
    plan::Aircraft {
        name: aircraft.model.value.clone(),
        registration: aircraft.registration.as_ref().map(|written| written.value.clone()),
        heading_source: aircraft.heading_source == model::HeadingSource::Compass,
        cameras: aircraft.cameras.entries.iter().map(camera).collect(),
        recorder: match aircraft.recorder {
            Some(recorder) => Recorder {
                streams: recorder.value.streams,
                bits_per_second: recorder.value.bit_rate.0,
                card_bytes: Some(recorder.value.card.0),
            },
            None => recorder::missing(aircraft, project, findings),
        },
    }
}

fn camera(entry: &model::Entry<model::Camera>) -> Camera {
    let written = &entry.value;
    // A cabin camera without a view sees nothing outside: it is never asked to look at anything.
    let unseeing = model::View {
        bearing: Degrees::ZERO,
        depression: Degrees::ZERO,
        width: Degrees::of(plan::bounds::FIELD_OF_VIEW.least),
        height: None,
        lens: model::Lens::Rectilinear,
    };
    let view = written.view.unwrap_or(unseeing);
    Camera {
        name: entry.name.value.to_string(),
        input: written.input.value,
        bearing: view.bearing,
        depression: view.depression,
        width: view.width,
        height: view.height,
        lens: match view.lens {
            model::Lens::Rectilinear => Lens::Rectilinear,
            model::Lens::Equidistant => Lens::Equidistant,
        },
        cabin: written.cabin,
        hidden: written.hidden.iter().map(|hidden| hide(hidden.value)).collect(),
    }
}

fn hide(hidden: model::Hidden) -> Hidden {
    Hidden { from: hidden.from, to: hidden.to, below: hidden.below, above: hidden.above }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_narration_takes_the_time_of_its_words() {
        // 13 words at 130 a minute are 6 s exactly.
        let text = "one two three four five six seven eight nine ten eleven twelve thirteen";
        assert_eq!(spoken(text, 130.0), Millis(6_000));
        // 14 words are 6.4615 s, and a dash between blanks is no word.
        assert_eq!(spoken(&format!("{text} – fourteen!"), 130.0), Millis(6_500));
        assert_eq!(spoken(" … ", 130.0), Millis(0));
        assert_eq!(spoken("a b c", 100.0), Millis(1_800));
    }
}
