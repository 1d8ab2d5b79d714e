//! The aircraft, its cameras and its recorder.

use plan::{Aircraft, Camera, Hidden, Lens, Recorder};

use super::matching::Fate;
use super::{Details, Difference, How, Part, Two, Value};

/// Tells what the aircraft differ in. Their names are told with the plan's identity.
pub(super) fn compare(two: &Two<'_>, into: &mut Vec<Difference>) {
    let Aircraft { name: _, registration: _, heading_source, cameras, recorder } =
        &two.old.aircraft;
    let new = &two.new.aircraft;
    let mut details = Details::default();
    details.both("heading source", *heading_source, new.heading_source, Value::Yes);
    let Recorder { streams, bits_per_second, card_bytes } = recorder;
    let count = |streams: u32| Value::Count(streams.into());
    details.both("streams recorded at once", *streams, new.recorder.streams, count);
    details.both("of each", *bits_per_second, new.recorder.bits_per_second, Value::Rate);
    details.value("card", card_bytes.map(Value::Bytes), new.recorder.card_bytes.map(Value::Bytes));
    details.both("cameras take their turns in the order", two.old, two.new, |plan| {
        // Of those that both have; the others are told below.
        let there = |index: usize| match std::ptr::eq(plan, two.new) {
            true => two.matched.cameras.old(index),
            false => two.matched.cameras.new_of(index).and(Some(index)),
        };
        let shared = (0..plan.aircraft.cameras.len()).filter_map(there);
        let names = shared.filter_map(|index| two.old.aircraft.cameras.get(index));
        Value::Words(names.map(|camera| camera.name.as_str()).collect::<Vec<_>>().join(", "))
    });
    into.extend(details.changed(Part::Aircraft, "", None));
    for fate in two.matched.cameras.all(cameras, &new.cameras) {
        match fate {
            Fate::Kept { old, new, .. } if old.name != new.name => {
                let how = How::Renamed { from: old.name.clone() };
                into.push(Details::default().alone(Part::Camera, &new.name, None, how));
            }
            Fate::Kept { old, new, .. } => {
                into.extend(camera(old, new).changed(Part::Camera, &new.name, None));
            }
            Fate::Added(camera, _) => into.push(alone(camera, How::Added)),
            Fate::Gone(camera, _) => into.push(alone(camera, How::Gone)),
        }
    }
}

const fn lens(lens: Lens) -> &'static str {
    match lens {
        Lens::Rectilinear => "rectilinear",
        Lens::Equidistant => "equidistant (fisheye)",
    }
}

fn hidden(hidden: &[Hidden]) -> Option<Value> {
    let window = |hidden: &Hidden| {
        let Hidden { from, to, below, above } = hidden;
        let mut words = format!("{:03}..{:03}", from.get(), to.get());
        if let Some(below) = below {
            words.push_str(&format!(" more than {}° below the horizon", below.get()));
        }
        if let Some(above) = above {
            words.push_str(&format!(" more than {}° above the horizon", above.get()));
        }
        words
    };
    let windows: Vec<String> = hidden.iter().map(window).collect();
    (!windows.is_empty()).then(|| Value::Words(windows.join("; ")))
}

fn camera(old: &Camera, new: &Camera) -> Details {
    let Camera {
        name: _,
        input,
        bearing,
        depression,
        width,
        height,
        lens: glass,
        cabin,
        hidden: behind,
    } = old;
    let mut details = Details::default();
    details.both("input", *input, new.input, |input| Value::Count(input.into()));
    details.both("bearing from the nose", *bearing, new.bearing, Value::Angle);
    details.both("pointing below the horizon", *depression, new.depression, Value::Angle);
    details.both("width of its frame", *width, new.width, Value::Angle);
    details.value("height of its frame", height.map(Value::Angle), new.height.map(Value::Angle));
    details.both("lens", *glass, new.lens, |glass| Value::Words(lens(glass).into()));
    details.both("films the cabin", *cabin, new.cabin, Value::Yes);
    details.value("hidden by the airframe", hidden(behind), hidden(&new.hidden));
    details
}

fn alone(camera: &Camera, how: How) -> Difference {
    let mut details = Details::default();
    details.only(&how, "input", Value::Count(camera.input.into()));
    if camera.cabin {
        details.only(&how, "films the cabin", Value::Yes(true));
    } else {
        details.only(&how, "bearing from the nose", Value::Angle(camera.bearing));
        details.only(&how, "pointing below the horizon", Value::Angle(camera.depression));
        details.only(&how, "width of its frame", Value::Angle(camera.width));
    }
    details.alone(Part::Camera, &camera.name, None, how)
}
