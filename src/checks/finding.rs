//! What was found, as data, and the sentences made of it.

use crate::units::LengthUnit;

/// What a check found.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// In words, until it has data of its own.
    Told { says: String, because: String },
}

impl Finding {
    /// The sentence of a finding made in `count` places, lengths in the job's units.
    pub fn says(&self, _count: usize, _units: LengthUnit) -> String {
        match self {
            Finding::Told { says, .. } => says.clone(),
        }
    }

    /// Which rule binds and where it comes from.
    pub fn because(&self, _units: LengthUnit) -> String {
        match self {
            Finding::Told { because, .. } => because.clone(),
        }
    }
}
