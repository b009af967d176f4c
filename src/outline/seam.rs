//! How a blank that is bent round meets itself.

use crate::geom::{sin_cos_degrees, Edge, Ring};
use crate::units::Mm;
use kurbo::{Point, Vec2};

/// Two ends count as meeting when they lie within this of each other once carried over, mm.
const MEET: f64 = 1e-6;

/// The move that carries a blank's one end onto the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seam {
    /// A band: along x by its length.
    Shift(Mm),
    /// A cone: a turn about the point both arcs are struck from.
    Turn { degrees: f64, centre: Point },
}

impl Seam {
    /// The point moved over the seam: onwards is to the right (a band) or anticlockwise (a cone).
    pub fn carry_point(&self, at: Point, onwards: bool) -> Point {
        let sign = if onwards { 1.0 } else { -1.0 };
        match *self {
            Seam::Shift(length) => at + Vec2::new(sign * length.get(), 0.0),
            Seam::Turn { degrees, centre } => {
                let (s, c) = sin_cos_degrees(sign * degrees);
                let v = at - centre;
                centre + Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c)
            }
        }
    }

    /// The ring moved over the seam, as [`Seam::carry_point`].
    pub fn carry(&self, ring: &Ring, onwards: bool) -> Ring {
        let mut moved = ring.clone();
        for corner in &mut moved.vertices {
            corner.at = self.carry_point(corner.at, onwards);
        }
        moved
    }

    /// The edges of a blank that are joined at the seam, each with whether it is carried onwards to meet the other, and
    /// all its further edges. Bridges are measured to the further ones only.
    pub fn part_edges(&self, blank: &Ring) -> (Vec<(Edge, bool)>, Vec<Edge>) {
        let edges: Vec<Edge> = blank.edges().collect();
        let meets = |e: &Edge, onwards: bool| {
            let (from, to) = (self.carry_point(e.from(), onwards), self.carry_point(e.to(), onwards));
            let other = |f: &Edge| (f.from() - to).hypot() < MEET && (f.to() - from).hypot() < MEET;
            edges.iter().any(|f| matches!(f, Edge::Line { .. }) && other(f))
        };
        let (mut ends, mut others) = (Vec::new(), Vec::new());
        for edge in &edges {
            let straight = matches!(edge, Edge::Line { .. });
            match [true, false].into_iter().find(|&onwards| straight && meets(edge, onwards)) {
                Some(onwards) => ends.push((*edge, onwards)),
                None => others.push(*edge),
            }
        }
        (ends, others)
    }
}
