//! Remedies that are certain: what an author can only have meant, and the change that writes it.
//!
//! A hint may be wrong and costs nothing; a change is made to the author's text. So the bar is
//! higher here than for [`crate::near`]: where two things could be meant, nothing is offered.

use diagnostic::Edit;
use earth::Position;

use crate::bounds::Range;
use crate::coordinates;
use crate::decode::{nearness, plain};
use crate::span::{FileId, SourceFile, Sources, Span};
use crate::units::{self, Quantity, QuantityError};
use crate::yaml::{self, Node, NodeKind};

/// A word that is shorter can be another word by one letter (`bay` and `day`).
const SHORT: usize = 4;

/// The one name of `known` that `written` can only be a slip of the pen for.
///
/// It is the only one that is [near](crate::near), and it differs by upper and lower case, `-`, `_`
/// and blanks alone; or one of its words, of four letters or more, has a letter too many, one too
/// few, two exchanged, or a wrong one inside. Numbers never differ: `camera-2` is not meant to be
/// `camera-1`, and neither is `coast-b` meant to be `coast-a`.
#[must_use]
pub fn slip<'k>(written: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let mut near = known.into_iter().filter(|name| nearness(written, name).is_some());
    let only = near.next()?;
    if near.any(|other| other != only) {
        return None;
    }
    is_slip(&plain(written), &plain(only)).then_some(only)
}

fn is_slip(written: &str, meant: &str) -> bool {
    if written.split(' ').eq(meant.split(' ')) || written.replace(' ', "") == meant.replace(' ', "")
    {
        return true;
    }
    let digits = |text: &str| text.chars().filter(|c| c.is_numeric()).collect::<String>();
    let (ours, theirs): (Vec<&str>, Vec<&str>) =
        (written.split(' ').collect(), meant.split(' ').collect());
    let mut differ = ours.iter().zip(&theirs).filter(|(one, other)| one != other);
    let (Some((one, other)), None) = (differ.next(), differ.next()) else { return false };
    ours.len() == theirs.len() && digits(one) == digits(other) && is_slip_of_a_word(one, other)
}

fn is_slip_of_a_word(written: &str, meant: &str) -> bool {
    let (ours, theirs): (Vec<char>, Vec<char>) =
        (written.chars().collect(), meant.chars().collect());
    if theirs.len() < SHORT || ours.first() != theirs.first() {
        return false;
    }
    if strsim::damerau_levenshtein(written, meant) != 1 {
        return false;
    }
    // A wrong last letter is often meant: `eastA`, `eastB`.
    let differ = ours.iter().zip(&theirs).filter(|(one, other)| one != other).count();
    ours.len() != theirs.len() || differ == 2 || ours.last() == theirs.last()
}

impl SourceFile {
    /// The change of `before` to `after` in `span`, where it must stand letter by letter, with or
    /// without quotes around it. None where it does not, or where `after` would need quotes or
    /// other quotes there.
    #[must_use]
    pub fn instead(&self, span: Span, before: &str, after: &str) -> Option<Edit> {
        let raw = self.text.get(span.start..span.end)?;
        let quoted = |quote: char| raw.strip_prefix(quote)?.strip_suffix(quote);
        let in_quotes = [quoted('"'), quoted('\'')].contains(&Some(before));
        if before.is_empty() || !(raw == before || in_quotes) {
            return None;
        }
        let harmless = |c: char| c.is_alphanumeric() || " -_./°".contains(c) || before.contains(c);
        let has_ends = after.trim() == after && !after.is_empty();
        let is_plain = !after.starts_with("- ") && !matches!(after, "-" | "null" | "~");
        if !has_ends || !after.chars().all(harmless) || !(in_quotes || is_plain) {
            return None;
        }
        let start = span.start + usize::from(in_quotes);
        let place = self.place(Span { start, end: start + before.len(), ..span });
        Some(Edit::write(place, before, after))
    }
}

impl Sources {
    /// [`SourceFile::instead`], in the file of the span.
    #[must_use]
    pub fn instead(&self, span: Span, before: &str, after: &str) -> Option<Edit> {
        self.file(span.file)?.instead(span, before, after)
    }

    /// The changes that exchange latitude and longitude of the coordinates in `span`, so that they
    /// are those of `meant`. Letters of hemispheres stay where they are. None where the coordinates
    /// are written in a way that does not allow it.
    #[must_use]
    pub fn exchanged(&self, span: Span, meant: Position) -> Vec<Edit> {
        self.file(span.file).and_then(|file| exchanged(file, span, meant)).unwrap_or_default()
    }
}

