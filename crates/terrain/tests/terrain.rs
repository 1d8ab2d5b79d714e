//! Files of heights, made here and read; and lines of sight against a second computation.

#![allow(
    clippy::unwrap_used,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "a test that cannot go on should stop; its numbers are small"
)]

use std::io::Cursor;

use earth::{Metres, Position, Surface, horizon::APPARENT_RADIUS};
use terrain::{Grid, Terrain, read};
use tiff::encoder::{Compression, TiffEncoder, colortype};
use tiff::tags::Tag;

/// A tile of 1201 rows whose heights are the row plus twice the column, with a void.
fn tile() -> Vec<u8> {
    let mut bytes = Vec::with_capacity(2_884_802);
    for row in 0..1201_i16 {
        for column in 0..1201_i16 {
            let height = if (row, column) == (600, 600) { i16::MIN } else { row + column * 2 };
            bytes.extend(height.to_be_bytes());
        }
    }
    bytes
}

fn at(terrain: &Terrain, lat: f64, lon: f64) -> Option<f64> {
    terrain.height(Position::of(lat, lon)).map(Metres::get)
}

#[test]
fn a_tile_lies_where_its_name_says_from_the_north_west() {
    let terrain = Terrain::new(vec![read("heights/N46W034.hgt", &tile()).unwrap()]);
    assert_eq!(at(&terrain, 47.0, -34.0), Some(0.0));
    assert_eq!(at(&terrain, 46.0, -34.0), Some(1200.0));
    assert_eq!(at(&terrain, 47.0, -33.0), Some(2400.0));
    // Bilinear between the points: half a step south, a quarter east.
    let got = at(&terrain, 47.0 - 0.5 / 1200.0, -34.0 + 0.25 / 1200.0).unwrap();
    assert!((got - 1.0).abs() < 1e-6, "{got}");
    // Beside the void it is not known, a step away it is.
    assert_eq!(at(&terrain, 46.5, -33.5), None);
    assert_eq!(at(&terrain, 46.5 - 0.5 / 1200.0, -33.5), None);
    assert!(at(&terrain, 46.5 - 1.0 / 1200.0, -33.5).is_some());
    assert_eq!(at(&terrain, 45.999, -33.5), None);
    assert_eq!(at(&terrain, 46.5, -34.001), None);
}

#[test]
fn what_is_no_tile_is_refused_and_says_why() {
    for (name, bytes, words) in [
        ("N46W034.hgt", vec![0; 100], "100 bytes are no tile"),
        ("N46W034.hgt", Vec::new(), "0 bytes are no tile"),
        ("isles.hgt", tile(), "its name does not say where"),
        ("N46W034.hgt", tile()[..2_884_800].to_vec(), "2884800 bytes are no tile"),
    ] {
        let finding = read(name, &bytes).unwrap_err();
        assert_eq!(finding.name, "terrain-unusable");
        assert!(finding.headline.contains(words), "{}", finding.headline);
        assert!(!finding.help.is_empty());
    }
}

/// A GeoTIFF of 40 by 60 points: 1 m higher for each row and 10 m for each column.
fn geotiff(raster: u16, model: u16, compression: Compression) -> Vec<u8> {
    with_keys(&[1024, 0, 1, model, 1025, 0, 1, raster], "-9999", compression)
}

/// The same with other keys, four numbers each, and another way to write a void.
fn with_keys(more: &[u16], void: &str, compression: Compression) -> Vec<u8> {
    let mut file = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut file).unwrap().with_compression(compression);
    let mut image = encoder.new_image::<colortype::Gray32Float>(60, 40).unwrap();
    let tags = image.encoder();
    tags.write_tag(Tag::ModelPixelScaleTag, &[0.01, 0.02, 0.0][..]).unwrap();
    tags.write_tag(Tag::ModelTiepointTag, &[0.0, 0.0, 0.0, 10.0, 50.0, 0.0][..]).unwrap();
    let mut keys: Vec<u16> = vec![1, 1, 1, (more.len() / 4) as u16];
    keys.extend(more);
    tags.write_tag(Tag::GeoKeyDirectoryTag, &keys[..]).unwrap();
    tags.write_tag(Tag::GdalNodata, void).unwrap();
    let value: f32 = void.parse().unwrap();
    let heights: Vec<f32> = (0..40 * 60)
        .map(|point| match (point / 60, point % 60) {
            (20, 30) => value,
            // A void that the file does not speak of.
            (20, 10) => -9999.0,
            (row, column) => row as f32 + 10.0 * column as f32,
        })
        .collect();
    image.write_data(&heights).unwrap();
    file.into_inner()
}

