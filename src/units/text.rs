//! Lengths as people type them: `0.8 mm`, `0,8`, `,8`, `20 ga`, `1/32 in`, `1 3/8"`.

use super::{LengthUnit, Mm, MM_PER_INCH};

/// Why a text could not be read as a size, and what to type instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// What is wrong, without a full point.
    pub wrong: String,
    /// What to type instead.
    pub todo: String,
}

impl Unread {
    /// What is wrong and what to do about it, each one clause.
    pub fn new(wrong: impl Into<String>, todo: impl Into<String>) -> Self {
        Self { wrong: wrong.into(), todo: todo.into() }
    }
}

/// Thickest and thinnest B&S number taken: 0 is 8.25 mm, 40 is 0.08 mm.
const GAUGES: std::ops::RangeInclusive<i32> = 0..=40;

/// Thickness of a B&S (AWG) gauge number: 0.005 in at 36, 0.46 in at 0000, 39 equal ratios between them.
/// Source: the AWG formula, ASTM B258.
pub fn gauge(number: i32) -> Mm {
    Mm(0.005 * MM_PER_INCH * libm::pow(92.0, f64::from(36 - number) / 39.0))
}

/// A length from text. A text without a unit is in `plain`. The sign is kept: whether a size may be negative is for
/// the table of limits to say.
pub fn length(text: &str, plain: LengthUnit) -> Result<Mm, Unread> {
    let tidy = tidy(text);
    let at =
        tidy.find(|c: char| c.is_alphabetic() || matches!(c, '"' | '&' | '#' | '\'')).unwrap_or(tidy.len());
    let (number, unit) = (tidy[..at].trim(), tidy[at..].trim());
    let value = || amount(number).ok_or_else(|| no_number(text));
    match unit.to_lowercase().as_str() {
        "" => match plain {
            LengthUnit::Mm => Ok(Mm(value()?)),
            LengthUnit::Inch => Ok(Mm(value()? * MM_PER_INCH)),
        },
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => Ok(Mm(value()?)),
        "cm" => Ok(Mm(value()? * 10.0)),
        "in" | "in." | "inch" | "inches" | "\"" | "''" => Ok(Mm(value()? * MM_PER_INCH)),
        "ga" | "ga." | "gauge" | "b&s" | "b&s ga" | "awg" => match number.parse::<i32>() {
            Ok(n) if GAUGES.contains(&n) => Ok(gauge(n)),
            _ => Err(Unread::new(
                format!("\"{text}\" is not a B&S gauge"),
                format!(
                    "gauges are whole numbers from {} to {}, bigger is thinner",
                    GAUGES.start(),
                    GAUGES.end()
                ),
            )),
        },
        "g" => Err(Unread::new(
            format!("\"{text}\": gauge or grams?"),
            format!("write \"{number} ga\" for B&S gauge, or the thickness in mm"),
        )),
        "swg" => Err(Unread::new(
            format!("\"{text}\" is a wire gauge that differs from B&S"),
            "write the thickness in mm",
        )),
        other => Err(Unread::new(
            format!("\"{text}\" has a unit that is not known here: \"{other}\""),
            "use mm, cm, in or ga, as in \"0.8 mm\", \"1/32 in\", \"20 ga\"",
        )),
    }
}

fn no_number(text: &str) -> Unread {
    Unread::new(
        format!("\"{text}\" cannot be read as a size"),
        "write it like 0.8, \"0.8 mm\", \"20 ga\" or \"1 3/8 in\"",
    )
}

/// Typographic quotes and ready-made fractions turned into what a keyboard has.
fn tidy(text: &str) -> String {
    let mut tidy = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '\u{201d}' | '\u{201c}' | '\u{2033}' => tidy.push('"'),
            '\u{2212}' => tidy.push('-'),
            '\u{a0}' | '\u{202f}' | '\t' => tidy.push(' '),
            '\u{bd}' => tidy.push_str(" 1/2"),
            '\u{bc}' => tidy.push_str(" 1/4"),
            '\u{be}' => tidy.push_str(" 3/4"),
            '\u{215b}' => tidy.push_str(" 1/8"),
            '\u{215c}' => tidy.push_str(" 3/8"),
            '\u{215d}' => tidy.push_str(" 5/8"),
            '\u{215e}' => tidy.push_str(" 7/8"),
            _ => tidy.push(c),
        }
    }
    tidy
}

