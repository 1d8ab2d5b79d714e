//! Zones.

use crate::bounds;
use crate::decode::{Keys, Mapping, Reader, Reads, of};
use crate::lists::{list, one_or_many};
use crate::model::{CrossedFrom, Line, Zone, ZoneKind};
use crate::places::Place;
use crate::shape::{Shape, Shapes};
use crate::values::{Flag, NameText, direction, metres, word};
use crate::windows::BandText;
use crate::yaml::{Node, NodeKind};

/// The keys of which a zone has exactly one.
const KINDS: &[&str] = &["circle", "polygon", "corridor", "sector", "gate", "any of", "all of"];

impl Mapping for Zone {
    const NAME: &'static str = "zone";
    const ABOUT: &'static str =
        "A part of the air that something hangs on. It has one shape, and may have a band.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let circle = keys.opt("circle", "all within a radius of a place", of::<Circle>());
        let polygon = keys.opt("polygon", "the inside of a closed line", of::<Polygon>());
        let corridor = keys.opt("corridor", "all within a half width of a line", of::<Corridor>());
        let sector = keys.opt("sector", "a slice of a circle", of::<Sector>());
        let gate = keys.opt("gate", "a line that is crossed", of::<Gate>());
        let zones = "inside where inside at least one of these zones";
        let any_of = keys.opt("any of", zones, list(1, NameText));
        let zones = "inside where inside every one of these zones";
        let all_of = keys.opt("all of", zones, list(1, NameText));
        let kind = keys.exactly_one(KINDS);
        let except = keys.opt(
            "except",
            "outside where inside one of these zones; only with `any of` or `all of`",
            one_or_many(NameText),
        );
        let band =
            keys.opt("band", "of altitude; where it is not written, every altitude", BandText);
        let margin = keys.opt(
            "margin",
            "how far outside is out, once inside; where it is not written, the `exit margin` of \
             the `defaults`",
            metres(bounds::MARGIN),
        );
        let quiet = keys.or("quiet", "false", "whether nothing may play inside", Flag);
        let no_filming = keys.or(
            "no filming",
            "false",
            "whether nothing may be recorded and no still taken inside",
            Flag,
        );
        let hand_filming = keys.or(
            "hand filming",
            "refused",
            "whether recording switched on by hand inside is obeyed; only with `no filming`",
            word(&[("allowed", true), ("refused", false)]),
        );
        let (quiet, no_filming) = (quiet.unwrap_or_default(), no_filming.unwrap_or_default());

        let combined = matches!(kind, Some("any of" | "all of"));
        if kind.is_some() && !combined {
            keys.without_effect("except", "only `any of` and `all of` have exceptions");
        }
        if combined {
            let why = "a combined zone follows from its parts, which have their own";
            keys.without_effect("margin", why);
            keys.without_effect("band", why);
        }
        if !no_filming && keys.could_be_read("no filming") {
            keys.without_effect("hand filming", "the zone does not say `no filming: true`");
        }
        for (key, set) in [("quiet", quiet), ("no filming", no_filming)] {
            if kind == Some("gate")
                && set
                && let Some(span) = keys.key_span(key)
            {
                keys.error(
                    "gate-cannot-last",
                    span,
                    format!("a gate cannot be `{key}`: one is never inside a gate"),
                    "use a circle, a polygon, a corridor or a sector",
                );
            }
        }

        let except = except.map(|names| names.value).unwrap_or_default();
        let kind = match kind? {
            "circle" => circle?.map(|Circle(kind)| kind),
            "polygon" => polygon?.map(|Polygon(kind)| kind),
            "corridor" => corridor?.map(|Corridor(kind)| kind),
            "sector" => sector?.map(|Sector(kind)| kind),
            "gate" => gate?.map(|Gate(kind)| kind),
            "any of" => any_of?.map(|zones| ZoneKind::AnyOf { zones, except }),
            _ => all_of?.map(|zones| ZoneKind::AllOf { zones, except }),
        };
        let hand_filming = hand_filming.unwrap_or_default();
        Some(Self { kind, band, margin, quiet, no_filming, hand_filming })
    }
}

