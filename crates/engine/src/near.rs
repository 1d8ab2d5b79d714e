//! Which zones are near enough to matter.
//!
//! All zones lie in a tree of boxes. Now and then the zones within a radius are taken out of it;
//! until the aircraft has flown that radius no other can be reached. The radius follows the crowd:
//! wide where zones are few, narrow where they are many.

use earth::Surface;
use rstar::{AABB, RTree, RTreeObject};

use crate::shape::Outline;

/// Below so many zones all are near.
const FEW: usize = 64;
/// Metres: bounds of the radius, and where it begins.
const NARROWEST: f64 = 250.0;
const WIDEST: f64 = 64_000.0;
const FIRST: f64 = 4_000.0;

#[derive(Debug)]
struct Boxed {
    zone: u32,
    bounds: AABB<[f64; 3]>,
}

impl RTreeObject for Boxed {
    type Envelope = AABB<[f64; 3]>;
    fn envelope(&self) -> Self::Envelope {
        self.bounds
    }
}

/// Finds the zones that can be reached within a radius.
#[derive(Debug)]
pub(crate) struct Near {
    tree: RTree<Boxed>,
    radius: f64,
}

impl Near {
    pub(crate) fn new<'a>(outlines: impl Iterator<Item = (u32, &'a Outline)>) -> Self {
        let boxes = outlines.map(|(zone, outline)| {
            let (middle, reach) = outline.ball();
            let bounds =
                AABB::from_corners(middle.map(|at| at - reach), middle.map(|at| at + reach));
            Boxed { zone, bounds }
        });
        let tree = RTree::bulk_load(boxes.collect());
        let radius = if tree.size() <= FEW { f64::INFINITY } else { FIRST };
        Self { tree, radius }
    }

    /// Calls `each` with every zone within a radius and `more` metres of a place, and returns the
    /// radius.
    pub(crate) fn find(&mut self, at: &Surface, more: f64, mut each: impl FnMut(u32)) -> f64 {
        let radius = self.radius;
        if radius.is_infinite() {
            for boxed in &self.tree {
                each(boxed.zone);
            }
            return radius;
        }
        let [x, y, z] = at.point.0;
        let reach = radius + more;
        let around = AABB::from_corners(
            [x - reach, y - reach, z - reach],
            [x + reach, y + reach, z + reach],
        );
        let mut found = 0_usize;
        for boxed in self.tree.locate_in_envelope_intersecting(&around) {
            found += 1;
            each(boxed.zone);
        }
        if found > FEW {
            self.radius = (radius / 2.0).max(NARROWEST);
        } else if found < FEW / 4 {
            self.radius = (radius * 2.0).min(WIDEST);
        }
        radius
    }
}
