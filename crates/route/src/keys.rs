//! The keys of every mapping of the language, each with a sentence about it.

mod aircraft;
mod file;
mod place;
mod rule;
mod tour;
mod zone;

pub(crate) use file::{AircraftFile, Contents, LibraryFile, TourFile};
