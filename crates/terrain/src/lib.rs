//! Heights of the ground, from the files that an operator has: tiles of the Shuttle Radar Topography
//! Mission (`.hgt`) and GeoTIFF files. How high the ground is at a place, and whether it stands in a
//! line of sight.
//!
//! Heights are taken as above mean sea level. Between the points of a file they run straight in both
//! directions (bilinear); where one of the four points around is void, the height is not known. What
//! is not known hides nothing.
//!
//! Files are given as bytes; nothing is opened here.

mod geotiff;
mod grid;
mod hgt;
mod pages;
mod sight;

use diagnostic::{Diagnostic, Place};
use earth::{Metres, Position};

pub use grid::Grid;
pub use pages::pages;
pub use sight::Blocked;

/// The ground, as far as files say.
#[derive(Clone, Debug, Default)]
pub struct Terrain {
    /// The finest first.
    grids: Vec<Grid>,
}

impl Terrain {
    /// The ground of some grids. Where several know of a place, the finest of them is asked.
    #[must_use]
    pub fn new(mut grids: Vec<Grid>) -> Self {
        grids.sort_by(|one, other| one.spacing().get().total_cmp(&other.spacing().get()));
        Self { grids }
    }

    /// Whether there is none at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.grids.is_empty()
    }

    /// How high the ground is; none where no file says.
    #[must_use]
    pub fn height(&self, at: Position) -> Option<Metres> {
        self.grids.iter().find_map(|grid| grid.height(at))
    }

    /// The distance between points of the finest grid that covers a place.
    #[must_use]
    fn spacing(&self, at: Position) -> Option<Metres> {
        self.grids.iter().find(|grid| grid.covers(at)).map(Grid::spacing)
    }
}

/// Reads a file of heights. What it is, is told by its content, and of a tile of the SRTM, which
/// does not say where it lies, by its name, such as `N46W034.hgt`.
///
/// # Errors
/// A finding that says what is the matter and what to do.
pub fn read(name: &str, bytes: &[u8]) -> Result<Grid, Box<Diagnostic>> {
    let is_tiff = bytes.starts_with(b"II*\0")
        || bytes.starts_with(b"MM\0*")
        || bytes.starts_with(b"II+\0")
        || bytes.starts_with(b"MM\0+");
    if is_tiff { geotiff::read(name, bytes) } else { hgt::read(name, bytes) }
}

/// A finding about a file as a whole.
fn unusable(name: &str, what: impl std::fmt::Display, help: &str) -> Box<Diagnostic> {
    let headline = format!("no heights can be read from this file: {what}");
    Box::new(Diagnostic::error("terrain-unusable", Place::whole(name), headline).help(help))
}
