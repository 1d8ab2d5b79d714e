//! Readers of single values.

use earth::{Degrees, DegreesTrue, Metres, MetresPerSecond, Millis, Position, Utc};

use crate::bounds::{self, NumberRange, Range};
use crate::coordinates::{self, Axis, CoordinateError};
use crate::decode::{Keys, Mapping, Reader, Reads, near, of};
use crate::model::{Altitude, Band, North, SpeedBand, Spot, Window};
use crate::shape::{Definition, Shape, Shapes};
use crate::span::{Name, Spanned};
use crate::units::{self, Quantity};
use crate::yaml::{Node, NodeKind};

/// A reader whose value is made into another.
pub(crate) struct Map<R, F>(R, F);

impl<R: Reads, T, F: Fn(R::Out) -> T> Reads for Map<R, F> {
    type Out = T;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        self.0.shape(shapes)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<T> {
        self.0.read(node, reader).map(&self.1)
    }
}

/// Any text that is not blank.
pub(crate) struct Text;

impl Reads for Text {
    type Out = String;

    fn shape(&self, _: &mut Shapes) -> Shape {
        Shape::Text
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<String> {
        let text = reader.scalar(node, "a text")?.text.trim();
        if text.is_empty() {
            reader.error(
                "empty-value",
                node.span,
                "the text is blank",
                "write it, or leave the key out",
            );
            return None;
        }
        Some(text.to_owned())
    }
}

/// `true` or `false`.
pub(crate) struct Flag;

impl Reads for Flag {
    type Out = bool;

    fn shape(&self, _: &mut Shapes) -> Shape {
        Shape::Flag
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<bool> {
        word(&[("true", true), ("false", false)]).read(node, reader)
    }
}

/// One of some words.
pub(crate) struct Word<T: 'static>(&'static [(&'static str, T)]);

/// One of some words, each with what it stands for.
pub(crate) const fn word<T: Copy>(words: &'static [(&'static str, T)]) -> Word<T> {
    Word(words)
}

impl<T: Copy> Reads for Word<T> {
    type Out = T;

    fn shape(&self, _: &mut Shapes) -> Shape {
        Shape::Words(self.0.iter().map(|(word, _)| *word).collect())
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<T> {
        let listed: Vec<_> = self.0.iter().map(|(word, _)| format!("`{word}`")).collect();
        let listed = match listed.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
            _ => listed.concat(),
        };
        let text = &reader.scalar(node, &listed)?.text;
        if let Some((_, value)) = self.0.iter().find(|(word, _)| word == text) {
            return Some(*value);
        }
        let meant = near(text, self.0.iter().map(|(word, _)| *word));
        reader.error(
            "unknown-word",
            node.span,
            format!("`{}` cannot stand here", shortened(text)),
            match meant {
                Some(meant) => format!("`{meant}` is probably meant; write {listed}"),
                None => format!("write {listed}"),
            },
        );
        None
    }
}

/// A name of an author's own.
pub(crate) struct NameText;

/// The pattern of a [`Name`], for editors.
const NAME_PATTERN: &str = r"\p{L}[\p{L}\p{N}_-]*";

impl Reads for NameText {
    type Out = Name;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        pattern(
            shapes,
            "name",
            "A name: a letter, then letters, digits, `-` and `_`. Upper and lower case differ.",
            NAME_PATTERN.to_owned(),
            &["ARCH", "arch-northbound"],
        )
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Name> {
        let text = &reader.scalar(node, "a name")?.text;
        name_of(text, node.span, reader)
    }
}

/// A name, or a report of why it is none.
pub(crate) fn name_of(
    text: &str,
    span: crate::span::Span,
    reader: &mut Reader<'_>,
) -> Option<Name> {
    match Name::new(text) {
        Ok(name) => Some(name),
        Err(why) => {
            let better: String = text
                .trim()
                .chars()
                .map(|c| if c.is_alphanumeric() || c == '_' { c } else { '-' })
                .take(40)
                .collect();
            let help = if Name::new(&better).is_ok() {
                format!("{why}: `{better}`")
            } else {
                why.to_string()
            };
            reader.error("bad-name", span, format!("`{}` is not a name", shortened(text)), help);
            None
        }
    }
}

/// A quantity within a range, in SI units.
pub(crate) struct Amount(Range);

/// A length in metres.
pub(crate) fn metres(range: Range) -> Map<Amount, fn(f64) -> Metres> {
    Map(Amount(range), Metres::of)
}

/// A speed or a rate of climb.
pub(crate) fn speed(range: Range) -> Map<Amount, fn(f64) -> MetresPerSecond> {
    Map(Amount(range), MetresPerSecond::of)
}

/// An angle.
pub(crate) fn degrees(range: Range) -> Map<Amount, fn(f64) -> Degrees> {
    Map(Amount(range), Degrees::of)
}

/// A length of time, to the nearest millisecond.
pub(crate) fn millis(range: Range) -> Map<Amount, fn(f64) -> Millis> {
    Map(Amount(range), Millis::from_secs_f64)
}

/// A quantity in whole SI units.
pub(crate) fn whole_amount(range: Range) -> Map<Amount, fn(f64) -> u64> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the range holds the value far inside that of the integer"
    )]
    Map(Amount(range), |value| value.round() as u64)
}

