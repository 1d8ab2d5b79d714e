//! Where something was, in words.

use compiler::{PlaceIndex, whereabouts};
use earth::Position;
use plan::Plan;

/// The named places of a plan.
pub(crate) struct Places<'a> {
    plan: &'a Plan,
    index: PlaceIndex,
}

impl<'a> Places<'a> {
    /// Of a plan.
    pub(crate) fn new(plan: &'a Plan) -> Self {
        Self { plan, index: PlaceIndex::new(plan) }
    }

    /// The nearest named place with distance and direction, such as `0.6 NM NE of ARCH`; the
    /// position itself where the plan names no place.
    pub(crate) fn words(&self, position: Position) -> String {
        whereabouts(self.plan, position, self.index.near(position))
    }
}
