//! Parallel (or concentric) edges of a ring: the medial axis between them has constant clearance, many circles fit as well, and
//! the drill goes in the middle.

use super::Edge;
use kurbo::{Point, Vec2};

/// How near the radius found is to the true one, mm. With the choice of the middle (another as much) the bound of
/// one micrometre is kept; smaller costs time, most on long narrow openings.
pub(super) const NEAR: f64 = 3e-4;
/// Two edges whose distance changes by less than this from end to end are parallel, mm: a tenth of NEAR. Smaller and
/// the sides of a trimmed opening, rounded to the trimmer's grid, no longer count; larger would tell in the radius.
const SIDE_BY_SIDE: f64 = NEAR / 10.0;

/// Points looked at along a medial segment. More would set the drill nearer to its true middle, within a hundredth of its length.
const STEPS: usize = 120;
/// So many of them are passed over at first: a stretch that is deep is mostly a long one.
const STRIDE: usize = 8;

/// An edge farther from a medial segment than the depth sought and this, mm, is in nobody's way: far over rounding, far below what
/// is looked for. Larger only asks more edges.
const CLEAR: f64 = 1e-6;

/// Two edges that are parallel or concentric: nothing between them is deeper than half their
/// distance, and all along the medial segment it is that deep.
pub(super) struct ParallelEdges {
    pub middle: Edge,
    pub half: f64,
}

impl ParallelEdges {
    pub(super) fn all(edges: &[Edge]) -> Vec<ParallelEdges> {
        let mut all = Vec::new();
        for (i, a) in edges.iter().enumerate() {
            all.extend(edges[i + 1..].iter().filter_map(|b| ParallelEdges::between(a, b)));
        }
        all
    }

    fn between(a: &Edge, b: &Edge) -> Option<ParallelEdges> {
        match (*a, *b) {
            (Edge::Line { from, to }, Edge::Line { from: c, to: d }) => {
                let along = a.direction(0.0);
                let apart = along.cross(c - from);
                let other = along.cross(d - from);
                if (apart - other).abs() > SIDE_BY_SIDE || apart <= 0.0 || along.dot(d - c) > 0.0 {
                    return None;
                }
                let apart = apart.max(other);
                let (low, high) =
                    (along.dot(d - from).max(0.0), along.dot(c - from).min((to - from).hypot2().sqrt()));
                let side = Vec2::new(-along.y, along.x) * (apart / 2.0);
                let at = |s: f64| from + along * s + side;
                (high > low).then(|| ParallelEdges {
                    middle: Edge::Line { from: at(low), to: at(high) },
                    half: apart / 2.0,
                })
            }
            (
                Edge::Arc { centre, radius, bulge, .. },
                Edge::Arc { centre: other, radius: r, bulge: turn, .. },
            ) if (centre - other).hypot2().sqrt() < SIDE_BY_SIDE && bulge * turn < 0.0 => {
                // Outer and inner: the anticlockwise one is the outer, seen from inside the ring.
                let (outer, large, small) = if bulge > 0.0 { (a, radius, r) } else { (b, r, radius) };
                let inner = if bulge > 0.0 { b } else { a };
                let mid = (large + small) / 2.0;
                let on = |p: Point| centre + (p - centre) * (mid / (p - centre).hypot2().sqrt());
                // The stretch both pass: the shorter one, if the other passes its ends.
                let (short, long) = if inner.length() / small < outer.length() / large {
                    ((inner.to(), inner.from()), outer)
                } else {
                    ((outer.from(), outer.to()), inner)
                };
                if large <= small || !long.passes(short.0 - centre) || !long.passes(short.1 - centre) {
                    return None;
                }
                let (v, w) = (short.0 - centre, short.1 - centre);
                let angle = libm::atan2(v.cross(w), v.dot(w));
                let bulge = libm::tan(angle / 4.0);
                (angle > 1e-9).then(|| ParallelEdges {
                    middle: Edge::between(on(short.0), bulge, on(short.1)),
                    half: (large - small) / 2.0,
                })
            }
            _ => None,
        }
    }

    /// Whether the whole ring lies between the two lines or circles that the edges are parts of: then no circle in it is
    /// larger than one between the edges.
    pub(super) fn bounds(&self, edges: &[Edge]) -> bool {
        let most = self.half + SIDE_BY_SIDE;
        match self.middle {
            Edge::Line { from, .. } => {
                let along = self.middle.direction(0.0);
                let across = Vec2::new(-along.y, along.x);
                let level = from.to_vec2().dot(across);
                edges.iter().map(|e| e.reach(across)).all(|(a, b)| a >= level - most && b <= level + most)
            }
            Edge::Arc { centre, radius, .. } => edges.iter().all(|e| {
                (e.nearest(centre) - centre).hypot2().sqrt() >= radius - most
                    && e.farthest(centre) <= radius + most
            }),
        }
    }

    /// Whether a square lies wholly between the two edges, well away from the segment's ends.
    pub(super) fn holds(&self, at: Point, half: f64) -> bool {
        let near = self.middle.nearest(at);
        let room = 3.0 * std::f64::consts::SQRT_2 * half;
        (near - at).hypot2().sqrt() <= self.half
            && (near - self.middle.from()).hypot2().sqrt() >= room
            && (near - self.middle.to()).hypot2().sqrt() >= room
    }

    /// The middle of the longest stretch of the segment that is as deep as it can be.
    pub(super) fn middle_of_the_deep(&self, edges: &[Edge]) -> Option<Point> {
        let least = self.half - NEAR;
        // Edges that stay clear of the whole segment need not be asked at every step: the two edges themselves, and most others.
        let in_the_way: Vec<&Edge> =
            edges.iter().filter(|e| e.closest(&self.middle).distance < least + CLEAR).collect();
        // A point of the segment lies inside: its side of either edge is the ring's own, and nothing comes between unless it is
        // near. Whoever takes the place found measures it once more.
        let deep = |k: usize| {
            let at = self.middle.point(k as f64 / STEPS as f64);
            in_the_way.iter().all(|e| (e.nearest(at) - at).hypot2().sqrt() >= least)
        };
        let (start, end) = [STRIDE, 1].into_iter().find_map(|stride| longest_run(stride, deep))?;
        Some(self.middle.point((start + end) as f64 / (2 * STEPS) as f64))
    }
}

/// First and last of the longest run of steps along the segment that are deep, sought `stride` steps at a time; runs that
/// hold none of those are passed over. `None` if there is none.
fn longest_run(stride: usize, deep: impl Fn(usize) -> bool) -> Option<(usize, usize)> {
    let mut best: Option<(usize, usize)> = None;
    let mut k = 0;
    while k <= STEPS {
        if deep(k) {
            let (mut first, mut last) = (k, k);
            while first > 0 && deep(first - 1) {
                first -= 1;
            }
            while last + stride <= STEPS && deep(last + stride) {
                last += stride;
            }
            while last < STEPS && deep(last + 1) {
                last += 1;
            }
            if best.is_none_or(|(a, b)| last - first > b - a) {
                best = Some((first, last));
            }
            k = last;
        }
        k += stride;
    }
    best
}
