//! Readers of texts, words, names, numbers, quantities and moments.

use earth::{
    Dbtp, Decibels, Degrees, DegreesTrue, Lufs, Metres, MetresPerSecond, Millis, Share, Utc,
};

use crate::bounds::{self, NumberRange, Range};
use crate::decode::{Reader, Reads, near};
use crate::remedy;
use crate::shape::{Definition, Shape, Shapes};
use crate::span::{Name, Span};
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
        if let NodeKind::Scalar(scalar) = &node.kind {
            let meant = match scalar.text.to_lowercase().as_str() {
                "yes" | "on" => Some("true"),
                "no" | "off" => Some("false"),
                _ => None,
            };
            if let Some(meant) = meant {
                let headline = format!("`{}` cannot stand here", scalar.text);
                let help = format!("write `{meant}`");
                let edit = reader.file().instead(node.span, &scalar.text, meant);
                reader.put(reader.finding("unknown-word", node.span, headline, help).edits(edit));
                return None;
            }
        }
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
        let words = || self.0.iter().map(|(word, _)| *word);
        let headline = format!("`{}` cannot stand here", shortened(text));
        let help = match near(text, words()) {
            Some(meant) => format!("`{meant}` is probably meant; write {listed}"),
            None => format!("write {listed}"),
        };
        let edit = remedy::slip(text, words());
        let edit = edit.and_then(|meant| reader.file().instead(node.span, text, meant));
        reader.put(reader.finding("unknown-word", node.span, headline, help).edits(edit));
        None
    }
}

/// A name of an author's own.
pub(crate) struct NameText;

/// The pattern of a [`Name`], for editors.
pub(crate) const NAME_PATTERN: &str = r"\p{Alphabetic}[\p{Alphabetic}\p{N}_-]*";

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

/// A language, by its tag.
pub(crate) struct LanguageTag;

impl Reads for LanguageTag {
    type Out = String;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        NameText.shape(shapes)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<String> {
        NameText.read(node, reader).map(|name| name.to_string())
    }
}

/// A name, or a report of why it is none.
pub(crate) fn name_of(text: &str, span: Span, reader: &mut Reader<'_>) -> Option<Name> {
    match Name::new(text) {
        Ok(name) => Some(name),
        Err(_) if text.trim().is_empty() => {
            let help = "write the name, or leave the key out";
            reader.error("empty-value", span, "the name is blank", help);
            None
        }
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

/// A loudness.
pub(crate) fn loudness(range: Range) -> Map<Amount, fn(f64) -> Lufs> {
    Map(Amount(range), Lufs::of)
}

/// A true peak.
pub(crate) fn peak(range: Range) -> Map<Amount, fn(f64) -> Dbtp> {
    Map(Amount(range), Dbtp::of)
}

/// A share of a whole.
pub(crate) fn share(range: Range) -> Map<Amount, fn(f64) -> Share> {
    Map(Amount(range), Share::of)
}

/// A difference of levels.
pub(crate) fn decibels(range: Range) -> Map<Amount, fn(f64) -> Decibels> {
    Map(Amount(range), Decibels::of)
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
        let examples: &'static [&'static str] = match self.0.quantity {
            Quantity::Length => &["600 m", "0.4 NM", "900 ft", "3 km"],
            Quantity::Speed => &["80 kt", "40 m/s", "150 km/h"],
            Quantity::ClimbRate => &["500 ft/min", "2.5 m/s"],
            Quantity::Time => &["20 s", "1.5 min", "1 h"],
            Quantity::Angle => &["15 deg", "15°"],
            Quantity::DataRate => &["25 Mbit/s"],
            Quantity::DataSize => &["128 GB"],
            Quantity::Loudness => &["-18 LUFS"],
            Quantity::Peak => &["-3 dBTP"],
            Quantity::Level => &["12 dB"],
            Quantity::Share => &["5 %"],
        };
        let about = format!("A number and a unit: {}.", self.0.quantity.units_in_words());
        let form = self.0.quantity.pattern();
        pattern(shapes, self.0.quantity.name(), &about, form, examples);
        Shape::Amount(self.0)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<f64> {
        let text = &reader.scalar(node, self.0.quantity.words())?.text;
        amount_of(text, self.0, node.span, reader)
    }
}

/// The quantity of a text, or a report of why it is none.
pub(crate) fn amount_of(
    text: &str,
    range: Range,
    span: Span,
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
            let better = remedy::amount(text, range);
            let edit = better.and_then(|better| reader.file().instead(span, text, &better));
            let finding = reader.finding(error.name(), span, error.to_string(), error.help());
            reader.put(finding.edits(edit));
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
                let better = text.replacen(',', ".", 1);
                if text.contains(',') && units::number(&better).is_some() {
                    let certain = !self.whole && !remedy::may_part_thousands(&better);
                    let edit = reader.file().instead(node.span, text, &better);
                    let help = "write a point instead";
                    let finding =
                        reader.finding("decimal-comma", node.span, "a comma in a number", help);
                    reader.put(finding.edits(edit.filter(|_| certain)));
                } else {
                    let headline = format!("`{}` is not {needed}", shortened(text));
                    reader.error("bad-number", node.span, headline, help);
                }
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

/// A moment with its offset from UTC.
pub(crate) struct Moment;

/// A moment, and how far local time is then ahead of UTC.
pub(crate) struct LocalMoment;

impl Reads for LocalMoment {
    type Out = (Utc, Millis);

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        Moment.shape(shapes)
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<(Utc, Millis)> {
        let moment = Moment.read(node, reader)?;
        let text = &reader.scalar(node, "a date and time")?.text;
        // `Z` says nothing of local time, so that UTC stands in.
        let pieces = jiff::fmt::temporal::Pieces::parse(text.as_str()).ok();
        let offset = pieces.and_then(|pieces| pieces.to_numeric_offset());
        let offset = offset.map_or(0, |offset| i64::from(offset.seconds()));
        Some((moment, Millis::from_secs(offset)))
    }
}

/// A local time of day, after midnight.
pub(crate) struct TimeOfDay;

impl Reads for TimeOfDay {
    type Out = Millis;

    fn shape(&self, shapes: &mut Shapes) -> Shape {
        let form = r"([01][0-9]|2[0-3]):[0-5][0-9]".to_owned();
        pattern(shapes, "time of day", "A local time, as hours and minutes.", form, &["09:30"])
    }

    fn read(&self, node: &Node, reader: &mut Reader<'_>) -> Option<Millis> {
        let text = &reader.scalar(node, "a time of day")?.text;
        if text.len() == 5
            && let Ok(time) = text.parse::<jiff::civil::Time>()
        {
            let minutes = i64::from(time.hour()) * 60 + i64::from(time.minute());
            return Some(Millis::from_secs(minutes * 60));
        }
        reader.error(
            "bad-time",
            node.span,
            format!("`{}` is not a time of day", shortened(text)),
            "write hours and minutes, such as `09:30`",
        );
        None
    }
}

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
pub(crate) fn pattern(
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