/// A number with point or comma, a fraction, or a whole number and a fraction.
fn amount(text: &str) -> Option<f64> {
    let (sign, text) = match text.strip_prefix('-') {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let mut parts = text.split([' ', '-']).filter(|part| !part.is_empty());
    let value = match (parts.next(), parts.next(), parts.next()) {
        (Some(one), None, None) if one.contains('/') => fraction(one)?,
        (Some(one), None, None) => decimal(one)?,
        (Some(whole), Some(part), None) if part.contains('/') => digits(whole)? + fraction(part)?,
        _ => return None,
    };
    Some(sign * value)
}

fn decimal(text: &str) -> Option<f64> {
    let plain = text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b','));
    let marks = text.bytes().filter(|b| !b.is_ascii_digit()).count();
    if !plain || marks > 1 || marks == text.len() {
        return None;
    }
    text.replace(',', ".").parse::<f64>().ok().filter(|v| v.is_finite())
}

fn fraction(text: &str) -> Option<f64> {
    let (above, below) = text.split_once('/')?;
    let (above, below) = (digits(above)?, digits(below)?);
    (below > 0.0).then(|| above / below)
}

/// A whole number of at most nine digits.
fn digits(text: &str) -> Option<f64> {
    let whole = !text.is_empty() && text.len() <= 9 && text.bytes().all(|b| b.is_ascii_digit());
    whole.then(|| text.parse::<u32>().ok().map(f64::from)).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(text: &str) -> f64 {
        match length(text, LengthUnit::Mm) {
            Ok(Mm(v)) => v,
            Err(e) => panic!("{text}: {e:?}"),
        }
    }

    #[test]
    fn reads_what_people_type() {
        for (text, expected) in [
            ("0.8", 0.8),
            ("0,8", 0.8),
            (",8", 0.8),
            (".8 mm", 0.8),
            ("0.8mm", 0.8),
            ("1/32 in", 25.4 / 32.0),
            ("1/32\"", 25.4 / 32.0),
            ("1 3/8 in", 1.375 * 25.4),
            ("1-3/8 in", 1.375 * 25.4),
            ("1\u{bd}\u{201d}", 1.5 * 25.4),
            ("2.5 cm", 25.0),
            ("-3.5", -3.5),
        ] {
            assert!((mm(text) - expected).abs() < 1e-12, "{text}");
        }
        assert!((length("0.5", LengthUnit::Inch).map_or(0.0, Mm::get) - 12.7).abs() < 1e-12);
    }

    #[test]
    fn gauges_follow_the_formula() {
        // AWG table as published with ASTM B258: 18 = 0.0403, 20 = 0.0320, 22 = 0.0253, 24 = 0.0201 in.
        for (number, inch) in [(18, 0.0403), (20, 0.0320), (22, 0.0253), (24, 0.0201), (36, 0.005)] {
            assert!((gauge(number).0 / MM_PER_INCH - inch).abs() < 6e-5, "{number}");
        }
        assert_eq!(mm("20ga"), mm("20 ga"));
        assert_eq!(mm("20 GA"), mm("20 gauge"));
    }

    #[test]
    fn refuses_with_a_reason() {
        for (text, word) in [
            ("20 g", "gauge or grams"),
            ("20.5 ga", "B&S gauge"),
            ("90 ga", "B&S gauge"),
            ("1/0 in", "cannot be read"),
            ("", "cannot be read"),
            ("wide", "unit"),
            ("1,2.3", "cannot be read"),
            ("1.2.3 mm", "cannot be read"),
            ("nan", "unit"),
            ("1 2 mm", "cannot be read"),
            ("3 ft", "unit"),
            (".", "cannot be read"),
            ("18 swg", "differs"),
        ] {
            match length(text, LengthUnit::Mm) {
                Ok(v) => panic!("{text} read as {v}"),
                Err(e) => assert!(e.wrong.contains(word), "{text}: {}", e.wrong),
            }
        }
    }
}
