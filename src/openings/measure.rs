//! What can be said of one opening by itself.

use super::Opening;
use crate::geom::{inscribed_circle, Edge, Isometry, Rect, Ring, Vec2};
use crate::units::Mm;
use std::collections::BTreeMap;

/// A turn in the line sharper than this (radians, 30 degrees) is a corner the blade cannot follow in one go.
/// Smaller would count the facets of a gentle curve; larger would pass over corners that want backing out of.
const SHARP: f64 = std::f64::consts::PI / 6.0;
/// A turn of just [`SHARP`] is none, whatever its last digits say, radians: far over rounding, far below what is seen.
const ROUNDING: f64 = 1e-6;
/// A corner rounded to less than this is still a corner to the blade, mm: half the cut of the finest blades (estimate).
/// Larger would call small round lobes corners; smaller lets a rounding nobody can saw take the corners' minutes away.
const AS_SHARP: f64 = 0.05;

/// Corners that turn by more than 30 degrees: the index of each and its turn in radians, positive to the left. An arc too
/// tight to be sawn turns at its first vertex, together with the vertices at its ends.
pub fn corners_of(ring: &Ring) -> Vec<(usize, f64)> {
    let edges: Vec<Edge> = ring.edges().collect();
    let n = edges.len();
    let at_vertex = |i: usize| {
        let (before, after) = (edges[(i + n - 1) % n].direction(1.0), edges[i % n].direction(0.0));
        libm::atan2(before.cross(after), before.dot(after))
    };
    let tight = |i: usize| matches!(edges[i % n], Edge::Arc { radius, .. } if radius < AS_SHARP);
    (0..n)
        .filter(|&i| !tight(i + n - 1))
        .filter_map(|i| {
            // On along all the arcs that are too tight, once round at most.
            let arcs = (i..i + n).take_while(|&k| tight(k));
            let turn = arcs.fold(at_vertex(i), |turn, k| turn + edges[k % n].sweep() + at_vertex(k + 1));
            (turn.abs() > SHARP + ROUNDING).then_some((i, turn))
        })
        .collect()
}

/// Offsets keep the symmetry of a cell this nearly, mm: the micrometre that is promised.
const NEARLY: f64 = 1e-3;

/// The box of every opening in turn, measured once for each shape.
pub fn boxes(openings: &[Opening]) -> impl Iterator<Item = Rect> + '_ {
    let mut known: BTreeMap<u32, Rect> = BTreeMap::new();
    openings.iter().map(move |o| {
        let Some(shape) = o.shape else { return o.ring.bounds() };
        let from = o.drill_at.to_vec2();
        *known.entry(shape).or_insert_with(|| o.ring.bounds() - from) + from
    })
}

impl Opening {
    /// Measures a ring as an opening that has no number yet.
    pub(super) fn of(ring: Ring, trimmed: bool) -> Opening {
        let widest = inscribed_circle(&ring);
        Opening {
            n: 0,
            drill_at: widest.at,
            widest: Mm(2.0 * widest.radius),
            area: ring.area(),
            perimeter: Mm(ring.perimeter()),
            centroid: ring.centroid(),
            corners: corners_of(&ring).len(),
            ring,
            trimmed,
            shape: None,
        }
    }

    /// The same opening elsewhere.
    pub(super) fn translated(&self, by: Vec2) -> Opening {
        let (drill_at, centroid) = (self.drill_at + by, self.centroid + by);
        Opening { ring: self.ring.translated(by), drill_at, centroid, ..*self }
    }

    /// The same opening turned, mirrored or moved.
    pub(super) fn carried(&self, by: &Isometry) -> Opening {
        let (drill_at, centroid) = (by.carry(self.drill_at), by.carry(self.centroid));
        Opening { ring: by.ring(&self.ring), drill_at, centroid, ..*self }
    }

    /// The opening made exactly as symmetrical as its cell, `stays` being all that keeps that; where no one point serves,
    /// the drill stays where it was.
    pub(super) fn evened(self, stays: &[Isometry]) -> Opening {
        let Some(ring) = self.ring.evened(stays, NEARLY) else { return self };
        let even = Opening::of(ring, self.trimmed);
        let sum = stays.iter().fold(Vec2::ZERO, |sum, by| sum + by.carry(even.drill_at).to_vec2());
        let middle = (sum / stays.len() as f64).to_point();
        let radius = even.ring.signed_distance(middle);
        if radius < even.widest.get() / 2.0 - NEARLY {
            return even;
        }
        Opening { drill_at: middle, widest: Mm(2.0 * radius), ..even }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point;

    /// Found by turning a piece: each vertex turns by just the limit, and 3 to 8 of the twelve were counted.
    #[test]
    fn twelve_sides_have_no_corner_at_any_turn() {
        let (point, size) = (crate::geom::sin_cos_degrees, 4.0);
        let sides = (0..12).map(|k| point(30.0 * f64::from(k))).map(|(s, c)| Point::new(size * c, size * s));
        let ring = Ring::polygon(sides);
        for k in 0..90 {
            let by = Vec2::new(0.37 * f64::from(k), -0.11 * f64::from(k));
            assert!(corners_of(&ring.rotated(f64::from(k)).translated(by)).is_empty(), "{k}");
        }
    }

    /// Found by rounding corners to a thousandth: the corners and their minutes were gone.
    #[test]
    fn a_corner_rounded_to_nothing_is_still_one() {
        let square = Ring::polygon([(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)].map(Point::from));
        for (radius, corners) in [(0.001, 4), (0.04, 4), (0.2, 0)] {
            let rounded = square.rounded(radius).remove(0);
            let found = corners_of(&rounded);
            assert_eq!(found.len(), corners, "{radius}");
            assert!(found.iter().all(|(_, turn)| (turn.to_degrees() - 90.0).abs() < 1e-6), "{found:?}");
        }
    }
}
