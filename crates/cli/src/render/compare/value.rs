//! Values before and after, in words.

use compiler::compare::{Pair, Value, align};
use earth::{DegreesTrue, Metres, MetresPerSecond, Millis};

use crate::render::time::{Length, Since, UtcText};

/// How finely a value is printed: two values that differ never look the same.
const FINENESS: [usize; 3] = [0, 1, 4];
/// So many words of a text are quoted before and after one that differs.
const AROUND: usize = 3;

/// A value in words.
pub(super) fn words(value: &Value) -> String {
    shown(value, 0)
}

/// Two values that differ, as coarse as shows that they do.
pub(super) fn both(old: &Value, new: &Value) -> (String, String) {
    let pairs = FINENESS.iter().map(|fine| (shown(old, *fine), shown(new, *fine)));
    let mut last = (String::new(), String::new());
    for pair in pairs {
        if pair.0 != pair.1 {
            return pair;
        }
        last = pair;
    }
    last
}

/// A distance on the ground.
pub(super) fn distance(distance: Metres) -> String {
    shown(&Value::Length(distance), 0)
}

fn shown(value: &Value, fine: usize) -> String {
    match value {
        Value::Words(words) => words.clone(),
        Value::Text(text) => format!("“{}”", text.split_whitespace().collect::<Vec<_>>().join(" ")),
        Value::Yes(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Count(count) => count.to_string(),
        Value::Length(length) => {
            let metres = length.get();
            if fine == 0 && metres.abs() >= 999.5 {
                format!("{:.2} km", metres / 1000.0)
            } else if fine == 0 && metres.abs() < 10.0 {
                format!("{metres:.1} m")
            } else {
                format!("{metres:.fine$} m")
            }
        }
        Value::Altitude(altitude) => format!("{:.fine$} ft", altitude.feet()),
        Value::Area(area) if fine == 0 && area.get() < 100_000.0 => format!("{:.0} m²", area.get()),
        Value::Area(area) => format!("{:.*} km²", 2 + fine, area.get() / 1e6),
        Value::Speed(speed) => format!("{:.fine$} kt", speed.knots()),
        Value::Climb(climb) => format!("{:.fine$} ft/min", feet_per_minute(*climb)),
        Value::Angle(angle) => {
            let angle = angle.get();
            let whole = (angle - angle.round()).abs() < 1e-9;
            if whole { format!("{angle:.0}°") } else { format!("{angle:.*}°", 1 + fine) }
        }
        Value::Time(time) if fine == 0 => Length(*time).to_string(),
        Value::Time(time) => format!("{:.3} s", time.secs()),
        Value::Since(since) if fine == 0 => Since(*since).to_string(),
        Value::Since(since) => {
            format!("{}.{:03}", Since(*since), since.0.unsigned_abs() % 1000)
        }
        Value::Moment(moment) => UtcText(*moment).to_string(),
        Value::Rate(bits) => format!("{}bit/s", scaled(*bits)),
        Value::Bytes(bytes) => format!("{}B", scaled(*bytes)),
    }
}

fn feet_per_minute(climb: MetresPerSecond) -> f64 {
    climb.get() * 60.0 / Metres::PER_FOOT
}

/// A number with the prefix that leaves no digits behind the point, such as `25 M`.
fn scaled(number: u64) -> String {
    let prefixes = [(1_000_000_000, "G"), (1_000_000, "M"), (1_000, "k")];
    let found = prefixes.iter().find(|(unit, _)| number >= *unit && number.is_multiple_of(*unit));
    found.map_or_else(
        || format!("{number} "),
        |(unit, prefix)| format!("{} {prefix}", number / unit),
    )
}

/// By how much a value differs from another, where that says more than both together.
pub(super) fn by_how_much(old: &Value, new: &Value) -> Option<String> {
    match (old, new) {
        (Value::Time(old), Value::Time(new)) => {
            Some(format!("{} {}", spent(*old, *new), if new > old { "longer" } else { "shorter" }))
        }
        (Value::Since(old), Value::Since(new)) => {
            Some(format!("{} {}", spent(*old, *new), if new > old { "later" } else { "earlier" }))
        }
        (Value::Moment(old), Value::Moment(new)) => {
            let apart = Length(Millis((*new - *old).0.abs()));
            Some(format!("{apart} {}", if new > old { "later" } else { "earlier" }))
        }
        (Value::Length(old), Value::Length(new)) => {
            let apart = shown(&Value::Length((*new - *old).abs()), 0);
            Some(format!("{apart} {}", if new > old { "more" } else { "less" }))
        }
        (Value::Area(old), Value::Area(new)) if old.get() > 0.0 => {
            let part = (new.get() / old.get() - 1.0) * 100.0;
            let digits = if part.abs() < 10.0 { 1 } else { 0 };
            let word = if part > 0.0 { "larger" } else { "smaller" };
            Some(format!("{:.digits$} % {word}", part.abs()))
        }
        _ => None,
    }
}

fn spent(old: Millis, new: Millis) -> Length {
    Length(Millis((new - old).0.abs()))
}

/// The nearest of the eight principal directions, in words.
pub(super) fn direction(towards: DegreesTrue) -> &'static str {
    const NAMES: [(f64, &str); 8] = [
        (22.5, "north"),
        (67.5, "north-east"),
        (112.5, "east"),
        (157.5, "south-east"),
        (202.5, "south"),
        (247.5, "south-west"),
        (292.5, "west"),
        (337.5, "north-west"),
    ];
    NAMES.iter().find(|(end, _)| towards.get() < *end).map_or("north", |(_, name)| name)
}