fn exchanged(file: &SourceFile, span: Span, meant: Position) -> Option<Vec<Edit>> {
    let node = node(file, span)?;
    match &node.kind {
        NodeKind::Scalar(scalar) => {
            let better = exchange(&scalar.text, meant)?;
            Some(vec![file.instead(node.span, &scalar.text, &better)?])
        }
        NodeKind::Map(pairs) => {
            let angle = |key: &str| match pairs.iter().find(|pair| pair.key == key)?.value {
                Node { kind: NodeKind::Scalar(ref scalar), span, .. } => {
                    Some((&*scalar.text, span))
                }
                _ => None,
            };
            let ((lat, lat_at), (lon, lon_at)) = (angle("lat")?, angle("lon")?);
            let (new_lat, new_lon) = if lettered(lat) {
                keeping_letters(lat, lon)?
            } else {
                (lon.to_owned(), lat.to_owned())
            };
            let position = coordinates::made(
                coordinates::single(&new_lat, coordinates::Axis::Latitude).ok()?,
                coordinates::single(&new_lon, coordinates::Axis::Longitude).ok()?,
            );
            if !is_at(position.ok()?, meant) {
                return None;
            }
            let edits =
                [file.instead(lat_at, lat, &new_lat)?, file.instead(lon_at, lon, &new_lon)?];
            Some(edits.into())
        }
        _ => None,
    }
}

/// The value at a span, read again. What stands before it on its line is blanked out, so that it is
/// read with its indentation.
fn node(file: &SourceFile, span: Span) -> Option<Node> {
    let text = file.text.get(span.start..span.end)?;
    let line = file.text.get(..span.start)?.rfind('\n').map_or(0, |at| at + 1);
    let alone = SourceFile::new("", format!("{}{text}", " ".repeat(span.start - line)));
    let mut node = yaml::parse(FileId(0), &alone, &mut Vec::new())?;
    let shift = |at: &mut Span| {
        *at = Span { file: span.file, start: at.start + line, end: at.end + line };
    };
    shift(&mut node.span);
    if let NodeKind::Map(pairs) = &mut node.kind {
        pairs.iter_mut().for_each(|pair| shift(&mut pair.value.span));
    }
    Some(node)
}

/// A pair of coordinates with its angles exchanged, if that is how `meant` can be written.
fn exchange(text: &str, meant: Position) -> Option<String> {
    // Where one angle ends and the other begins is tried out: a text of coordinates is short.
    let cuts = text.char_indices().map(|(at, _)| at).skip(1).take(80);
    cuts.filter_map(|at| {
        let (first, second) = (text.get(..at)?, text.get(at..)?);
        let first_angle = first.trim_end_matches([',', ' ']);
        let second_angle = second.trim_start_matches([',', ' ']);
        let between = text.get(first_angle.len()..text.len() - second_angle.len())?;
        let (one, other) = if lettered(text) {
            keeping_letters(first_angle, second_angle)?
        } else {
            (second_angle.to_owned(), first_angle.to_owned())
        };
        Some(format!("{one}{between}{other}"))
    })
    .find(|better| coordinates::position(better).is_ok_and(|found| is_at(found, meant)))
}

const LETTERS: [char; 8] = ['N', 'S', 'E', 'W', 'n', 's', 'e', 'w'];

fn lettered(text: &str) -> bool {
    text.contains(LETTERS)
}

/// Two angles with their numbers exchanged and their letters where they were.
fn keeping_letters(first: &str, second: &str) -> Option<(String, String)> {
    let number = |angle: &str| {
        let inner = angle.trim_matches(|c: char| LETTERS.contains(&c) || c == ' ');
        let start = angle.find(inner)?;
        (!inner.is_empty()).then(|| (start, inner.to_owned()))
    };
    let ((first_at, one), (second_at, other)) = (number(first)?, number(second)?);
    let put = |angle: &str, at: usize, old: &str, new: &str| {
        let mut angle = angle.to_owned();
        angle.replace_range(at..at + old.len(), new);
        angle
    };
    Some((put(first, first_at, &one, &other), put(second, second_at, &other, &one)))
}

