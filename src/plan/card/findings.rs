//! What is at fault with the drawing, as it stands on the card.

use super::{CardSection, CardStep};
use crate::checks::{Level, Verdict};
use crate::units::LengthUnit;

/// Stops, then cautions, in the words of `check`; `None` where nothing is at fault.
pub fn findings(verdicts: &[Verdict], units: LengthUnit) -> Option<CardSection> {
    let of = |level: Level| verdicts.iter().filter(move |v| v.level == level);
    let mut s = CardSection::new(CardStep::Findings);
    of(Level::Stop).for_each(|v| s.tick(format!("STOP, {}: {}", v.check, v.says(units))));
    of(Level::Caution).for_each(|v| s.tick(format!("caution, {}: {}", v.check, v.says(units))));
    (!s.rows.is_empty()).then_some(s)
}