impl Reads for Amount {
    type Out = f64;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let (name, examples): (_, &'static [&'static str]) = match self.0.quantity {
            Quantity::Length => ("length", &["600 m", "0.4 NM", "900 ft", "3 km"]),
            Quantity::Speed => ("speed", &["80 kt", "40 m/s", "150 km/h"]),
            Quantity::ClimbRate => ("rate of climb", &["500 ft/min", "2.5 m/s"]),
            Quantity::Time => ("time", &["20 s", "1.5 min", "1 h"]),
            Quantity::Angle => ("angle", &["15 deg", "15°"]),
            Quantity::DataRate => ("bit rate", &["25 Mbit/s"]),
            Quantity::DataSize => ("data size", &["128 GB"]),
        };
        let about = format!(
            "{}{}: a number and a unit, {}.",
            self.0.quantity.words().get(..1).unwrap_or_default().to_uppercase(),
            self.0.quantity.words().get(1..).unwrap_or_default(),
            self.0.quantity.units_in_words(),
        );
        pattern(shapes, name, &about, self.0.quantity.pattern(), examples);
        Shape::Amount(self.0)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<f64> {
        let text = &reader.scalar(node, self.0.quantity.words())?.text;
        amount_of(text, self.0, node.span, reader)
    }
}

/// The quantity of a text, or a report of why it is none.
fn amount_of(
    text: &str,
    range: Range,
    span: crate::span::Span,
    reader: &mut Reader<'_>,
) -> Option<f64> {
    match units::quantity(text, range.quantity) {
        Ok(value) if range.holds(value) => Some(value),
        Ok(_) => {
            reader.error(
                "number-out-of-range",
                span,
                format!("{} of {} is out of range", range.what, shortened(text)),
                format!("write from {} to {}", range.least, range.most),
            );
            None
        }
        Err(error) => {
            reader.error(error.name(), span, error.to_string(), error.help());
            None
        }
    }
}

/// A plain number within a range.
pub(crate) struct Number {
    range: NumberRange,
    whole: bool,
}

/// A number, whole or not.
pub(crate) const fn number(range: NumberRange) -> Number {
    Number { range, whole: false }
}

/// A whole number.
#[expect(
    clippy::cast_possible_truncation,
    reason = "the range holds the value inside that of the integer"
)]
pub(crate) fn whole(range: NumberRange) -> Map<Number, fn(f64) -> i32> {
    Map(Number { range, whole: true }, |value| value as i32)
}

/// A whole number that is not negative.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the range holds the value inside that of the integer"
)]
pub(crate) fn count(range: NumberRange) -> Map<Number, fn(f64) -> u32> {
    Map(Number { range, whole: true }, |value| value as u32)
}

/// A true direction: a plain number of degrees from 0 to 360.
pub(crate) fn direction() -> Map<Number, fn(f64) -> DegreesTrue> {
    Map(number(bounds::DIRECTION), DegreesTrue::of)
}

/// A direction from the nose: a plain number of degrees from 0 to 360, clockwise.
pub(crate) fn from_the_nose() -> Map<Number, fn(f64) -> Degrees> {
    Map(number(bounds::DIRECTION), |value| Degrees::of(DegreesTrue::of(value).get()))
}

impl Reads for Number {
    type Out = f64;

