//! Will a bridge bend under the saw? A rough model: it may caution, never stop.

use super::case::Case;
use super::{place, Bridge, Check, Level, Quantity, Side, Verdict};
use crate::job::Temper;
use crate::outline::Seam;
use crate::trade::models::{bridge_stress, strength, width_for_strength, Strength, SAW_PUSH_N, SPARE};
use crate::units::plain;

/// Thinner finished bridges than this are no longer bridges, mm: `bridge-width` has said all there is to say.
const NO_BRIDGE: f64 = 0.05;
const CHECK: Check = Check::BridgeStrength;

pub(super) fn bridge_strength(case: &Case) -> Vec<Verdict> {
    let because = format!(
        "about: a push of {SAW_PUSH_N} N on openwork computed as a grid of beams, never measured at a bench (estimate)"
    );
    let metal = &case.job.sheet.metal;
    let Some(yield_mpa) = case.yield_mpa else {
        let says = format!("not judged: no strength is known for {}", metal.title.to_lowercase());
        return vec![Verdict::told(CHECK, Level::Unchecked, says, because)];
    };
    let mut worst: Option<(f64, f64, &Bridge)> = None;
    let mut weak = 0;
    for bridge in case.graph.bridges.iter().filter(|b| b.finished.get() > NO_BRIDGE) {
        let Some(pitch) = across(case, bridge) else { continue };
        let stress = bridge_stress(SAW_PUSH_N, pitch, bridge.finished.get(), case.thickness);
        weak += usize::from(strength(stress, yield_mpa) != Strength::Fine);
        if worst.is_none_or(|(s, ..)| stress > s + 1e-9) {
            worst = Some((stress, pitch, bridge));
        }
    }
    let Some((stress, pitch, bridge)) = worst else {
        return vec![Verdict::told(
            CHECK,
            Level::Good,
            "there are no bridges between openings to bend",
            because,
        )];
    };
    let temper = if case.job.sheet.temper == Temper::HalfHard { "half-hard" } else { "soft" };
    let wanted = width_for_strength(SAW_PUSH_N, pitch, case.thickness, yield_mpa);
    let verdict = if weak == 0 {
        let says = format!(
            "every bridge holds the saw with strength to spare; the weakest takes about {} % of what {temper} {} bears",
            plain(100.0 * stress / yield_mpa, 0),
            metal.title.to_lowercase()
        );
        Verdict::told(CHECK, Level::Good, says, because)
    } else {
        let will = match strength(stress, yield_mpa) {
            Strength::Bends => "is likely to bend under the saw",
            _ => "may bend under a firm stroke",
        };
        let says = format!(
            "{} to bend: at {}, {} mm finished, it takes about {} % of what {temper} {} bears and {will}; about {} mm, thicker \
             or half-hard sheet would hold, or support it on the pin right beside the cut",
            if weak == 1 { "1 bridge is weak enough".into() } else { format!("{weak} bridges are weak enough") },
            place(bridge.midpoint()),
            plain(bridge.finished.get(), 2),
            plain(100.0 * stress / yield_mpa, 0),
            metal.title.to_lowercase(),
            plain(wanted, 1)
        );
        Verdict::told(CHECK, Level::Caution, says, because)
    };
    vec![verdict.numbers(Quantity::Stress(stress), Quantity::Stress(yield_mpa / SPARE)).at(bridge.midpoint())]
}

/// From the middle of one opening to the middle of the other, mm, over the seam if that is shorter.
fn across(case: &Case, bridge: &Bridge) -> Option<f64> {
    let [Side::Opening(a), Side::Opening(b)] = bridge.between else { return None };
    let middle = |n: usize| case.piece.openings.get(n.checked_sub(1)?).map(|o| o.centroid);
    let (a, b) = (middle(a)?, middle(b)?);
    let over = |seam: &Seam| {
        let images = [true, false].map(|onwards| (seam.carry_point(b, onwards) - a).hypot());
        images[0].min(images[1])
    };
    let straight = (b - a).hypot();
    Some(case.piece.outline.seam.as_ref().map_or(straight, |seam| straight.min(over(seam))))
}
