//! Readers of coordinates and places.

use earth::Position;

use crate::bounds;
use crate::coordinates::{self, Axis, CoordinateError};
use crate::decode::{Keys, Mapping, Reader, Reads, of};
use crate::model::Spot;
use crate::remedy;
use crate::shape::{Definition, Shape, Shapes};
use crate::span::Name;
use crate::values::{NameText, name_of, pattern};
use crate::yaml::{Node, NodeKind};

/// A position by its coordinates.
pub(crate) struct Coordinates;

/// The mapping form of coordinates.
struct LatLon(Position);

/// One angle of the mapping form.
struct Single(Axis);

impl Reads for Single {
    type Out = f64;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let range = match self.0 {
            Axis::Latitude => bounds::LATITUDE,
            Axis::Longitude => bounds::LONGITUDE,
        };
        let text = pattern(
            shapes,
            "part of coordinates",
            "A latitude or a longitude, written like one half of coordinates.",
            r#"[-−NSEWnsew0-9][-−NSEWnsew0-9°º'′’"″”. ]*"#.to_owned(),
            &["61 12.5 N", "-6.7890"],
        );
        let number = Shape::Number { whole: false, least: range.least, most: range.most };
        Shape::Any(vec![number, text])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<f64> {
        let text = &reader.scalar(node, "an angle")?.text;
        let read = |text: &str| coordinates::single(text, self.0);
        read(text).map_err(|error| odd(&error, node, text, |text| read(text).is_ok(), reader)).ok()
    }
}

impl Mapping for LatLon {
    const NAME: &'static str = "latitude and longitude";
    const ABOUT: &'static str = "Coordinates as two keys.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let lat = keys.req("lat", "the latitude, north positive", Single(Axis::Latitude));
        let lon = keys.req("lon", "the longitude, east positive", Single(Axis::Longitude));
        coordinates::made(lat?.value, lon?.value).ok().map(Self)
    }
}

impl Reads for Coordinates {
    type Out = Position;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let text = pattern(
            shapes,
            "coordinates",
            "Latitude and longitude on WGS 84: decimal degrees, degrees and decimal minutes, or \
             degrees, minutes and seconds.",
            r#"[-−NSEWnsew0-9][-−NSEWnsew0-9°º'′’"″”., ]*"#.to_owned(),
            &["61.2345, -6.7890", "61°12.345'N 006°45.678'W", "61 12 30 N, 6 45 10 W"],
        );
        Shape::Any(vec![text, of::<LatLon>().shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Position> {
        if matches!(node.kind, NodeKind::Map(_)) {
            return of::<LatLon>().read(node, reader).map(|LatLon(at)| at);
        }
        let text = &reader.scalar(node, "a pair of coordinates")?.text;
        let read = |text: &str| coordinates::position(text);
        read(text).map_err(|error| odd(&error, node, text, |text| read(text).is_ok(), reader)).ok()
    }
}

/// Reports a text that is no coordinates. Decimal commas are mended where they can then be read.
fn odd(
    error: &CoordinateError,
    node: &Node,
    text: &str,
    reads: impl Fn(&str) -> bool,
    reader: &mut Reader<'_>,
) {
    let better = remedy::points_for_commas(text);
    let comma = *error == CoordinateError::DecimalComma && reads(&better);
    let edit = reader.file().instead(node.span, text, &better).filter(|_| comma);
    let finding = reader.finding(error.name(), node.span, error.to_string(), error.help());
    reader.put(finding.edits(edit));
}

/// A place by name or by coordinates.
pub(crate) struct Place;

impl Reads for Place {
    type Out = Spot;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let name = "place";
        if shapes.begin(name) {
            let any = vec![NameText.shape(shapes), Coordinates.shape(shapes)];
            let about = "A waypoint or a sight by its name, or coordinates.";
            shapes.define(name, about, Definition::Any(any));
        }
        Shape::Named(name)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Spot> {
        if let NodeKind::Scalar(scalar) = &node.kind
            && let Ok(name) = Name::new(&scalar.text)
        {
            return Some(Spot::Named(name));
        }
        if let NodeKind::Scalar(scalar) = &node.kind
            && !scalar.text.contains(|c: char| c.is_ascii_digit())
        {
            name_of(&scalar.text, node.span, reader);
            return None;
        }
        Coordinates.read(node, reader).map(Spot::At)
    }
}