/// Where two texts differ, each place as it was and as it is, with some words around it. Where
/// little is left of the older text, both as a whole.
pub(super) fn texts(old: &str, new: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) =
        (old.split_whitespace().collect(), new.split_whitespace().collect());
    let pairs = align(&old, &new);
    let kept = pairs.iter().filter(|pair| matches!(pair, Pair::Both(..))).count();
    if kept == pairs.len() {
        return "only in its blanks and line ends".to_owned();
    }
    if kept * 2 < old.len().max(new.len()) {
        return format!("“{}” -> “{}”", old.join(" "), new.join(" "));
    }
    let differs: Vec<usize> = pairs
        .iter()
        .enumerate()
        .filter(|(_, pair)| !matches!(pair, Pair::Both(..)))
        .map(|(at, _)| at)
        .collect();
    let mut hunks: Vec<(usize, usize)> = Vec::new();
    for at in differs {
        let (from, to) = (at.saturating_sub(AROUND), (at + AROUND + 1).min(pairs.len()));
        match hunks.last_mut() {
            Some(last) if from <= last.1 => last.1 = to,
            _ => hunks.push((from, to)),
        }
    }
    let quote = |(from, to): (usize, usize), word: &dyn Fn(&Pair) -> Option<String>| {
        let hunk = pairs.get(from..to).unwrap_or_default();
        let words: Vec<String> = hunk.iter().filter_map(word).collect();
        let before = if from > 0 { "… " } else { "" };
        let after = if to < pairs.len() { " …" } else { "" };
        format!("“{before}{}{after}”", words.join(" "))
    };
    let in_old = |pair: &Pair| match *pair {
        Pair::Both(at, _) | Pair::Old(at) => old.get(at).map(ToString::to_string),
        Pair::New(_) => None,
    };
    let in_new = |pair: &Pair| match *pair {
        Pair::Both(_, at) | Pair::New(at) => new.get(at).map(ToString::to_string),
        Pair::Old(_) => None,
    };
    let hunks: Vec<String> = hunks
        .into_iter()
        .map(|hunk| format!("{} -> {}", quote(hunk, &in_old), quote(hunk, &in_new)))
        .collect();
    hunks.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lengths(old: f64, new: f64) -> (String, String) {
        both(&Value::Length(Metres::of(old)), &Value::Length(Metres::of(new)))
    }

    #[test]
    fn what_differs_looks_different() {
        assert_eq!(lengths(300.0, 1482.0), ("300 m".into(), "1.48 km".into()));
        assert_eq!(lengths(1852.0, 1853.0), ("1852.0 m".into(), "1853.0 m".into()));
        assert_eq!(lengths(50.0, 50.001), ("50.0000 m".into(), "50.0010 m".into()));
        let times = both(&Value::Time(Millis(61_200)), &Value::Time(Millis(61_900)));
        assert_eq!(times, ("61.200 s".into(), "61.900 s".into()));
        let since = both(&Value::Since(Millis(-400)), &Value::Since(Millis(-900)));
        assert_eq!(since, ("T-00:01.400".into(), "T-00:01.900".into()));
    }

    #[test]
    fn numbers_keep_all_their_digits() {
        assert_eq!(words(&Value::Rate(25_000_000)), "25 Mbit/s");
        assert_eq!(words(&Value::Rate(25_500_000)), "25500 kbit/s");
        assert_eq!(words(&Value::Bytes(256_000_000_001)), "256000000001 B");
        assert_eq!(words(&Value::Bytes(256_000_000_000)), "256 GB");
    }

    #[test]
    fn directions_are_the_nearest_of_eight() {
        for (degrees, name) in
            [(0.0, "north"), (22.6, "north-east"), (270.0, "west"), (340.0, "north")]
        {
            assert_eq!(direction(DegreesTrue::of(degrees)), name);
        }
    }

    #[test]
    fn a_text_is_quoted_where_it_differs() {
        let old = "The first came for the fish and the second for the quiet of the place itself";
        let new = old.replace("the quiet", "peace");
        assert_eq!(
            texts(old, &new),
            "“… the second for the quiet of the place …” -> “… the second for peace of the place …”"
        );
        assert_eq!(texts("a b c d e", "a b c d e f"), "“… c d e” -> “… c d e f”");
        assert_eq!(texts("old words", "wholly other ones"), "“old words” -> “wholly other ones”");
        assert_eq!(texts("a  b", "a b"), "only in its blanks and line ends");
        let long: Vec<String> = (0..40).map(|n| n.to_string()).collect();
        let mut two = long.clone();
        two[3] = "x".into();
        two[30] = "y".into();
        assert_eq!(
            texts(&long.join(" "), &two.join(" ")),
            "“0 1 2 3 4 5 6 …” -> “0 1 2 x 4 5 6 …”; \
             “… 27 28 29 30 31 32 33 …” -> “… 27 28 29 y 31 32 33 …”"
        );
    }
}