/// Whether two positions are one as far as writing goes: a millionth of a degree is 0.1 m.
fn is_at(found: Position, meant: Position) -> bool {
    (found.lat() - meant.lat()).abs() < 1e-6 && (found.lon() - meant.lon()).abs() < 1e-6
}

/// How a quantity that cannot be read must have been meant.
///
/// - A number alone, where whatever measures such a thing here is one unit (angles, rates and
///   amounts of data), where it is zero, or where it is a time and only seconds give a length that
///   may stand here. A length or speed may always be in two.
/// - A unit written in another way that means nothing else.
/// - A decimal comma, unless it may part thousands.
pub(crate) fn amount(text: &str, range: Range) -> Option<String> {
    let better = match units::quantity(text, range.quantity).err()? {
        QuantityError::UnitMissing(kind) => {
            let value = units::number(text)?;
            let unit = kind.units().first()?;
            let same = kind.units().iter().all(|other| other.si(1.0) == unit.si(1.0));
            let fitting = kind.units().iter().filter(|unit| range.holds(unit.si(value)));
            let alone = kind == Quantity::Time && fitting.count() == 1;
            (same || value == 0.0 || alone).then(|| format!("{text} {}", unit.symbol))?
        }
        QuantityError::UnitUnknown { unit, meant: Some(meant), .. } if means_one_thing(&unit) => {
            let number = text.strip_suffix(&unit)?;
            format!("{number}{meant}")
        }
        QuantityError::DecimalComma(better) if !may_part_thousands(&better) => better,
        _ => return None,
    };
    let value = units::quantity(&better, range.quantity).ok()?;
    range.holds(value).then_some(better)
}

/// Whether another spelling of a unit can be nothing else. `sm` is a statute mile too, `M` a
/// nautical one, `g` and `GiB` are no GB, `MB/s` is eight times `Mbit/s`, and `ms` a millisecond.
fn means_one_thing(unit: &str) -> bool {
    let unit = unit.trim();
    let two = ["sm", "g", "gib", "mb/s", "ms"].contains(&unit.to_lowercase().as_str());
    !two && !matches!(unit, "M" | "Gb" | "MBps" | "MBPS")
}

/// Whether the point in a number, which was a comma, may have parted thousands: `1,500 ft`.
pub(crate) fn may_part_thousands(with_point: &str) -> bool {
    let Some((whole, rest)) = with_point.split_once('.') else { return false };
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let whole = whole.trim_start_matches('-');
    digits == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0')
}

/// Coordinates with their decimal commas made points, if they can be read then.
pub(crate) fn points_for_commas(text: &str) -> String {
    let digit = |at: Option<usize>| {
        at.and_then(|at| text.as_bytes().get(at)).is_some_and(u8::is_ascii_digit)
    };
    let between = |at: usize| digit(at.checked_sub(1)) && digit(at.checked_add(1));
    let better = |(at, c)| if c == ',' && between(at) { '.' } else { c };
    text.char_indices().map(better).collect()
}

/// The one file of `there` that `written`, which is not there, can only be meant to name: the same
/// name with the other ending of such files, or a slip of the pen before the ending.
pub(crate) fn file_name<'k>(written: &str, there: &'k [String]) -> Option<&'k str> {
    const ENDINGS: [&str; 2] = [".yaml", ".yml"];
    let stem = |name: &str| {
        let stem = ENDINGS.into_iter().find_map(|ending| name.strip_suffix(ending));
        stem.map(str::to_owned)
    };
    if there.iter().any(|name| name == written) {
        return None;
    }
    let wanted = stem(written)?;
    let stems: Vec<(String, &str)> =
        there.iter().filter_map(|name| Some((stem(name)?, name.as_str()))).collect();
    let meant = stems.iter().map(|(stem, _)| stem.as_str());
    let meant = meant.clone().find(|stem| *stem == wanted).or_else(|| slip(&wanted, meant))?;
    let mut named = stems.iter().filter(|(stem, _)| stem == meant).map(|(_, name)| *name);
    named.next().filter(|_| named.next().is_none())
}

/// What people write between the two ends of a window or band, other than the two points.
const BETWEEN: [&str; 8] = ["...", "…", " to ", " - ", " – ", "–", "—", "-"];

