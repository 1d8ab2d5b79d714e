//! Readers of altitudes, bands and windows.

use earth::{Degrees, DegreesTrue, Metres, MetresPerSecond};

use crate::bounds;
use crate::decode::{Reader, Reads};
use crate::model::{Altitude, Band, North, SpeedBand, Window};
use crate::remedy;
use crate::shape::{Shape, Shapes};
use crate::span::{Name, Spanned};
use crate::units::{self, Quantity};
use crate::values::{NAME_PATTERN, amount_of, name_of, pattern, shortened};
use crate::yaml::Node;

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
            let is_end = |end: &str| {
                let (amount, place) = match end.split_once(ABOVE_PLACE) {
                    Some((amount, place)) => (amount, Some(place)),
                    None => (end, None),
                };
                units::quantity(amount, Quantity::Length).is_ok()
                    && place.is_none_or(|place| Name::new(place).is_ok())
            };
            let better = remedy::with_points(text, is_end);
            let forms = ["300 ft..1500 ft", "above 300 ft", "below 1500 ft"];
            no_band(node, text, forms, better.as_deref(), reader);
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
            let is_end = |end: &str| units::quantity(end, Quantity::Speed).is_ok();
            let better = remedy::with_points(text, is_end);
            let forms = ["40 kt..80 kt", "above 40 kt", "below 80 kt"];
            no_band(node, text, forms, better.as_deref(), reader);
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

fn no_band(
    node: &Node,
    text: &str,
    [both, above, below]: [&str; 3],
    better: Option<&str>,
    reader: &mut Reader<'_>,
) {
    let headline = format!("`{}` is not a band", shortened(text));
    let help = match better {
        Some(better) => format!("write `{better}`"),
        None => format!("write `{both}`, `{above}` or `{below}`"),
    };
    let edit = better.and_then(|better| reader.file().instead(node.span, text, better));
    reader.put(reader.finding("bad-band", node.span, headline, help).edits(edit));
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
            let is_end = |end: &str| read(end).is_ok_and(|end| end <= range.most);
            let better = remedy::with_points(text, is_end);
            let better = better.map(|better| whole.replacen(text, &better, 1));
            let headline = format!("`{}` is not a window of directions", shortened(whole));
            let help = match &better {
                Some(better) => format!("write `{better}`"),
                None => {
                    "write two directions in degrees, such as `320..040` or `320..040 magnetic`"
                        .to_owned()
                }
            };
            let edit = better.and_then(|better| reader.file().instead(node.span, whole, &better));
            reader.put(reader.finding("bad-window", node.span, headline, help).edits(edit));
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
