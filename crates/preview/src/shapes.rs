//! What the operator gives to be drawn beneath the flight: GeoJSON (RFC 7946).
//!
//! Only what can be drawn is kept: points, lines and polygons in longitude and latitude, with their
//! `name` where they have one. Whatever else a file holds is left out.

use diagnostic::{Diagnostic, Place};
use earth::Position;
use serde_json::Value;

use crate::columns::{Line, LonLat, Meridian};
use crate::data::{MapShape, ShapeKind};

/// So many points are drawn at most; a page of more would not open in time.
pub(crate) const MOST_POINTS: usize = 200_000;
/// Nothing is nested deeper in a file that means something.
const DEEPEST: usize = 8;

/// A shape as it was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    kind: ShapeKind,
    name: Option<String>,
    lines: Vec<Vec<Position>>,
}

impl Shape {
    /// For a page that is drawn about a meridian. A shape's rings lie where its first point is; one
    /// that reaches across the far side of the earth may be drawn there twice as long as it is.
    pub(crate) fn drawn(&self, meridian: Meridian) -> MapShape {
        let start = self.lines.first().and_then(|line| line.first());
        let near = start.map_or(meridian, |start| Meridian(meridian.place(*start).0));
        let line = |line: &Vec<Position>| near.line(line.iter().copied());
        MapShape {
            kind: self.kind,
            name: self.name.clone(),
            lines: self.lines.iter().map(line).filter(|line: &Line| !line.is_empty()).collect(),
        }
    }

    /// Whether a point of it lies within some degrees of a place, or its points lie on both sides.
    pub(crate) fn is_near(&self, middle: LonLat, within: LonLat) -> bool {
        let meridian = Meridian(middle.0);
        let mut box_of = Box2::EMPTY;
        for at in self.lines.iter().flatten() {
            let LonLat(lon, lat) = meridian.place(*at);
            box_of.add(lon, lat);
        }
        box_of.touches(
            (middle.0 - within.0, middle.1 - within.1),
            (middle.0 + within.0, middle.1 + within.1),
        )
    }
}

struct Box2 {
    least: (f64, f64),
    most: (f64, f64),
}

impl Box2 {
    const EMPTY: Self = Self {
        least: (f64::INFINITY, f64::INFINITY),
        most: (f64::NEG_INFINITY, f64::NEG_INFINITY),
    };

    fn add(&mut self, x: f64, y: f64) {
        self.least = (self.least.0.min(x), self.least.1.min(y));
        self.most = (self.most.0.max(x), self.most.1.max(y));
    }

    fn touches(&self, least: (f64, f64), most: (f64, f64)) -> bool {
        self.least.0 <= most.0
            && self.most.0 >= least.0
            && self.least.1 <= most.1
            && self.most.1 >= least.1
    }
}

/// Reads GeoJSON; `name` is the file's, for what is found in it.
///
/// # Errors
/// A finding where it is no JSON, no GeoJSON, or has a place that is none.
pub(crate) fn read(name: &str, text: &str) -> Result<Vec<Shape>, Box<Diagnostic>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let value: Value = serde_json::from_str(text).map_err(|error| {
        let line = u32::try_from(error.line()).unwrap_or(u32::MAX);
        let column = u32::try_from(error.column()).unwrap_or(u32::MAX);
        let place = Place { line, column, ..Place::whole(name) };
        unusable(place, "it is no JSON document").label(error.to_string())
    })?;
    let mut reading = Reading { shapes: Vec::new(), points: 0 };
    reading
        .object(&value, None, "the document", 0)
        .map_err(|what| Box::new(unusable(Place::whole(name), &what)))?;
    Ok(reading.shapes)
}

fn unusable(place: Place, what: &str) -> Diagnostic {
    Diagnostic::error("shapes-unusable", place, format!("the map's shapes cannot be read: {what}"))
        .help("give a GeoJSON file (RFC 7946): longitude before latitude, in degrees of WGS 84")
}

struct Reading {
    shapes: Vec<Shape>,
    points: usize,
}

impl Reading {
    fn object(
        &mut self,
        value: &Value,
        name: Option<&str>,
        at: &str,
        deep: usize,
    ) -> Result<(), String> {
        if deep > DEEPEST {
            return Err(format!("{at} is nested too deep"));
        }
        let Some(kind) = value.get("type").and_then(Value::as_str) else {
            return Err(format!("{at} has no `type`"));
        };
        let list = |key: &str| {
            let list = value.get(key).and_then(Value::as_array);
            list.ok_or_else(|| format!("{at} has no list `{key}`"))
        };
        match kind {
            "FeatureCollection" => {
                for (index, feature) in list("features")?.iter().enumerate() {
                    self.object(feature, name, &format!("features[{index}]"), deep + 1)?;
                }
                Ok(())
            }
            "Feature" => {
                let own = value.get("properties").and_then(|it| it.get("name"));
                let name = own.and_then(Value::as_str).or(name);
                match value.get("geometry") {
                    None | Some(Value::Null) => Ok(()),
                    Some(geometry) => {
                        self.object(geometry, name, &format!("{at}.geometry"), deep + 1)
                    }
                }
            }
            "GeometryCollection" => {
                for (index, geometry) in list("geometries")?.iter().enumerate() {
                    self.object(geometry, name, &format!("{at}.geometries[{index}]"), deep + 1)?;
                }
                Ok(())
            }
            _ => {
                let at = format!("{at}.coordinates");
                let given = value.get("coordinates").ok_or_else(|| format!("{at} is missing"))?;
                self.geometry(kind, given, name, &at)
            }
        }
    }

