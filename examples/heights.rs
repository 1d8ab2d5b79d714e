//! Makes the demo's file of heights anew: `routes/terrain/wennick.tif`, an invented ground for the
//! invented Wennick Isles. The sea is at nought; the land rises from the coast of
//! `routes/coastline.geojson`, with hills made of a few waves, and meets the elevations that
//! `routes/library` gives its sights and its airfield.
//!
//!     cargo run --release --example heights

#![allow(
    clippy::print_stdout,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "a program that is run by hand on numbers of its own"
)]

#[path = "flights.rs"]
#[allow(dead_code, reason = "only its compiled plan is of use here")]
mod flights;

use std::error::Error;
use std::fs;
use std::io::Cursor;
use std::path::Path;

use earth::{Position, Surface};
use serde_json::Value;
use tiff::encoder::{Compression, DeflateLevel, TiffEncoder, colortype};
use tiff::tags::Tag;

/// Degrees from point to point: about 110 m north and 77 m east.
const STEP: f64 = 0.001;
const NORTH: f64 = 46.56;
const WEST: f64 = -33.36;
const ROWS: usize = 341;
const COLUMNS: usize = 421;
/// How far the elevation of a named place reaches into the land around it, in metres.
const REACH: f64 = 450.0;

type Ring = Vec<(f64, f64)>;

fn main() -> Result<(), Box<dyn Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let coast = rings(&fs::read_to_string(root.join("routes/coastline.geojson"))?)?;
    let places = places(root)?;
    let mut heights: Vec<i16> = Vec::with_capacity(ROWS * COLUMNS);
    for row in 0..ROWS {
        for column in 0..COLUMNS {
            let (lat, lon) = (NORTH - row as f64 * STEP, WEST + column as f64 * STEP);
            heights.push(height(lat, lon, &coast, &places).round() as i16);
        }
    }
    let mut file = Cursor::new(Vec::new());
    let mut encoder =
        TiffEncoder::new(&mut file)?.with_compression(Compression::Deflate(DeflateLevel::Best));
    let mut image = encoder.new_image::<colortype::GrayI16>(COLUMNS as u32, ROWS as u32)?;
    let tags = image.encoder();
    tags.write_tag(Tag::ModelPixelScaleTag, &[STEP, STEP, 0.0][..])?;
    tags.write_tag(Tag::ModelTiepointTag, &[0.0, 0.0, 0.0, WEST, NORTH, 0.0][..])?;
    // Version 1.1.0, three keys: longitude and latitude, heights at points, WGS 84.
    let keys: [u16; 16] = [1, 1, 1, 3, 1024, 0, 1, 2, 1025, 0, 1, 2, 2048, 0, 1, 4326];
    tags.write_tag(Tag::GeoKeyDirectoryTag, &keys[..])?;
    image.write_data(&heights)?;
    let path = root.join("routes/terrain/wennick.tif");
    fs::create_dir_all(root.join("routes/terrain"))?;
    fs::write(&path, file.into_inner())?;
    let highest = heights.iter().max().copied().unwrap_or_default();
    println!("{}: {ROWS} by {COLUMNS} points, up to {highest} m", path.display());
    Ok(())
}

fn rings(text: &str) -> Result<Vec<Ring>, Box<dyn Error>> {
    let document: Value = serde_json::from_str(text)?;
    let mut rings = Vec::new();
    for feature in document["features"].as_array().ok_or("no features")? {
        let polygon = feature["geometry"]["coordinates"].as_array().ok_or("no coordinates")?;
        for ring in polygon {
            let points = ring.as_array().ok_or("no ring")?;
            let point = |point: &Value| Some((point[0].as_f64()?, point[1].as_f64()?));
            rings.push(points.iter().filter_map(point).collect());
        }
    }
    Ok(rings)
}

/// Where the library says how high the ground is.
fn places(root: &Path) -> Result<Vec<(Surface, f64)>, Box<dyn Error>> {
    let plan = flights::compiled(&root.join("routes"), "tours/west-coast.yaml", None, None)?;
    let known = plan
        .places
        .iter()
        .filter_map(|place| Some((Surface::from(place.position), place.elevation?.get())));
    Ok(known.collect())
}

/// The ground: nought on the sea, else hills that the named places draw to their elevations.
fn height(lat: f64, lon: f64, coast: &[Ring], places: &[(Surface, f64)]) -> f64 {
    let inside = coast.iter().filter(|ring| holds(ring, lon, lat)).count() % 2 == 1;
    if !inside {
        return 0.0;
    }
    let hill = hill(lat, lon, coast);
    let here = Surface::from(Position::of(lat, lon));
    let (mut drawn, mut weights) = (0.0, 0.0);
    for (place, elevation) in places {
        let away = here.chord(place) / REACH;
        let weight = libm::exp(-away * away);
        drawn += weight * elevation;
        weights += weight;
    }
    let share = weights.min(1.0);
    hill * (1.0 - share) + drawn / weights.max(1e-9) * share
}

/// Land that rises from the coast, in waves.
fn hill(lat: f64, lon: f64, coast: &[Ring]) -> f64 {
    let wide = libm::cos(lat.to_radians()) * 111_195.0;
    let edges = coast.iter().flat_map(|ring| ring.iter().zip(ring.iter().skip(1)));
    let nearest = edges
        .map(|(one, other)| {
            let at = |point: &(f64, f64)| ((point.0 - lon) * wide, (point.1 - lat) * 111_195.0);
            let ((ax, ay), (bx, by)) = (at(one), at(other));
            let (dx, dy) = (bx - ax, by - ay);
            let along = (-(ax * dx + ay * dy) / (dx * dx + dy * dy).max(1e-9)).clamp(0.0, 1.0);
            libm::hypot(ax + along * dx, ay + along * dy)
        })
        .fold(f64::MAX, f64::min);
    let waves = 1.0
        + 0.45 * libm::sin(lon * 430.0) * libm::cos(lat * 510.0)
        + 0.2 * libm::sin(lat * 1300.0);
    (6.0 + 0.055 * nearest.min(3200.0)) * waves
}

/// Whether a ring holds a point: a line to the east crosses it an odd number of times.
fn holds(ring: &Ring, lon: f64, lat: f64) -> bool {
    let edges = ring.iter().zip(ring.iter().skip(1));
    let crossed = edges.filter(|((ax, ay), (bx, by))| {
        (*ay > lat) != (*by > lat) && lon < ax + (lat - ay) / (by - ay) * (bx - ax)
    });
    crossed.count() % 2 == 1
}
