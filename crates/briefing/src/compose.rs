//! What the card says, of all that is known.

use coverage::light::{OnSight, before_lens};
use coverage::{Hindrance, Pose};
use earth::{Millis, Surface, Utc};
use engine::Obstacle;
use plan::{
    Approval, CameraId, HandFilming, ManualCamera, MusicOnRadio, OnRadio, PlaceKind, Plan, Zone,
    ZoneId,
};
use timeline::{Span, words};

use crate::{Card, Facts, Item, Section};

/// Everything that a pilot may want to know of the film before a flight.
#[must_use]
pub fn compose(facts: &Facts<'_>) -> Card {
    Card {
        title: facts.plan.title.clone(),
        about: about(facts),
        plan: which_plan(facts),
        sections: vec![
            silent(facts),
            forbidden(facts),
            missed(facts),
            sides(facts),
            sun(facts),
            controls(facts),
            gps(facts.plan),
        ],
        cautions: cautions(facts),
    }
}

/// What is never left out: what the card defers to, and what is not known.
fn cautions(facts: &Facts<'_>) -> Vec<String> {
    let mut cautions = [
        "Not for navigation. It says what cameras, voice and music will do, and nothing about where or \
         how to fly. Times are those of the flight as planned; cameras and voice go by position.",
        "The pilot in command, the flight manual, the operator's procedures and local rules come first; \
         no cue of this system asks the pilot to do anything or is a reason to change the flight.",
        "Filming, narration and this card stand back behind lookout, radio and workload; all of it can \
         be left alone, or switched off, at any time.",
        "The narration is no passenger safety briefing. Equipment and its installation need approved \
         data and licensed work.",
    ]
    .map(str::to_owned)
    .to_vec();
    let coverage = facts.coverage;
    if coverage.heading_not_known > Millis::ZERO {
        cautions.push(format!(
            "Not known for {} in the air: where the nose points, and so what the cameras see.",
            time(coverage.heading_not_known)
        ));
    }
    if coverage.nose_in_doubt > Millis::ZERO {
        cautions.push(format!(
            "In hovers, {} in all, the nose is taken to point as on arrival: no compass is read.",
            time(coverage.nose_in_doubt)
        ));
    }
    if !coverage.ground_known && !coverage.sights.is_empty() {
        cautions.push(
            "Heights of the ground are not known: a hill before a sight is not reckoned.".into(),
        );
    }
    cautions
}

/// The local time of a moment, such as `10:31`.
fn local(facts: &Facts<'_>, time: Utc) -> String {
    (time + facts.plan.route.utc_offset).clock()
}

/// Whole minutes after take-off, those begun not counted.
fn minute(facts: &Facts<'_>, time: Utc) -> i64 {
    facts.flight.since(time).0.div_euclid(60_000)
}

/// A span as `10:31–10:34, minute 1–4`.
fn when(facts: &Facts<'_>, span: Span) -> String {
    let (from, to) = (local(facts, span.from), local(facts, span.to));
    let (first, last) = (minute(facts, span.from), minute(facts, span.to));
    if first < 0 {
        return match last < 0 {
            true => format!("{from}–{to}, before take-off"),
            false => format!("{from}–{to}, from before take-off to minute {last}"),
        };
    }
    match (from == to, first == last) {
        (true, true) => format!("{from}, minute {first}"),
        (true, false) => format!("{from}, minute {first}–{last}"),
        (false, true) => format!("{from}–{to}, minute {first}"),
        (false, false) => format!("{from}–{to}, minute {first}–{last}"),
    }
}