    fn geometry(
        &mut self,
        kind: &str,
        given: &Value,
        name: Option<&str>,
        at: &str,
    ) -> Result<(), String> {
        match kind {
            "Point" => {
                let point = self.position(given, at)?;
                self.keep(ShapeKind::Point, name, vec![vec![point]]);
            }
            "MultiPoint" => {
                for point in self.line(given, at)? {
                    self.keep(ShapeKind::Point, name, vec![vec![point]]);
                }
            }
            "LineString" => {
                let line = self.line(given, at)?;
                self.keep(ShapeKind::Line, name, vec![line]);
            }
            "MultiLineString" => {
                for line in self.lines(given, at)? {
                    self.keep(ShapeKind::Line, name, vec![line]);
                }
            }
            "Polygon" => {
                let rings = self.lines(given, at)?;
                self.keep(ShapeKind::Area, name, rings);
            }
            "MultiPolygon" => {
                for (index, polygon) in items(given, at)?.iter().enumerate() {
                    let rings = self.lines(polygon, &format!("{at}[{index}]"))?;
                    self.keep(ShapeKind::Area, name, rings);
                }
            }
            other => return Err(format!("{at}: there is no geometry `{other}`")),
        }
        Ok(())
    }

    fn keep(&mut self, kind: ShapeKind, name: Option<&str>, lines: Vec<Vec<Position>>) {
        if lines.iter().any(|line| !line.is_empty()) {
            self.shapes.push(Shape { kind, name: name.map(str::to_owned), lines });
        }
    }

    fn lines(&mut self, given: &Value, at: &str) -> Result<Vec<Vec<Position>>, String> {
        let lines = items(given, at)?.iter().enumerate();
        lines.map(|(index, line)| self.line(line, &format!("{at}[{index}]"))).collect()
    }

    fn line(&mut self, given: &Value, at: &str) -> Result<Vec<Position>, String> {
        let points = items(given, at)?.iter().enumerate();
        points.map(|(index, point)| self.position(point, &format!("{at}[{index}]"))).collect()
    }

    fn position(&mut self, given: &Value, at: &str) -> Result<Position, String> {
        self.points += 1;
        if self.points > MOST_POINTS {
            return Err(format!(
                "it has more than {MOST_POINTS} points; cut out the part around the tour"
            ));
        }
        let number = |index: usize| given.get(index).and_then(Value::as_f64);
        let (Some(lon), Some(lat)) = (number(0), number(1)) else {
            return Err(format!("{at} is no longitude and latitude"));
        };
        Position::new(lat, lon).map_err(|error| format!("{at}: {error}"))
    }
}

fn items<'v>(given: &'v Value, at: &str) -> Result<&'v Vec<Value>, String> {
    given.as_array().ok_or_else(|| format!("{at} is no list"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn error(text: &str) -> String {
        read("x.geojson", text).map_or_else(|it| it.headline, |it| format!("{} shapes", it.len()))
    }

    #[test]
    fn what_is_wrong_is_said_with_its_place() {
        let feature = |geometry: &str| {
            format!(
                r#"{{"type":"FeatureCollection","features":[{{"type":"Feature","geometry":{geometry}}}]}}"#
            )
        };
        let found = error(&feature(r#"{"type":"Point","coordinates":[0,99]}"#));
        assert!(found.contains("features[0].geometry.coordinates"), "{found}");
        let found = error(&feature(r#"{"type":"LineString","coordinates":[[0,1],[2]]}"#));
        assert!(found.contains("coordinates[1] is no longitude and latitude"), "{found}");
        assert!(error("{}").contains("has no `type`"));
        assert!(error("[").contains("no JSON"));
        assert!(
            error(&feature(r#"{"type":"Blob","coordinates":[]}"#)).contains("no geometry `Blob`")
        );
        assert_eq!(error(&feature("null")), "0 shapes");
        let deep = (0..20)
            .fold(r#"{"type":"Point","coordinates":[0,0]}"#.to_owned(), |inner, _| {
                format!(r#"{{"type":"GeometryCollection","geometries":[{inner}]}}"#)
            });
        assert!(error(&deep).contains("too deep"));
    }

    #[test]
    fn shapes_are_drawn_about_the_meridian_and_found_near_it() {
        let text = r#"{"type":"LineString","coordinates":[[179.5,10],[-179.5,10.5]]}"#;
        let shapes = read("x", text).unwrap_or_default();
        let [shape] = &shapes[..] else { panic!("{shapes:?}") };
        let drawn = serde_json::to_value(shape.drawn(Meridian(-179.9))).unwrap_or_default();
        let lines = [[-180_500_000, 10_000_000, 1_000_000, 500_000]];
        assert_eq!(drawn["lines"], serde_json::json!(lines));
        assert!(shape.is_near(LonLat(180.2, 10.0), LonLat(1.0, 1.0)));
        assert!(!shape.is_near(LonLat(170.0, 10.0), LonLat(1.0, 1.0)));
    }
}
