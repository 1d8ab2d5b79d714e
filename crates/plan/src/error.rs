//! Why a plan is not sound.

use std::fmt;

use crate::bounds::Bound;
use crate::model::{RuleId, Source};

/// Why a plan is not sound: the first thing found, in the order in which a plan is written.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{place}: {fault}")]
pub struct PlanError {
    /// Which part of the plan, such as ``zone `arch` ``.
    pub place: String,
    /// Where the author wrote that part, if the plan says so.
    pub written: Option<Source>,
    /// What is wrong with it.
    pub fault: Fault,
}

/// What can be wrong with a part of a plan.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    /// A value or a count is outside its bounds.
    OutOfBounds {
        /// The bounds.
        bound: &'static Bound,
        /// The value, in the bound's unit.
        value: f64,
    },
    /// An index names nothing.
    NoSuch {
        /// Of what kind.
        kind: &'static str,
        /// The index, from 0.
        index: u32,
        /// How many there are.
        count: usize,
    },
    /// A name or a list entry stands twice.
    Twice(String),
    /// Rules that each wait for the next, the last for the first.
    AfterCircle(Vec<RuleId>),
    /// A rule of the plan is broken; it is said in words.
    Broken(&'static str),
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfBounds { bound, value } => {
                write!(f, "{}: {value} is not in {bound}", bound.name)
            }
            Self::NoSuch { kind, index, count } => {
                write!(f, "there is no {kind} {index} (counted from 0, of {count})")
            }
            Self::Twice(name) => write!(f, "`{name}` stands twice"),
            Self::AfterCircle(_) => {
                f.write_str("each waits until the next has fired, and the last for the first")
            }
            Self::Broken(rule) => f.write_str(rule),
        }
    }
}
