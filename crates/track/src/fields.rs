//! Which elements of a point say something about the flight.
//!
#![doc = include_str!("fields.md")]

/// What an element of a point says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Field {
    Altitude,
    Time,
    Variation,
    Speed(SpeedUnit),
    Course {
        magnetic: bool,
    },
    Heading {
        magnetic: bool,
    },
    /// The name of a waypoint, route point or track.
    Name,
}

/// The unit of a speed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SpeedUnit {
    MetresPerSecond,
    Knots,
    KilometresPerHour,
    /// One that the file names and we do not know.
    Unknown,
}

impl SpeedUnit {
    /// The unit that an attribute's value names.
    pub(crate) fn named(value: &str) -> Self {
        match value.trim().to_ascii_lowercase().as_str() {
            "m/s" | "mps" | "m s-1" => Self::MetresPerSecond,
            "kt" | "kts" | "kn" | "knot" | "knots" => Self::Knots,
            "km/h" | "kmh" | "kph" => Self::KilometresPerHour,
            _ => Self::Unknown,
        }
    }
}

/// The field of a motion element by its local name, as it stands directly in a point or below.
pub(crate) fn motion(local_name: &str) -> Option<Field> {
    match local_name {
        "speed" => return Some(Field::Speed(SpeedUnit::MetresPerSecond)),
        "course" => return Some(Field::Course { magnetic: false }),
        // The commonest of all other names, so that they cost nothing.
        "extensions" | "hdop" | "vdop" | "pdop" | "sat" | "fix" | "name" | "geoidheight" => {
            return None;
        }
        _ => {}
    }
    by_words(local_name)
}

/// The longest name of the table, with room to spare.
const LONGEST: usize = 24;

fn by_words(local_name: &str) -> Option<Field> {
    if local_name.len() > LONGEST {
        return None;
    }
    let mut plain = [0_u8; LONGEST];
    let mut length = 0;
    for byte in local_name.bytes().filter(|b| !matches!(b, b'_' | b'-' | b'.')) {
        *plain.get_mut(length)? = byte.to_ascii_lowercase();
        length += 1;
    }
    let plain = std::str::from_utf8(plain.get(..length)?).ok()?;
    match plain {
        "hdt" => return Some(Field::Heading { magnetic: false }),
        "hdm" => return Some(Field::Heading { magnetic: true }),
        _ => {}
    }
    for word in ["groundspeed", "speed", "sog"] {
        if let Some(rest) = without(plain, word) {
            return speed_unit(rest).map(Field::Speed);
        }
    }
    for word in ["course", "cog", "track"] {
        if let Some(rest) = without(plain, word) {
            return magnetic(rest).map(|magnetic| Field::Course { magnetic });
        }
    }
    for word in ["heading", "hdg"] {
        if let Some(rest) = without(plain, word) {
            return magnetic(rest).map(|magnetic| Field::Heading { magnetic });
        }
    }
    None
}

/// What is left of a name that begins or ends with a word.
fn without<'a>(name: &'a str, word: &str) -> Option<&'a str> {
    name.strip_prefix(word).or_else(|| name.strip_suffix(word))
}

fn speed_unit(word: &str) -> Option<SpeedUnit> {
    match word {
        "" | "mps" | "ms" => Some(SpeedUnit::MetresPerSecond),
        "kt" | "kts" | "knots" => Some(SpeedUnit::Knots),
        "kmh" | "kph" => Some(SpeedUnit::KilometresPerHour),
        _ => None,
    }
}

fn magnetic(word: &str) -> Option<bool> {
    match word {
        "" | "true" => Some(false),
        "magnetic" | "mag" => Some(true),
        _ => None,
    }
}

/// Where a child stands in a point: GPX gives an order, and the two editions together one order
/// that holds for both. `None` for a foreign element.
pub(crate) fn rank_in_point(name: &str) -> Option<u8> {
    Some(match name {
        "ele" => 0,
        "time" => 1,
        "course" => 2,
        "speed" => 3,
        "magvar" => 4,
        "geoidheight" => 5,
        "name" => 6,
        "cmt" => 7,
        "desc" => 8,
        "src" => 9,
        "url" => 10,
        "urlname" => 11,
        "link" => 12,
        "sym" => 13,
        "type" => 14,
        "fix" => 15,
        "sat" => 16,
        "hdop" => 17,
        "vdop" => 18,
        "pdop" => 19,
        "ageofdgpsdata" => 20,
        "dgpsid" => 21,
        "extensions" => 22,
        _ => return None,
    })
}

/// Where a child stands in the root element.
pub(crate) fn rank_in_root(name: &str) -> Option<u8> {
    match name {
        "metadata" => Some(0),
        "wpt" => Some(1),
        "rte" => Some(2),
        "trk" => Some(3),
        "extensions" => Some(4),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table() {
        let speed = |unit| Some(Field::Speed(unit));
        for (name, field) in [
            ("speed", speed(SpeedUnit::MetresPerSecond)),
            ("groundSpeed", speed(SpeedUnit::MetresPerSecond)),
            ("ground_speed", speed(SpeedUnit::MetresPerSecond)),
            ("SOG", speed(SpeedUnit::MetresPerSecond)),
            ("speed_kt", speed(SpeedUnit::Knots)),
            ("sog-knots", speed(SpeedUnit::Knots)),
            ("speed_kmh", speed(SpeedUnit::KilometresPerHour)),
            ("course", Some(Field::Course { magnetic: false })),
            ("cog", Some(Field::Course { magnetic: false })),
            ("track", Some(Field::Course { magnetic: false })),
            ("true_track", Some(Field::Course { magnetic: false })),
            ("track_magnetic", Some(Field::Course { magnetic: true })),
            ("heading", Some(Field::Heading { magnetic: false })),
            ("hdg", Some(Field::Heading { magnetic: false })),
            ("HDT", Some(Field::Heading { magnetic: false })),
            ("trueHeading", Some(Field::Heading { magnetic: false })),
            ("magnetic_heading", Some(Field::Heading { magnetic: true })),
            ("hdg_mag", Some(Field::Heading { magnetic: true })),
            ("hdm", Some(Field::Heading { magnetic: true })),
            ("bearing", None),
            ("airspeed", None),
            ("speed_accuracy", None),
            ("windspeed", None),
            ("trackpointextension", None),
            ("a_name_longer_than_any_in_the_table", None),
            ("", None),
        ] {
            assert_eq!(motion(name), field, "{name}");
        }
    }

    #[test]
    fn order_in_a_point() {
        assert!(rank_in_point("ele") < rank_in_point("time"));
        assert!(rank_in_point("course") < rank_in_point("speed"));
        assert!(rank_in_point("dgpsid") < rank_in_point("extensions"));
        assert_eq!(rank_in_point("extensions"), Some(22));
        assert_eq!(rank_in_point("other"), None);
    }
}
