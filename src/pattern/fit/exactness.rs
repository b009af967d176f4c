//! The field as cells are cut to it: nearly, while places are compared, or with all its true lines.

use crate::geom::{Point, Rect, Region, Ring, Vec2, Vertex};
use std::borrow::Cow;

/// Chords stay this near arcs while places are compared, mm. Larger would tell in the looks, smaller costs time.
pub(super) const CHORD: f64 = 8e-3;
/// So much of the field is taken beyond what is cut, mm: what lies beyond cannot tell.
const ABOUT: f64 = 0.5;

/// How exactly cells are cut: to a field, the cells' arcs as chords that stay so near or as they are.
pub(super) struct Exactness {
    field: Region,
    chord: Option<f64>,
}

impl Exactness {
    /// While places are compared.
    pub(super) fn nearly(field: &Region) -> Exactness {
        let flat = |ring: &Ring| Ring::polygon(ring.flatten(CHORD));
        let holes = field.holes().iter().map(flat).collect();
        Exactness { field: Region::new(flat(field.outer()), holes), chord: Some(CHORD) }
    }

    /// With all true lines.
    pub(super) fn fully(field: &Region) -> Exactness {
        Exactness { field: field.clone(), chord: None }
    }

    /// A cell's ring.
    pub(super) fn of(&self, ring: Ring) -> Ring {
        match self.chord {
            Some(chord) => Ring::polygon(ring.flatten(chord)),
            None => ring,
        }
    }

    /// The field as far as it lies about a box, roughly; `None` where none of it does.
    pub(super) fn field_about(&self, bounds: Rect) -> Option<Cow<'_, Region>> {
        let about = bounds.inflate(ABOUT, ABOUT);
        if self.chord.is_none() {
            let holes = self.field.holes();
            let near: Vec<Ring> =
                holes.iter().filter(|hole| hole.bounds().overlaps(about)).cloned().collect();
            return Some(match near.len() == holes.len() {
                true => Cow::Borrowed(&self.field),
                false => Cow::Owned(Region::new(self.field.outer().clone(), near)),
            });
        }
        let part = |ring: &Ring| Ring::if_any(within(ring, about));
        let holes = self.field.holes().iter().filter_map(part).collect();
        part(self.field.outer()).map(|outer| Cow::Owned(Region::new(outer, holes)))
    }
}

/// The corners of a polygon as far as it lies in a box; what lies outside becomes runs along the box's sides (Sutherland and
/// Hodgman, "Reentrant Polygon Clipping", 1974).
fn within(polygon: &Ring, about: Rect) -> Vec<Vertex> {
    let mut points: Vec<Point> = polygon.vertices().map(|v| v.at).collect();
    let sides: [(Vec2, f64); 4] = [
        (Vec2::new(1.0, 0.0), about.x0),
        (Vec2::new(-1.0, 0.0), -about.x1),
        (Vec2::new(0.0, 1.0), about.y0),
        (Vec2::new(0.0, -1.0), -about.y1),
    ];
    for (inwards, from) in sides {
        let depth = |p: Point| p.to_vec2().dot(inwards) - from;
        let n = points.len();
        let mut kept = Vec::with_capacity(n + 2);
        for i in 0..n {
            let (p, q) = (points[i], points[(i + 1) % n]);
            let (a, b) = (depth(p), depth(q));
            if a >= 0.0 {
                kept.push(p);
            }
            if (a >= 0.0) != (b >= 0.0) {
                kept.push(p + (q - p) * (a / (a - b)));
            }
        }
        points = kept;
    }
    points.into_iter().map(|at| Vertex { at, bulge: 0.0 }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_in_a_box_is_what_both_have() {
        let ring =
            Ring::polygon([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 3.0), (0.0, 10.0)].map(Point::from));
        let part = |b: Rect| Ring::if_any(within(&ring, b)).map_or(0.0, |r| r.area());
        assert!((part(Rect::new(-1.0, -1.0, 11.0, 11.0)) - ring.area()).abs() < 1e-12);
        assert!((part(Rect::new(1.0, 1.0, 2.0, 2.0)) - 1.0).abs() < 1e-12);
        // Both horns of the notch above its middle: each a triangle of 5 x 7 / 2.
        assert!((part(Rect::new(-1.0, 3.0, 11.0, 11.0)) - 35.0).abs() < 1e-12);
        assert_eq!(part(Rect::new(20.0, 20.0, 22.0, 22.0)), 0.0);
    }
}
