//! The aircraft and its equipment.

use earth::Degrees;

use super::file::AircraftFile;
use crate::bounds;
use crate::decode::{Keys, Mapping, of};
use crate::lists::{one_or_many, table};
use crate::model::{
    Aircraft, BitsPerSecond, Bytes, Camera, HeadingSource, Hidden, Lens, Recorder, View,
};
use crate::values::{Flag, Text, count, degrees, from_the_nose, whole_amount, word};

impl Mapping for AircraftFile {
    const NAME: &'static str = "aircraft file";
    const ABOUT: &'static str = "An aircraft and its equipment.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let model = keys.req("aircraft", "the model", Text);
        let registration = keys.opt("registration", "its registration", Text);
        let heading_source = keys.or(
            "heading source",
            "none",
            "whether it knows where its nose points",
            word(&[("none", HeadingSource::None), ("compass", HeadingSource::Compass)]),
        );
        let cameras = keys.req(
            "cameras",
            "its cameras by name, in the order of the default sequence",
            table(of::<Camera>()),
        );
        let recorder = keys.opt("recorder", "what records", of::<Recorder>());

        if let Some(cameras) = &cameras {
            if cameras.value.entries.is_empty() && cameras.value.broken.is_empty() {
                keys.error("too-few", cameras.span, "an aircraft without cameras", "add one");
            }
            let entries = &cameras.value.entries;
            for (at, camera) in entries.iter().enumerate() {
                let input = camera.value.input;
                let earlier =
                    entries.iter().take(at).find(|other| other.value.input.value == input.value);
                if let Some(earlier) = earlier {
                    keys.error_with(
                        "same-input",
                        input.span,
                        format!("input {} has two cameras", input.value),
                        "give each camera an input of its own",
                        (earlier.value.input.span, "the first is here"),
                    );
                }
            }
        }
        Some(Self(Aircraft {
            model: model?,
            registration,
            heading_source: heading_source.unwrap_or(HeadingSource::None),
            cameras: cameras?.value,
            recorder,
        }))
    }
}

impl Mapping for Camera {
    const NAME: &'static str = "camera";
    const ABOUT: &'static str = "A camera that is fixed to the aircraft.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let input = keys.req("input", "of the switcher, from 1", count(bounds::INPUT));
        let cabin = keys.or("cabin", "false", "whether it looks at the passengers", Flag);
        let cabin = cabin.unwrap_or_default();
        let mount = keys.opt(
            "mount",
            "where its axis points; every camera but one in the cabin has it",
            of::<Mount>(),
        );
        let field = keys.opt(
            "field of view",
            "how much it holds; every camera but one in the cabin has it",
            of::<Field>(),
        );
        let lens = keys.or(
            "lens",
            "rectilinear",
            "how the lens maps angles to its picture",
            word(&[("rectilinear", Lens::Rectilinear), ("equidistant", Lens::Equidistant)]),
        );
        let hidden = keys.opt(
            "hidden",
            "what of the airframe hides: one mapping, or a list of them",
            one_or_many(of::<Hidden>()),
        );

        let bare = cabin && !keys.has("mount") && !keys.has("field of view");
        if !bare && keys.could_be_read("cabin") {
            for (key, about) in
                [("mount", "where its axis points"), ("field of view", "how much it holds")]
            {
                if let Some(head) = keys.head().filter(|_| !keys.has(key)) {
                    keys.error(
                        "missing-key",
                        head,
                        format!("`{key}` is missing"),
                        format!("add `{key}:` ({about}); only a `cabin` camera needs neither"),
                    );
                }
            }
        }
        let lens = lens.unwrap_or(Lens::Rectilinear);
        let view = mount.zip(field.as_ref()).map(|(mount, field)| View {
            bearing: mount.value.bearing,
            depression: mount.value.depression,
            width: field.value.width,
            height: field.value.height,
            lens,
        });
        if let (Some(view), Some(field)) = (&view, &field)
            && lens == Lens::Rectilinear
            && (view.width.get() >= 180.0 || view.height.is_some_and(|h| h.get() >= 180.0))
        {
            keys.error(
                "number-out-of-range",
                field.span,
                "a rectilinear lens holds less than 180 degrees",
                "mend the angle, or write `lens: equidistant`",
            );
            return None;
        }
        if view.is_none() && !bare {
            return None;
        }
        let hidden = hidden.map(|hidden| hidden.value).unwrap_or_default();
        Some(Self { input: input?, view, hidden, cabin })
    }
}

struct Mount {
    bearing: Degrees,
    depression: Degrees,
}

impl Mapping for Mount {
    const NAME: &'static str = "mount";
    const ABOUT: &'static str = "Where a camera's axis points.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let bearing = keys.req("bearing", "degrees clockwise from the nose", from_the_nose());
        let depression = keys.or(
            "depression",
            "0 deg",
            "below the horizon; negative above it",
            degrees(bounds::DEPRESSION),
        );
        Some(Self { bearing: bearing?.value, depression: depression? })
    }
}

struct Field {
    width: Degrees,
    height: Option<Degrees>,
}

impl Mapping for Field {
    const NAME: &'static str = "field of view";
    const ABOUT: &'static str = "How much a camera holds.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let width =
            keys.req("width", "the whole angle from left to right", degrees(bounds::VIEW_WIDTH));
        let height = keys.opt(
            "height",
            "the whole angle from top to bottom; where it is not known, only the width is asked",
            degrees(bounds::VIEW_HEIGHT),
        );
        Some(Self { width: width?.value, height: height.map(|height| height.value) })
    }
}

impl Mapping for Hidden {
    const NAME: &'static str = "hidden part";
    const ABOUT: &'static str = "Directions in which the airframe stands before the lens.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let from = keys.req("from", "degrees clockwise from the nose", from_the_nose());
        let to = keys.req("to", "degrees clockwise from the nose", from_the_nose());
        let below = keys.opt(
            "below",
            "only what lies lower than so far below the horizon",
            degrees(bounds::HIDDEN_EDGE),
        );
        let above = keys.opt(
            "above",
            "only what lies higher than so far above the horizon",
            degrees(bounds::HIDDEN_EDGE),
        );
        if let (Some(below), Some(above)) = (keys.key_span("below"), keys.key_span("above")) {
            keys.error_with(
                "keys-clash",
                above,
                "`above` cannot stand beside `below`",
                "write two hidden parts",
                (below, "the other is here"),
            );
            return None;
        }
        if let (Some(from), Some(to)) = (&from, &to)
            && from.value == to.value
        {
            keys.error_with(
                "empty-window",
                to.span,
                "both ends of this hidden part are the same direction",
                "write two different directions",
                (from.span, "the other is here"),
            );
            return None;
        }
        Some(Self {
            from: from?.value,
            to: to?.value,
            below: below.map(|below| below.value),
            above: above.map(|above| above.value),
        })
    }
}

impl Mapping for Recorder {
    const NAME: &'static str = "recorder";
    const ABOUT: &'static str = "What records.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let streams = keys.or("streams", "1", "recorded at once", count(bounds::STREAMS));
        let bit_rate = keys.req("bit rate", "of each stream", whole_amount(bounds::BIT_RATE));
        let card = keys.req("card", "what the card holds", whole_amount(bounds::CARD));
        Some(Self {
            streams: streams?,
            bit_rate: BitsPerSecond(bit_rate?.value),
            card: Bytes(card?.value),
        })
    }
}
