//! Whether the ground stands in a line of sight.

use earth::{Metres, Position, geodesic, horizon::APPARENT_RADIUS};

use crate::Terrain;

/// Ground that stands in a line of sight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blocked {
    /// Where, first seen from the eye.
    pub at: Position,
    /// How high the ground is there.
    pub ground: Metres,
    /// By how much it stands above the line.
    pub above: Metres,
}

/// Ground this near to what is looked at does not hide it, since files of heights are coarser than
/// that and a sight's own ground is in them.
const BESIDE: f64 = 60.0;
/// The line is not looked at more often than this, in metres, ...
const FINEST: f64 = 20.0;
/// ... nor at more places than this.
const MOST: f64 = 5000.0;

impl Terrain {
    /// The first ground that stands in the straight line from an eye to a thing, both at their
    /// altitudes. The line is followed over an earth whose radius has the refraction of a standard
    /// atmosphere in it: at a distance `d` of `D` it runs `d (D − d) / 2R` below the straight run of
    /// its two altitudes.
    #[must_use]
    pub fn blocks(
        &self,
        (eye, altitude): (Position, Metres),
        (thing, top): (Position, Metres),
    ) -> Option<Blocked> {
        if self.is_empty() {
            return None;
        }
        let way = geodesic::inverse(eye, thing);
        let whole = way.distance.get();
        let line = geodesic::Line::new(eye, way.azimuth_start);
        let spacing = self.spacing(thing).or_else(|| self.spacing(eye)).map_or(90.0, Metres::get);
        let step = (spacing / 2.0).max(FINEST).max(whole / MOST);
        let end = whole - BESIDE.max(1.5 * spacing);
        let mut along = step;
        while along < end {
            let (at, _) = line.at(Metres::of(along));
            let sight = altitude.get() + (top.get() - altitude.get()) * along / whole
                - along * (whole - along) / (2.0 * APPARENT_RADIUS);
            if let Some(ground) = self.height(at)
                && ground.get() > sight
            {
                let above = Metres::of(ground.get() - sight);
                return Some(Blocked { at, ground, above });
            }
            along += step;
        }
        None
    }
}
