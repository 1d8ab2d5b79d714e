//! Tiles of the Shuttle Radar Topography Mission.
//!
//! A tile covers one degree by one; its name is that of its south-western corner, such as `N46W034`.
//! It has 1201 or 3601 rows of as many points, from the north and from the west, its edges among
//! them, each a height in whole metres: two bytes, the high one first, −32768 for a void.
//!
//! # References
//! NASA JPL, The SRTM Data "Finishing" Process and Products, and the user guide of the SRTM
//! collection (LP DAAC).

use diagnostic::Diagnostic;

use crate::grid::Grid;
use crate::unusable;

const VOID: i16 = i16::MIN;

pub(crate) fn read(name: &str, bytes: &[u8]) -> Result<Grid, Box<Diagnostic>> {
    let side = match bytes.len() {
        2_884_802 => 1201,
        25_934_402 => 3601,
        other => {
            let what =
                format!("it is no TIFF file, and {other} bytes are no tile of 1201 or 3601 rows");
            let help = "give a GeoTIFF file, or a tile of the SRTM (`.hgt`) as it was published";
            return Err(unusable(name, what, help));
        }
    };
    let Some((south, west)) = corner(name) else {
        let what = "its name does not say where the tile lies";
        return Err(unusable(
            name,
            what,
            "name it by its south-western corner, such as `N46W034.hgt`",
        ));
    };
    let heights = bytes.as_chunks::<2>().0.iter().map(|pair| match i16::from_be_bytes(*pair) {
        VOID => f32::NAN,
        height => f32::from(height),
    });
    #[expect(clippy::cast_precision_loss, reason = "one of two small numbers")]
    let step = 1.0 / (side - 1) as f64;
    let grid = Grid::new((south + 1.0, west), (step, step), (side, side), heights.collect());
    grid.ok_or_else(|| unusable(name, "its name is no place on the earth", "mend its name"))
}

/// The corner that a tile's name says, in degrees north and east.
fn corner(name: &str) -> Option<(f64, f64)> {
    let file = name.rsplit(['/', '\\']).next()?;
    let text = file.split('.').next()?.to_ascii_uppercase();
    let (lat, lon) = text.split_at_checked(3)?;
    let number = |text: &str, plus: char, minus: char| {
        let digits = text.get(1..)?;
        let value: u16 =
            digits.bytes().all(|it| it.is_ascii_digit()).then(|| digits.parse().ok())??;
        let sign = if text.starts_with(plus) {
            1.0
        } else if text.starts_with(minus) {
            -1.0
        } else {
            return None;
        };
        Some(sign * f64::from(value))
    };
    if lon.len() != 4 {
        return None;
    }
    let (lat, lon) = (number(lat, 'N', 'S')?, number(lon, 'E', 'W')?);
    ((-90.0..=89.0).contains(&lat) && (-180.0..=179.0).contains(&lon)).then_some((lat, lon))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_a_corner() {
        assert_eq!(corner("N46W034.hgt"), Some((46.0, -34.0)));
        assert_eq!(corner("heights/s01e179.SRTMGL1.hgt"), Some((-1.0, 179.0)));
        for wrong in
            ["N46.hgt", "N46W34.hgt", "X46W034.hgt", "N90E000.hgt", "Nö6W034.hgt", "", "N+6W034"]
        {
            assert_eq!(corner(wrong), None, "{wrong}");
        }
    }
}
