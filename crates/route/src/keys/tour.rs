//! Status, wind, defaults and the planned route.

use earth::Degrees;

use crate::bounds;
use crate::decode::{Keys, Mapping, Reader, Reads, of};
use crate::lists::{list, one_or_many};
use crate::model::{
    CheckLevel, Defaults, HandCamera, Leg, LegKind, LegSettings, Level, Map, OrbitExtent, Route,
    Side, Status, Wind,
};
use crate::places::Place;
use crate::shape::{Shape, Shapes};
use crate::values::{
    Day, Text, degrees, direction, metres, millis, number, shortened, speed, word,
};
use crate::windows::AltitudeText;
use crate::yaml::{Node, NodeKind};

use super::material::ON_RADIO;
use super::variant::first_from;

/// `status`.
pub(super) struct StatusChoice;

struct Approved(Status);

impl Mapping for Approved {
    const NAME: &'static str = "approval";
    const ABOUT: &'static str = "Who approved this revision, and when.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let by = keys.req("approved by", "who approved it", Text);
        let on = keys.req("on", "on which day", Day);
        let plans = keys.opt(
            "plan",
            "the code of the plan that was approved, as `fulmar check` tells it, or a list of them \
             (another aircraft or variant has another); what has another code is a draft",
            one_or_many(Text),
        );
        let plans = plans.map(|plans| plans.value).unwrap_or_default();
        for plan in &plans {
            let hexadecimal = |c: char| c.is_ascii_digit() || ('a'..='f').contains(&c);
            if plan.value.len() != 6 || !plan.value.chars().all(hexadecimal) {
                keys.error(
                    "bad-plan-code",
                    plan.span,
                    format!("`{}` is not the code of a plan", shortened(&plan.value)),
                    "write the six digits that `fulmar check` tells, such as `0a1b2c`",
                );
            }
        }
        let span = keys.span()?;
        Some(Self(Status::Approved { by: by?.value, on: on?.value, plans, span }))
    }
}

impl Reads for StatusChoice {
    type Out = Status;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        Shape::Any(vec![Shape::Words(vec!["draft"]), of::<Approved>().shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Status> {
        if matches!(node.kind, NodeKind::Map(_)) {
            return of::<Approved>().read(node, reader).map(|Approved(status)| status);
        }
        let text = &reader.scalar(node, "a status")?.text;
        if text != "draft" {
            reader.error(
                "unknown-word",
                node.span,
                format!("`{}` cannot stand here", shortened(text)),
                "write `draft`, or who approved it when: `{approved by: NAME, on: 2026-05-30, plan: CODE}`",
            );
            return None;
        }
        Some(Status::Draft)
    }
}

impl Mapping for CheckLevel {
    const NAME: &'static str = "check level";
    const ABOUT: &'static str = "The level of a check in this tour, and why.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let levels = word(&[
            ("off", Level::Off),
            ("note", Level::Note),
            ("warning", Level::Warning),
            ("error", Level::Error),
        ]);
        let level = keys.req("level", "whether and how strongly it is said", levels);
        let because = keys.req("because", "why, for whoever reads this tour next", Text);
        Some(Self { level: level?, because: because? })
    }
}

/// `light`: the angle within which the sun shines into the lens.
pub(super) struct Light(pub(super) Degrees);

impl Mapping for Light {
    const NAME: &'static str = "light";
    const ABOUT: &'static str = "How the light on the pictures is judged.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let into_lens = keys.req(
            "into the lens",
            "a sun nearer than this to a camera's axis shines into its lens; 30 deg where there is \
             no `light`",
            degrees(bounds::INTO_LENS),
        );
        Some(Self(into_lens?.value))
    }
}

