//! The authored language: text to a spanned model.

pub mod model;
pub mod span;

pub use model::Project;
pub use span::{FileId, Name, Sources, Span, Spanned};
