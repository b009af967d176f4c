//! Rings of straight edges whose corners all point out: quick and exact ways for the most usual openings.

use super::{Edge, Ring, Widest};
use kurbo::{Point, Vec2};

/// How far a straight convex ring is drawn in less than it can be, mm: so that what is left has a middle to speak of.
/// Larger would tell in the middle, smaller drowns in rounding.
const STEP_BACK: f64 = 1e-7;
/// Sides that turn less than this run on in one line, as the sine of the angle: a little over rounding.
const SAME_WAY: f64 = 1e-12;

impl Ring {
    /// No arcs and no corner that points in.
    pub fn is_straight_convex(&self) -> bool {
        let n = self.corners.len();
        n >= 3
            && (0..n).all(|i| {
                let (a, b, c) =
                    (self.corners[i].at, self.corners[(i + 1) % n].at, self.corners[(i + 2) % n].at);
                self.corners[i].bulge == 0.0
                    && (b - a).cross(c - b) >= -1e-12 * (b - a).hypot() * (c - b).hypot()
            })
    }

    /// Exact drawing in of a straight convex ring: what is left of it behind every edge moved in.
    pub(crate) fn shrink_convex(&self, by: f64) -> Option<Ring> {
        let mut left: Vec<Point> = self.corners.iter().map(|c| c.at).collect();
        let mut next = Vec::with_capacity(left.len() + 2);
        for edge in self.edges() {
            let (from, along) = (edge.from(), edge.direction(0.0));
            let behind = |p: Point| along.cross(p - from) - by;
            next.clear();
            for (i, &a) in left.iter().enumerate() {
                let b = left[(i + 1) % left.len()];
                let (da, db) = (behind(a), behind(b));
                if da >= 0.0 {
                    next.push(a);
                }
                if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
                    next.push(a + (b - a) * (da / (da - db)));
                }
            }
            std::mem::swap(&mut left, &mut next);
            if left.len() < 3 {
                return None;
            }
        }
        left.dedup_by(|a, b| (*a - *b).hypot2() < 1e-20);
        if left.len() > 1 && (left[0] - left[left.len() - 1]).hypot2() < 1e-20 {
            left.pop();
        }
        let ring = Ring::polygon(left);
        (ring.corners.len() >= 3 && ring.area() > 0.0).then_some(ring)
    }
}

/// Straight convex rings, by drawing all edges in together: one after another vanishes between its neighbours, until the
/// neighbours of the next no longer meet behind it. As deep as that the ring can be drawn in (the straight skeleton of a
/// convex polygon, by hand). `None` when rounding spoils it.
pub(super) fn widest_in_convex(ring: &Ring) -> Option<Widest> {
    let mut sides: Vec<Side> = ring.edges().filter_map(|e| Side::of(&e)).collect();
    sides.dedup_by(|b, a| a.inward.cross(b.inward) <= SAME_WAY);
    let around = |sides: &[Side], k: usize| {
        let n = sides.len();
        ((k + n - 1) % n, k, (k + 1) % n)
    };
    let lasts = |sides: &[Side], k: usize| {
        let (before, side, after) = around(sides, k);
        vanishing(&sides[before], &sides[side], &sides[after])
    };
    for k in 0..sides.len() {
        sides[k].lasts = lasts(&sides, k);
    }
    let radius = loop {
        let first = (0..sides.len()).min_by(|&a, &b| sides[a].lasts.total_cmp(&sides[b].lasts))?;
        let (before, _, after) = around(&sides, first);
        // The last three vanish together, and so do all when those before and after run side by side or apart.
        if sides.len() <= 3 || sides[before].inward.cross(sides[after].inward) <= SAME_WAY {
            break sides[first].lasts;
        }
        sides.remove(first);
        for k in [before, after].map(|k| if k > first { k - 1 } else { k }) {
            sides[k].lasts = lasts(&sides, k);
        }
    };
    let left = ring.shrink_convex(radius - STEP_BACK)?;
    let n = left.corners.len() as f64;
    let mean = left.corners.iter().fold(Vec2::ZERO, |s, c| s + c.at.to_vec2()) / n;
    let middle = left.middle();
    let at = if left.bounds().contains(middle) { middle } else { mean.to_point() };
    let found = ring.depth(at);
    (found >= radius - 10.0 * STEP_BACK).then_some(Widest { at, radius: found })
}

/// One side of a straight convex ring that is drawn in.
struct Side {
    inward: Vec2,
    /// How far the side lies from the origin along `inward`, mm.
    off: f64,
    /// How far the ring can be drawn in before this side vanishes, mm.
    lasts: f64,
}

impl Side {
    fn of(edge: &Edge) -> Option<Side> {
        let along = edge.to() - edge.from();
        let length = along.hypot();
        let inward = Vec2::new(-along.y, along.x) / length;
        (length > 0.0).then(|| Side { inward, off: inward.dot(edge.from().to_vec2()), lasts: 0.0 })
    }
}

/// How far three sides can be drawn in until they meet in one point, mm; infinite for sides that run on straight.
fn vanishing(before: &Side, side: &Side, after: &Side) -> f64 {
    let (u, v) = (before.inward - side.inward, after.inward - side.inward);
    let det = u.cross(v);
    if det == 0.0 {
        return f64::INFINITY;
    }
    let (a, b) = (before.off - side.off, after.off - side.off);
    let meet = Vec2::new(a * v.y - b * u.y, b * u.x - a * v.x) / det;
    side.inward.dot(meet) - side.off
}
