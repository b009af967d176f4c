//! From the piece (y up, origin at its middle) to the page (y down): where a copy lies and how it is turned.

use crate::geom::{sin_cos_degrees, Point, Ring, Vec2, Vertex};

/// How a piece is laid on a page: mirrored left to right first, then turned, then moved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placement {
    /// Where the outline's middle comes to lie, page mm.
    pub middle: Point,
    /// Degrees, anticlockwise as one sees it.
    pub turn: f64,
    /// Left and right are exchanged, as for the back of the sheet.
    pub mirrored: bool,
}

impl Placement {
    /// Upright round the origin.
    pub fn upright(mirrored: bool) -> Self {
        Self { middle: Point::ORIGIN, turn: 0.0, mirrored }
    }

    /// The same, moved by so many mm of the page.
    pub fn shifted(self, by: Vec2) -> Self {
        Self { middle: self.middle + by, ..self }
    }

    /// A direction of the piece as it lies on the page.
    pub fn direction(&self, v: Vec2) -> Vec2 {
        let (s, c) = sin_cos_degrees(self.turn);
        let x = if self.mirrored { -v.x } else { v.x };
        Vec2::new(x * c - v.y * s, -(x * s + v.y * c))
    }

    /// A point of the piece on the page.
    pub fn point(&self, p: Point) -> Point {
        self.middle + self.direction(p.to_vec2())
    }

    /// A ring of the piece on the page. Reading the page downwards turns every arc over once, a mirror once more.
    pub fn ring(&self, ring: &Ring) -> Ring {
        let sign = if self.mirrored { 1.0 } else { -1.0 };
        Ring::new(ring.vertices().map(|c| Vertex { at: self.point(c.at), bulge: sign * c.bulge }).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn up_is_up_and_a_quarter_turn_goes_anticlockwise() {
        let mut place = Placement { middle: Point::new(100.0, 50.0), turn: 0.0, mirrored: false };
        assert_eq!(place.point(Point::new(3.0, 10.0)), Point::new(103.0, 40.0));
        place.turn = 90.0;
        assert_eq!(place.point(Point::new(10.0, 0.0)), Point::new(100.0, 40.0));
        place.mirrored = true;
        assert_eq!(place.point(Point::new(10.0, 0.0)), Point::new(100.0, 60.0));
    }

    #[test]
    fn arcs_keep_their_length_and_place() {
        let ring = Ring::new(vec![
            Vertex::new(0.0, 0.0, 0.4),
            Vertex::new(4.0, 0.0, 0.0),
            Vertex::new(2.0, 3.0, -0.2),
        ]);
        for mirrored in [false, true] {
            let place = Placement { middle: Point::new(20.0, 30.0), turn: 33.0, mirrored };
            let there = place.ring(&ring);
            assert!((there.area().abs() - ring.area().abs()).abs() < 1e-9);
            assert!((there.centroid() - place.point(ring.centroid())).hypot() < 1e-9);
        }
    }
}
