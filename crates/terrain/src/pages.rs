//! The pages of what is found in files of heights.

use diagnostic::{Page, Severity};

const PAGES: &[Page] = &[Page {
    name: "terrain-unusable",
    severity: Severity::Error,
    finds: "A file of heights that cannot be read: neither a tile of the SRTM nor a GeoTIFF file in \
            degrees of longitude and latitude, or one that is damaged.",
    why: "Heights that are guessed would hide sights that are seen, or show what a hill hides. \
          Without any file of heights everything else works.",
    example: "terrain: isles-in-metres.tif",
    better: "terrain: isles-in-degrees.tif",
}];

/// The pages of everything that this crate finds.
#[must_use]
pub fn pages() -> &'static [Page] {
    PAGES
}
