//! Which sights are filmed, for people and for programs.

use std::io::{self, Write};

use ::coverage::light::{BeforeLens, before_lens, on_sight};
use ::coverage::{Best, Coverage, Eyes, Look, Pose, Seen, SightSeen, Target};
use earth::{Metres, Millis};
use plan::{CameraId, Plan};
use serde_json::{Value, json};
use terrain::Terrain;
use timeline::{Flight, Span};

use super::identity::Identity;
use super::light::lit;
use super::table::Table;
use super::time::{Since, UtcText};
use super::wire::COVERAGE;
use super::words::{self, counted};

/// What was seen on a flight.
pub(crate) struct Page<'a> {
    /// Which plan.
    pub(crate) identity: &'a Identity,
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// The day in words.
    pub(crate) day: &'a str,
    /// The flight.
    pub(crate) flight: &'a Flight,
    /// What its cameras saw.
    pub(crate) coverage: &'a Coverage,
    /// Where the aircraft was.
    pub(crate) poses: &'a [Pose],
    /// Heights of the ground, if any are known.
    pub(crate) ground: Option<&'a Terrain>,
}

impl Page<'_> {
    fn since(&self, time: earth::Utc) -> String {
        Since(self.flight.since(time)).to_string()
    }

    fn title(&self, seen: &SightSeen) -> (&str, &str) {
        let place = self.plan.places.get(seen.place.index());
        place.map_or(("?", "?"), |place| (place.name.as_str(), place.title.as_str()))
    }

    /// What everybody has to know before reading on.
    fn cautions(&self) -> Vec<String> {
        let mut cautions = Vec::new();
        if !self.coverage.ground_known {
            cautions
                .push("no heights of the ground are known, so no hill hides a sight".to_owned());
        }
        if self.coverage.heading_not_known > Millis::ZERO {
            cautions.push(format!(
                "for {} in the air it is not known where the nose pointed, and so nothing is known of \
                 the pictures",
                seconds(self.coverage.heading_not_known)
            ));
        }
        // The last seconds before a landing are no hover.
        if self.coverage.nose_in_doubt >= Millis::from_secs(15) {
            cautions.push(format!(
                "for {} the aircraft stood over a place without a source of heading; its nose is taken \
                 to point as it did on arrival, which a turn on the spot would change unseen",
                seconds(self.coverage.nose_in_doubt)
            ));
        }
        cautions
    }
}

/// Prints a line for each sight, and why it is not filmed.
pub(crate) fn text(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    writeln!(out, "{}", page.identity.head())?;
    if !page.day.is_empty() {
        writeln!(out, "today: {}", page.day)?;
    }
    let sights = &page.coverage.sights;
    let filmed = |must: Option<bool>| {
        let those =
            sights.iter().filter(|seen| must.is_none_or(|must| seen.wanted.must_have == must));
        (those.clone().filter(|seen| seen.is_filmed()).count(), those.count())
    };
    let ((all, of), (must, of_must)) = (filmed(None), filmed(Some(true)));
    writeln!(
        out,
        "{all} of {} filmed; of the must-haves {must} of {of_must}",
        counted(of, "sight")
    )?;
    if page.coverage.others > 0 {
        let others = counted(page.coverage.others, "other sight");
        writeln!(out, "{others} of the library no rule or narration of this tour names")?;
    }
    for caution in page.cautions() {
        writeln!(out, "{caution}")?;
    }
    if sights.is_empty() {
        return Ok(());
    }
    writeln!(out)?;
    let mut table =
        Table::new(&["sight", "must-have", "filmed", ">in live", ">in any", "best moment"]);
    for seen in sights {
        let filmed = match (seen.is_filmed(), &seen.filmed) {
            (true, Some(it)) => format!(
                "{} {} by {}",
                page.since(it.span.from),
                seconds(it.span.length()),
                words::camera(page.plan, it.camera)
            ),
            _ => "no".to_owned(),
        };
        table.row(vec![
            page.title(seen).1.to_owned(),
            if seen.wanted.must_have { "yes" } else { "" }.to_owned(),
            filmed,
            seconds(seen.in_live),
            seconds(seen.in_any),
            seen.best.as_ref().map_or_else(String::new, |best| moment(page, best)),
        ]);
    }
    table.print(out, "")?;
    let missed: Vec<&SightSeen> = sights.iter().filter(|seen| !seen.is_filmed()).collect();
    if missed.is_empty() {
        return Ok(());
    }
    writeln!(out, "\nwhat hindered it")?;
    for seen in missed {
        let Some(hindrance) = &seen.hindrance else { continue };
        let when = hindrance.when().map_or_else(String::new, |span: Span| page.since(span.from));
        let why = hindrance.words(page.plan, &seen.wanted);
        writeln!(
            out,
            "  {}: {}{why}",
            page.title(seen).1,
            if when.is_empty() { when } else { when + " " }
        )?;
    }
    Ok(())
}