impl Mapping for Map {
    const NAME: &'static str = "map";
    const ABOUT: &'static str = "What is drawn beneath the flight, for whoever looks at it.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let shapes = keys.opt(
            "shapes",
            "GeoJSON files, relative to this file, such as a coastline",
            one_or_many(Text),
        );
        let tiles = keys.opt(
            "tiles",
            "the address of pictures of a map, with `{z}`, `{x}` and `{y}` in it; a page that has \
             one asks the network for them",
            Text,
        );
        let attribution = keys.opt("attribution", "to whom the map is owed", Text);
        if let Some(tiles) = &tiles
            && !["{z}", "{x}", "{y}"].iter().all(|part| tiles.value.contains(part))
        {
            keys.error(
                "bad-tiles",
                tiles.span,
                "the address of the map's pictures lacks `{z}`, `{x}` or `{y}`",
                "write where the level and the two numbers of a picture go, such as \
                 `https://example.com/{z}/{x}/{y}.png`",
            );
        }
        Some(Self {
            shapes: shapes.map(|shapes| shapes.value).unwrap_or_default(),
            tiles,
            attribution,
        })
    }
}

impl Mapping for Wind {
    const NAME: &'static str = "wind";
    const ABOUT: &'static str = "A wind.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let from = keys.req("from", "the true direction whence it blows", direction());
        let speed = keys.req("speed", "its speed", speed(bounds::WIND_SPEED));
        Some(Self { from: from?.value, speed: speed?.value })
    }
}

impl Mapping for Defaults {
    const NAME: &'static str = "defaults";
    const ABOUT: &'static str = "Settings of the rules of the plan.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let base = Self::default();
        let minimum_speed = keys.or(
            "minimum speed",
            "10 kt",
            "below it the course of a fix is noise",
            speed(bounds::MINIMUM_SPEED),
        );
        let greatest_speed = keys.or(
            "greatest speed",
            "250 kt",
            "a fix that would need more is rejected",
            speed(bounds::GREATEST_SPEED),
        );
        let lost_after = keys.or(
            "lost after",
            "5 s",
            "GPS is lost when no good fix came for longer",
            millis(bounds::LOST_AFTER),
        );
        let bridge = keys.or(
            "bridge",
            "15 s",
            "between two fixes no further apart the aircraft is taken to have flown straight; \
             never less than `lost after`",
            millis(bounds::BRIDGE),
        );
        let late_allowance = keys.or(
            "late allowance",
            "0.3 s",
            "live, by how much a fix may be late",
            millis(bounds::LATE_ALLOWANCE),
        );
        let turnaround = keys.or(
            "turnaround",
            "3 min",
            "so long after a landing at home a new flight begins",
            millis(bounds::TURNAROUND),
        );
        let exit_margin = keys.or(
            "exit margin",
            "50 m",
            "how far outside a zone is out, once inside",
            metres(bounds::MARGIN),
        );
        let shot = keys.or(
            "shot",
            "5 s",
            "how long each camera of the default sequence, or of a list without times, is live",
            millis(bounds::SHOT),
        );
        let minimum_shot = keys.or(
            "minimum shot",
            "3 s",
            "how long a shot lasts at least",
            millis(bounds::MINIMUM_SHOT),
        );
        let shot_hold = keys.or(
            "shot hold",
            "10 s",
            "how long the camera and title of a rule stay after GPS was lost",
            millis(bounds::SHOT_HOLD),
        );
        let manual_camera = keys.or(
            "manual camera",
            "60 s",
            "how long a camera picked by hand stays, or `until returned`",
            HandCameraChoice,
        );
        let breath = keys.or("breath", "1 s", "silence after a narration", millis(bounds::BREATH));
        let abeam_within = keys.or(
            "abeam within",
            "2 NM",
            "how far away a sight may be passed",
            metres(bounds::ABEAM_WITHIN),
        );
        let direction_slack = keys.or(
            "direction slack",
            "10 deg",
            "how far out of its window a track or heading may be before an active rule ends",
            degrees(bounds::DIRECTION_SLACK),
        );
        let altitude_slack = keys.or(
            "altitude slack",
            "25 m",
            "the same for an altitude",
            metres(bounds::ALTITUDE_SLACK),
        );
        let groundspeed_slack = keys.or(
            "groundspeed slack",
            "3 kt",
            "the same for a groundspeed",
            speed(bounds::GROUNDSPEED_SLACK),
        );
        let on_radio = keys.or(
            "on radio",
            "ducked",
            "what a busy radio does to a narration: it plays on softer, stops and goes on, or is \
             cut off",
            word(ON_RADIO),
        );
        let longest_pause = keys.or(
            "longest pause",
            "30 s",
            "after which a paused narration is cut off",
            millis(bounds::LONGEST_PAUSE),
        );
        let words_per_minute = keys.or(
            "words per minute",
            "130",
            "the pace of a narration without a length",
            number(bounds::WORDS_PER_MINUTE),
        );
        let cross_track_deviation = keys.or(
            "cross-track deviation",
            "150 m",
            "how far from the line pilots are, one standard deviation; checks ask for zones three \
             times as wide",
            metres(bounds::CROSS_TRACK_DEVIATION),
        );
        let longest_silence = keys.or(
            "longest silence",
            "90 s",
            "between two narrations in the air, for the checks",
            millis(bounds::LONGEST_SILENCE),
        );
        let least_time_in_zone = keys.or(
            "least time in zone",
            "4 s",
            "at the greatest groundspeed, for the checks",
            millis(bounds::LEAST_TIME_IN_ZONE),
        );