/// OGC GeoTIFF 1.1, 7.1.2: with pixels that are points the tie point is the first point itself, with
/// pixels that are areas its corner, half a pixel from the middle.
#[test]
fn a_geotiff_lies_by_its_tie_point() {
    for compression in [Compression::Uncompressed, Compression::Lzw] {
        let points = Terrain::new(vec![read("a.tif", &geotiff(2, 2, compression)).unwrap()]);
        assert_eq!(at(&points, 50.0, 10.0), Some(0.0));
        let got = at(&points, 50.0 - 3.5 * 0.02, 10.0 + 4.25 * 0.01).unwrap();
        assert!((got - 46.0).abs() < 1e-3, "{got}");
        assert_eq!(at(&points, 50.0 - 20.0 * 0.02, 10.3), None);
    }
    let areas = Terrain::new(vec![read("a.tif", &geotiff(1, 2, Compression::Lzw)).unwrap()]);
    // The corner belongs to the first area, and what is beyond it to none.
    assert_eq!(at(&areas, 50.0, 10.0), Some(0.0));
    assert_eq!(at(&areas, 50.000_1, 10.0), None);
    assert_eq!(at(&areas, 50.0, 9.999_9), None);
    let got = at(&areas, 50.0 - 0.01, 10.0 + 0.005).unwrap();
    assert!(got.abs() < 1e-3, "{got}");
}

/// Voids that a file names in its own numbers, and those it does not name; heights in other units.
#[test]
fn voids_and_units_are_not_taken_for_metres() {
    for void in ["-9999", "-32768", "-499.9", "8888.8", "-3.4028235e38", "NaN"] {
        let file = with_keys(&[1024, 0, 1, 2, 1025, 0, 1, 2], void, Compression::Lzw);
        let terrain = Terrain::new(vec![read("a.tif", &file).unwrap()]);
        assert_eq!(at(&terrain, 49.6, 10.3), None, "{void}");
        assert_eq!(at(&terrain, 49.6, 10.1), None, "{void}");
        assert!(at(&terrain, 49.6, 10.2).is_some(), "{void}");
    }
    // EPSG: 9002 foot, 9003 US survey foot, 9105 grad.
    for (key, unit, words) in [
        (4099, 9002, "heights are not in metres"),
        (4099, 9003, "heights are not in metres"),
        (2054, 9105, "not in degrees"),
    ] {
        let keys = [1024, 0, 1, 2, 1025, 0, 1, 2, key, 0, 1, unit];
        let file = with_keys(&keys, "-9999", Compression::Lzw);
        let finding = read("a.tif", &file).unwrap_err();
        assert!(finding.headline.contains(words), "{}", finding.headline);
    }
    let metres = [1024, 0, 1, 2, 2054, 0, 1, 9102, 4099, 0, 1, 9001];
    assert!(read("a.tif", &with_keys(&metres, "-9999", Compression::Lzw)).is_ok());
}

#[test]
fn two_files_of_areas_side_by_side_leave_no_strip_between_them() {
    let file = |west: f64| {
        let grid = Grid::new((49.5, west), (0.5, 0.5), (2, 2), vec![7.0; 4]).unwrap();
        grid.of_areas()
    };
    let both = Terrain::new(vec![file(179.25), file(-179.75)]);
    for lon in [179.1, 179.9, 180.0, -180.0, -179.9, -179.1] {
        assert_eq!(at(&both, 49.2, lon), Some(7.0), "{lon}");
    }
    assert_eq!(at(&both, 49.2, 178.9), None);
    assert_eq!(at(&both, 49.76, 179.5), None);
}

#[test]
fn what_is_no_geotiff_in_degrees_is_refused_and_says_why() {
    let plane = geotiff(2, 1, Compression::Uncompressed);
    let finding = read("a.tif", &plane).unwrap_err();
    assert!(finding.headline.contains("on a map's plane"), "{}", finding.headline);
    let mut file = Cursor::new(Vec::new());
    let mut encoder = TiffEncoder::new(&mut file).unwrap();
    encoder.write_image::<colortype::Gray8>(2, 2, &[1, 2, 3, 4]).unwrap();
    let finding = read("photo.tif", &file.into_inner()).unwrap_err();
    assert!(finding.headline.contains("does not say where it lies"), "{}", finding.headline);
}

#[test]
fn damaged_files_are_refused_or_read_and_never_crash() {
    let good = geotiff(2, 2, Compression::Lzw);
    let mut seed = 3_u64;
    let mut next = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) as usize
    };
    for _ in 0..2000 {
        let mut bytes = good.clone();
        for _ in 0..=next() % 6 {
            let place = next() % bytes.len();
            bytes[place] = next() as u8;
        }
        if next() % 4 == 0 {
            bytes.truncate(next() % bytes.len());
        }
        let _ = read("x.tif", &bytes);
    }
}

