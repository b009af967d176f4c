//! Inward and outward offsets of a ring by a constant width, arcs kept as arcs.

use super::{Ring, Vertex};
use cavalier_contours::polyline::{PlineSource, PlineSourceMut, Polyline};
use kurbo::Point;

/// Straight convex rings up to this many vertices are offset inwards exactly by half planes (cost grows with its square);
/// larger would be slower than the general way, smaller would give up exactness for no gain.
const FEW_VERTICES: usize = 48;
/// Edges shorter than this are left out when vertices are rounded, mm: a fifth of a micrometre, below what is printed.
/// Larger would show in gaps; smaller would keep folds that cross themselves in the last printed digit.
const SHORT: f64 = 2e-4;
/// A line that runs no farther than this out and straight back again, mm, is rounding where two arcs meet.
const FOLD: f64 = 1e-3;
/// A ring offset to less than this area (mm2) has vanished: a sliver a thousandth of a millimetre across.
const SLIVER: f64 = 1e-9;

/// The offset's sines and tangents are the system's own and differ in their last digit from one to the next, enough to decide
/// between equally good places. So its vertices are rounded to a millionth of a micrometre, and bulges to as much of a
/// radius of a metre. Coarser would show in promised widths; finer would leave the last digits of large pieces.
const PLACE_STEPS: f64 = 1e9;
const BULGE_STEPS: f64 = 1e12;

impl Ring {
    /// The inward offset by `by` mm: every point of the inside at least `by` from the line. Vertices that
    /// point out stay sharp, vertices that point in become arcs of radius `by`. Empty if nothing is left, several
    /// rings if a neck closes. Expects an anticlockwise simple ring; `by` of zero or less gives the ring itself.
    pub fn shrink(&self, by: f64) -> Vec<Ring> {
        if by <= 0.0 {
            return vec![self.clone()];
        }
        if self.vertices().len() <= FEW_VERTICES && self.is_straight_convex() {
            return self.shrink_convex(by).into_iter().collect();
        }
        if let Some(ring) = self.as_circle().and_then(|(c, r)| (r > by).then(|| Ring::circle(c, r - by))) {
            return vec![ring];
        }
        to_polyline(self)
            .parallel_offset(by)
            .iter()
            .filter_map(from_polyline)
            .filter(|r| r.area() > SLIVER)
            .collect()
    }

    /// The ring let out by `by` mm all round; vertices that point out become arcs of radius `by`, as a file leaves
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
            .filter_map(from_polyline)
            .max_by(|a, b| a.area().total_cmp(&b.area()))
            .unwrap_or_else(|| self.clone())
    }

    /// What the ring's outward offset by `by` mm closes round without covering it: places outside the ring, farther than that from
    /// it, that are cut off from the rest. Expects an anticlockwise ring; the answer runs anticlockwise too.
    pub fn pockets(&self, by: f64) -> Vec<Ring> {
        let offset = to_polyline(self).parallel_offset(-by);
        offset.iter().filter_map(from_polyline).filter(|r| r.area() < -SLIVER).map(|r| r.reversed()).collect()
    }

    /// Vertices that point out rounded to `radius` as far as the ring has room: offset inwards, then outwards again.
    /// Empty if the ring is nowhere that wide.
    pub fn rounded(&self, radius: f64) -> Vec<Ring> {
        // Trimmed rings bring edges of a few nanometres, which would come back as folds.
        let Some(clean) = self.without_short_edges() else { return Vec::new() };
        if radius <= 0.0 {
            return vec![clean];
        }
        let drawn_in = clean.shrink(radius);
        drawn_in
            .into_iter()
            .filter_map(|r| r.without_short_edges()?.grow(radius).without_short_edges())
            .collect()
    }

    /// Centre and radius when the ring is one full circle.
    pub fn as_circle(&self) -> Option<(Point, f64)> {
        let mut vertices = self.vertices();
        match (vertices.next(), vertices.next(), vertices.next()) {
            (Some(a), Some(b), None) if (a.bulge - 1.0).abs() < 1e-12 && (b.bulge - 1.0).abs() < 1e-12 => {
                Some((a.at.midpoint(b.at), (b.at - a.at).hypot2().sqrt() / 2.0))
            }
            _ => None,
        }
    }
}

fn to_polyline(ring: &Ring) -> Polyline<f64> {
    let mut line = Polyline::new_closed();
    for vertex in ring.vertices() {
        line.add(vertex.at.x, vertex.at.y, vertex.bulge);
    }
    line
}

/// `None` where the offset has run together to a point.
fn from_polyline(line: &Polyline<f64>) -> Option<Ring> {
    Ring::if_any(line.iter_vertexes().map(|v| settled(Vertex::new(v.x, v.y, v.bulge))).collect())
}

/// A vertex with its last digits rounded away.
pub(super) fn settled(v: Vertex) -> Vertex {
    let round = |v: f64, steps: f64| (v * steps).round() / steps;
    Vertex::new(round(v.at.x, PLACE_STEPS), round(v.at.y, PLACE_STEPS), round(v.bulge, BULGE_STEPS))
}

impl Ring {
    /// Edges too short to be drawn (below [`SHORT`]) taken out; the edge after one starts where it started. `None` for
    /// a ring that is nothing but such edges.
    fn without_short_edges(&self) -> Option<Ring> {
        let mut kept: Vec<Vertex> = Vec::with_capacity(self.vertices().len());
        for vertex in self.vertices() {
            match kept.last_mut() {
                Some(last) if (vertex.at - last.at).hypot2().sqrt() < SHORT => last.bulge = vertex.bulge,
                _ => kept.push(vertex),
            }
        }
        if let (Some(first), Some(last)) = (kept.first().copied(), kept.last().copied())
            && kept.len() > 2
            && (first.at - last.at).hypot2().sqrt() < SHORT
        {
            kept.pop();
        }
        drop_folds(&mut kept);
        Ring::if_any(kept)
    }
}

/// Takes out vertices between which a line runs out and back over the same micrometre.
fn drop_folds(kept: &mut Vec<Vertex>) {
    let mut i = 0;
    while i < kept.len() && kept.len() > 4 {
        let n = kept.len();
        let [a, b, c] = [0, 1, 2].map(|k| kept[(i + k) % n].at);
        if a == c && (b - a).hypot2().sqrt() < FOLD {
            // The edge that goes on from the third starts at the same place.
            kept.rotate_left(i);
            kept.drain(..2);
            i = 0;
        } else {
            i += 1;
        }
    }
}
