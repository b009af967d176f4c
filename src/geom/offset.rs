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
