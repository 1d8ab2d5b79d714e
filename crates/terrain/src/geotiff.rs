//! GeoTIFF files of heights in degrees of longitude and latitude.
//!
//! Read are the first image of a file, with one value to a point: whole numbers or floating ones,
//! with or without compression, in strips or tiles, as the `tiff` crate reads them. Where it lies is
//! told by one tie point and the size of a point; whether a value stands for the middle of its point
//! or for its corner by `GTRasterTypeGeoKey`.
//!
//! # References
//! OGC GeoTIFF Standard 1.1 (19-008r4).

use std::io::Cursor;

use diagnostic::Diagnostic;
use tiff::decoder::{Decoder, DecodingResult, Limits};
use tiff::tags::Tag;

use crate::grid::Grid;
use crate::unusable;

/// `GTModelTypeGeoKey`, and its value for longitude and latitude.
const MODEL_TYPE: u16 = 1024;
const GEOGRAPHIC: u16 = 2;
/// `GTRasterTypeGeoKey`, and its value for heights at points, not of areas.
const RASTER_TYPE: u16 = 1025;
const POINT: u16 = 2;

/// `GeogAngularUnitsGeoKey`, and its value for degrees.
const ANGULAR_UNITS: u16 = 2054;
const DEGREES: u16 = 9102;
/// `VerticalUnitsGeoKey`, and its value for metres.
const VERTICAL_UNITS: u16 = 4099;
const METRES: u16 = 9001;

/// No file of heights for a tour is larger than this when decoded, in bytes.
const LARGEST: usize = 1 << 30;

const HELP: &str = "give a GeoTIFF file of heights in metres, in degrees of longitude and latitude, \
                    with one value to a point";

pub(crate) fn read(name: &str, bytes: &[u8]) -> Result<Grid, Box<Diagnostic>> {
    let refused = |what: &dyn std::fmt::Display| unusable(name, what, HELP);
    let mut limits = Limits::default();
    limits.decoding_buffer_size = LARGEST;
    let decoder = Decoder::new(Cursor::new(bytes)).map_err(|error| refused(&error))?;
    let mut decoder = decoder.with_limits(limits);
    let (columns, rows) = decoder.dimensions().map_err(|error| refused(&error))?;
    let keys = decoder.get_tag_u16_vec(Tag::GeoKeyDirectoryTag).unwrap_or_default();
    let key = |wanted: u16| {
        let entries = keys.as_chunks::<4>().0.iter().skip(1);
        entries.filter(|entry| entry[0] == wanted && entry[1] == 0).map(|entry| entry[3]).next()
    };
    match key(MODEL_TYPE) {
        Some(GEOGRAPHIC) => {}
        None => return Err(refused(&"it does not say where it lies (it is no GeoTIFF)")),
        Some(_) => return Err(refused(&"it lies on a map's plane, not in longitude and latitude")),
    }
    if key(ANGULAR_UNITS).is_some_and(|unit| unit != DEGREES) {
        return Err(refused(&"its longitudes and latitudes are not in degrees"));
    }
    if key(VERTICAL_UNITS).is_some_and(|unit| unit != METRES) {
        return Err(refused(&"its heights are not in metres"));
    }
    let numbers = |decoder: &mut Decoder<_>, tag| {
        let value = decoder.find_tag(tag).ok().flatten();
        value.and_then(|value: tiff::decoder::ifd::Value| value.into_f64_vec().ok())
    };
    let scale = numbers(&mut decoder, Tag::ModelPixelScaleTag);
    let tie = numbers(&mut decoder, Tag::ModelTiepointTag);
    let (Some([across, down, ..]), Some([column, row, _, lon, lat, ..])) =
        (scale.as_deref(), tie.as_deref())
    else {
        return Err(refused(&"it does not say where it lies by one tie point and a scale"));
    };
    let void = decoder.find_tag(Tag::GdalNodata).ok().flatten();
    let void = void.and_then(|value| value.into_string().ok());
    let void: Option<f64> = void.and_then(|text| text.trim_matches(['\0', ' ']).parse().ok());
    // A value that stands for an area is the height in its middle.
    let is_point = key(RASTER_TYPE) == Some(POINT);
    let half = if is_point { 0.0 } else { 0.5 };
    let west = lon + (half - column) * across;
    let north = lat - (half - row) * down;
    let heights = decoder.read_image().map_err(|error| refused(&error))?;
    let heights = values(heights, void).ok_or_else(|| refused(&"its values are no heights"))?;
    let size = (rows as usize, columns as usize);
    let grid = Grid::new((north, west), (*down, *across), size, heights);
    let grid = grid.map(|grid| if is_point { grid } else { grid.of_areas() });
    grid.ok_or_else(|| refused(&"it has more than one value to a point, or lies beyond the earth"))
}

fn values(read: DecodingResult, void: Option<f64>) -> Option<Vec<f32>> {
    fn all<T: Copy + Into<f64>>(read: Vec<T>, void: Option<f64>) -> Vec<f32> {
        let height = |value: T| {
            let value: f64 = value.into();
            #[expect(clippy::cast_possible_truncation, reason = "a height fits, to a millimetre")]
            let height = value as f32;
            // A void is compared as the file can hold it: -9999.9 is another number in 32 bits.
            #[expect(clippy::cast_possible_truncation, reason = "both are cut in the same way")]
            let is_void = void.is_some_and(|void| void == value || void as f32 == height);
            if is_void { f32::NAN } else { height }
        };
        read.into_iter().map(height).collect()
    }
    Some(match read {
        DecodingResult::U8(read) => all(read, void),
        DecodingResult::U16(read) => all(read, void),
        DecodingResult::U32(read) => all(read, void),
        DecodingResult::I8(read) => all(read, void),
        DecodingResult::I16(read) => all(read, void),
        DecodingResult::I32(read) => all(read, void),
        DecodingResult::F32(read) => all(read, void),
        DecodingResult::F64(read) => all(read, void),
        _ => return None,
    })
}
