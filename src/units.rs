//! Lengths, weights and times as the bench says them. Every conversion of the program is here, once, unrounded.
//!
//! Everything below the shell is in millimetres, grams and minutes; points exist only inside `render`.

#[allow(missing_docs, reason = "each row of the table says itself what it limits, in which unit and why")]
pub mod limits;
mod text;

pub use text::{gauge, length, Unread};

use std::fmt;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub};

/// Millimetres in an inch, exactly (international inch of 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// PDF points in a millimetre, exactly: 72 points to the inch.
pub const PT_PER_MM: f64 = 72.0 / MM_PER_INCH;
/// A limit counts as broken only when it is passed by more than this, in mm. Larger would let a thin bridge through;
/// smaller would let rounding of the last printed digit decide a verdict.
pub const JUST_PASSED: f64 = 0.001;

/// Unit of the plain numbers in a job file, and of what is shown beside millimetres.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Mm,
    /// Inches of 25.4 mm.
    Inch,
}

impl LengthUnit {
    /// "mm" or "in".
    pub fn sign(self) -> &'static str {
        match self {
            LengthUnit::Mm => "mm",
            LengthUnit::Inch => "in",
        }
    }

    /// The value of a length in this unit, and the decimals that say as much as `places` of a millimetre: two more of an
    /// inch, whose hundredth is a quarter of a millimetre.
    fn scaled(self, mm: f64, places: usize) -> (f64, usize) {
        match self {
            LengthUnit::Mm => (mm, places),
            LengthUnit::Inch => (mm / MM_PER_INCH, places + 2),
        }
    }

    /// A length without its unit, to `places` decimals of a millimetre or two more of an inch.
    pub fn plain(self, mm: f64, places: usize) -> String {
        let (value, places) = self.scaled(mm, places);
        plain(value, places)
    }

    /// The same with trailing zeros dropped.
    pub fn short(self, mm: f64, places: usize) -> String {
        let (value, places) = self.scaled(mm, places);
        short(value, places)
    }

    /// "0.80 mm", "0.0315 in".
    pub fn says(self, mm: f64, places: usize) -> String {
        format!("{} {}", self.plain(mm, places), self.sign())
    }

    /// "60.0 × 40.0 mm".
    pub fn size(self, (w, h): (f64, f64), places: usize) -> String {
        format!("{} × {} {}", self.plain(w, places), self.plain(h, places), self.sign())
    }

    /// An area in mm2 as a number of square units.
    pub fn area(self, mm2: f64, places: usize) -> String {
        match self {
            LengthUnit::Mm => plain(mm2, places),
            LengthUnit::Inch => plain(mm2 / (MM_PER_INCH * MM_PER_INCH), places + 3),
        }
    }
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, serde::Serialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The bare number in this unit.
            pub fn get(self) -> f64 {
                self.0
            }
            /// The smaller of two.
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }
            /// The larger of two.
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, by: f64) -> Self {
                Self(self.0 * by)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, by: f64) -> Self {
                Self(self.0 / by)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, by: Self) -> f64 {
                self.0 / by.0
            }
        }
        impl fmt::Display for $name {
            /// Two decimals and the unit, or as many decimals as asked for (`{:.1}`).
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let places = f.precision().unwrap_or(2);
                write!(f, "{} {}", plain(self.0, places), $unit)
            }
        }
    };
}

quantity!(
    /// A length in millimetres.
    Mm,
    "mm"
);
quantity!(
    /// A weight in grams.
    Grams,
    "g"
);
quantity!(
    /// A time in minutes.
    Minutes,
    "min"
);

/// A temperature as the bench reads it, both ways: "788 °C (1450 °F)".
pub fn heat(celsius: f64) -> String {
    format!("{} °C ({} °F)", plain(celsius, 0), plain(celsius * 1.8 + 32.0, 0))
}

/// A difference of temperatures, both ways: "50 °C (90 °F)".
pub fn heat_apart(degrees: f64) -> String {
    format!("{} °C ({} °F)", plain(degrees, 0), plain(degrees * 1.8, 0))
}

/// A number with a fixed count of decimals and never a minus sign before zero.
pub fn plain(value: f64, places: usize) -> String {
    if let Some(text) = plain_at_once(value, places) {
        return text;
    }
    let text = format!("{value:.places$}");
    if text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        text[1..].to_string()
    } else {
        text
    }
}

/// The same, several times as fast, unless the number is huge or lies so near the middle between two that are written that its
/// last digits decide which it is.
fn plain_at_once(value: f64, places: usize) -> Option<String> {
    const UNITS: [u64; 7] = [1, 10, 100, 1_000, 10_000, 100_000, 1_000_000];
    let unit = *UNITS.get(places)?;
    let scaled = value.abs() * unit as f64;
    // Up to here the product is true to a ten-thousandth.
    let middle = (scaled.fract() - 0.5).abs() < 1e-3;
    if middle || scaled.is_nan() || scaled > 1e12 {
        return None;
    }
    let whole = scaled.round() as u64;
    let sign = if value < 0.0 && whole > 0 { "-" } else { "" };
    Some(match places {
        0 => format!("{sign}{whole}"),
        _ => format!("{sign}{}.{:0places$}", whole / unit, whole % unit),
    })
}

/// A number with at most `places` decimals, trailing zeros dropped.
pub fn short(value: f64, places: usize) -> String {
    let text = plain(value, places);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_written_at_once_as_it_is_digit_by_digit() {
        let slow = |v: f64, places: usize| {
            let text = format!("{v:.places$}");
            let zero = text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.'));
            if zero {
                text.trim_start_matches('-').to_string()
            } else {
                text
            }
        };
        let steps = (0..4000).map(|k| f64::from(k - 2000));
        let values = steps.flat_map(|k| [k / 7.0, k / 200.0, k * 1234.5678, k * 1e-5, k / 8.0, k * 1e9]);
        for value in values.chain([f64::NAN, f64::INFINITY, f64::MAX, -0.0, 0.995, 1.005, 2.675]) {
            for places in 0..8 {
                assert_eq!(plain(value, places), slow(value, places), "{value} {places}");
            }
        }
    }

    #[test]
    fn zero_is_never_minus_zero() {
        assert_eq!(plain(-0.0004, 2), "0.00");
        assert_eq!(short(-1e-9, 4), "0");
        assert_eq!(short(1.250, 3), "1.25");
        assert_eq!(format!("{:.1}", Mm(3.0)), "3.0 mm");
    }
}
