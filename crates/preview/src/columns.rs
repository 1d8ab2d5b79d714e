//! Many numbers in few characters: whole numbers, each the difference from the one before.

use earth::Position;
use serde::Serialize;

/// A number for each fix.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct Column {
    scale: i64,
    deltas: Vec<Option<i64>>,
}

impl Column {
    /// Numbers rounded to one part in `scale`; what is not known stays so. What is not finite is
    /// not known.
    pub(crate) fn of(scale: u32, numbers: impl IntoIterator<Item = Option<f64>>) -> Self {
        let scale = i64::from(scale);
        let mut last = 0;
        let delta = |number: Option<f64>| {
            let whole = whole(number.filter(|number| number.is_finite())? * scale as f64);
            let delta = whole - last;
            last = whole;
            Some(delta)
        };
        Self { scale, deltas: numbers.into_iter().map(delta).collect() }
    }
}

/// The nearest whole number; far out of what anything here can be, the outermost.
fn whole(number: f64) -> i64 {
    number.round() as i64
}

/// What seldom changes from fix to fix: from which fix on which value holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct Runs<T> {
    from: Vec<usize>,
    value: Vec<T>,
}

impl<T: PartialEq> Runs<T> {
    /// Of a value for each fix.
    pub(crate) fn of(values: impl IntoIterator<Item = T>) -> Self {
        let mut runs = Self { from: Vec::new(), value: Vec::new() };
        for (fix, value) in values.into_iter().enumerate() {
            if runs.value.last() != Some(&value) {
                runs.from.push(fix);
                runs.value.push(value);
            }
        }
        runs
    }
}

/// A line on the earth: longitude, latitude, and so on, in millionths of a degree, each point after
/// the first as the difference from the one before.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub(crate) struct Line(Vec<i64>);

impl Line {
    /// Of points that are longitude and latitude in degrees. Points that are the same after
    /// rounding are kept once.
    pub(crate) fn of(points: impl IntoIterator<Item = LonLat>) -> Self {
        let mut line = Vec::new();
        let (mut east, mut north) = (0, 0);
        for point in points {
            let (lon, lat) = (whole(point.0 * MILLION), whole(point.1 * MILLION));
            if !line.is_empty() && (lon, lat) == (east, north) {
                continue;
            }
            line.extend([lon - east, lat - north]);
            (east, north) = (lon, lat);
        }
        Self(line)
    }

    /// Whether there is no point in it.
    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

const MILLION: f64 = 1e6;

/// Longitude and latitude in degrees, written to a millionth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LonLat(pub(crate) f64, pub(crate) f64);

impl Serialize for LonLat {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let short = |degrees: f64| (degrees * MILLION).round() / MILLION;
        [short(self.0), short(self.1)].serialize(serializer)
    }
}

/// The meridian about which a page is drawn: longitudes are given within 180° of it, so that a line
/// across the 180° meridian does not jump.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Meridian(pub(crate) f64);

impl Meridian {
    /// A place.
    pub(crate) fn place(self, at: Position) -> LonLat {
        LonLat(self.longitude(at.lon()), at.lat())
    }

    /// A longitude in degrees.
    pub(crate) fn longitude(self, degrees: f64) -> f64 {
        degrees + 360.0 * ((self.0 - degrees) / 360.0).round()
    }

    /// A line; from its first point on it goes the short way round, also where that leaves the 180°.
    pub(crate) fn line(self, points: impl IntoIterator<Item = Position>) -> Line {
        let mut before: Option<f64> = None;
        Line::of(points.into_iter().map(|at| {
            let near = before.map_or(self, Meridian);
            let here = near.place(at);
            before = Some(here.0);
            here
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{json, to_value};

    #[test]
    fn columns_add_up_to_the_rounded_numbers() {
        let numbers = [Some(1.04), None, Some(1.06), Some(-3.0), Some(f64::NAN)];
        let column = Column::of(10, numbers);
        let written = to_value(&column).unwrap_or_default();
        assert_eq!(written, json!({"scale": 10, "deltas": [10, null, 1, -41, null]}));
    }

    #[test]
    fn runs_begin_where_something_changes() {
        let runs = Runs::of(["a", "a", "b", "a"]);
        assert_eq!(runs, Runs { from: vec![0, 2, 3], value: vec!["a", "b", "a"] });
    }

    #[test]
    fn a_line_across_the_180_degree_meridian_does_not_jump() {
        let meridian = Meridian(179.9);
        let line = meridian.line([Position::of(10.0, 179.5), Position::of(10.5, -179.5)]);
        assert_eq!(line, Line(vec![179_500_000, 10_000_000, 1_000_000, 500_000]));
        assert_eq!(meridian.place(Position::of(0.0, -179.0)), LonLat(181.0, 0.0));
        assert_eq!(Meridian(-33.0).place(Position::of(0.0, 100.0)), LonLat(100.0, 0.0));
        let same = Position::of(10.0, 20.0);
        assert_eq!(Meridian(0.0).line([same, same]), Line(vec![20_000_000, 10_000_000]));
    }
}
