//! Maximum inscribed circle of a ring (its centre: the pole of inaccessibility), where the drill goes: exact for convex
//! rings, else a quadtree searched by branch and bound.

use super::convex::{inscribed_in_rounded_convex, inscribed_in_straight_convex};
use super::distance::{contains, signed_distance};
use super::parallel::{ParallelEdges, NEAR};
use super::{Edge, Ring};
use kurbo::{Point, Vec2};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// The largest circle that fits: its middle and radius, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InscribedCircle {
    /// Its middle.
    pub at: Point,
    /// mm.
    pub radius: f64,
}

/// The largest circle inside an anticlockwise simple ring. Where many fit as well: the middle of them; else the one
/// nearest the centroid; else the lowest, then the leftmost. The radius is within 0.6 micrometres of the largest.
pub fn inscribed_circle(ring: &Ring) -> InscribedCircle {
    inscribed_within(ring, NEAR)
}

/// The same, its radius to within twice `near` mm: what a coarse aim is enough for costs less.
pub fn inscribed_within(ring: &Ring, near: f64) -> InscribedCircle {
    if let Some((at, radius)) = ring.as_circle() {
        return InscribedCircle { at, radius };
    }
    let found = match ring.is_straight_convex() {
        true => inscribed_in_straight_convex(ring),
        false => inscribed_in_rounded_convex(ring),
    };
    found.unwrap_or_else(|| search(ring, near.max(NEAR)))
}

struct SearchSquare {
    at: Point,
    half: f64,
    distance: f64,
    bound: f64,
}

