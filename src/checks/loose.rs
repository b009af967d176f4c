//! Metal that nothing holds: it falls out when the last opening round it is sawn.

use super::case::Case;
use super::{place, Check, Level, Quantity, Side, Verdict};
use crate::geom::{boolean, BooleanOp, ClosestPoints, Region, Ring};
use crate::units::plain;

const CHECK: Check = Check::LooseMetal;
/// Edges nearer than this touch, mm: no saw leaves a thousandth standing, but a drawn one still holds on paper.
const TOUCHING: f64 = 1e-6;
/// Cut-outs are let out by this much before the metal is cut, mm, so that metal that hangs by a mere point, where two of
/// them meet corner to corner, comes apart. Smaller would vanish in the cutting grid; larger could part what holds.
const POINT: f64 = 1e-5;

/// As long as no two edges touch and every cut-out lies inside the piece, what is left hangs together; only else is the
/// metal really cut and its bits counted.
pub(super) fn loose_metal(case: &Case) -> Vec<Verdict> {
    let because = "what is left must hang together, as drawn".to_string();
    let good =
        || vec![Verdict::told(CHECK, Level::Good, "the metal that is left is one piece", because.clone())];
    if !anything_touches(case) {
        return good();
    }
    let mut bits = metal(case);
    bits.sort_by(|a, b| b.area().total_cmp(&a.area()));
    let Some((main, loose)) = bits.split_first() else {
        let says = "nothing of the metal is left";
        return vec![Verdict::told(CHECK, Level::Stop, says, because)];
    };
    let Some(largest) = loose.first() else { return good() };
    let bounds = largest.outer.bounds();
    let gap = shortest_bridge(main, &largest.outer);
    let hold = if gap.distance <= 1e-3 {
        format!("keep metal at {}, where the edges meet", place(gap.at[0]))
    } else {
        format!(
            "the shortest bridge that would hold it is {} mm long, from {} to {}",
            plain(gap.distance, 2),
            place(gap.at[0]),
            place(gap.at[1])
        )
    };
    let says = format!(
        "{} will fall out: {} {} x {} mm over all at {}; {hold}",
        if loose.len() == 1 { "1 bit of metal".into() } else { format!("{} bits of metal", loose.len()) },
        if loose.len() == 1 { "it is" } else { "the largest is" },
        plain(bounds.width(), 1),
        plain(bounds.height(), 1),
        place(largest.outer.centroid())
    );
    vec![Verdict::told(CHECK, Level::Stop, says, because)
        .numbers(Quantity::Count(loose.len() as f64, "bits"), Quantity::Count(0.0, "bits"))
        .at(largest.outer.centroid())]
}

fn anything_touches(case: &Case) -> bool {
    let outline = &case.piece.outline;
    let touching = case.graph.bridges.iter().any(|b| b.width.get() <= TOUCHING);
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
    // A window or hole laid over an opening.
    let over = || {
        let apart = |side: &Side| matches!(side, Side::Window(_) | Side::Hole(_));
        case.graph.bridges.iter().any(|b| b.width.get() <= TOUCHING && b.between.iter().any(apart))
    };
    touching || outside || crossing() || over()
}

fn inside(ring: &Ring, edge: &Ring) -> bool {
    ring.vertices.iter().all(|c| edge.contains(c.at)) && ring.closest(edge).distance > TOUCHING
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
    boolean(&[region(case.piece.outline.edge.clone())], BooleanOp::Difference, &gone)
}

/// From the metal that stays to a loose bit.
fn shortest_bridge(main: &Region, bit: &Ring) -> ClosestPoints {
    let rings = std::iter::once(&main.outer).chain(&main.holes);
    let gaps = rings.map(|r| r.closest(bit));
    gaps.min_by(|a, b| a.distance.total_cmp(&b.distance))
        .unwrap_or(ClosestPoints { distance: 0.0, at: [bit.centroid(); 2] })
}
