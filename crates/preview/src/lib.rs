//! A page that shows a flight: one HTML file that carries its data and its program.
//!
//! The data's format is described in `FORMAT.md`; the program is in `web` and is bundled by
//! `build.rs`. [`Given`] is what a flight is shown from; one makes a page of one, or of two that are
//! laid side by side.

mod columns;
mod data;
mod findings;
mod html;
mod outline;
mod pages;
mod shapes;
mod side;
mod watch;

use earth::Position;

pub use html::origin;
pub use pages::pages;
pub use shapes::Shape;
pub use side::{Given, SoundOf};
pub use watch::{FilmedInside, Happened, Watch};

use columns::{LonLat, Meridian};

/// What is drawn beneath the flight.
#[derive(Clone, Debug, Default)]
pub struct Map {
    /// Shapes that the operator gave.
    pub shapes: Vec<Shape>,
    /// The address of map tiles, with `{z}`, `{x}` and `{y}` in it. Without one the page asks no
    /// network for anything.
    pub tiles: Option<String>,
    /// Whose map it is.
    pub attribution: Option<String>,
}

/// Reads the shapes of a GeoJSON file; `name` is the file's, for what is found in it.
///
/// # Errors
/// A finding where it is no JSON, no GeoJSON, or has a place that is none.
pub fn read_shapes(name: &str, text: &str) -> Result<Vec<Shape>, Box<diagnostic::Diagnostic>> {
    shapes::read(name, text)
}

/// A page as it is written.
#[derive(Clone, Debug)]
pub struct Made {
    /// The whole HTML file.
    pub html: String,
    /// The data in it, as JSON.
    pub data: String,
}

/// Shapes farther than that beyond what the map has to show are left out, in degrees.
const AROUND: f64 = 1.0;

/// Makes the page of a flight, or of two.
#[must_use]
pub fn make(sides: &[Given<'_>], map: &Map) -> Made {
    let extent: Vec<Position> = sides.iter().flat_map(Given::extent).collect();
    let (centre, reach) = middle(&extent);
    let meridian = Meridian(centre.0);
    let near = map.shapes.iter().filter(|shape| shape.is_near(centre, reach));
    let sounds: Vec<Option<SoundOf<'_>>> = sides.iter().map(|given| given.sound).collect();
    let numbered = sides.iter().enumerate();
    let page = data::Page {
        format: data::FORMAT,
        version: data::VERSION,
        map: data::Map {
            centre,
            shapes: near.map(|shape| shape.drawn(meridian)).collect(),
            tiles: map.tiles.clone(),
            attribution: map.attribution.clone(),
        },
        sides: numbered
            .map(|(at, given)| side::side(*given, meridian, &html::sound_id(at)))
            .collect(),
    };
    let data = serde_json::to_string(&page).unwrap_or_default();
    Made { html: html::page(&page, &sounds), data }
}

/// The middle of some places, and how far about it a map reaches, both in degrees. Near a pole it
/// reaches all round.
fn middle(places: &[Position]) -> (LonLat, LonLat) {
    let Some(first) = places.first() else { return (LonLat(0.0, 0.0), LonLat(180.0, 90.0)) };
    let mut here = Meridian(first.lon());
    let (mut west, mut east) = (first.lon(), first.lon());
    let (mut south, mut north) = (first.lat(), first.lat());
    for place in places {
        let LonLat(lon, lat) = here.place(*place);
        here = Meridian(lon);
        (west, east) = (west.min(lon), east.max(lon));
        (south, north) = (south.min(lat), north.max(lat));
    }
    let lon = Meridian(0.0).longitude((west + east) / 2.0);
    let high = south.abs().max(north.abs());
    let wide = if high > 80.0 || east - west > 180.0 { 180.0 } else { (east - west) / 2.0 };
    let widened = AROUND / earth::trig::sin_cos(90.0 - high).0.max(0.05);
    let lat = (south + north) / 2.0;
    (LonLat(lon, lat), LonLat((wide + widened).min(180.0), (north - south) / 2.0 + AROUND))
}
