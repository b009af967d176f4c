//! Whether the pattern met its outline the way it was asked to, with openings enough to be one.

use super::case::Case;
use super::{Check, Level, MetalFinding, Quantity, Verdict};

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
    let verdict = match (&border.why, border.quality.as_ref().map(|q| (q.narrowest, q.cut))) {
        (Some(why), _) => {
            let found = MetalFinding::NotFitted { used: border.used, why: why.clone() };
            Verdict::new(CHECK, Level::Caution, found)
        }
        (None, Some((narrowest, cut))) => {
            let widths = |share: f64| Quantity::Count(share, "own widths");
            Verdict::new(CHECK, Level::Good, MetalFinding::Fitted { narrowest, cut })
                .numbers(widths(narrowest), widths(1.0))
        }
        (None, None) => Verdict::new(CHECK, Level::Good, MetalFinding::OwnBorder),
    };
    vec![verdict]
}