fn about(facts: &Facts<'_>) -> Vec<String> {
    let Facts { plan, flight, .. } = facts;
    let aircraft = match &plan.aircraft.registration {
        Some(registration) => format!("{} {registration}", plan.aircraft.name),
        None => plan.aircraft.name.clone(),
    };
    let took_off = flight.zero.unwrap_or(flight.span.from);
    let wind = facts.day.wind.or(plan.wind).map_or_else(
        || "no wind planned".to_owned(),
        |wind| format!("wind {:03.0}/{:.0} kt (true)", wind.from.get(), wind.speed.knots()),
    );
    let lands = flight.landings.last().map_or_else(String::new, |landing| {
        format!(", back {} (minute {})", local(facts, landing.time), minute(facts, landing.time))
    });
    let mut lines = vec![format!(
        "{aircraft} · {} · take-off {} local time ({}){lands} · {wind}",
        (took_off + plan.route.utc_offset).day(),
        local(facts, took_off),
        offset(plan.route.utc_offset),
    )];
    let mut today: Vec<&str> = plan.differences.iter().map(String::as_str).collect();
    if !facts.day_words.is_empty() {
        today.push(facts.day_words);
    }
    if !today.is_empty() {
        lines.push(format!("Today: {}", today.join("; ")));
    }
    lines
}

/// How far local time is from UTC, such as `UTC−2` or `UTC+5:30`.
fn offset(ahead: Millis) -> String {
    let minutes = ahead.0 / 60_000;
    let sign = if minutes < 0 { '−' } else { '+' };
    match (minutes.abs() / 60, minutes.abs() % 60) {
        (0, 0) => "UTC".to_owned(),
        (hours, 0) => format!("UTC{sign}{hours}"),
        (hours, minutes) => format!("UTC{sign}{hours}:{minutes:02}"),
    }
}

fn which_plan(facts: &Facts<'_>) -> String {
    let approval = match &facts.plan.approval {
        Approval::Draft => "DRAFT, approved by nobody".to_owned(),
        Approval::Approved { by, on } => format!("approved by {by} on {on}"),
    };
    format!("Plan {}, revision {}, {approval}", facts.code, facts.plan.revision)
}

/// The named place nearest to where the aircraft is at a moment: a sight, or home.
fn landmark(facts: &Facts<'_>, time: Utc) -> Option<String> {
    let flight = (facts.flight.run, facts.flight.number);
    let poses = || facts.poses.iter().filter(|pose| pose.flight == flight);
    let pose: &Pose = poses().take_while(|pose| pose.time <= time).last().or(poses().next())?;
    let plan = facts.plan;
    let places = plan.places.iter().enumerate().filter(|(number, place)| {
        place.kind == PlaceKind::Sight || *number == plan.route.home.index()
    });
    let away = |place: &plan::Place| pose.surface.chord(&Surface::from(place.position));
    let nearest = places.min_by(|(_, one), (_, other)| away(one).total_cmp(&away(other)))?;
    Some(nearest.1.title.clone())
}

fn by_landmark(facts: &Facts<'_>, span: Span) -> String {
    let (from, to) = (landmark(facts, span.from), landmark(facts, span.to));
    match (from, to) {
        (Some(from), Some(to)) if from == to => format!("by {from}"),
        (Some(from), Some(to)) => format!("from {from} to {to}"),
        _ => String::new(),
    }
}

fn silent(facts: &Facts<'_>) -> Section {
    let items = facts.flight.quiet.iter().map(|visit| {
        let zone = words::zone(facts.plan, visit.zone);
        Item::new(when(facts, visit.span), format!("{zone}, {}", by_landmark(facts, visit.span)))
    });
    let waited = facts.flight.narrations.iter().filter_map(|telling| {
        let waited = telling.waited?;
        let Obstacle::Quiet(zone) = waited.obstacle else { return None };
        let name = words::narration(facts.plan, telling.narration);
        let zone = words::zone(facts.plan, zone);
        Some(Item::new(
            local(facts, telling.span.from),
            format!("`{name}` waits for the end of {zone}"),
        ))
    });
    let mut items: Vec<Item> = items.chain(waited).collect();
    // What is for the ground is told there, also where it is quiet.
    let on_ground: Vec<String> = facts
        .flight
        .narrations
        .iter()
        .filter(|telling| {
            facts.flight.quiet.iter().any(|it| it.span.overlap(telling.span).is_some())
        })
        .filter_map(|telling| {
            let told = facts.plan.narrations.get(telling.narration.index())?;
            told.on_ground.then(|| format!("{} {}", told.name, local(facts, telling.span.from)))
        })
        .collect();
    if !on_ground.is_empty() {
        items.insert(0, Item::new("Told on the ground all the same", on_ground.join(", ")));
    }
    elsewhere(facts, &mut items, |zone| zone.quiet);
    Section {
        title: "Silent (no voice, no music)".into(),
        items,
        none: "nowhere on this flight".into(),
        keep: 3,
    }
}