fn seconds(time: Millis) -> String {
    format!("{:.1} s", time.secs())
}

fn moment(page: &Page<'_>, best: &Best) -> String {
    let live = if best.live { "" } else { ", not live" };
    let size = best.size.map_or_else(String::new, |size| format!(", {:.1} % high", size.percent()));
    format!(
        "{} {}{live}, {:.2} NM, {:.0}° off axis{size}",
        page.since(best.time),
        words::camera(page.plan, best.camera),
        best.distance.nautical_miles(),
        best.off_axis.get(),
    )
}

fn span_json(page: &Page<'_>, span: Span) -> Value {
    json!({
        "from": UtcText(span.from).to_string(),
        "since_takeoff": page.since(span.from),
        "length_ms": span.length().0,
    })
}

/// The same for programs.
pub(crate) fn json(page: &Page<'_>) -> Value {
    let (name, version) = COVERAGE;
    let camera = |id: CameraId| words::camera(page.plan, id);
    let sights = page.coverage.sights.iter().map(|seen| {
        let (name, title) = page.title(seen);
        let by_camera: serde_json::Map<String, Value> = page
            .plan
            .aircraft
            .cameras
            .iter()
            .zip(&seen.by_camera)
            .filter(|(camera, _)| !camera.cabin)
            .map(|(camera, time)| (camera.name.clone(), json!(time.0)))
            .collect();
        json!({
            "sight": name,
            "title": title,
            "must_have": seen.wanted.must_have,
            "wanted": {
                "lasts_ms": seen.wanted.lasts.0,
                "within_m": seen.wanted.within.map(Metres::get),
                "size_percent": seen.wanted.size.map(earth::Share::percent),
            },
            "is_filmed": seen.is_filmed(),
            "longest": seen.filmed.map(|it| {
                let mut longest = span_json(page, it.span);
                if let Value::Object(longest) = &mut longest {
                    longest.insert("camera".into(), json!(camera(it.camera)));
                    longest.insert("take".into(), json!(it.take.take));
                    longest.insert("in_take_ms".into(), json!(it.take.time.0));
                }
                longest
            }),
            "in_live_ms": seen.in_live.0,
            "in_any_ms": seen.in_any.0,
            "by_camera_ms": by_camera,
            "best": seen.best.map(|best| json!({
                "time": UtcText(best.time).to_string(),
                "since_takeoff": page.since(best.time),
                "camera": camera(best.camera),
                "is_live": best.live,
                "distance_m": best.distance.get().round(),
                "off_axis_deg": tenths(best.off_axis.get()),
                "size_percent": best.size.map(|size| tenths(size.percent())),
            })),
            "hindrance": seen.hindrance.map(|hindrance| json!({
                "name": hindrance.name(),
                "words": hindrance.words(page.plan, &seen.wanted),
                "camera": hindrance.had().map(camera),
                "when": hindrance.when().map(|span| span_json(page, span)),
            })),
        })
    });
    json!({
        "format": name,
        "version": version,
        "plan": page.identity.json(),
        "day": page.day,
        "flight": page.flight.number,
        "other_sights": page.coverage.others,
        "is_ground_known": page.coverage.ground_known,
        "heading_not_known_ms": page.coverage.heading_not_known.0,
        "nose_in_doubt_ms": page.coverage.nose_in_doubt.0,
        "sights": sights.collect::<Vec<_>>(),
    })
}

fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// A line for each fix, camera and sight.
pub(crate) fn csv(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    writeln!(out, "# {}; {}", page.identity.plan(), super::identity::NOT_FOR_NAVIGATION)?;
    let mut writer = ::csv::Writer::from_writer(out);
    writer.write_record([
        "time",
        "camera",
        "live",
        "recording",
        "sight",
        "seen",
        "bearing_deg",
        "elevation_deg",
        "off_axis_deg",
        "distance_m",
        "size_percent",
        "picture_x",
        "picture_y",
        "bank_deg",
        "height_above_ground_m",
        "sun_azimuth_deg",
        "sun_elevation_deg",
        "sun_off_axis_deg",
        "sun_in_frame",
        "sun_into_lens",
        "lit",
    ])?;
    let flight = (page.flight.run, page.flight.number);
    let targets: Vec<(&str, Target)> = page
        .coverage
        .sights
        .iter()
        .filter_map(|seen| page.plan.places.get(seen.place.index()))
        .map(|place| (place.name.as_str(), Target::new(place)))
        .collect();
    let eyes = Eyes::new(&page.plan.aircraft.cameras);
    let number = |value: Option<f64>, digits: usize| {
        value.map_or_else(String::new, |value| format!("{value:.digits$}"))
    };
    for pose in page.poses.iter().filter(|pose| pose.flight == flight) {
        let ground = page.ground.and_then(|ground| ground.height(pose.position));
        let above = pose.altitude.zip(ground).map(|(altitude, ground)| (altitude - ground).get());
        let sun = pose.sun(Millis::ZERO);
        let looks: Vec<Vec<Look>> =
            targets.iter().map(|(_, target)| eyes.look(pose, target, page.ground)).collect();
        for (id, camera) in (0..).map(CameraId).zip(&page.plan.aircraft.cameras) {
            let before = sun.and_then(|sun| before_lens(page.plan, camera, pose, sun));
            let yes_or_no = |asked: fn(&BeforeLens) -> bool| {
                before.as_ref().map_or_else(String::new, |before| asked(before).to_string())
            };
            for ((name, target), looks) in targets.iter().zip(&looks) {
                let Some(look) = looks.get(id.index()) else { continue };
                let direction = look.direction;
                let towards = pose.surface.azimuth_to(target.surface());
                writer.write_record([
                    UtcText(pose.time).to_string(),
                    camera.name.clone(),
                    (pose.live == Some(id)).to_string(),
                    pose.take.is_some().to_string(),
                    (*name).to_owned(),
                    seen_word(look.seen).to_owned(),
                    number(direction.map(|it| it.bearing.get()), 2),
                    number(direction.and_then(|it| it.elevation).map(|it| it.get()), 2),
                    number(look.off_axis.map(|it| it.get()), 2),
                    number(direction.map(|it| it.distance.get()), 0),
                    number(look.size.map(|it| it.percent()), 2),
                    number(look.picture.map(|(x, _)| x), 3),
                    number(look.picture.map(|(_, y)| y), 3),
                    number(pose.bank.map(|it| it.get()), 1),
                    number(above, 0),
                    number(sun.map(|it| it.azimuth.get()), 1),
                    number(sun.map(|it| it.elevation.get()), 1),
                    number(before.map(|it| it.off_axis.get()), 1),
                    yes_or_no(|before| before.in_frame),
                    yes_or_no(|before| before.into_lens),
                    sun.map_or("", |sun| lit(on_sight(sun, towards))).to_owned(),
                ])?;
            }
        }
    }
    writer.flush()
}

fn seen_word(seen: Seen) -> &'static str {
    match seen {
        Seen::InFrame => "in frame",
        Seen::OutOfFrame => "out of frame",
        Seen::BehindAirframe => "behind airframe",
        Seen::BehindGround => "behind ground",
        Seen::BelowHorizon => "below horizon",
        Seen::HeadingNotKnown => "heading not known",
        Seen::NoView => "no view",
    }
}