        let lost_after = lost_after.unwrap_or(base.lost_after);
        let mut bridge = bridge.unwrap_or(base.bridge);
        if bridge < lost_after {
            if let Some(span) = keys.key_span("bridge") {
                keys.error(
                    "bridge-too-short",
                    span,
                    "`bridge` is less than `lost after`",
                    "make it the same or more, or leave it out",
                );
            }
            bridge = lost_after;
        }
        Some(Self {
            minimum_speed: minimum_speed.unwrap_or(base.minimum_speed),
            greatest_speed: greatest_speed.unwrap_or(base.greatest_speed),
            lost_after,
            bridge,
            late_allowance: late_allowance.unwrap_or(base.late_allowance),
            turnaround: turnaround.unwrap_or(base.turnaround),
            exit_margin: exit_margin.unwrap_or(base.exit_margin),
            shot: shot.unwrap_or(base.shot),
            minimum_shot: minimum_shot.unwrap_or(base.minimum_shot),
            shot_hold: shot_hold.unwrap_or(base.shot_hold),
            manual_camera: manual_camera.unwrap_or(base.manual_camera),
            breath: breath.unwrap_or(base.breath),
            abeam_within: abeam_within.unwrap_or(base.abeam_within),
            direction_slack: direction_slack.unwrap_or(base.direction_slack),
            altitude_slack: altitude_slack.unwrap_or(base.altitude_slack),
            groundspeed_slack: groundspeed_slack.unwrap_or(base.groundspeed_slack),
            on_radio: on_radio.unwrap_or(base.on_radio),
            longest_pause: longest_pause.unwrap_or(base.longest_pause),
            words_per_minute: words_per_minute.unwrap_or(base.words_per_minute),
            cross_track_deviation: cross_track_deviation.unwrap_or(base.cross_track_deviation),
            longest_silence: longest_silence.unwrap_or(base.longest_silence),
            least_time_in_zone: least_time_in_zone.unwrap_or(base.least_time_in_zone),
        })
    }
}

/// `manual camera`.
struct HandCameraChoice;

impl Reads for HandCameraChoice {
    type Out = HandCamera;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let time = millis(bounds::MANUAL_CAMERA).shape(shapes);
        Shape::Any(vec![time, Shape::Words(vec!["until returned"])])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<HandCamera> {
        match &node.kind {
            NodeKind::Scalar(scalar) if scalar.text == "until returned" => {
                Some(HandCamera::UntilReturned)
            }
            _ => millis(bounds::MANUAL_CAMERA).read(node, reader).map(HandCamera::For),
        }
    }
}

impl Mapping for Route {
    const NAME: &'static str = "route";
    const ABOUT: &'static str = "The planned flight. What it says holds for every leg that says \
                                 nothing of its own.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let settings = settings(keys);
        let legs = keys.req("legs", "in the order in which they are flown", list(2, of::<Leg>()));
        let span = keys.span();
        let legs = legs?;
        let begins = legs.span.start;
        let legs: Vec<Leg> = legs.value.into_iter().map(|leg| leg.value).collect();
        first_from(&legs, Some(begins), keys);
        Some(Self { settings, legs, not_above: None, span: span? })
    }
}

