//! What can be said of one opening by itself.

use super::Opening;
use crate::geom::{inscribed_circle, Ring, Vec2};
use crate::units::Mm;

/// A turn in the line sharper than this (radians, 30 degrees) is a corner the blade cannot follow in one go.
/// Smaller would count the facets of a gentle curve; larger would pass over corners that want backing out of.
const SHARP: f64 = std::f64::consts::PI / 6.0;

/// Corners that turn by more than 30 degrees: the index of each and its turn in radians, positive to the left.
pub fn corners_of(ring: &Ring) -> Vec<(usize, f64)> {
    let edges: Vec<_> = ring.edges().collect();
    let n = edges.len();
    (0..n)
        .filter_map(|i| {
            let (before, after) = (edges[(i + n - 1) % n].direction(1.0), edges[i].direction(0.0));
            let turn = libm::atan2(before.cross(after), before.dot(after));
            (turn.abs() > SHARP).then_some((i, turn))
        })
        .collect()
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
        Opening {
            ring: self.ring.translated(by),
            drill_at: self.drill_at + by,
            centroid: self.centroid + by,
            ..self.clone_without_ring()
        }
    }

    fn clone_without_ring(&self) -> Opening {
        Opening { ring: Ring::default(), ..*self }
    }
}