impl PartialEq for SearchSquare {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for SearchSquare {}
impl PartialOrd for SearchSquare {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for SearchSquare {
    fn cmp(&self, other: &Self) -> Ordering {
        self.bound
            .total_cmp(&other.bound)
            .then(other.at.y.total_cmp(&self.at.y))
            .then(other.at.x.total_cmp(&self.at.x))
    }
}

/// Points looked at along every pair of parallel edges before the search. Fewer, and a partly blocked pair is searched square by square.
const FIRST_LOOK: usize = 8;

/// Upper bound of the signed distance over a square, from two points of the ring's line: the nearest to the square's middle
/// and the nearest that lies over against it. No point of the ring is deeper than it is far from any point of the line,
/// so none is deeper than the mean of two such distances; that mean bulges downwards and is largest at a vertex of the
/// square. Where two edges are nearly parallel it hardly grows with the square, so that ridges are not searched to
/// their full resolution. Infinite when nothing lies over against it.
///
/// `near` holds the point of every edge nearest to the square's middle, with its distance squared.
fn between_two(near: &[(f64, Point)], first: (f64, Point), at: Point, half: f64) -> f64 {
    let side = first.1 - at;
    let mut second = (f64::INFINITY, at);
    for &(far, p) in near {
        if far < second.0 && (p - at).dot(side) < -0.5 * (far * first.0).sqrt() {
            second = (far, p);
        }
    }
    if !second.0.is_finite() {
        return f64::INFINITY;
    }
    [(-half, -half), (half, -half), (-half, half), (half, half)]
        .into_iter()
        .map(|(x, y)| at + Vec2::new(x, y))
        .map(|vertex| ((vertex - first.1).hypot2().sqrt() + (vertex - second.1).hypot2().sqrt()) / 2.0)
        .fold(0.0, f64::max)
}

/// Any ring: squares that may hold a better middle are quartered, the most promising first.
pub(super) fn search(ring: &Ring, aim: f64) -> InscribedCircle {
    let bounds = ring.bounds();
    let side = bounds.width().min(bounds.height()).max(1e-6);
    let middle = ring.centroid();
    let edges: Vec<Edge> = ring.edges().collect();
    let parallels = ParallelEdges::all(&edges);
    let mut near: Vec<(f64, Point)> = Vec::with_capacity(edges.len());
    let mut square = |at: Point, half: f64, best: f64| {
        near.clear();
        let mut first = (f64::INFINITY, at);
        for edge in &edges {
            let p = edge.nearest(at);
            let far = (p - at).hypot2();
            near.push((far, p));
            if far < first.0 {
                first = (far, p);
            }
        }
        let (far, reach) = (first.0.sqrt(), half * std::f64::consts::SQRT_2);
        // Whether it lies inside is asked only where that could matter.
        let matters = far + reach > best + aim || far > best - aim;
        if !matters || !contains(edges.iter().copied(), at) {
            return SearchSquare { at, half, distance: -far, bound: reach - far };
        }
        let mut bound = far + reach;
        if bound > best + aim {
            bound = bound.min(between_two(&near, first, at, half));
        }
        let walled = parallels.iter().filter(|a| a.half < bound && a.holds(at, half)).map(|a| a.half);
        SearchSquare { at, half, distance: far, bound: walled.fold(bound, f64::min) }
    };
    let mut best = (signed_distance(&edges, middle), middle);
    // A first good centre on the medial segment of every pair, so that its squares need not be searched for one.
    for parallel in &parallels {
        for k in 0..=FIRST_LOOK {
            let at = parallel.middle.point(k as f64 / FIRST_LOOK as f64);
            let deep = signed_distance(&edges, at);
            if deep > best.0 {
                best = (deep, at);
            }
        }
    }
    if parallels.iter().any(|a| best.0 >= a.half - aim && a.bounds(&edges))
        && let Some(found) = deepest(&parallels, &edges, best.0, aim)
    {
        return found;
    }
    let mut heap = BinaryHeap::new();
    // A ring that has all but vanished is not searched to the last digit.
    let half = (side / 4.0).max(aim);
    let (across, up) = (
        (bounds.width() / (2.0 * half)).ceil().max(1.0) as usize,
        (bounds.height() / (2.0 * half)).ceil().max(1.0) as usize,
    );
    let start = bounds.center() - Vec2::new(across as f64 - 1.0, up as f64 - 1.0) * half;
    for j in 0..up {
        for i in 0..across {
            heap.push(square(start + Vec2::new(i as f64, j as f64) * (2.0 * half), half, best.0));
        }
    }
    let mut as_good: Vec<(f64, Point)> = vec![best];
    while let Some(s) = heap.pop() {
        if s.bound <= best.0 + aim {
            break;
        }
        if s.distance > best.0 - aim {
            as_good.push((s.distance, s.at));
            if s.distance > best.0 {
                best = (s.distance, s.at);
            }
        }
        let half = s.half / 2.0;
        for (dx, dy) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            let child = square(s.at + Vec2::new(dx, dy) * half, half, best.0);
            if child.bound > best.0 + aim {
                heap.push(child);
            } else if child.distance > best.0 - aim {
                as_good.push((child.distance, child.at));
                if child.distance > best.0 {
                    best = (child.distance, child.at);
                }
            }
        }
    }
    if let Some(found) = deepest(&parallels, &edges, best.0, aim) {
        return found;
    }
    as_good.retain(|(d, _)| *d >= best.0 - aim);
    let mean = as_good.iter().fold(Vec2::ZERO, |s, (_, p)| s + p.to_vec2()) / as_good.len() as f64;
    let radius = signed_distance(&edges, mean.to_point());
    if radius >= best.0 - aim {
        return InscribedCircle { at: mean.to_point(), radius };
    }
    // Rounded to the micrometre, so that the last digit does not choose between two that are as good.
    let micrometres = |v: f64| (v * 1e3).round() as i64;
    let chosen = as_good.iter().min_by_key(|(_, p)| {
        (micrometres((*p - middle).hypot2().sqrt()), micrometres(p.y), micrometres(p.x))
    });
    let (radius, at) = chosen.copied().unwrap_or(best);
    InscribedCircle { at, radius }
}

/// The middle of the longest medial segment that is as deep as anything: the middle of all the circles that fit as well.
fn deepest(parallels: &[ParallelEdges], edges: &[Edge], best: f64, aim: f64) -> Option<InscribedCircle> {
    parallels
        .iter()
        .filter(|a| a.half >= best - aim)
        .filter_map(|a| a.middle_of_the_deep(edges).map(|at| (a.middle.length(), at)))
        .map(|(length, at)| (length, InscribedCircle { at, radius: signed_distance(edges, at) }))
        .filter(|(_, w)| w.radius >= best - aim)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, widest)| widest)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;

    #[test]
    fn a_brick_is_drilled_in_its_middle() {
        let brick = Ring::polygon([(0.0, 0.0), (6.0, 0.0), (6.0, 2.0), (0.0, 2.0)].map(Point::from));
        let w = inscribed_circle(&brick);
        assert!((w.radius - 1.0).abs() < 1e-6);
        assert!((w.at - Point::new(3.0, 1.0)).hypot2().sqrt() < 1e-4, "{w:?}");
    }

    /// Found by timing: a long opening with one round end was searched to full resolution along its medial axis.
    #[test]
    fn a_long_opening_with_a_round_end_is_drilled_in_its_middle() {
        let slot = Ring::new(vec![
            Vertex::new(0.0, 0.0, 0.0),
            Vertex::new(12.0, 0.0, 1.0),
            Vertex::new(12.0, 2.0, 0.0),
            Vertex::new(0.0, 2.0, 0.0),
        ]);
        let w = inscribed_circle(&slot);
        assert!(
            (w.radius - 1.0).abs() < 6e-4 && (w.at - Point::new(6.5, 1.0)).hypot2().sqrt() < 0.15,
            "{w:?}"
        );
    }

    /// Found by timing: no square's middle came within NEAR of the medial axis, so that all of it was searched.
    #[test]
    fn a_slanting_slot_off_the_squares_is_found_at_once() {
        let c = |x: f64, y: f64, bulge: f64| Vertex::new(x, y, bulge);
        let slot = Ring::new(vec![
            c(-6.13259177, -11.27976167, 0.0),
            c(-6.13259177, -17.18974038, 0.27225201),
            c(-6.02980064, -17.36452721, 0.01520097),
            c(-5.35985626, -17.71089120, 0.31816683),
            c(-5.13202600, -17.67194210, 0.0),
            c(-4.92863977, -17.46855587, 0.19891235),
            c(-4.87006113, -17.32713452, 0.0),
            c(-4.87006077, -10.41723088, 0.66817861),
            c(-5.21148211, -10.27580950, 0.0),
            c(-6.07401311, -11.13834029, 0.19891238),
        ]);
        let w = inscribed_circle(&slot);
        assert!((w.radius - (6.13259177 - 4.87006113) / 2.0).abs() < 6e-4, "{w:?}");
        // The long sides run together by less than a ten-thousandth of a micrometre: the widest place is not quite the middle.
        assert!((w.at.x + 5.5013).abs() < 1e-3 && (-16.5..-11.9).contains(&w.at.y), "{w:?}");
    }

    #[test]
    fn a_ring_sector_is_drilled_half_way_round() {
        // Between radii 8 and 10, from -40 to 40 degrees.
        let (s, c) = crate::geom::sin_cos_degrees(40.0);
        let bulge = libm::tan(20f64.to_radians());
        let sector = Ring::new(vec![
            Vertex::new(8.0 * c, -8.0 * s, 0.0),
            Vertex::new(10.0 * c, -10.0 * s, bulge),
            Vertex::new(10.0 * c, 10.0 * s, 0.0),
            Vertex::new(8.0 * c, 8.0 * s, -bulge),
        ]);
        let w = inscribed_circle(&sector);
        assert!(
            (w.radius - 1.0).abs() < 6e-4 && (w.at - Point::new(9.0, 0.0)).hypot2().sqrt() < 0.15,
            "{w:?}"
        );
    }

    /// The slot's sides do not bound its round end.
    #[test]
    fn a_keyhole_is_drilled_in_its_round() {
        let keyhole = Ring::new(vec![
            Vertex::new(0.0, -1.0, 0.0),
            Vertex::new(10.0, -1.0, libm::tan(75f64.to_radians())),
            Vertex::new(10.0, 1.0, 0.0),
            Vertex::new(0.0, 1.0, 0.0),
        ]);
        let w = inscribed_circle(&keyhole);
        assert!((w.radius - 2.0).abs() < 6e-4, "{w:?}");
        assert!((w.at - Point::new(10.0 + 3f64.sqrt(), 0.0)).hypot2().sqrt() < 0.01, "{w:?}");
    }

    /// A ring between its own two circles is not searched: what is found must still be the largest, wherever a point is tried.
    #[test]
    fn no_point_of_a_ring_sector_is_deeper() {
        for (k, degrees) in (1..40).map(|k| (k, 4.0 * k as f64)) {
            let (inner, outer) = (3.0 + 0.3 * k as f64, 5.0 + 0.31 * k as f64);
            let (s, c) = crate::geom::sin_cos_degrees(degrees);
            let bulge = libm::tan(degrees.to_radians() / 4.0);
            let sector = Ring::new(vec![
                Vertex::new(inner, 0.0, 0.0),
                Vertex::new(outer, 0.0, bulge),
                Vertex::new(outer * c, outer * s, 0.0),
                Vertex::new(inner * c, inner * s, -bulge),
            ]);
            for ring in sector.rounded(0.1) {
                let w = inscribed_circle(&ring);
                assert!((ring.signed_distance(w.at) - w.radius).abs() < 1e-9, "{degrees} {w:?}");
                let b = ring.bounds();
                let at = |i: i32, j: i32| {
                    Point::new(
                        b.x0 + b.width() * f64::from(i) / 60.0,
                        b.y0 + b.height() * f64::from(j) / 60.0,
                    )
                };
                let deeper = (0..=60)
                    .flat_map(|i| (0..=60).map(move |j| (i, j)))
                    .map(|(i, j)| ring.signed_distance(at(i, j)));
                assert!(deeper.fold(0.0, f64::max) <= w.radius + 6e-4, "{degrees} {w:?}");
            }
        }
    }

    /// Found by timing: a brick cut by a border of large radius, nearly side by side with its far end.
    #[test]
    fn a_brick_cut_by_a_long_arc() {
        for radius in [20.0, 140.0, 900.0] {
            let bulge = libm::tan(libm::asin(1.0 / radius) / 2.0);
            let brick = Ring::new(vec![
                Vertex::new(0.0, 0.0, 0.0),
                Vertex::new(2.0, 0.0, 0.0),
                Vertex::new(2.0, 0.9, bulge),
                Vertex::new(0.0, 0.9, 0.0),
            ]);
            // The arc's top over the middle of the floor: the circle between them.
            let rise = radius - (radius * radius - 1.0).sqrt();
            let w = inscribed_circle(&brick);
            assert!((w.radius - (0.9 + rise) / 2.0).abs() < 6e-4, "{radius} {w:?}");
            assert!((w.at.x - 1.0).abs() < 0.3, "{radius} {w:?}");
        }
    }

    #[test]
    fn a_half_disc() {
        // Radius 2: the widest circle has radius 1 and touches the chord's middle.
        let half = Ring::new(vec![Vertex::new(-2.0, 0.0, 0.0), Vertex::new(2.0, 0.0, 1.0)]);
        let w = inscribed_circle(&half);
        assert!((w.radius - 1.0).abs() < 6e-4, "{w:?}");
        assert!((w.at - Point::new(0.0, 1.0)).hypot2().sqrt() < 0.03, "{w:?}");
    }
}