    fn shape(&self, _: &mut Shapes) -> Shape {
        Shape::Number { whole: self.whole, least: self.range.least, most: self.range.most }
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<f64> {
        let needed = if self.whole { "a whole number" } else { "a number" };
        let text = &reader.scalar(node, needed)?.text;
        let help = format!("write {needed} from {} to {}", self.range.least, self.range.most);
        let value = match units::number(text) {
            Some(value) if !self.whole || value.fract() == 0.0 => value,
            _ => {
                let comma =
                    text.contains(',') && units::number(&text.replacen(',', ".", 1)).is_some();
                let (name, headline) = if comma {
                    ("decimal-comma", "a comma in a number".to_owned())
                } else {
                    ("bad-number", format!("`{}` is not {needed}", shortened(text)))
                };
                let help = if comma { "write a point instead".to_owned() } else { help };
                reader.error(name, node.span, headline, help);
                return None;
            }
        };
        if !(self.range.least..=self.range.most).contains(&value) {
            reader.error(
                "number-out-of-range",
                node.span,
                format!("{} of {} is out of range", self.range.what, shortened(text)),
                help,
            );
            return None;
        }
        Some(value)
    }
}

/// A position by its coordinates.
pub(crate) struct Coordinates;

/// The mapping form of coordinates.
struct LatLon(Position);

/// One angle of the mapping form.
struct Single(Axis);

impl Reads for Single {
    type Out = f64;

    fn shape(&self, _: &mut Shapes) -> Shape {
        let range = match self.0 {
            Axis::Latitude => bounds::LATITUDE,
            Axis::Longitude => bounds::LONGITUDE,
        };
        Shape::Any(vec![
            Shape::Number { whole: false, least: range.least, most: range.most },
            Shape::Text,
        ])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<f64> {
        let text = &reader.scalar(node, "an angle")?.text;
        coordinates::single(text, self.0).map_err(|error| odd(&error, node, reader)).ok()
    }
}

impl Mapping for LatLon {
    const NAME: &'static str = "latitude and longitude";
    const ABOUT: &'static str = "Coordinates as two keys.";

