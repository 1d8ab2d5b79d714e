//! Conditions and effects in words, for somebody who has not seen the authored text.

use earth::{Degrees, Metres, MetresPerSecond, Millis};
use plan::{
    AltitudeBand, CameraEffect, CameraId, NarrationEffect, North, OnRadio, Otherwise, PlaceId,
    Plan, RecordEffect, SpeedBand, StillEffect, StillMoment, Test, Window, ZoneId,
};

/// Names one after the other, `a, b and c`.
pub(super) fn names(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [all @ .., last] => format!("{} and {last}", all.join(", ")),
    }
}

/// A length of time, `20 s`, `1 min 30 s`; with its fraction where it has one.
pub(super) fn time(time: Millis) -> String {
    let minutes = time.0 / 60_000;
    let seconds = (time - Millis::from_secs(60 * minutes)).secs();
    match (minutes, seconds) {
        (0, _) => format!("{seconds} s"),
        (_, 0.0) => format!("{minutes} min"),
        _ => format!("{minutes} min {seconds} s"),
    }
}

fn feet(altitude: Metres) -> String {
    format!("{} ft", rounded(altitude.feet()))
}

fn knots(speed: MetresPerSecond) -> String {
    format!("{} kt", rounded(speed.knots()))
}

/// To two decimals at most: what people write is whole, or nearly.
fn rounded(value: f64) -> f64 {
    (value * 100.0).round() / 100.0 + 0.0
}

/// A band of anything: `from 1000 ft to 1500 ft`, `above 1000 ft`, `below 80 kt`.
fn between<T: Copy>(from: Option<T>, to: Option<T>, words: impl Fn(T) -> String) -> String {
    match (from, to) {
        (Some(from), Some(to)) => format!("from {} to {}", words(from), words(to)),
        (Some(from), None) => format!("above {}", words(from)),
        (None, Some(to)) => format!("below {}", words(to)),
        (None, None) => "any".to_owned(),
    }
}

/// A band of altitudes.
pub(super) fn band(band: &AltitudeBand) -> String {
    between(band.from, band.to, feet)
}

fn speeds(band: &SpeedBand) -> String {
    between(band.from, band.to, knots)
}

fn window(window: &Window) -> String {
    let direction = |angle: Degrees| format!("{:03}", rounded(angle.get()));
    let north = match window.north {
        North::True => "",
        North::Magnetic => " magnetic",
    };
    format!("{}..{}{north}", direction(window.from), direction(window.to))
}

/// The name of a place, with its title where it has one.
pub(super) fn place(plan: &Plan, id: PlaceId) -> String {
    plan.places.get(id.index()).map_or_else(String::new, |place| {
        super::places::title(place)
            .map_or_else(|| place.name.clone(), |title| format!("{title} ({})", place.name))
    })
}

fn zone(plan: &Plan, id: ZoneId) -> &str {
    plan.zones.get(id.index()).map_or("", |zone| &zone.name)
}

/// The name of a camera.
pub(super) fn camera(plan: &Plan, id: CameraId) -> &str {
    plan.aircraft.cameras.get(id.index()).map_or("", |camera| &camera.name)
}

/// A condition, whatever way it has been written.
pub(super) fn test(plan: &Plan, test: &Test) -> String {
    match test {
        Test::In(id) => format!("in {}", zone(plan, *id)),
        Test::NotIn(id) => format!("not in {}", zone(plan, *id)),
        Test::Track(range) => format!("track {}", window(range)),
        Test::Heading(range) => format!("heading {}", window(range)),
        Test::Altitude(heights) => format!("altitude {}", band(heights)),
        Test::Groundspeed(range) => format!("groundspeed {}", speeds(range)),
        Test::BeforeAbeam { sight, by, within } => format!(
            "{} comes abeam within {}, no farther away than {}",
            place(plan, *sight),
            time(*by),
            distance(*within)
        ),
        Test::After(rule) => {
            let name = plan.rules.get(rule.index()).map_or("", |rule| &rule.name);
            format!("after the rule {name}")
        }
        Test::Pass { zone: id, nth } => format!("pass {nth} of {}", zone(plan, *id)),
        Test::OnGround => "on the ground".to_owned(),
        Test::Airborne => "airborne".to_owned(),
    }
}

