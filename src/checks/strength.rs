//! Will a bridge bend under the saw? A rough model: it may caution, never stop.

use super::case::Case;
use super::finding::named;
use super::{Bridge, Check, Level, MetalFinding, Quantity, Side, Verdict};
use crate::trade::models::{bridge_stress, strength, width_for_strength, Strength, SAW_PUSH_N, SPARE};

/// A bridge wider than this share of the way from opening to opening leaves no opening worth sawing (estimate).
const MOST_OF_PITCH: f64 = 0.7;
/// Thinner finished bridges than this are no longer bridges, mm: `bridge-width` has said all there is to say.
const NO_BRIDGE: f64 = 0.05;

pub(super) fn bridge_strength(case: &Case) -> Vec<Verdict> {
    let verdict = |level: Level, found: MetalFinding| Verdict::new(Check::BridgeStrength, level, found);
    let (metal, temper) = (named(&case.job.sheet.metal), case.job.sheet.temper);
    let Some(yield_mpa) = case.yield_mpa else {
        return vec![verdict(Level::Unchecked, MetalFinding::StrengthUnknown { metal })];
    };
    let mut worst: Option<(f64, f64, Bridge)> = None;
    let mut weak = 0;
    for (bridge, times) in case.graph.kinds().filter(|(b, _)| b.finished.get() > NO_BRIDGE) {
        let Some(pitch) = across(case, &bridge) else { continue };
        let stress = bridge_stress(SAW_PUSH_N, pitch, bridge.finished.get(), case.thickness);
        weak += if strength(stress, yield_mpa) == Strength::Fine { 0 } else { times };
        if worst.is_none_or(|(s, ..)| stress > s + 1e-9) {
            worst = Some((stress, pitch, bridge));
        }
    }
    let Some((stress, pitch, bridge)) = worst else {
        return vec![verdict(Level::Good, MetalFinding::NoBridgesToBend)];
    };
    let (at, share, caution) = (bridge.midpoint(), stress / yield_mpa, 1.0 / SPARE);
    let told = if weak == 0 {
        verdict(Level::Good, MetalFinding::BridgesStrong { share, caution, temper, metal })
    } else {
        let wanted = width_for_strength(SAW_PUSH_N, pitch, case.thickness, yield_mpa);
        let found = MetalFinding::BridgesWeak {
            at,
            finished: bridge.finished.get(),
            share,
            likely: strength(stress, yield_mpa) == Strength::Bends,
            temper,
            metal,
            // Up to the next hundredth, so that what is asked for is not what is there.
            wanted: (wanted < MOST_OF_PITCH * pitch).then_some((wanted * 100.0).ceil() / 100.0),
        };
        verdict(Level::Caution, found).count(weak)
    };
    vec![told.numbers(Quantity::Stress(stress), Quantity::Stress(yield_mpa / SPARE)).at(at)]
}

/// From the middle of one opening to the middle of the other, mm, over the seam if that is shorter.
fn across(case: &Case, bridge: &Bridge) -> Option<f64> {
    let [Side::Opening(a), Side::Opening(b)] = bridge.between else { return None };
    let middle = |n: usize| case.piece.openings.get(n.checked_sub(1)?).map(|o| o.centroid);
    let (a, b) = (middle(a)?, middle(b)?);
    let straight = (b - a).hypot2().sqrt();
    Some(case.piece.outline.seam.as_ref().map_or(straight, |seam| seam.distance(a, b)))
}
