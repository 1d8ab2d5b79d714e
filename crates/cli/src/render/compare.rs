//! What two plans differ in: a page for whoever approves the newer one, and JSON.

pub(crate) mod json;
pub(crate) mod text;
mod value;

use compiler::compare::PlanComparison;

use super::identity::Identity;

/// One of the plans.
pub(crate) struct Side {
    /// The file it was read from, as the person gave it.
    pub(crate) file: String,
    /// Which plan it is.
    pub(crate) identity: Identity,
    /// What is said for the day, in words; empty for nothing.
    pub(crate) day: String,
}

/// A comparison and what it is of.
pub(crate) struct Page<'a> {
    /// The older plan.
    pub(crate) old: Side,
    /// The newer plan.
    pub(crate) new: Side,
    /// What they differ in.
    pub(crate) comparison: &'a PlanComparison,
}

impl Page<'_> {
    /// Whether anything differs.
    pub(crate) fn differs(&self) -> bool {
        !self.comparison.is_empty() || self.old.day != self.new.day
    }
}