fn distance(distance: Metres) -> String {
    let metres = distance.get();
    if metres < 1000.0 {
        format!("{} m", rounded(metres))
    } else {
        format!("{} km", rounded(metres / 1000.0))
    }
}

/// What a rule says about the camera.
pub(super) fn camera_effect(plan: &Plan, effect: &CameraEffect) -> String {
    match effect {
        CameraEffect::Sequence(turns) => match turns.as_slice() {
            [one] => camera(plan, one.camera).to_owned(),
            turns => {
                let turns: Vec<String> = turns
                    .iter()
                    .map(|turn| {
                        let lasts = turn.lasts.map_or_else(String::new, time);
                        format!("{} {lasts}", camera(plan, turn.camera))
                    })
                    .collect();
                format!("in turn {}", turns.join(", "))
            }
        },
        CameraEffect::LookAt { sight, from } if is_every_outward(plan, from) => {
            format!("whichever sees {}", place(plan, *sight))
        }
        CameraEffect::LookAt { sight, from } => {
            let cameras: Vec<&str> = from.iter().map(|id| camera(plan, *id)).collect();
            format!("whichever of {} sees {}", names(&cameras), place(plan, *sight))
        }
    }
}

/// Whether these are all cameras that look out, as they come where an author names none.
pub(super) fn is_every_outward(plan: &Plan, from: &[CameraId]) -> bool {
    let all = (0..).zip(&plan.aircraft.cameras).filter(|(_, camera)| !camera.cabin);
    all.map(|(number, _)| CameraId(number)).eq(from.iter().copied())
}

/// What a rule says about recording.
pub(super) fn record_effect(effect: &RecordEffect) -> String {
    let RecordEffect { on, post_roll, on_ground } = *effect;
    let mut words = if on { "on" } else { "off" }.to_owned();
    if on && on_ground {
        words.push_str(", on the ground too");
    }
    if post_roll > Millis::ZERO {
        words.push_str(&format!(", and {} longer than the rule", time(post_roll)));
    }
    words
}

/// What becomes of a narration in whose way something stands.
pub(super) fn otherwise(effect: &NarrationEffect) -> String {
    // The room follows from the route; what comes of it is told with the flight.
    let NarrationEffect { narration: _, otherwise, waits, room: _ } = *effect;
    let waiting = waits.map_or_else(
        || "waits while its rule is active".to_owned(),
        |waits| format!("waits {} at most", time(waits)),
    );
    match otherwise {
        Otherwise::Wait => waiting,
        Otherwise::Skip => "left out".to_owned(),
        Otherwise::Interrupt => format!("cuts off the one playing, else {waiting}"),
    }
}

/// The stills a rule takes.
pub(super) fn stills(plan: &Plan, stills: &[StillEffect]) -> String {
    let one = |still: &StillEffect| {
        let StillEffect { camera: by, moment } = still;
        let by = by.map_or("the camera that is live", |id| camera(plan, id));
        match *moment {
            StillMoment::Start => format!("once, by {by}"),
            StillMoment::Every(every) => format!("every {}, by {by}", time(every)),
            StillMoment::Closest(at) => {
                format!("at the closest point to {}, by {by}", place(plan, at))
            }
        }
    };
    stills.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// What busy radio does to a narration.
pub(super) const fn on_radio(on_radio: OnRadio) -> &'static str {
    match on_radio {
        OnRadio::Ducked => "plays on, quieter",
        OnRadio::Paused => "paused",
        OnRadio::Dropped => "cut off",
    }
}

/// The beginning of a text, to tell it by.
pub(super) fn beginning(text: &str) -> String {
    const WORDS: usize = 5;
    let mut words = text.split_whitespace();
    let mut first: Vec<&str> = words.by_ref().take(WORDS).collect();
    let last = first.pop().unwrap_or_default().trim_end_matches([',', ';', ':', '.']);
    first.push(last);
    let more = if words.next().is_some() { " …" } else { "" };
    format!("{}{more}", first.join(" "))
}