/// Adds the zones that the planned flight never comes to: another flight may.
fn elsewhere(facts: &Facts<'_>, items: &mut Vec<Item>, asked: impl Fn(&Zone) -> bool) {
    /// More names than this say no more.
    const NAMED: usize = 4;
    let visited = |id: ZoneId| facts.flight.visits.iter().any(|visit| visit.zone == id);
    let zones = (0..).map(ZoneId).zip(&facts.plan.zones);
    let away: Vec<&str> = zones
        .filter(|(id, zone)| asked(zone) && !visited(*id))
        .map(|(_, zone)| zone.name.as_str())
        .collect();
    if away.is_empty() {
        return;
    }
    if items.is_empty() {
        items.push(Item::new("On this flight", "nowhere"));
    }
    let mut names = away.iter().take(NAMED).copied().collect::<Vec<_>>().join(", ");
    if away.len() > NAMED {
        names.push_str(&format!(" and {} more", away.len() - NAMED));
    }
    items.push(Item::new("Off this route too", names));
}

fn forbidden(facts: &Facts<'_>) -> Section {
    let zones = &facts.plan.zones;
    let is_forbidden = |zone: &Zone| zone.no_filming.is_some();
    // Also those flown through between two fixes: nothing is to be missing here.
    let visits = facts.flight.visits.iter();
    let visits = visits.filter(|visit| zones.get(visit.zone.index()).is_some_and(is_forbidden));
    let items = visits.map(|visit| {
        let zone = zones.get(visit.zone.index());
        let hand = match zone.and_then(|zone| zone.no_filming) {
            Some(HandFilming::Allowed) => "recording by hand is possible inside and is reported",
            _ => "recording by hand is refused",
        };
        let name = words::zone(facts.plan, visit.zone);
        let at = by_landmark(facts, visit.span);
        Item::new(when(facts, visit.span), format!("{name}, {at}; {hand}"))
    });
    let mut items: Vec<Item> = items.collect();
    elsewhere(facts, &mut items, is_forbidden);
    Section {
        title: "Filming forbidden".into(),
        items,
        none: "nowhere on this flight".into(),
        keep: 3,
    }
}

fn title(plan: &Plan, id: plan::PlaceId) -> &str {
    plan.places.get(id.index()).map_or("?", |place| &place.title)
}

/// Must-haves first, in the plan's order; what is only nice to have is counted.
fn missed(facts: &Facts<'_>) -> Section {
    let sights = &facts.coverage.sights;
    let lost = sights.iter().filter(|seen| seen.wanted.must_have && !seen.is_filmed());
    let mut items: Vec<Item> = lost
        .map(|seen| {
            let why = seen.hindrance.as_ref().map_or_else(String::new, |it| why(facts, it));
            Item::new(title(facts.plan, seen.place), why)
        })
        .collect();
    let nice: Vec<&str> = sights
        .iter()
        .filter(|seen| !seen.wanted.must_have && !seen.is_filmed())
        .map(|seen| title(facts.plan, seen.place))
        .collect();
    let all = items.is_empty();
    if !nice.is_empty() {
        items.push(Item::new("Nice to have, not filmed", nice.join(", ")));
    }
    let must = sights.iter().filter(|seen| seen.wanted.must_have).count();
    let heading = match (must, all) {
        (0, _) => "Sights not filmed (none is a must-have)".to_owned(),
        (_, true) => format!("All {must} must-have sights will be filmed"),
        (_, false) => {
            let lost = sights.iter().filter(|it| it.wanted.must_have && !it.is_filmed()).count();
            format!("{lost} of {must} must-have sights will NOT be filmed")
        }
    };
    let none = match sights.is_empty() {
        true => "the tour names no sights",
        false => "every sight of the tour is filmed",
    };
    Section { title: heading, items, none: none.into(), keep: 3 }
}

