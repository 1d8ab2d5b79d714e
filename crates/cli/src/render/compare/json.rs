//! The comparison as JSON; its form is described in `FORMATS.md`.

use compiler::compare::{Detail, Difference, How, Part, Value as Of};
use serde_json::{Value, json};

use super::text::in_words;
use super::{Page, Side};
use crate::render::time::UtcText;
use crate::render::wire;

/// The comparison.
pub(crate) fn value(page: &Page<'_>) -> Value {
    let (format, version) = wire::COMPARISON;
    let side =
        |side: &Side| json!({ "file": side.file, "plan": side.identity.json(), "day": side.day });
    let all =
        |differences: &[Difference]| -> Vec<Value> { differences.iter().map(difference).collect() };
    json!({
        "format": format,
        "version": version,
        "old": side(&page.old),
        "new": side(&page.new),
        "differs": page.differs(),
        "flight": all(&page.comparison.flight),
        "changed": all(&page.comparison.plan),
    })
}

const fn part(part: Part) -> &'static str {
    match part {
        Part::Flight => "flight",
        Part::Told => "narration_told",
        Part::Filmed => "sight_filmed",
        Part::Live => "camera_live",
        Part::Recorded => "recorded",
        Part::FilmedInside => "filmed_inside",
        Part::Stills => "stills",
        Part::Played => "music_played",
        Part::Shown => "title_shown",
        Part::Identity => "identity",
        Part::Route => "route",
        Part::Place => "place",
        Part::Zone => "zone",
        Part::Rule => "rule",
        Part::Narration => "narration",
        Part::Title => "title",
        Part::Music => "music",
        Part::Aircraft => "aircraft",
        Part::Camera => "camera",
        Part::Settings => "settings",
    }
}

fn difference(difference: &Difference) -> Value {
    let (how, was) = match &difference.how {
        How::Added => ("added", None),
        How::Gone => ("gone", None),
        How::Changed => ("changed", None),
        How::Renamed { from } => ("renamed", Some(from)),
    };
    let name = Some(&difference.name).filter(|name| !name.is_empty());
    json!({
        "part": part(difference.part),
        "name": name,
        "known_as": difference.known_as,
        "how": how,
        "old_name": was,
        "details": difference.details.iter().map(detail).collect::<Vec<_>>(),
        "text": in_words(difference),
    })
}

fn detail(detail: &Detail) -> Value {
    match detail {
        Detail::Value { what, old, new } => {
            let unit = new.as_ref().or(old.as_ref()).and_then(unit);
            json!({
                "what": what,
                "unit": unit,
                "old": old.as_ref().map(plain),
                "new": new.as_ref().map(plain),
            })
        }
        Detail::Moved { what, by, towards } => {
            json!({ "what": what, "moved_m": by.get(), "towards_deg": towards.get() })
        }
        Detail::Corners { moved, of, by } => json!({
            "what": "corners moved",
            "moved_m": by.get(),
            "corners_moved": moved,
            "corners": of,
        }),
        Detail::With(zones) => json!({ "what": "zones moved with it", "zones": zones }),
    }
}

const fn unit(value: &Of) -> Option<&'static str> {
    match value {
        Of::Words(_) | Of::Text(_) | Of::Yes(_) | Of::Count(_) => None,
        Of::Length(_) | Of::Altitude(_) => Some("m"),
        Of::Area(_) => Some("m2"),
        Of::Speed(_) | Of::Climb(_) => Some("m/s"),
        Of::Angle(_) => Some("deg"),
        Of::Time(_) => Some("ms"),
        Of::Since(_) => Some("ms since take-off"),
        Of::Moment(_) => Some("UTC"),
        Of::Rate(_) => Some("bit/s"),
        Of::Bytes(_) => Some("byte"),
    }
}

fn plain(value: &Of) -> Value {
    match value {
        Of::Words(text) | Of::Text(text) => json!(text),
        Of::Yes(yes) => json!(yes),
        Of::Count(number) | Of::Rate(number) | Of::Bytes(number) => json!(number),
        Of::Length(metres) | Of::Altitude(metres) => json!(metres.get()),
        Of::Area(area) => json!(area.get()),
        Of::Speed(speed) | Of::Climb(speed) => json!(speed.get()),
        Of::Angle(angle) => json!(angle.get()),
        Of::Time(time) | Of::Since(time) => json!(time.0),
        Of::Moment(moment) => json!(UtcText(*moment).to_string()),
    }
}
