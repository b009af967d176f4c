//! Whether the pattern met its outline the way it was asked to, with openings enough to be one.

use super::case::Case;
use super::{Check, Level, MetalFinding, Quantity, Verdict};
use crate::job::AtBorder;
use crate::units::plain;

const CHECK: Check = Check::BorderFit;

/// A piece with no opening, or with one, is hardly openwork; otherwise, where fitting was asked for, what came of it.
pub(super) fn border_fit(case: &Case) -> Vec<Verdict> {
    let openings = case.piece.openings.len();
    if openings < 2 {
        return vec![Verdict::new(CHECK, Level::Caution, MetalFinding::FewOpenings { openings })];
    }
    let Some(border) = &case.piece.resolved.border else {
        return vec![Verdict::new(CHECK, Level::Good, MetalFinding::PatternFits { openings })];
    };
    let because = "fitted pieces are measured cell by cell before they are used";
    let verdict = match (&border.why, border.narrowest) {
        (Some(why), _) => {
            let instead = match border.used {
                AtBorder::Ease => "eased",
                AtBorder::Join => "joined",
                AtBorder::Whole => "left whole",
                AtBorder::Trim | AtBorder::Fit => "trimmed",
            };
            let says = format!("the pattern is {instead} at the border, not fitted: {why}");
            Verdict::told(CHECK, Level::Caution, says, because)
        }
        (None, Some(narrowest)) => {
            let says = format!(
                "every opening along the border is a whole one; the narrowest has {} of its own width",
                plain(narrowest, 2)
            );
            let (measured, whole) =
                (Quantity::Count(narrowest, "own widths"), Quantity::Count(1.0, "own widths"));
            Verdict::told(CHECK, Level::Good, says, because).numbers(measured, whole)
        }
        (None, None) => {
            Verdict::told(CHECK, Level::Good, "this pattern meets the border by its own means", because)
        }
    };
    vec![verdict]
}