/// Why a sight is not filmed, without distances.
fn why(facts: &Facts<'_>, hindrance: &Hindrance) -> String {
    let name = |id: CameraId| words::camera(facts.plan, id);
    match *hindrance {
        Hindrance::TooShort { longest } => {
            format!("{} has it for too short a time", name(longest.camera))
        }
        Hindrance::NotRecorded { zone: Some(zone), .. } => {
            format!("it lies in no-filming zone {}", words::zone(facts.plan, zone))
        }
        Hindrance::NotRecorded { camera, .. } => {
            format!("in the picture of {} while nothing is recorded", name(camera))
        }
        Hindrance::OtherCameraLive { had, live, .. } => match live {
            Some(live) => format!("in the picture of {} while {} is live", name(had), name(live)),
            None => format!("in the picture of {} while no camera is live", name(had)),
        },
        Hindrance::CameraNotUsed { camera: id, .. } => {
            let state = if facts.day.out_of_service.contains(&id) {
                "is out of service"
            } else {
                "is not allowed today"
            };
            format!("only {} has it, which {state}", name(id))
        }
        Hindrance::TooFar { nearest: (camera, _), .. } => {
            format!("too far away in the picture of {}", name(camera))
        }
        Hindrance::BehindAirframe { camera, .. } => {
            format!("behind the airframe in the picture of {}", name(camera))
        }
        Hindrance::BehindGround { .. } => "behind a hill".to_owned(),
        Hindrance::BelowHorizon => "beyond the horizon".to_owned(),
        Hindrance::OutOfFrame => "no camera points there".to_owned(),
        Hindrance::HeadingNotKnown => "it is not known where the nose points".to_owned(),
        Hindrance::NoCamera => "the aircraft has no camera that looks outside".to_owned(),
    }
}

/// Where each sight is filmed from, in the order of the flight.
fn sides(facts: &Facts<'_>) -> Section {
    let mut filmed: Vec<_> = facts
        .coverage
        .sights
        .iter()
        .filter(|seen| seen.is_filmed())
        .filter_map(|seen| Some((seen.filmed?, seen.place)))
        .collect();
    filmed.sort_by_key(|(filmed, _)| filmed.span.from);
    let items = filmed.iter().map(|(filmed, place)| {
        let at = filmed.span.from;
        Item::new(
            format!("{}, minute {}", local(facts, at), minute(facts, at)),
            format!("{}: {}", title(facts.plan, *place), words::camera(facts.plan, filmed.camera)),
        )
    });
    Section {
        title: "Which camera films where".into(),
        items: items.collect(),
        none: "no sight is filmed".into(),
        keep: 3,
    }
}

/// Stretches in which the sun shines into the lens of the live camera, the shortest left out.
fn sun(facts: &Facts<'_>) -> Section {
    let flight = (facts.flight.run, facts.flight.number);
    let mut spans: Vec<(CameraId, Span)> = Vec::new();
    let (mut known, mut up) = (false, false);
    for pose in facts.poses.iter().filter(|pose| pose.flight == flight) {
        let Some(sun) = pose.sun(Millis::ZERO) else { continue };
        known = true;
        up |= sun.is_up();
        let Some(id) = pose.live else { continue };
        let Some(live) = facts.plan.aircraft.cameras.get(id.index()) else { continue };
        let inside = before_lens(facts.plan, live, pose, sun).is_some_and(|it| it.into_lens);
        if !inside || pose.airborne != Some(true) {
            continue;
        }
        let span = Span { from: pose.time, to: pose.time + pose.lasts };
        match spans.last_mut() {
            // A cut away and back is one glare for whoever looks out.
            Some((camera, last))
                if *camera == id && (span.from - last.to) <= Millis::from_secs(20) =>
            {
                last.to = span.to;
            }
            _ => spans.push((id, span)),
        }
    }
    spans.retain(|(_, span)| span.length() >= Millis::from_secs(3));
    let mut items: Vec<Item> = Vec::new();
    items.extend(spans.iter().map(|(id, span)| {
        let lens = words::camera(facts.plan, *id);
        Item::new(when(facts, *span), format!("{lens} lens, {}", by_landmark(facts, *span)))
    }));
    let sights = &facts.coverage.sights;
    let is_filmed = |id| sights.iter().any(|seen| seen.place == id && seen.is_filmed());
    for (how, lead) in [(OnSight::Back, "Lit from behind"), (OnSight::Dark, "In the dark")] {
        let those = facts.lights.iter().filter(|light| up && light.on_sight == how);
        let those = those.filter(|light| is_filmed(light.place));
        let those: Vec<&str> = those.map(|light| title(facts.plan, light.place)).collect();
        if !those.is_empty() {
            items.push(Item::new(lead, those.join(", ")));
        }
    }
    if items.len() > spans.len() && spans.is_empty() {
        items.insert(0, Item::new("Into a lens", "nowhere while its camera is live"));
    }
    let none = match (known, up) {
        (false, _) => "not reckoned: the date is out of reach",
        (true, false) => "the sun is below the horizon",
        (true, true) => "in no lens while its camera is live",
    };
    Section { title: "Sun in the lens".into(), items, none: none.into(), keep: 2 }
}