fn settings(keys: &mut Keys<'_, '_>) -> LegSettings {
    LegSettings {
        airspeed: keys.opt("airspeed", "through the air (true)", speed(bounds::AIRSPEED)),
        altitude: keys.opt("altitude", "to be reached and held", AltitudeText),
        bank: keys.opt("bank", "in turns", degrees(bounds::BANK)),
        wind: keys.opt("wind", "where it differs from that of the tour", of::<Wind>()),
        climb: keys.opt("climb", "rate of climb and of descent", speed(bounds::CLIMB)),
    }
}

impl Mapping for Leg {
    const NAME: &'static str = "leg";
    const ABOUT: &'static str = "A piece of the planned flight, and how it is flown where that \
                                 differs from the route.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let from = keys.opt("from", "where the flight takes off; the first leg only", Place);
        let to = keys.opt("to", "straight on to a place", Place);
        let hover = keys.opt("hover", "standing over a place", of::<Hover>());
        let orbit = keys.opt("orbit", "round a place", of::<Orbit>());
        let land = keys.opt("land", "straight on to a place, and down", Place);
        let kind = keys.exactly_one(&["from", "to", "hover", "orbit", "land"]);
        let stay = keys.opt(
            "stay",
            "on the ground after `land`; where it is not written, 2 min, and at the end of the \
             route nothing more",
            millis(bounds::STAY),
        );
        if kind.is_some() && kind != Some("land") {
            keys.without_effect("stay", "only after `land` one stays on the ground");
        }
        let settings = settings(keys);
        let span = keys.span();
        if kind == Some("from") {
            for key in ["airspeed", "altitude", "bank", "wind", "climb"] {
                keys.without_effect(key, "the flight begins on the ground");
            }
        }
        let kind = match kind? {
            "from" => from?.map(LegKind::From),
            "to" => to?.map(LegKind::To),
            "hover" => hover?.map(|Hover(kind)| kind),
            "orbit" => orbit?.map(|Orbit(kind)| kind),
            _ => land?.map(|at| LegKind::Land { at, stay }),
        };
        Some(Self { kind, settings, span: span? })
    }
}

struct Hover(LegKind);

impl Mapping for Hover {
    const NAME: &'static str = "hover";
    const ABOUT: &'static str = "Standing over a place.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let at = keys.opt(
            "at",
            "the place, flown to first; where it is not written, where the leg before ended",
            Place,
        );
        let time = keys.req("for", "how long", millis(bounds::MANOEUVRE));
        let facing = keys.opt(
            "facing",
            "the true direction of the nose; where it is not written, as it arrived",
            direction(),
        );
        let broken = keys.has("at") && at.is_none();
        if broken { None } else { Some(Self(LegKind::Hover { at, time: time?, facing })) }
    }
}

struct Orbit(LegKind);

impl Mapping for Orbit {
    const NAME: &'static str = "orbit";
    const ABOUT: &'static str = "Round a place at a distance.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let around = keys.req("around", "the place", Place);
        let radius = keys.req("radius", "the distance", metres(bounds::ORBIT_RADIUS));
        let turn = keys.req(
            "turn",
            "to which side it turns: left is anticlockwise",
            word(&[("left", Side::Left), ("right", Side::Right)]),
        );
        let turns = keys.opt("turns", "how many full circles", number(bounds::TURNS));
        let time = keys.opt("for", "how long", millis(bounds::MANOEUVRE));
        let extent = match keys.exactly_one(&["turns", "for"]) {
            Some("turns") => turns.map(|turns| OrbitExtent::Turns(turns.value)),
            Some(_) => time.map(|time| OrbitExtent::For(time.value)),
            None => None,
        };
        let (around, radius, turn) = (around?, radius?, turn?.value);
        Some(Self(LegKind::Orbit { around, radius, turn, extent: extent? }))
    }
}
