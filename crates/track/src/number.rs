//! Decimal numbers as GPX writes them.

/// A number read from text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Number {
    /// Its value; always finite.
    pub(crate) value: f64,
    /// It was written with an exponent, which a decimal number has none of.
    pub(crate) exponent: bool,
}

/// Powers of ten that an `f64` holds exactly.
const EXACT_POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Reads a decimal number: an optional sign, digits with at most one full stop, and, which the
/// caller may hold against it, an exponent. Blanks around it are left out.
///
/// `None` for anything else: no digits, a decimal comma, NaN, an infinity, a value beyond `f64`.
/// The result is the nearest `f64`.
///
/// # References
/// Clinger, How to read floating point numbers accurately (1990): a whole number below 2^53
/// divided by a power of ten up to 10^22 is rounded once, so it is exact enough; all else goes the
/// standard library's way.
pub(crate) fn parse(text: &[u8]) -> Option<Number> {
    let text = text.trim_ascii();
    let (negative, digits) = match text.split_first()? {
        (b'-', rest) => (true, rest),
        (b'+', rest) => (false, rest),
        _ => (false, text),
    };
    let mut whole = 0_u64;
    let mut seen = 0_usize;
    let mut after_stop = None;
    for (at, &byte) in digits.iter().enumerate() {
        match byte {
            b'0'..=b'9' => {
                whole = whole.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
                seen += 1;
            }
            b'.' if after_stop.is_none() => after_stop = Some(seen),
            b'e' | b'E' if seen > 0 => return with_exponent(text, digits.get(at + 1..)?),
            _ => return None,
        }
    }
    if seen == 0 {
        return None;
    }
    let decimals = seen - after_stop.unwrap_or(seen);
    // Nineteen digits cannot have wrapped round.
    if seen <= 19
        && whole < (1 << 53)
        && let Some(power) = EXACT_POWERS.get(decimals)
    {
        #[expect(clippy::cast_precision_loss, reason = "below 2^53, so exact")]
        let value = whole as f64 / power;
        return Some(Number { value: if negative { -value } else { value }, exponent: false });
    }
    standard(text, false)
}

fn with_exponent(text: &[u8], exponent: &[u8]) -> Option<Number> {
    let digits = match exponent.split_first()? {
        (b'-' | b'+', rest) => rest,
        _ => exponent,
    };
    if digits.is_empty() || !digits.iter().all(u8::is_ascii_digit) {
        return None;
    }
    standard(text, true)
}

fn standard(text: &[u8], exponent: bool) -> Option<Number> {
    let value = std::str::from_utf8(text).ok()?.parse::<f64>().ok()?;
    value.is_finite().then_some(Number { value, exponent })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may stop")]
    use super::*;
    use proptest::prelude::*;

    fn value(text: &str) -> Option<f64> {
        parse(text.as_bytes()).map(|n| n.value)
    }

    #[test]
    fn what_is_a_decimal_number() {
        assert_eq!(value("36.0"), Some(36.0));
        assert_eq!(value(" -112 \n"), Some(-112.0));
        assert_eq!(value("+.5"), Some(0.5));
        assert_eq!(value("5."), Some(5.0));
        assert_eq!(value("-0").map(f64::to_bits), Some((-0.0_f64).to_bits()));
        assert_eq!(value("3.6e1"), Some(36.0));
        assert!(parse(b"3.6e1").unwrap().exponent);
        assert_eq!(value("179.99999999999999999999999"), Some(180.0));
    }

    #[test]
    fn what_is_none() {
        for text in [
            "",
            " ",
            "-",
            "+",
            ".",
            "-.",
            "36,0",
            "1.2.3",
            "NaN",
            "nan",
            "inf",
            "INF",
            "-infinity",
            "0x10",
            "1e",
            "1e+",
            "e5",
            "1e999",
            "--1",
            "1 2",
            "1_000",
            "\u{661}",
            "12m",
        ] {
            assert_eq!(parse(text.as_bytes()), None, "{text}");
        }
        let huge = "9".repeat(400);
        assert_eq!(value(&huge), None);
    }

    proptest! {
        #[test]
        fn the_result_is_the_nearest_float(sign in "[+-]?", whole in "[0-9]{1,21}", decimals in "[0-9]{0,25}") {
            let text = format!("{sign}{whole}.{decimals}");
            prop_assert_eq!(value(&text), text.parse::<f64>().ok());
        }

        #[test]
        fn a_float_printed_is_read_back(number in -1e6..1e6_f64) {
            prop_assert_eq!(value(&number.to_string()), Some(number));
        }
    }
}
