//! The largest circle that fits in a ring: where the drill goes.

use super::gap::depth;
use super::{Edge, Ring};
use kurbo::{Point, Vec2};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// How near the radius found is to the true one, mm. With the choice of the middle (another as much) the promise of
/// one micrometre is kept; smaller costs time, most on long narrow openings.
const NEAR: f64 = 3e-4;
/// How near for straight convex rings, mm.
const NEAR_CONVEX: f64 = 1e-9;

/// The largest circle that fits: its middle and radius, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Widest {
    pub at: Point,
    pub radius: f64,
}

/// The largest circle inside an anticlockwise simple ring. Where many fit as well: the middle of them; else the one
/// nearest the balance point; else the lowest, then the leftmost. The radius is within 0.6 micrometres of the largest.
pub fn widest_circle(ring: &Ring) -> Widest {
    if let Some((at, radius)) = ring.as_circle() {
        return Widest { at, radius };
    }
    let found = if ring.is_straight_convex() { convex(ring) } else { None };
    found.unwrap_or_else(|| search(ring))
}

/// Straight convex rings: the deepest drawing-in that leaves something, by halving.
fn convex(ring: &Ring) -> Option<Widest> {
    let bounds = ring.bounds();
    let (mut low, mut high) = (0.0, bounds.width().min(bounds.height()) / 2.0 + NEAR_CONVEX);
    while high - low > NEAR_CONVEX {
        let by = (low + high) / 2.0;
        match ring.shrink_convex(by) {
            Some(_) => low = by,
            None => high = by,
        }
    }
    // Step back a little, so that what is left has a middle to speak of.
    let left = ring.shrink_convex(low - 100.0 * NEAR_CONVEX)?;
    let n = left.corners.len() as f64;
    let mean = left.corners.iter().fold(Vec2::ZERO, |s, c| s + c.at.to_vec2()) / n;
    let middle = left.middle();
    let at = if left.bounds().contains(middle) { middle } else { mean.to_point() };
    Some(Widest { at, radius: ring.depth(at) })
}

struct Square {
    at: Point,
    half: f64,
    depth: f64,
    promise: f64,
}

impl PartialEq for Square {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Square {}
impl PartialOrd for Square {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Square {
    fn cmp(&self, other: &Self) -> Ordering {
        self.promise
            .total_cmp(&other.promise)
            .then(other.at.y.total_cmp(&self.at.y))
            .then(other.at.x.total_cmp(&self.at.x))
    }
}

/// Any ring: squares that may hold a better middle are quartered, the most promising first.
fn search(ring: &Ring) -> Widest {
    let bounds = ring.bounds();
    let side = bounds.width().min(bounds.height()).max(1e-6);
    let middle = ring.middle();
    let edges: Vec<Edge> = ring.edges().collect();
    let square = |at: Point, half: f64| {
        let depth = depth(&edges, at);
        Square { at, half, depth, promise: depth + half * std::f64::consts::SQRT_2 }
    };
    let mut heap = BinaryHeap::new();
    let half = side / 4.0;
    let (across, up) = (
        (bounds.width() / (2.0 * half)).ceil().max(1.0) as usize,
        (bounds.height() / (2.0 * half)).ceil().max(1.0) as usize,
    );
    let start = bounds.center() - Vec2::new(across as f64 - 1.0, up as f64 - 1.0) * half;
    for j in 0..up {
        for i in 0..across {
            heap.push(square(start + Vec2::new(i as f64, j as f64) * (2.0 * half), half));
        }
    }
    let mut best = (depth(&edges, middle), middle);
    let mut as_good: Vec<(f64, Point)> = vec![best];
    while let Some(s) = heap.pop() {
        if s.promise <= best.0 + NEAR {
            break;
        }
        if s.depth > best.0 - NEAR {
            as_good.push((s.depth, s.at));
            if s.depth > best.0 {
                best = (s.depth, s.at);
            }
        }
        let half = s.half / 2.0;
        for (dx, dy) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            let child = square(s.at + Vec2::new(dx, dy) * half, half);
            if child.promise > best.0 + NEAR {
                heap.push(child);
            } else if child.depth > best.0 - NEAR {
                as_good.push((child.depth, child.at));
                if child.depth > best.0 {
                    best = (child.depth, child.at);
                }
            }
        }
    }
    as_good.retain(|(d, _)| *d >= best.0 - NEAR);
    let mean = as_good.iter().fold(Vec2::ZERO, |s, (_, p)| s + p.to_vec2()) / as_good.len() as f64;
    let radius = depth(&edges, mean.to_point());
    if radius >= best.0 - NEAR {
        return Widest { at: mean.to_point(), radius };
    }
    // Rounded to the micrometre, so that the last digit does not choose between two that are as good.
    let micrometres = |v: f64| (v * 1e3).round() as i64;
    let chosen = as_good
        .iter()
        .min_by_key(|(_, p)| (micrometres((*p - middle).hypot()), micrometres(p.y), micrometres(p.x)));
    let (radius, at) = chosen.copied().unwrap_or(best);
    Widest { at, radius }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Corner;

    #[test]
    fn a_brick_is_drilled_in_its_middle() {
        let brick = Ring::polygon([(0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (0.0, 2.0)].map(Point::from));
        let w = widest_circle(&brick);
        assert!((w.radius - 1.0).abs() < 1e-6);
        assert!((w.at - Point::new(3.0, 1.0)).hypot() < 1e-4, "{w:?}");
    }

    #[test]
    fn a_half_disc() {
        // Radius 2: the widest circle has radius 1 and touches the chord's middle.
        let half = Ring::new(vec![Corner::new(-2.0, 0.0, 0.0), Corner::new(2.0, 0.0, 1.0)]);
        let w = widest_circle(&half);
        assert!((w.radius - 1.0).abs() < 6e-4, "{w:?}");
        assert!((w.at - Point::new(0.0, 1.0)).hypot() < 0.03, "{w:?}");
    }
}
