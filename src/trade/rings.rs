//! Ring sizes: whatever the label says, held as an inside diameter in mm.

use crate::units::{plain, short};
use serde::Serialize;
use std::f64::consts::PI;

/// A ring size of one system.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RingSize {
    /// "US 7½", "UK N", "EU 54", "JP 13".
    pub name: String,
    /// For people, with its mm.
    pub title: String,
    /// "US", "UK", "EU" or "JP".
    pub system: &'static str,
    /// Inside diameter, mm.
    pub inside_mm: f64,
    /// Distance round the inside, mm.
    pub round_mm: f64,
    /// How the diameter was worked out.
    pub sum: String,
    /// Where the scale is published.
    pub source: &'static str,
}

const US: &str = "Wikipedia, Ring size: 0.458 in + 0.032 in a size";
const UK: &str =
    "R. Rowlett, How Many? A Dictionary of Units of Measurement, entry ring size (steps of BS 6820; the standard itself was not seen)";
const EU: &str = "ISO 8653: the size is the distance round the inside, mm";
const JP: &str =
    "customary Japanese scale (not JIS S 4700): no. 1 is 13 mm, a third of a millimetre a number; common practice";

/// A number with its quarters written as people write them.
fn with_fraction(value: f64) -> String {
    let whole = value.floor();
    let mark = match ((value - whole) * 4.0).round() as i32 {
        1 => "¼",
        2 => "½",
        3 => "¾",
        _ => "",
    };
    if ((value - whole) * 4.0).fract().abs() > 1e-9 {
        short(value, 2)
    } else {
        format!("{}{mark}", plain(whole, 0))
    }
}

/// Inside of US size 0: 0.458 in, mm.
const FIRST_US: f64 = 11.6332;

/// US and Canada: inside = 11.6332 + 0.8128 n mm, n from 0 to 16.
fn us(n: f64) -> RingSize {
    let inside_mm = FIRST_US + 0.8128 * n;
    RingSize {
        name: format!("US {}", with_fraction(n)),
        title: format!("US {}, {} mm inside", with_fraction(n), plain(inside_mm, 2)),
        system: "US",
        inside_mm,
        round_mm: PI * inside_mm,
        sum: format!("11.6332 + 0.8128 × {} = {} mm inside", short(n, 2), plain(inside_mm, 2)),
        source: US,
    }
}

/// British letters: distance round = 36.25 + 1.25 k mm, A = 1 to Z = 26; k runs on as Z+1, Z+2.
fn uk(k: f64) -> RingSize {
    let round_mm = 36.25 + 1.25 * k;
    let step = k.floor().max(1.0);
    let letter = if step <= 26.0 {
        char::from(b'A' + (step as u8 - 1)).to_string()
    } else {
        format!("Z+{}", plain(step - 26.0, 0))
    };
    let half = if k - step > 0.25 { "½" } else { "" };
    let inside_mm = round_mm / PI;
    RingSize {
        name: format!("UK {letter}{half}"),
        title: format!("UK {letter}{half}, {} mm inside", plain(inside_mm, 2)),
        system: "UK",
        inside_mm,
        round_mm,
        sum: format!(
            "(36.25 + 1.25 × {}) / π = {} / π = {} mm inside",
            short(k, 1),
            plain(round_mm, 2),
            plain(inside_mm, 2)
        ),
        source: UK,
    }
}

/// ISO 8653: the number is the distance round in mm, 41 to 76.
fn eu(n: f64) -> RingSize {
    let inside_mm = n / PI;
    RingSize {
        name: format!("EU {}", short(n, 2)),
        title: format!("EU {}, {} mm inside", short(n, 2), plain(inside_mm, 2)),
        system: "EU",
        inside_mm,
        round_mm: n,
        sum: format!("{} / π = {} mm inside", short(n, 2), plain(inside_mm, 2)),
        source: EU,
    }
}

/// Japan, the everyday number: inside = (n + 38) / 3 mm, 1 to 30.
fn jp(n: f64) -> RingSize {
    let inside_mm = (n + 38.0) / 3.0;
    RingSize {
        name: format!("JP {}", short(n, 2)),
        title: format!("JP {}, {} mm inside", short(n, 2), plain(inside_mm, 2)),
        system: "JP",
        inside_mm,
        round_mm: PI * inside_mm,
        sum: format!("({} + 38) / 3 = {} mm inside", short(n, 2), plain(inside_mm, 2)),
        source: JP,
    }
}

/// Rows for a list: US by halves, UK letters, EU and JP whole numbers.
pub fn ring_sizes() -> Vec<RingSize> {
    let halves = |n: u32| f64::from(n) / 2.0;
    let mut all: Vec<RingSize> = (0..=32).map(|n| us(halves(n))).collect();
    all.extend((2..=52).map(|n| uk(halves(n))));
    all.extend((41..=76).map(|n| eu(f64::from(n))));
    all.extend((1..=30).map(|n| jp(f64::from(n))));
    all
}

