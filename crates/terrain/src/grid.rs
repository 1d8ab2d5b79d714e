//! Heights at the points of a grid of longitude and latitude.

use earth::{Metres, Position};

/// Metres in a degree of a great circle, of a mean radius of 6371 km.
const DEGREE: f64 = 111_195.0;

/// Heights at points that lie evenly in longitude and latitude.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Latitude of the first row, and how far south of it the next one lies, in degrees.
    north: f64,
    down: f64,
    /// Longitude of the first column, and how far east of it the next one lies, in degrees.
    west: f64,
    across: f64,
    rows: usize,
    columns: usize,
    /// Row by row from the north, each from the west; NaN where the height is not known.
    heights: Vec<f32>,
    /// How far beyond the outermost points they speak for the ground, in steps.
    beyond: f64,
}

/// No ground that anybody flies over lies lower: the lowest land, the shore of the Dead Sea, lies
/// about 440 m below the sea (from memory). So the voids of files that do not say how they write
/// them (−9999 is common) and the beds of seas are not taken for ground.
const LOWEST: f32 = -500.0;
/// Nor higher.
const HIGHEST: f32 = 9000.0;

impl Grid {
    /// A grid whose first point lies in the north-west, with its steps to the south and to the east
    /// in degrees, and its heights in metres row by row; NaN is a void, and so is what no ground can
    /// be (below −500 m, above 9000 m).
    ///
    /// None unless the steps are above nought, there are two rows and two columns at least, as many
    /// heights as points, and all of it lies on the earth.
    #[must_use]
    pub fn new(
        (north, west): (f64, f64),
        (down, across): (f64, f64),
        (rows, columns): (usize, usize),
        mut heights: Vec<f32>,
    ) -> Option<Self> {
        let steps = [down, across].iter().all(|step| step.is_finite() && *step > 0.0);
        let points = rows >= 2 && columns >= 2 && rows.checked_mul(columns)? == heights.len();
        for height in heights.iter_mut().filter(|it| !(LOWEST..=HIGHEST).contains(*it)) {
            *height = f32::NAN;
        }
        let grid = Self { north, down, west, across, rows, columns, heights, beyond: 0.0 };
        let (south, east) = grid.far_corner();
        let on_earth = (-90.000_1..=90.000_1).contains(&north)
            && (-90.000_1..=90.000_1).contains(&south)
            && (-360.0..=360.0).contains(&west)
            && east - west <= 360.0 + across;
        (steps && points && on_earth).then_some(grid)
    }

    /// The same with points that are the middles of areas: the outermost speak for half a step more,
    /// so that between two files side by side no strip is left out.
    #[must_use]
    pub fn of_areas(self) -> Self {
        Self { beyond: 0.5, ..self }
    }

    #[expect(clippy::cast_precision_loss, reason = "no file has so many points")]
    fn far_corner(&self) -> (f64, f64) {
        let (rows, columns) = (self.rows as f64, self.columns as f64);
        (self.north - (rows - 1.0) * self.down, self.west + (columns - 1.0) * self.across)
    }

    /// The least distance between two of its points, along a meridian.
    #[must_use]
    pub fn spacing(&self) -> Metres {
        Metres::of(self.down * DEGREE)
    }

    /// Its middle.
    #[must_use]
    pub fn middle(&self) -> Position {
        let (south, east) = self.far_corner();
        let lon = (self.west + east) / 2.0;
        Position::of((self.north + south) / 2.0, (lon + 180.0).rem_euclid(360.0) - 180.0)
    }

    /// Whether a place lies among its points.
    #[must_use]
    pub fn covers(&self, at: Position) -> bool {
        self.place(at).is_some()
    }

    /// Row and column of a place, with their fractions.
    fn place(&self, at: Position) -> Option<(f64, f64)> {
        let row = (self.north - at.lat()) / self.down;
        // East of the first column by less than a whole turn, so that a grid may lie across the
        // 180° meridian. A hair west of it is a place on it.
        let hair = 1e-9 + self.beyond * self.across;
        let east = (at.lon() - self.west + hair).rem_euclid(360.0) - hair;
        let column = east / self.across;
        #[expect(clippy::cast_precision_loss, reason = "no file has so many points")]
        let (last_row, last_column) = ((self.rows - 1) as f64, (self.columns - 1) as f64);
        let near = |value: f64, last: f64| {
            // A place a hair beside a point is that point, whatever lies on its other side.
            let point = libm::round(value);
            let value = if (value - point).abs() < 1e-6 { point } else { value };
            let beyond = self.beyond + 1e-6;
            let inside = (-beyond..=last + beyond).contains(&value);
            inside.then_some(value.clamp(0.0, last))
        };
        Some((near(row, last_row)?, near(column, last_column)?))
    }

    /// The height at a place; none outside it and beside a void.
    #[must_use]
    pub fn height(&self, at: Position) -> Option<Metres> {
        let (row, column) = self.place(at)?;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "both lie between nought and the number of points"
        )]
        let (top, left) =
            ((row as usize).min(self.rows - 2), (column as usize).min(self.columns - 2));
        #[expect(clippy::cast_precision_loss, reason = "no file has so many points")]
        let (down, right) = (row - top as f64, column - left as f64);
        let point = |row: usize, column: usize| {
            let height = f64::from(*self.heights.get(row * self.columns + column)?);
            height.is_finite().then_some(height)
        };
        // A point that does not count need not be known.
        let weighed = |row, column, weight: f64| {
            if weight <= 0.0 { Some(0.0) } else { point(row, column).map(|height| height * weight) }
        };
        let sum = weighed(top, left, (1.0 - down) * (1.0 - right))?
            + weighed(top, left + 1, (1.0 - down) * right)?
            + weighed(top + 1, left, down * (1.0 - right))?
            + weighed(top + 1, left + 1, down * right)?;
        Some(Metres::of(sum))
    }
}
