//! Metal held at one end only, and tips that catch.

use super::case::Case;
use super::corners::Bay;
use super::{Check, Level, MetalFinding, Quantity, Verdict};
use crate::geom::Point;
use crate::openings::corners_of;
use crate::trade::models::{longest_tongue, tongue_give, tongue_stress, SAW_PUSH_N, SPARE};

/// Tips of metal sharper than this catch on cloth and skin and bend, degrees (common practice). Larger would flag the
/// points of every star; smaller lets needles through.
const SHARP_TIP: f64 = 45.0;
/// A tip that gives by less is not spoken of, mm: a hand does not feel it (from memory, believed).
const FELT: f64 = 0.02;
/// Where the metal's strength is not known a tongue may be this many times as long as it is wide.
const PLAIN_RATIO: f64 = 2.0;

pub(super) fn tongue(case: &Case) -> Vec<Verdict> {
    let all: Vec<Verdict> = long_tongue(case).into_iter().chain(sharp_tip(case)).collect();
    if all.is_empty() {
        return vec![Verdict::new(Check::Tongue, Level::Good, MetalFinding::NoTongues)];
    }
    all
}

fn long_tongue(case: &Case) -> Option<Verdict> {
    let clean_up = 2.0 * case.job.saw.clean_up.get();
    let finished = |bay: &Bay| (bay.width - clean_up).max(0.0);
    // How many times too long, by strength or plainly by shape.
    let longest = |bay: &Bay| match case.yield_mpa {
        Some(y) => longest_tongue(SAW_PUSH_N, finished(bay), case.thickness, y),
        None => PLAIN_RATIO * finished(bay),
    };
    let mut weak = 0;
    let mut worst: Option<(f64, Bay, Point)> = None;
    for (_, sawing, by) in case.sawn() {
        let Some(bay) = sawing.bay else { continue };
        if bay.length > longest(&bay) + 0.001 {
            weak += 1;
            let excess = bay.length / longest(&bay).max(1e-6);
            if worst.is_none_or(|(e, ..)| excess > e + 1e-9) {
                worst = Some((excess, bay, bay.tip + by));
            }
        }
    }
    let (_, bay, tip) = worst?;
    let width = finished(&bay);
    let likely = case
        .yield_mpa
        .is_some_and(|y| tongue_stress(SAW_PUSH_N, bay.length, width.max(1e-6), case.thickness) > y * SPARE);
    let metal = &case.job.sheet.metal;
    let gives = metal.youngs_mpa.map(|youngs| {
        tongue_give(SAW_PUSH_N, bay.length, width.max(0.05), case.thickness, youngs, metal.poisson)
    });
    let (length, safe) = (bay.length, longest(&bay));
    let gives = gives.filter(|give| *give >= FELT);
    let found = MetalFinding::TongueLong { tip, length, width, gives, likely, safe };
    let verdict = Verdict::new(Check::Tongue, Level::Caution, found).count(weak);
    Some(verdict.numbers(Quantity::Length(length), Quantity::Length(safe)).at(tip))
}

fn sharp_tip(case: &Case) -> Option<Verdict> {
    let mut sharp = 0;
    let mut worst: Option<(f64, Point)> = None;
    let mut look = |angle: f64, at: Point| {
        if angle < SHARP_TIP - 1e-6 {
            sharp += 1;
            if worst.is_none_or(|(a, _)| angle < a - 1e-9) {
                worst = Some((angle, at));
            }
        }
    };
    // Where the outer edge points out the metal is inside its corner, where an opening points in it is outside.
    let edge = &case.piece.outline.edge;
    for (i, turn) in corners_of(edge).into_iter().filter(|(_, turn)| *turn > 0.0) {
        look(180.0 - turn.to_degrees(), edge.vertex(i).at);
    }
    for (_, sawing, by) in case.sawn() {
        if let Some((angle, at)) = sawing.sharp_tip {
            look(angle, at + by);
        }
    }
    let (angle, at) = worst?;
    let found = MetalFinding::TipSharp { at, angle, below: SHARP_TIP };
    let verdict = Verdict::new(Check::Tongue, Level::Caution, found).count(sharp);
    Some(verdict.numbers(Quantity::Angle(angle), Quantity::Angle(SHARP_TIP)).at(at))
}