struct Circle(ZoneKind);

impl Mapping for Circle {
    const NAME: &'static str = "circle";
    const ABOUT: &'static str = "All within a radius of a place.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let centre = keys.req("centre", "its centre", Place);
        let radius = keys.req("radius", "its radius", metres(bounds::RADIUS));
        Some(Self(ZoneKind::Circle { centre: centre?, radius: radius? }))
    }
}

struct Polygon(ZoneKind);

impl Mapping for Polygon {
    const NAME: &'static str = "polygon";
    const ABOUT: &'static str = "The smaller side of a closed line, less its holes.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let points = keys.req(
            "points",
            "at least three places; the last is joined to the first",
            list(3, Place),
        );
        let holes = keys.opt(
            "holes",
            "what is left out, each of at least three places",
            list(1, list(3, Place)),
        );
        let holes = holes.map(|holes| holes.value).unwrap_or_default();
        let holes = holes.into_iter().map(|hole| hole.value).collect();
        Some(Self(ZoneKind::Polygon { points: points?.value, holes }))
    }
}

struct Corridor(ZoneKind);

impl Mapping for Corridor {
    const NAME: &'static str = "corridor";
    const ABOUT: &'static str = "All within a half width of a line; its ends are round.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let line = keys.req("line", "at least two places, or `route`", LineOrRoute);
        let half_width = keys.req("half width", "how far to each side", metres(bounds::HALF_WIDTH));
        Some(Self(ZoneKind::Corridor { line: line?, half_width: half_width? }))
    }
}

struct LineOrRoute;

impl Reads for LineOrRoute {
    type Out = Line;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        Shape::Any(vec![Shape::Words(vec!["route"]), list(2, Place).shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Line> {
        match &node.kind {
            NodeKind::Scalar(scalar) if scalar.text == "route" => Some(Line::Route),
            NodeKind::List(_) => list(2, Place).read(node, reader).map(Line::Through),
            _ => {
                reader.wrong_kind(node, "a list of places or `route`");
                None
            }
        }
    }
}

struct Sector(ZoneKind);

impl Mapping for Sector {
    const NAME: &'static str = "sector";
    const ABOUT: &'static str = "A slice of a circle, clockwise between two true bearings.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let centre = keys.req("centre", "its centre", Place);
        let radius = keys.req("radius", "its radius", metres(bounds::RADIUS));
        let from = keys.req("from", "the first bearing, from the centre", direction());
        let to = keys.req("to", "the second bearing, clockwise of the first", direction());
        if let (Some(from), Some(to)) = (&from, &to)
            && from.value == to.value
        {
            keys.error_with(
                "empty-window",
                to.span,
                "both bearings of this sector are the same",
                "write two different bearings, or a `circle`",
                (from.span, "the other is here"),
            );
            return None;
        }
        let (centre, radius) = (centre?, radius?);
        Some(Self(ZoneKind::Sector { centre, radius, from: from?, to: to? }))
    }
}

struct Gate(ZoneKind);

impl Mapping for Gate {
    const NAME: &'static str = "gate";
    const ABOUT: &'static str =
        "A line that is crossed. A rule on it is active for the instant of the crossing.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let line = keys.req("line", "at least two places", list(2, Place));
        let crossed_from = keys.or(
            "crossed from",
            "either",
            "the side it is crossed from, seen from the first end of the line to the last",
            word(&[
                ("left", CrossedFrom::Left),
                ("right", CrossedFrom::Right),
                ("either", CrossedFrom::Either),
            ]),
        );
        let crossed_from = crossed_from.unwrap_or(CrossedFrom::Either);
        Some(Self(ZoneKind::Gate { line: line?.value, crossed_from }))
    }
}