/// Reads "7", "7.5", "7,5", "7½", "7 1/2", "1/2" and, alone, "½".
fn number(text: &str) -> Option<f64> {
    let mut text = text.trim().replace(',', ".");
    for (mark, fraction) in [("½", " 1/2"), ("¼", " 1/4"), ("¾", " 3/4")] {
        text = text.replace(mark, fraction);
    }
    let mut sum = 0.0;
    let mut seen = false;
    for part in text.split_whitespace() {
        let value = match part.split_once('/') {
            Some((top, foot)) => {
                let (top, foot): (f64, f64) = (top.parse().ok()?, foot.parse().ok()?);
                if foot == 0.0 {
                    return None;
                }
                top / foot
            }
            None => part.parse().ok()?,
        };
        sum += value;
        seen = true;
    }
    (seen && f64::is_finite(sum) && sum >= 0.0).then_some(sum)
}

/// Letter with its half: "N", "N½", "N 1/2", "Z+2".
fn letter(text: &str) -> Option<f64> {
    let mut chars = text.trim().chars();
    let first = chars.next()?.to_ascii_uppercase();
    if !first.is_ascii_uppercase() {
        return None;
    }
    let k = f64::from(first as u32 - 'A' as u32 + 1);
    let rest = chars.as_str().trim();
    let more = match (rest.strip_prefix('+'), first) {
        _ if rest.is_empty() => 0.0,
        (Some(steps), 'Z') => number(steps).filter(|s| *s <= 6.0)?,
        (Some(_), _) => return None,
        (None, _) => number(rest).filter(|half| *half == 0.5)?,
    };
    Some(k + more)
}

fn within(value: Option<f64>, from: f64, to: f64, what: &str) -> Result<f64, String> {
    match value {
        Some(n) if (from..=to).contains(&n) => Ok(n),
        _ => Err(format!("{what} run from {} to {}", short(from, 1), short(to, 1))),
    }
}

/// A ring size as people write it: "US 7 1/2", "UK N½", "N 1/2", "EU 54", "JP 13", or a bare 41 to 76 (ISO 8653).
pub fn ring_size(text: &str) -> Result<RingSize, String> {
    let text = text.trim();
    let upper = text.to_ascii_uppercase();
    let after = |system: &str| {
        let rest = upper.strip_prefix(system)?;
        // "USA..." is no size, but "US7" and "US 7" are; "J" alone is the British letter.
        (!rest.is_empty() && !rest.starts_with(|c: char| c.is_ascii_alphabetic() && system != "UK"))
            .then(|| rest.trim().to_string())
    };
    if let Some(rest) = after("US") {
        return within(number(&rest), 0.0, 16.0, "US sizes").map(us);
    }
    if let Some(rest) = after("EU").or_else(|| after("ISO")) {
        return within(number(&rest), 38.0, 80.0, "EU sizes (mm round the inside)").map(eu);
    }
    if let Some(rest) = after("JP") {
        return within(number(&rest), 1.0, 30.0, "JP sizes").map(jp);
    }
    if let Some(rest) = after("UK") {
        return letter(&rest)
            .map(uk)
            .ok_or_else(|| "UK sizes are letters A to Z, with halves: UK N½".to_string());
    }
    if let Some(k) = letter(&upper) {
        return Ok(uk(k));
    }
    match number(text) {
        Some(n) if (41.0..=76.0).contains(&n) => Ok(eu(n)),
        Some(n) => {
            Err(format!("ring size {0} could be US or JP; write \"US {0}\" or \"JP {0}\"", short(n, 2)))
        }
        None => Err(format!("\"{text}\" is no ring size; write \"US 7\", \"UK N\", \"EU 54\" or \"JP 13\"")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_read_as_people_write_them() {
        for (text, name, inside) in [
            ("US 7 1/2", "US 7½", 17.7292),
            ("us7", "US 7", 17.3228),
            ("US 7,5", "US 7½", 17.7292),
            ("N½", "UK N½", 54.375 / PI),
            ("N 1/2", "UK N½", 54.375 / PI),
            ("uk n", "UK N", 53.75 / PI),
            ("j", "UK J", 48.75 / PI),
            ("Z+1", "UK Z+1", 70.0 / PI),
            ("EU 54", "EU 54", 54.0 / PI),
            ("54", "EU 54", 54.0 / PI),
            ("JP 13", "JP 13", 17.0),
        ] {
            let size = ring_size(text);
            assert!(
                size.as_ref().is_ok_and(|s| s.name == name && (s.inside_mm - inside).abs() < 1e-9),
                "{text}: {size:?}"
            );
        }
        for bad in
            ["", "7", "US", "US x", "US 40", "UK 7", "N 1/3", "JP 90", "1/0", "½N", "EU NaN", "é", "USA 7"]
        {
            assert!(ring_size(bad).is_err(), "{bad}: {:?}", ring_size(bad));
        }
    }
}
