//! What the tour sets for all rules, and the aircraft.

use earth::Degrees;
use plan::{
    Camera, Hidden, Lens, Light, ManualCamera, Mix, MusicOnRadio, OnRadio, Recorder, Settings,
};
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

pub(crate) fn light(project: &Project) -> Light {
    project.into_lens.map(|into_lens| Light { into_lens }).unwrap_or_default()
}

pub(crate) fn mix(mix: &model::Mix) -> Mix {
    Mix {
        narration: mix.narration,
        peak: mix.peak,
        music: mix.music,
        duck: mix.duck,
        attack: mix.attack,
        release: mix.release,
        fade: mix.fade,
        crossfade: mix.crossfade,
        radio: match mix.radio {
            model::MusicOnRadio::Ducked => MusicOnRadio::Ducked,
            model::MusicOnRadio::Paused => MusicOnRadio::Paused,
        },
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
