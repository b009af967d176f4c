//! What a check has to say: which check, how grave, how many places, what was measured against what, and where.
//!
//! A verdict carries a [`Finding`], the data its sentence is made of. The sentence itself is made on request, in the job's
//! units, by [`Verdict::says`]; nothing anywhere decides by the words.

use super::finding::Finding;
use super::Check;
use crate::geom::Point;
use crate::units::LengthUnit;
use serde::Serialize;
use std::fmt;

/// How grave. A check that was not made is neither good nor bad.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Nothing speaks against it.
    Good,
    /// It was not looked at: the job does not say enough.
    Unchecked,
    /// It may go wrong.
    Caution,
    /// It should not be sawn so.
    Stop,
}

impl Level {
    /// Something is at fault.
    pub fn is_fault(self) -> bool {
        self >= Level::Caution
    }
}

impl fmt::Display for Level {
    /// As a person reads it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Level::Good => "good",
            Level::Unchecked => "not checked",
            Level::Caution => "caution",
            Level::Stop => "STOP",
        })
    }
}

/// A number with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Quantity {
    /// mm.
    Length(f64),
    /// Degrees.
    Angle(f64),
    /// A difference of temperature, °C.
    Heat(f64),
    /// MPa.
    Stress(f64),
    /// Grams.
    Weight(f64),
    /// Hours.
    Time(f64),
    /// So many of something: "teeth", "bits".
    Count(f64, &'static str),
}

impl Quantity {
    /// The bare number in [`Quantity::unit`].
    pub fn value(self) -> f64 {
        match self {
            Quantity::Length(v)
            | Quantity::Angle(v)
            | Quantity::Heat(v)
            | Quantity::Stress(v)
            | Quantity::Weight(v)
            | Quantity::Time(v)
            | Quantity::Count(v, _) => v,
        }
    }

    /// As the JSON names it.
    pub fn unit(self) -> &'static str {
        match self {
            Quantity::Length(_) => "mm",
            Quantity::Angle(_) => "degrees",
            Quantity::Heat(_) => "C",
            Quantity::Stress(_) => "MPa",
            Quantity::Weight(_) => "g",
            Quantity::Time(_) => "hours",
            Quantity::Count(_, what) => what,
        }
    }
}

/// What one check has to say.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// What was looked at.
    pub check: Check,
    /// How grave it is.
    pub level: Level,
    /// In how many places it was found; 0 where nothing is at fault.
    pub count: usize,
    /// The worst, and what it should be.
    pub measured: Option<Quantity>,
    /// What it was measured against.
    pub limit: Option<Quantity>,
    /// Where the worst is, mm from the middle of the outline.
    pub at: Option<Point>,
    /// What the sentence is made of.
    pub finding: Finding,
    /// A remedy that was tried, in the job's units, or `None`.
    pub remedy: Option<String>,
    /// Why no remedy is given; empty while none was looked for.
    pub no_remedy: String,
}

impl Verdict {
    /// A verdict with neither numbers nor place yet, found in one place if it is a fault.
    pub fn new(check: Check, level: Level, finding: impl Into<Finding>) -> Self {
        Self {
            check,
            level,
            count: usize::from(level.is_fault()),
            measured: None,
            limit: None,
            at: None,
            finding: finding.into(),
            remedy: None,
            no_remedy: String::new(),
        }
    }

    /// Found in so many places.
    pub fn count(mut self, places: usize) -> Self {
        self.count = places;
        self
    }

    /// With what was measured and what it should be; figures without an end are left out.
    pub fn numbers(mut self, measured: Quantity, limit: Quantity) -> Self {
        self.measured = Some(measured).filter(|q| q.value().is_finite());
        self.limit = Some(limit).filter(|q| q.value().is_finite());
        self
    }

    /// With its place, mm from the middle.
    pub fn at(mut self, at: Point) -> Self {
        self.at = Some(at);
        self
    }

    /// A plain sentence, its lengths in the job's units.
    pub fn says(&self, units: LengthUnit) -> String {
        self.finding.says(self.count, units)
    }

    /// Which rule binds and where it comes from.
    pub fn because(&self, units: LengthUnit) -> String {
        self.finding.because(units)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_check_has_a_name_of_its_own() {
        let names: std::collections::BTreeSet<&str> = Check::ALL.iter().map(|c| c.name()).collect();
        assert_eq!(names.len(), Check::ALL.len());
        assert!(names.iter().all(|n| n.bytes().all(|b| b.is_ascii_lowercase() || b == b'-')));
    }
}
