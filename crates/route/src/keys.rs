//! The keys of every mapping of the language, each with a sentence about it.

mod aircraft;
mod file;
mod material;
mod place;
mod rule;
mod today;
mod tour;
mod variant;
mod zone;

pub(crate) use file::{AircraftFile, Contents, LibraryFile, TourFile};
pub(crate) use today::TodayFile;