/// A window or band with two points between its ends, if both can then be read.
pub(crate) fn with_points(text: &str, is_end: impl Fn(&str) -> bool) -> Option<String> {
    BETWEEN.into_iter().find_map(|between| {
        let (from, to) = text.split_once(between)?;
        let (from, to) = (from.trim(), to.trim());
        (is_end(from) && is_end(to)).then(|| format!("{from}..{to}"))
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use diagnostic::{Diagnostic, Place};

    use super::*;
    use crate::bounds;

    #[test]
    fn a_slip_of_the_pen_is_known() {
        let known = ["left", "right", "look at", "arch-northbound", "BAY", "camera-1"];
        for (written, meant) in [
            ("lfet", "left"),
            ("leeft", "left"),
            ("lft", "left"),
            ("Left", "left"),
            ("rigth", "right"),
            ("ringht", "right"),
            ("look_at", "look at"),
            ("lookAt", "look at"),
            ("arch-norhtbound", "arch-northbound"),
            ("Arch Northbound", "arch-northbound"),
            ("bay", "BAY"),
            ("caemra-1", "camera-1"),
        ] {
            assert_eq!(slip(written, known), Some(meant), "{written}");
        }
    }

    #[test]
    fn what_may_be_another_name_is_none() {
        let known = ["near", "bay", "arch-northbound", "camera-1", "coast-a", "eastA", "port"];
        for written in [
            "rear",
            "day",
            "arch-southbound",
            "camera-2",
            "camera-12",
            "coast-b",
            "eastB",
            "fort",
            "arch",
            "",
        ] {
            assert_eq!(slip(written, known), None, "{written}");
        }
        // Two that are near.
        assert_eq!(slip("coasst", ["coast", "coasts"]), None);
        assert_eq!(slip("Arch", ["arch", "ARCH"]), None);
    }

    #[test]
    fn amounts_that_can_only_be_one() {
        for (text, range, meant) in [
            ("90", bounds::VIEW_WIDTH, Some("90 deg")),
            ("25", bounds::BIT_RATE, Some("25 Mbit/s")),
            ("128", bounds::CARD, Some("128 GB")),
            ("0", bounds::ELEVATION, Some("0 m")),
            ("20", bounds::MINIMUM_SHOT, Some("20 s")),
            ("400", bounds::VIEW_WIDTH, None),
            ("900", bounds::ALTITUDE, None),
            ("90", bounds::AIRSPEED, None),
            ("20", bounds::WAIT, None),
            ("5nm", bounds::RADIUS, Some("5NM")),
            ("500 feet", bounds::ALTITUDE, Some("500 ft")),
            ("3  m", bounds::RADIUS, Some("3 m")),
            ("90 kts", bounds::AIRSPEED, Some("90 kt")),
            ("5 sm", bounds::RADIUS, None),
            ("5 M", bounds::RADIUS, None),
            ("25 MBps", bounds::BIT_RATE, None),
            ("128 GiB", bounds::CARD, None),
            ("0,4 NM", bounds::RADIUS, Some("0.4 NM")),
            ("0,400 NM", bounds::RADIUS, Some("0.400 NM")),
            ("1,5 km", bounds::RADIUS, Some("1.5 km")),
            ("1,500 ft", bounds::ALTITUDE, None),
            ("600 m", bounds::RADIUS, None),
        ] {
            assert_eq!(amount(text, range).as_deref(), meant, "{text}");
        }
    }

    #[test]
    fn coordinates_are_exchanged_in_every_form() {
        let meant = Position::new(61.5, -6.75).unwrap();
        for (wrong, better) in [
            ("-6.75, 61.5", "61.5, -6.75"),
            ("-6.75,61.5", "61.5,-6.75"),
            ("-6.75 61.5", "61.5 -6.75"),
            ("-6 45 61 30", "61 30 -6 45"),
            ("6.75 N, 61.5 W", "61.5 N, 6.75 W"),
            ("N6.75 W61.5", "N61.5 W6.75"),
            ("6°45'N 061°30'W", "061°30'N 6°45'W"),
            ("6 45 00 N 61 30 00 W", "61 30 00 N 6 45 00 W"),
        ] {
            assert_eq!(exchange(wrong, meant).as_deref(), Some(better), "{wrong}");
        }
        for other in ["-6.75, 61.4", "61.5, -6.75", "6.75 S, 61.5 W"] {
            assert_eq!(exchange(other, meant), None, "{other}");
        }
    }

    /// The text with the angles of the coordinates in it exchanged.
    fn with_exchanged(text: &str, at: &str, meant: Position) -> Option<String> {
        let start = text.find(at).unwrap();
        let mut sources = Sources::new();
        let file = sources.add(SourceFile::new("t", text));
        let edits = sources.exchanged(Span { file, start, end: start + at.len() }, meant);
        let finding = Diagnostic::error("x", Place::whole("t"), "wrong").edits(edits);
        let mended = diagnostic::mend(text, |_| true, std::slice::from_ref(&finding));
        (!mended.made.is_empty()).then_some(mended.text)
    }

    #[test]
    fn exchanging_keeps_quotes_keys_and_layout() {
        let meant = Position::new(61.5, -6.75).unwrap();
        let done = |text, at| with_exchanged(text, at, meant);
        let quoted = "  A: {at: \"6.75 N, 61.5 W\"}  # why\n";
        let mended = "  A: {at: \"61.5 N, 6.75 W\"}  # why\n";
        assert_eq!(done(quoted, "\"6.75 N, 61.5 W\"").as_deref(), Some(mended));
        let flow = "æ:\n  A: {at: {lon: 61.5, lat: '-6.75'}}\n";
        let mended = "æ:\n  A: {at: {lon: -6.75, lat: '61.5'}}\n";
        assert_eq!(done(flow, "{lon: 61.5, lat: '-6.75'}").as_deref(), Some(mended));
        let block = "A:\n  at:\n    lat: 6.75 N\n    lon: W 61.5 # far\n";
        let mended = "A:\n  at:\n    lat: 61.5 N\n    lon: W 6.75 # far\n";
        assert_eq!(done(block, "lat: 6.75 N\n    lon: W 61.5").as_deref(), Some(mended));
        assert_eq!(done("at: \"6.75\\x20N, 61.5 W\"", "\"6.75\\x20N, 61.5 W\""), None);
    }

    #[test]
    fn a_text_is_changed_only_where_it_stands_letter_by_letter() {
        let text = "a: \"lft\"\nb: 'lft'\nc: lft\nd: \"l\\x66t\"\n";
        let file = SourceFile::new("t", text);
        let instead = |raw: &str, after: &str| {
            let start = text.find(raw).unwrap();
            let span = Span { file: FileId(0), start, end: start + raw.len() };
            file.instead(span, "lft", after).map(|edit| edit.place.bytes)
        };
        assert_eq!(instead("\"lft\"", "left"), Some((4, 7)));
        assert_eq!(instead("'lft'", "left"), Some((13, 16)));
        assert_eq!(instead("lft", "left"), Some((4, 7)));
        assert_eq!(instead("\"l\\x66t\"", "left"), None);
        for odd in ["le: ft", "le#ft", "", " left", "null", "- left", "le\nft", "le\"ft"] {
            assert_eq!(instead("lft", odd), None, "{odd}");
        }
    }

    #[test]
    fn a_file_is_known_by_its_name_before_the_ending() {
        let there = ["sights.yaml", "zones.yml", "a1.yaml", "ab.yaml", "notes.txt", "two.yaml"];
        let mut there: Vec<String> = there.map(str::to_owned).into();
        let meant = |written, there: &[String]| file_name(written, there).map(str::to_owned);
        assert_eq!(meant("sigths.yaml", &there).as_deref(), Some("sights.yaml"));
        assert_eq!(meant("zones.yaml", &there).as_deref(), Some("zones.yml"));
        for other in ["a2.yaml", "ac.yaml", "notse.txt", "sights.yaml", "sights"] {
            assert_eq!(meant(other, &there), None, "{other}");
        }
        there.push("two.yml".into());
        assert_eq!(meant("Two.yaml", &there), None);
    }

    #[test]
    fn two_ends_are_parted_by_points() {
        let is_end = |text: &str| units::quantity(text, Quantity::Length).is_ok();
        let mended = |text| with_points(text, is_end);
        for text in ["300 ft - 1500 ft", "300 ft–1500 ft", "300 ft to 1500 ft", "300 ft...1500 ft"]
        {
            assert_eq!(mended(text).as_deref(), Some("300 ft..1500 ft"), "{text}");
        }
        assert_eq!(mended("300-1500 ft"), None);
        assert_eq!(mended("-30 m - -20 m").as_deref(), Some("-30 m..-20 m"));
    }

    #[test]
    fn commas_between_digits_are_points() {
        assert_eq!(points_for_commas("61,2345, -6,7890"), "61.2345, -6.7890");
        assert_eq!(points_for_commas(",1,æ,2,"), ",1,æ,2,");
    }
}