fn time(time: Millis) -> String {
    let seconds = time.0 / 1000;
    match (seconds / 60, seconds % 60) {
        (0, seconds) => format!("{seconds} s"),
        (minutes, 0) => format!("{minutes} min"),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}

fn controls(facts: &Facts<'_>) -> Section {
    let plan = facts.plan;
    let settings = &plan.settings;
    let picked = match settings.manual_camera {
        ManualCamera::For(lasts) => format!("for {} from the last pick", time(lasts)),
        ManualCamera::UntilReturned => "until returned to automatic".to_owned(),
    };
    let voice = match settings.on_radio {
        OnRadio::Ducked => "the narration goes on, lower",
        OnRadio::Paused => "the narration pauses and goes on when the line is clear",
        OnRadio::Dropped => "the narration is cut off",
    };
    let music = match plan.mix.radio {
        MusicOnRadio::Ducked => "music is lower",
        MusicOnRadio::Paused => "music pauses",
    };
    let unused: Vec<&str> = (0..)
        .map(CameraId)
        .zip(&plan.aircraft.cameras)
        .filter(|(id, _)| !facts.day.uses(*id))
        .map(|(_, camera)| camera.name.as_str())
        .collect();
    let refused = match unused.is_empty() {
        true => String::new(),
        false => format!("; refused today: {}", unused.join(", ")),
    };
    let items = vec![
        Item::new(
            "Camera",
            format!(
                "live at once; stays {picked}, and no longer than to landing; “automatic” returns it at once{refused}"
            ),
        ),
        Item::new(
            "Record",
            "on or off at once; stays until landing; switched back to what the plan wants, it is automatic again",
        ),
        Item::new("Still", "one at once, by the live camera; nothing to return"),
        Item::new(
            "Voice off",
            "narration cut off, none starts, music plays on; lasts, also on the next flight, until voice on",
        ),
        Item::new("Skip", "cuts off the narration playing and no other"),
        Item::new(
            "Radio busy",
            format!("{voice}; {music}; no new narration starts; all that ends with radio clear"),
        ),
    ];
    Section { title: "Hand controls".into(), keep: items.len(), items, none: String::new() }
}

fn gps(plan: &Plan) -> Section {
    let settings = &plan.settings;
    let items = vec![
        Item::new(
            format!("After {} without a fix", time(settings.lost_after)),
            format!(
                "camera and title stay for {}, then the cameras take turns without titles; recording, \
                 music, silence and no filming stay as they are; the narration playing ends as usual \
                 and none starts; no still by place",
                time(settings.shot_hold)
            ),
        ),
        Item::new(
            "With the next good fix",
            format!(
                "all goes on by itself; of what was flown past in a gap of more than {} nothing is \
                 made up for; hand controls work throughout",
                time(settings.bridge)
            ),
        ),
    ];
    Section { title: "GPS lost".into(), keep: items.len(), items, none: String::new() }
}
