//! Order of piercing, which is the order of the numbers: from the middle outwards in short moves.
//!
//! Which order keeps a sheet stiffest flips with how it is held, and the differences are thousandths of a millimetre;
//! what matters is to support the sheet within about 6 mm of the cut. So the order is the plain one: there is always
//! uncut metal outside the opening being sawn, and the work is turned little. Sorting makes it cost n log n. Places are
//! rounded before they are compared, so that the last digit never decides.

use super::Opening;
use crate::geom::Point;
use std::f64::consts::TAU;

/// A place is rounded to a thousandth of a step between neighbours. Larger would tie openings that lie apart, smaller
/// would let the last digit decide.
const STEPS: f64 = 1e3;
/// Directions are told apart down to a hundred-thousandth of a turn.
const DIRECTIONS: i64 = 100_000;

/// Puts openings in the order of piercing and numbers them from 1. `size`: of the outline, mm; a `strip` is pierced from
/// its middle to either end, everything else round and round.
pub(super) fn number(openings: &mut Vec<Opening>, size: (f64, f64), strip: bool) {
    let (width, height) = (size.0.max(1e-9), size.1.max(1e-9));
    let step = (width * height / openings.len().max(1) as f64).sqrt().max(1e-9);
    let order = match strip {
        true => along_strip(openings, step),
        false => in_rings(openings, (width, height), step),
    };
    let numbered = order.into_iter().zip(1..).map(|(i, n)| Opening { n, ..openings[i as usize].clone() });
    *openings = numbered.collect();
}

/// Rings as wide as one opening's share of the sheet, following the outline's own proportions.
fn in_rings(openings: &[Opening], (width, height): (f64, f64), step: f64) -> Vec<u32> {
    let mean = (width * height).sqrt();
    // The middle opening stands alone in ring 0.
    let ring = |p: Point| {
        let out = (p.x * mean / width).powi(2) + (p.y * mean / height).powi(2);
        ((out.sqrt() / step + 0.5) * STEPS).round() as u32 / STEPS as u32
    };
    let mut rings: Vec<(u32, u32, u32)> =
        openings.iter().zip(0..).map(|(o, i)| (ring(o.centroid), direction(o.centroid), i)).collect();
    rings.sort_unstable();
    let mut order: Vec<u32> = Vec::with_capacity(rings.len());
    let mut from = 0;
    for ring in rings.chunk_by(|a, b| a.0 == b.0) {
        // Go on from where the last ring ended, the same way round.
        let start = ring.iter().position(|r| r.1 >= from).unwrap_or(0);
        order.extend(ring[start..].iter().chain(&ring[..start]).map(|r| r.2));
        from = order.last().map_or(0, |&i| direction(openings[i as usize].centroid));
    }
    order
}

/// Direction from the middle of the piece, anticlockwise from +x, in [`DIRECTIONS`] of a turn.
fn direction(p: Point) -> u32 {
    let turn = libm::atan2(p.y, p.x) / TAU;
    ((turn * DIRECTIONS as f64).round() as i64).rem_euclid(DIRECTIONS) as u32
}

/// From the middle to the right end, then from the middle to the left one, in columns up and down.
fn along_strip(openings: &[Opening], step: f64) -> Vec<u32> {
    let rounded = |v: f64| (v / step * STEPS).round() as i64;
    let mut columns: Vec<(bool, i64, i64, i64, u32)> = openings
        .iter()
        .zip(0..)
        .map(|(o, i)| {
            let (x, y) = (rounded(o.centroid.x), rounded(o.centroid.y));
            let column = x.abs() / STEPS as i64;
            (x < 0, column, if column % 2 == 0 { y } else { -y }, x.abs(), i)
        })
        .collect();
    columns.sort_unstable();
    columns.into_iter().map(|c| c.4).collect()
}
