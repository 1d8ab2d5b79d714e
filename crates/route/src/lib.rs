//! The authored language: text to a spanned model.
//!
//! [`read`] takes a tour by its path and gives a [`Project`] with every mistake found on the way.
//! Names are kept as names; who resolves them is further right.

pub mod bounds;
mod choose;
pub mod coordinates;
mod decode;
mod keys;
mod lists;
mod load;
pub mod model;
mod pages;
mod places;
mod reference;
mod remedy;
mod rewrite;
mod schema;
mod shape;
pub mod span;
pub mod units;
mod values;
mod windows;
pub mod world;
mod yaml;

pub use choose::{Choice, Chosen, Said, Today, altitude, choose};
pub use decode::near;
pub use load::{read, read_today};
pub use model::Project;
pub use pages::pages;
pub use reference::reference;
pub use remedy::slip;
pub use rewrite::{NewText, NotRewritten, TextPlace, rewrite};
pub use schema::schemas;
pub use span::{FileId, Name, SourceFile, Sources, Span, Spanned};
pub use world::{MemoryWorld, World, WorldError};