#[test]
fn a_grid_may_lie_across_the_180th_meridian() {
    let heights = vec![1.0, 2.0, 3.0, 1.0, 2.0, 3.0];
    let grid = Grid::new((10.0, 179.5), (0.5, 0.5), (2, 3), heights).unwrap();
    let terrain = Terrain::new(vec![grid]);
    assert_eq!(at(&terrain, 9.75, 180.0), Some(2.0));
    assert_eq!(at(&terrain, 9.75, -180.0), Some(2.0));
    let got = at(&terrain, 9.75, -179.75).unwrap();
    assert!((got - 2.5).abs() < 1e-6, "{got}");
    assert_eq!(at(&terrain, 9.75, 179.4), None);
}

#[test]
fn the_finest_grid_that_knows_a_place_is_asked() {
    let coarse = Grid::new((50.0, 10.0), (0.5, 0.5), (3, 3), vec![100.0; 9]).unwrap();
    let mut known = vec![5.0; 9];
    known[4] = f32::NAN;
    let fine = Grid::new((49.8, 10.2), (0.1, 0.1), (3, 3), known).unwrap();
    let terrain = Terrain::new(vec![coarse, fine]);
    assert_eq!(at(&terrain, 49.8, 10.2), Some(5.0));
    assert_eq!(at(&terrain, 49.1, 10.2), Some(100.0));
    // A void of the finer one is filled from the coarser.
    assert_eq!(at(&terrain, 49.7, 10.3), Some(100.0));
}

/// A ridge along a meridian, so high, on a plain.
fn ridge(height: f32) -> Terrain {
    let (rows, columns) = (101_usize, 201_usize);
    let heights = (0..rows * columns)
        .map(|point| if (point % columns).abs_diff(100) <= 2 { height } else { 0.0 })
        .collect();
    Terrain::new(vec![Grid::new((46.05, -33.1), (0.001, 0.001), (rows, columns), heights).unwrap()])
}

/// The second computation: points on the straight line in space between both, lifted for the bend of
/// light, each dropped to the ellipsoid by its normal and compared with the ground there.
fn again(terrain: &Terrain, eye: (Position, f64), thing: (Position, f64)) -> bool {
    let place = |(at, height): (Position, f64)| {
        let surface = Surface::from(at);
        surface.point + surface.up * height
    };
    let (from, to) = (place(eye), place(thing));
    let whole = (to - from).length();
    (1..2000).any(|step| {
        let share = f64::from(step) / 2000.0;
        let along = whole * share;
        if whole - along < 170.0 {
            return false;
        }
        let lat = eye.0.lat() + (thing.0.lat() - eye.0.lat()) * share;
        let lon = eye.0.lon() + (thing.0.lon() - eye.0.lon()) * share;
        let below = Surface::from(Position::of(lat, lon));
        let point = from + (to - from) * share;
        let height = (point - below.point).dot(below.up);
        // The straight line in space, and what the bend of light lifts it by.
        let bend = along * (whole - along) / 2.0 * (1.0 / 6_371_008.8 - 1.0 / APPARENT_RADIUS);
        terrain.height(Position::of(lat, lon)).is_some_and(|ground| ground.get() > height + bend)
    })
}

#[test]
fn a_ridge_hides_what_a_second_computation_says_it_hides() {
    let terrain = ridge(120.0);
    let (mut hidden, mut seen) = (0, 0);
    for altitude in (60..400).step_by(20) {
        for away in 1..9 {
            let eye = (Position::of(46.0, -33.08), f64::from(altitude));
            let thing = (Position::of(46.003, -33.0 + f64::from(away) * 0.009), 10.0);
            let blocked = terrain
                .blocks((eye.0, Metres::of(eye.1)), (thing.0, Metres::of(thing.1)))
                .is_some();
            assert_eq!(blocked, again(&terrain, eye, thing), "{altitude} m, {away}");
            if blocked { hidden += 1 } else { seen += 1 }
        }
    }
    assert!(hidden > 20 && seen > 20, "{hidden} hidden, {seen} seen");
}

#[test]
fn ground_that_is_not_known_hides_nothing() {
    let none = Terrain::default();
    let eye = (Position::of(46.0, -33.08), Metres::of(50.0));
    let thing = (Position::of(46.0, -32.95), Metres::of(0.0));
    assert!(none.blocks(eye, thing).is_none());
    assert!(ridge(500.0).blocks(eye, thing).is_some());
    let elsewhere = (Position::of(10.0, 10.0), Metres::of(50.0));
    assert!(ridge(500.0).blocks(elsewhere, (Position::of(10.0, 10.1), Metres::ZERO)).is_none());
    // A place itself.
    assert!(ridge(500.0).blocks(eye, (eye.0, Metres::ZERO)).is_none());
}
