//! Wider bridges for a new piece whose own would bend under the saw.

use super::tried::{is_fitted, pitch_of, tried, Suited, FEWEST};
use crate::checks::Check;
use crate::job::Edit;
use crate::work::Work;

/// Bridges are widened by so much at a time, mm, and so often at most (estimate). More of it asks for other sheet.
const WIDER: f64 = 0.1;
const TRIES: u32 = 4;
/// The pitch grows by so many times what bridges are widened by, one after another: openings keep their size, then give way, then grow,
/// for of larger ones fewer and shorter bridges may come out (measured on hearts of 30 to 45 mm).
const GROWN: [f64; 4] = [1.0, 0.0, 2.0, 4.0];

fn faults(work: &Work) -> usize {
    work.verdicts.iter().filter(|v| v.level.is_fault()).count()
}

fn may_bend(work: &Work) -> bool {
    work.verdicts.iter().any(|v| v.check == Check::BridgeStrength && v.level.is_fault())
}

/// The piece with bridges that stand up to sawing, where a little more width does it and brings nothing else; openings keep
/// their size if they can, else they give way. Else what there was.
pub(super) fn sturdier(suited: Suited) -> Suited {
    if !may_bend(&suited.work) {
        return suited;
    }
    let resolved = &suited.work.piece.resolved;
    let (bridge, pitch) = (resolved.bridge.get(), resolved.pitch.get());
    let fitted = is_fitted(&suited.work);
    for wider in (1..=TRIES).map(|k| WIDER * f64::from(k)) {
        for larger in GROWN {
            let pitch = pitch + larger * wider;
            let edits = [Edit::mm("pattern.bridge", bridge + wider), pitch_of(pitch)];
            let Some((job, work)) = tried(&suited.job, &edits) else { continue };
            let better = !may_bend(&work) && faults(&work) < faults(&suited.work);
            if better && work.piece.openings.len() >= FEWEST && (!fitted || is_fitted(&work)) {
                return Suited { job, work, remark: suited.remark };
            }
        }
    }
    suited
}
