//! Turns, mirrors and shifts of the plane: what keeps every length.

use super::{sin_cos_degrees, Ring, Vertex};
use kurbo::{Point, Vec2};

/// A turn or a mirror about the origin, then a shift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Isometry {
    sin: f64,
    cos: f64,
    /// -1 for a mirror.
    side: f64,
    shift: Vec2,
}

impl Isometry {
    /// What moves nothing.
    pub const IDENTITY: Isometry = Isometry { sin: 0.0, cos: 1.0, side: 1.0, shift: Vec2::ZERO };

    /// A turn about a point, degrees anticlockwise; as a mirror, y is turned over first.
    pub fn about(point: Point, degrees: f64, mirror: bool) -> Self {
        let (sin, cos) = sin_cos_degrees(degrees);
        let side = if mirror { -1.0 } else { 1.0 };
        let turn = Isometry { sin, cos, side, shift: Vec2::ZERO };
        Isometry { shift: point.to_vec2() - turn.turned(point.to_vec2()), ..turn }
    }

    /// Whether it turns the plane over.
    pub fn is_mirror(&self) -> bool {
        self.side < 0.0
    }

    /// Unit direction along the mirror, for one.
    pub fn axis(&self) -> Vec2 {
        // A direction at angle b goes to `turn - b`: the mirror lies at half the turn.
        let half = libm::atan2(self.sin, self.cos) / 2.0;
        Vec2::new(libm::cos(half), libm::sin(half))
    }

    /// Where a point comes to lie.
    pub fn carry(&self, p: Point) -> Point {
        (self.turned(p.to_vec2()) + self.shift).to_point()
    }

    /// What becomes of a direction.
    pub fn turned(&self, v: Vec2) -> Vec2 {
        let y = v.y * self.side;
        Vec2::new(v.x * self.cos - y * self.sin, v.x * self.sin + y * self.cos)
    }

    /// The point that is carried to `p`.
    pub fn back(&self, p: Point) -> Point {
        let v = p.to_vec2() - self.shift;
        Point::new(v.x * self.cos + v.y * self.sin, (v.y * self.cos - v.x * self.sin) * self.side)
    }

    /// This one between places `from` and `to` that have been moved to the origin.
    pub fn between(&self, from: Vec2, to: Vec2) -> Isometry {
        Isometry { shift: self.turned(from) + self.shift - to, ..*self }
    }

    /// The ring carried along; anticlockwise if it was.
    pub fn ring(&self, ring: &Ring) -> Ring {
        let carried = ring.vertices().map(|c| Vertex { at: self.carry(c.at), bulge: c.bulge * self.side });
        let carried = Ring::new(carried.collect());
        if self.is_mirror() {
            carried.reversed()
        } else {
            carried
        }
    }
}

impl Ring {
    /// The ring made exactly as symmetrical as it nearly is: the mean of its images under the isometries that keep it (all of a
    /// group). `None` where an image's vertices do not come within `near` mm of its own.
    pub fn evened(&self, group: &[Isometry], near: f64) -> Option<Ring> {
        let n = self.vertices().len();
        let mut sums = vec![(Vec2::ZERO, 0.0); n];
        for by in group {
            let image = by.ring(self);
            let far =
                |shift: usize, i: usize| (image.vertex((i + shift) % n).at - self.vertex(i).at).hypot2();
            let shift = (0..n).find(|&shift| (0..n).all(|i| far(shift, i) < near * near))?;
            for (i, sum) in sums.iter_mut().enumerate() {
                let vertex = image.vertex((i + shift) % n);
                *sum = (sum.0 + vertex.at.to_vec2(), sum.1 + vertex.bulge);
            }
        }
        let share = 1.0 / group.len().max(1) as f64;
        let mean =
            sums.into_iter().map(|(at, bulge)| Vertex { at: (at * share).to_point(), bulge: bulge * share });
        (!group.is_empty()).then(|| Ring::new(mean.collect()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_and_back() {
        let p = Point::new(3.0, -1.5);
        for mirror in [false, true] {
            let by = Isometry::about(Point::new(1.0, 2.0), 75.0, mirror);
            assert!((by.back(by.carry(p)) - p).hypot2().sqrt() < 1e-12);
            assert!((by.carry(Point::new(1.0, 2.0)) - Point::new(1.0, 2.0)).hypot2().sqrt() < 1e-12);
            let moved = by.between(Vec2::new(5.0, 0.0), Vec2::new(0.0, 7.0));
            let expected = by.carry(p + Vec2::new(5.0, 0.0)) - Vec2::new(0.0, 7.0);
            assert!((moved.carry(p) - expected).hypot2().sqrt() < 1e-12);
        }
        let across = Isometry::about(Point::ORIGIN, 60.0, true);
        assert!((across.turned(across.axis()) - across.axis()).hypot2().sqrt() < 1e-12);
    }

    #[test]
    fn a_ring_is_carried_with_its_arcs() {
        let half = Ring::new(vec![
            Vertex::new(0.0, 0.0, 0.0),
            Vertex::new(4.0, 0.0, 0.5),
            Vertex::new(1.0, 3.0, -0.2),
        ]);
        for mirror in [false, true] {
            let by = Isometry::about(Point::new(0.3, 0.1), 130.0, mirror);
            let carried = by.ring(&half);
            assert!((carried.area() - half.area()).abs() < 1e-12);
            let onto = by.carry(half.edge(1).point(0.3));
            assert!(carried.edges().any(|e| (e.nearest(onto) - onto).hypot2().sqrt() < 1e-12));
        }
    }

    #[test]
    fn a_nearly_even_ring_is_made_even() {
        let mirror = Isometry::about(Point::ORIGIN, 180.0, true);
        let group = [Isometry::IDENTITY, mirror];
        let nearly = Ring::new(vec![
            Vertex::new(2.0, 0.0, 0.1),
            Vertex::new(1.00001, 1.0, 0.0),
            Vertex::new(-1.0, 1.0, 0.10001),
            Vertex::new(-2.00002, 0.0, 0.0),
        ]);
        let even = nearly.evened(&group, 1e-3).expect("nearly even");
        let image = mirror.ring(&even);
        for corner in image.vertices() {
            assert!(even.vertices().any(|c| (c.at - corner.at).hypot2() < 1e-24));
        }
        assert_eq!(
            Ring::polygon([(0.0, 0.0), (3.0, 0.0), (0.0, 1.0)].map(Point::from)).evened(&group, 1e-3),
            None
        );
    }
}
