//! Metal that nothing holds: it falls out when the last opening round it is sawn.

use super::case::Case;
use super::{Check, Hold, Level, MetalFinding, Quantity, Verdict};
use crate::geom::{boolean, BooleanOp, ClosestPoints, Region, Ring};

/// Edges nearer than this touch, mm: no saw leaves a thousandth standing, but a drawn one still holds on paper.
const TOUCHING: f64 = 1e-6;
/// Cut-outs are let out by this much before the metal is cut, mm, so that metal that hangs by a mere point, where two of
/// them meet corner to corner, comes apart. Smaller would vanish in the cutting grid; larger could part what holds.
const POINT: f64 = 1e-5;

/// As long as no two edges touch and every cut-out lies inside the piece, what is left hangs together; only else is the
/// metal really cut and its bits counted.
pub(super) fn loose_metal(case: &Case) -> Vec<Verdict> {
    let verdict = |level: Level, found: MetalFinding| Verdict::new(Check::LooseMetal, level, found);
    let good = || vec![verdict(Level::Good, MetalFinding::OnePiece)];
    if !anything_touches(case) {
        return good();
    }
    let mut bits = metal(case);
    bits.sort_by(|a, b| b.area().total_cmp(&a.area()));
    let Some((main, loose)) = bits.split_first() else {
        return vec![verdict(Level::Stop, MetalFinding::NothingLeft)];
    };
    let Some(largest) = loose.first() else { return good() };
    let bounds = largest.outer().bounds();
    let gap = shortest_bridge(main, largest.outer());
    let [from, to] = gap.at;
    let hold = match gap.distance <= 1e-3 {
        true => Hold::Here(from),
        false => Hold::Bridge { length: gap.distance, from, to },
    };
    let at = largest.outer().centroid();
    let found = MetalFinding::FallsOut { size: (bounds.width(), bounds.height()), at, hold };
    let bits = |n: usize| Quantity::Count(n as f64, "bits");
    vec![verdict(Level::Stop, found).count(loose.len()).numbers(bits(loose.len()), bits(0)).at(at)]
}

fn anything_touches(case: &Case) -> bool {
    let outline = &case.piece.outline;
    let touching = case.graph.kinds().any(|(b, _)| b.width.get() <= TOUCHING);
    let fixed: Vec<Ring> = cut_outs(case).collect();
    let outside = fixed.iter().any(|r| !inside(r, &outline.edge));
    // Cut-outs within cut-outs take nothing away, but a cut across two of them does.
    let crossing = || {
        (0..fixed.len()).any(|i| {
            let b = fixed[i].bounds();
            (i + 1..fixed.len())
                .any(|j| fixed[j].bounds().overlaps(b) && fixed[i].closest(&fixed[j]).distance <= TOUCHING)
        })
    };
    let islands = outline.windows.iter().any(|w| !w.islands.is_empty());
    touching || outside || islands || crossing()
}

fn inside(ring: &Ring, edge: &Ring) -> bool {
    ring.vertices().all(|c| edge.contains(c.at)) && ring.closest(edge).distance > TOUCHING
}

/// Windows and holes.
fn cut_outs<'a>(case: &'a Case) -> impl Iterator<Item = Ring> + 'a {
    let outline = &case.piece.outline;
    let windows = outline.windows.iter().map(|w| w.ring.clone());
    windows.chain(outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0)))
}

/// The metal that is left, in its separate bits.
fn metal(case: &Case) -> Vec<Region> {
    let region = |ring: Ring| Region::new(ring, Vec::new());
    let openings = case.piece.openings.iter().map(|o| o.ring.clone());
    let gone: Vec<Region> = openings.chain(cut_outs(case)).map(|ring| region(ring.grow(POINT))).collect();
    let mut left = boolean(&[region(case.piece.outline.edge.clone())], BooleanOp::Difference, &gone);
    left.extend(case.piece.outline.windows.iter().flat_map(|w| &w.islands).map(|ring| region(ring.clone())));
    left
}

/// From the metal that stays to a loose bit.
fn shortest_bridge(main: &Region, bit: &Ring) -> ClosestPoints {
    let rings = main.rings();
    let gaps = rings.map(|r| r.closest(bit));
    gaps.min_by(|a, b| a.distance.total_cmp(&b.distance))
        .unwrap_or(ClosestPoints { distance: 0.0, at: [bit.centroid(); 2] })
}