    fn keys(keys: &mut Keys<'_, '_>) -> Option<Self> {
        let lat = keys.req("lat", "the latitude, north positive", Single(Axis::Latitude));
        let lon = keys.req("lon", "the longitude, east positive", Single(Axis::Longitude));
        coordinates::made(lat?.value, lon?.value).ok().map(Self)
    }
}

impl Reads for Coordinates {
    type Out = Position;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let text = pattern(
            shapes,
            "coordinates",
            "Latitude and longitude on WGS 84: decimal degrees, degrees and decimal minutes, or \
             degrees, minutes and seconds.",
            r#"[-−NSEWnsew0-9][-−NSEWnsew0-9°º'′’"″”., ]*"#.to_owned(),
            &["61.2345, -6.7890", "61°12.345'N 006°45.678'W", "61 12 30 N, 6 45 10 W"],
        );
        Shape::Any(vec![text, of::<LatLon>().shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Position> {
        if matches!(node.kind, NodeKind::Map(_)) {
            return of::<LatLon>().read(node, reader).map(|LatLon(at)| at);
        }
        let text = &reader.scalar(node, "coordinates")?.text;
        coordinates::position(text).map_err(|error| odd(&error, node, reader)).ok()
    }
}

fn odd(error: &CoordinateError, node: &Node, reader: &mut Reader<'_>) {
    reader.error(error.name(), node.span, error.to_string(), error.help());
}

/// A place by name or by coordinates.
pub(crate) struct Place;

impl Reads for Place {
    type Out = Spot;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        Shape::Any(vec![NameText.shape(shapes), Coordinates.shape(shapes)])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Spot> {
        if let NodeKind::Scalar(scalar) = &node.kind
            && let Ok(name) = Name::new(&scalar.text)
        {
            return Some(Spot::Named(name));
        }
        if let NodeKind::Scalar(scalar) = &node.kind
            && !scalar.text.contains(|c: char| c.is_ascii_digit())
        {
            name_of(&scalar.text, node.span, reader);
            return None;
        }
        Coordinates.read(node, reader).map(Spot::At)
    }
}

/// An altitude above mean sea level or above a place.
pub(crate) struct AltitudeText;

const ABOVE_PLACE: &str = " above ";

impl Reads for AltitudeText {
    type Out = Altitude;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        pattern(
            shapes,
            "altitude",
            "An altitude above mean sea level, or a height above a place of known elevation.",
            altitude_pattern(),
            &["900 ft", "300 m", "500 ft above PAD"],
        )
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Altitude> {
        let text = &reader.scalar(node, "an altitude")?.text;
        altitude_of(node, 0, text, reader)
    }
}

fn altitude_pattern() -> String {
    format!("{}( above {NAME_PATTERN})?", Quantity::Length.pattern())
}

/// The altitude in `text`, which stands at byte `at` of the node's scalar.
fn altitude_of(node: &Node, at: usize, text: &str, reader: &mut Reader<'_>) -> Option<Altitude> {
    let (amount, place) = match text.split_once(ABOVE_PLACE) {
        Some((amount, place)) => (amount, Some(place)),
        None => (text, None),
    };
    let span = reader.part(node, at, at + amount.len());
    let value = amount_of(amount, bounds::ALTITUDE, span, reader);
    let above = match place {
        None => None,
        Some(place) => {
            let start = at + amount.len() + ABOVE_PLACE.len();
            let span = reader.part(node, start, start + place.len());
            Some(Spanned { value: name_of(place, span, reader)?, span })
        }
    };
    Some(Altitude { value: Metres::of(value?), above })
}

/// The two ends of `a..b`, `above a` or `below b`, each with its byte in the text.
type Ends<'t> = (Option<(usize, &'t str)>, Option<(usize, &'t str)>);

fn ends(text: &str) -> Option<Ends<'_>> {
    let trimmed = |at: usize, part: &'_ str| at + part.len() - part.trim_start().len();
    if let Some((from, to)) = text.split_once("..") {
        let at = from.len() + 2;
        return Some((Some((trimmed(0, from), from.trim())), Some((trimmed(at, to), to.trim()))));
    }
    if let Some(from) = text.strip_prefix("above ") {
        return Some((Some((6, from)), None));
    }
    text.strip_prefix("below ").map(|to| (None, Some((6, to))))
}

/// A band of altitude.
pub(crate) struct BandText;

impl Reads for BandText {
    type Out = Band;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let end = altitude_pattern();
        pattern(
            shapes,
            "altitude band",
            "A band of altitude, both ends included; each end may be above a place.",
            format!(r"({end} ?\.\. ?{end}|(above|below) {end})"),
            &["300 ft..1500 ft", "above 500 ft", "below 1000 ft", "500 ft above PAD..2000 ft"],
        )
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Band> {
        let text = &reader.scalar(node, "a band of altitude")?.text;
        let Some((from, to)) = ends(text) else {
            no_band(node, text, "300 ft..1500 ft", "above 300 ft", "below 1500 ft", reader);
            return None;
        };
        let mut end = |end: Option<(usize, &str)>| match end {
            None => Some(None),
            Some((at, written)) => {
                let span = reader.part(node, at, at + written.len());
                let value = altitude_of(node, at, written, reader)?;
                Some(Some(Spanned { value, span }))
            }
        };
        let (from, to) = (end(from), end(to));
        let (from, to) = (from?, to?);
        if let (Some(low), Some(high)) = (&from, &to) {
            let level =
                |end: &Spanned<Altitude>| end.value.above.as_ref().map(|place| place.value.clone());
            if level(low) == level(high) && low.value.value >= high.value.value {
                reversed(node, reader);
                return None;
            }
        }
        Some(Band { from, to })
    }
}

/// A band of groundspeed.
pub(crate) struct SpeedBandText;

impl Reads for SpeedBandText {
    type Out = SpeedBand;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let end = Quantity::Speed.pattern();
        pattern(
            shapes,
            "speed band",
            "A band of groundspeed, both ends included.",
            format!(r"({end} ?\.\. ?{end}|(above|below) {end})"),
            &["40 kt..80 kt", "above 40 kt", "below 80 kt"],
        )
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<SpeedBand> {
        let text = &reader.scalar(node, "a band of groundspeed")?.text;
        let Some((from, to)) = ends(text) else {
            no_band(node, text, "40 kt..80 kt", "above 40 kt", "below 80 kt", reader);
            return None;
        };
        let mut end = |end: Option<(usize, &str)>| match end {
            None => Some(None),
            Some((at, written)) => {
                let span = reader.part(node, at, at + written.len());
                let value = amount_of(written, bounds::GROUNDSPEED, span, reader)?;
                Some(Some(MetresPerSecond::of(value)))
            }
        };
        let (from, to) = (end(from), end(to));
        let (from, to) = (from?, to?);
        if from.zip(to).is_some_and(|(slow, fast)| slow >= fast) {
            reversed(node, reader);
            return None;
        }
        Some(SpeedBand { from, to })
    }
}

fn no_band(node: &Node, text: &str, both: &str, above: &str, below: &str, reader: &mut Reader<'_>) {
    reader.error(
        "bad-band",
        node.span,
        format!("`{}` is not a band", shortened(text)),
        format!("write `{both}`, `{above}` or `{below}`"),
    );
}

fn reversed(node: &Node, reader: &mut Reader<'_>) {
    reader.error(
        "band-reversed",
        node.span,
        "the lower end of this band is not below its upper end",
        "write the lower end first",
    );
}

/// A window of directions.
pub(crate) struct WindowText;

impl Reads for WindowText {
    type Out = Window;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let end = r"[0-9]{1,3}(\.[0-9]+)?";
        pattern(
            shapes,
            "window",
            "Directions in degrees, clockwise from the first to the second, both included; true \
             unless `magnetic` follows. `000..360` is every direction.",
            format!(r"{end} ?\.\. ?{end}( (true|magnetic))?"),
            &["320..040", "090..180 magnetic", "000..360"],
        )
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Window> {
        let whole = &reader.scalar(node, "a window of directions")?.text;
        let (text, north) = match whole.strip_suffix(" magnetic") {
            Some(text) => (text, North::Magnetic),
            None => (whole.strip_suffix(" true").unwrap_or(whole), North::True),
        };
        let range = bounds::DIRECTION;
        let read = |end: &str| {
            let unsigned = !end.trim().starts_with('-');
            units::number(end.trim()).filter(|_| unsigned).ok_or(())
        };
        let ends = text.split_once("..").map(|(from, to)| (read(from), read(to)));
        let Some((Ok(from), Ok(to))) = ends else {
            reader.error(
                "bad-window",
                node.span,
                format!("`{}` is not a window of directions", shortened(whole)),
                "write two directions in degrees, such as `320..040` or `320..040 magnetic`",
            );
            return None;
        };
        if from > range.most || to > range.most {
            reader.error(
                "number-out-of-range",
                node.span,
                "a direction beyond 360 degrees",
                "write directions from 000 to 360",
            );
            return None;
        }
        if from == 0.0 && to == range.most {
            return Some(Window::Every);
        }
        let (from, to) = (DegreesTrue::of(from).get(), DegreesTrue::of(to).get());
        if from == to {
            reader.error(
                "empty-window",
                node.span,
                "both ends of this window are the same direction",
                "write `000..360` for every direction, or two different ends",
            );
            return None;
        }
        Some(Window::Between { from: Degrees::of(from), to: Degrees::of(to), north })
    }
}

/// A moment with its offset from UTC.
pub(crate) struct Moment;

impl Reads for Moment {
    type Out = Utc;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        pattern(
            shapes,
            "moment",
            "A date and time with `Z` or an offset from UTC.",
            r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}:[0-9]{2}(:[0-9]{2}(\.[0-9]+)?)?(Z|[+-][0-9]{2}:?[0-9]{2})"
                .to_owned(),
            &["2026-06-01T10:30:00Z", "2026-06-01T12:30:00+02:00"],
        )
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Utc> {
        let text = &reader.scalar(node, "a date and time")?.text;
        match text.parse::<jiff::Timestamp>() {
            Ok(moment) => Some(Utc(moment.as_millisecond())),
            Err(_) => {
                let local = text.parse::<jiff::civil::DateTime>().is_ok();
                let (what, help) = if local {
                    ("the offset from UTC is missing", format!("add `Z` for UTC: `{text}Z`"))
                } else {
                    (
                        "this is not a date and time",
                        "write it as `2026-06-01T10:30:00Z`, or with an offset such as `+02:00`"
                            .to_owned(),
                    )
                };
                reader.error("bad-time", node.span, what, help);
                None
            }
        }
    }
}

/// A day.
pub(crate) struct Day;

impl Reads for Day {
    type Out = String;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let form = r"[0-9]{4}-[0-9]{2}-[0-9]{2}".to_owned();
        pattern(shapes, "day", "A day, as year, month, day.", form, &["2026-05-30"])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<String> {
        let text = &reader.scalar(node, "a day")?.text;
        if text.len() == 10
            && let Ok(day) = text.parse::<jiff::civil::Date>()
        {
            return Some(day.to_string());
        }
        reader.error(
            "bad-time",
            node.span,
            format!("`{}` is not a day", shortened(text)),
            "write year, month and day, such as `2026-05-30`",
        );
        None
    }
}

/// Registers a pattern and refers to it.
fn pattern(
    shapes: &mut Shapes,
    name: &'static str,
    about: &str,
    pattern: String,
    examples: &'static [&'static str],
) -> Shape {
    if shapes.begin(name) {
        shapes.define(name, about, Definition::Pattern { pattern, examples });
    }
    Shape::Named(name)
}

/// A text for a message: one line, not too long.
pub(crate) fn shortened(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match line.char_indices().nth(60) {
        Some((at, _)) => format!("{}…", line.get(..at).unwrap_or_default()),
        None => line,
    }
}
