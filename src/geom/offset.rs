//! Drawing a ring in and letting it out by a constant width, arcs kept as arcs.

use super::{Corner, Ring};
use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
use kurbo::Point;

/// Straight convex rings up to this many corners are drawn in exactly by half planes (cost grows with its square);
/// larger would be slower than the general way, smaller would give up exactness for no gain.
const FEW_CORNERS: usize = 48;
/// Edges shorter than this are left out when corners are rounded, mm: a fifth of a micrometre, below what is printed.
/// Larger would show in gaps; smaller would keep folds that cross themselves in the last printed digit.
const CRUMB: f64 = 2e-4;
/// A ring drawn in to less than this area (mm2) has vanished: a speck a thousandth of a millimetre across.
const SPECK: f64 = 1e-9;

impl Ring {
    /// The ring drawn in by `by` mm all round: every point of the inside at least `by` from the line. Corners that
    /// point out stay sharp, corners that point in become arcs of radius `by`. Empty if nothing is left, several
    /// rings if a neck closes. Expects an anticlockwise simple ring; `by` of zero or less gives the ring itself.
    pub fn shrink(&self, by: f64) -> Vec<Ring> {
        if by <= 0.0 {
            return vec![self.clone()];
        }
        if self.corners.len() <= FEW_CORNERS && self.is_straight_convex() {
            return self.shrink_convex(by).into_iter().collect();
        }
        if let Some(ring) = self.as_circle().and_then(|(c, r)| (r > by).then(|| Ring::circle(c, r - by))) {
            return vec![ring];
        }
        to_polyline(self).parallel_offset(by).iter().map(from_polyline).filter(|r| r.area() > SPECK).collect()
    }

    /// The ring let out by `by` mm all round; corners that point out become arcs of radius `by`, as a file leaves
    /// them. Should the ring close on itself, the outermost line is given.
    pub fn grow(&self, by: f64) -> Ring {
        if by <= 0.0 {
            return self.clone();
        }
        if let Some((c, r)) = self.as_circle() {
            return Ring::circle(c, r + by);
        }
        to_polyline(self)
            .parallel_offset(-by)
            .iter()
            .map(from_polyline)
            .max_by(|a, b| a.area().total_cmp(&b.area()))
            .unwrap_or_else(|| self.clone())
    }

    /// Corners that point out rounded to `radius` as far as the ring has room: drawn in, then let out again.
    /// Empty if the ring is nowhere that wide.
    pub fn rounded(&self, radius: f64) -> Vec<Ring> {
        // Trimmed rings bring edges of a few nanometres, which would come back as folds.
        let clean = self.clone().without_crumbs();
        if radius <= 0.0 {
            return vec![clean];
        }
        let drawn_in = clean.shrink(radius);
        drawn_in.into_iter().map(|r| r.without_crumbs().grow(radius).without_crumbs()).collect()
    }

    /// Centre and radius when the ring is one full circle.
    pub fn as_circle(&self) -> Option<(Point, f64)> {
        match self.corners[..] {
            [a, b] if (a.bulge - 1.0).abs() < 1e-12 && (b.bulge - 1.0).abs() < 1e-12 => {
                Some((a.at.midpoint(b.at), (b.at - a.at).hypot() / 2.0))
            }
            _ => None,
        }
    }

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

fn to_polyline(ring: &Ring) -> Polyline<f64> {
    let mut line = Polyline::new_closed();
    for corner in &ring.corners {
        line.add(corner.at.x, corner.at.y, corner.bulge);
    }
    line
}

fn from_polyline(line: &Polyline<f64>) -> Ring {
    Ring::new(line.iter_vertexes().map(|v| Corner::new(v.x, v.y, v.bulge)).collect())
}

impl Ring {
    /// Edges too short to be drawn (below [`CRUMB`]) taken out; the edge after one starts where it started.
    fn without_crumbs(mut self) -> Ring {
        let n = self.corners.len();
        let mut kept: Vec<Corner> = Vec::with_capacity(n);
        for corner in self.corners.drain(..) {
            match kept.last_mut() {
                Some(last) if (corner.at - last.at).hypot() < CRUMB => last.bulge = corner.bulge,
                _ => kept.push(corner),
            }
        }
        if let (Some(first), Some(last)) = (kept.first().copied(), kept.last().copied()) {
            if kept.len() > 2 && (first.at - last.at).hypot() < CRUMB {
                kept.pop();
            }
        }
        Ring::new(kept)
    }
}
