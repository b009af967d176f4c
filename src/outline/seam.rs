//! How a blank that is bent round meets itself.

use crate::geom::{sin_cos_degrees, Edge, Point, Ring, Vec2};
use crate::units::Mm;
use std::f64::consts::{PI, TAU};

/// Two ends count as meeting when they lie within this of each other once carried over, mm.
const MEET: f64 = 1e-6;

/// The move that carries a blank's one end onto the other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seam {
    /// A band: along x by its length.
    Shift(Mm),
    /// A cone: a turn about the point both arcs are struck from.
    Turn {
        /// How far it turns, anticlockwise.
        degrees: f64,
        /// The point both arcs are struck from.
        centre: Point,
        /// The direction of the blank's middle from there, degrees.
        middle: f64,
    },
}

/// On the flat, ways of half a turn and more round a cone's apex look short but lead through no metal, and where the blank
/// goes more than half round, places come to lie beside each other on the flat that are far apart on the cone. So a
/// place also has its *way round*: the angle from the blank's middle, in radians, that counts on past half a turn. On a
/// band nothing can be mistaken and it is 0.
impl Seam {
    /// The way round to a place on the blank, carried `times` over the seam (1 is onwards).
    pub fn way_round(&self, at: Point, times: i8) -> f64 {
        match *self {
            Seam::Shift(_) => 0.0,
            Seam::Turn { degrees, .. } => {
                self.way_round_near(at, 0.0) + f64::from(times) * degrees.to_radians()
            }
        }
    }

    /// The way round to a place less than half a turn from one whose way round is known.
    pub fn way_round_near(&self, at: Point, known: f64) -> f64 {
        match *self {
            Seam::Shift(_) => 0.0,
            Seam::Turn { centre, middle, .. } => {
                let v = at - centre;
                let angle = libm::atan2(v.y, v.x) - middle.to_radians() - known;
                known + angle - TAU * (angle / TAU).round()
            }
        }
    }

    /// Whether the straight line between two places on the flat runs through the bent piece: by their ways round.
    pub fn is_beside(a: f64, b: f64) -> bool {
        (a - b).abs() < PI
    }

    /// Distance between two places of the bent piece along its surface, mm; infinite round the apex of a cone.
    pub fn distance(&self, a: Point, b: Point) -> f64 {
        let from = self.way_round(a, 0);
        let to = [0, 1, -1].into_iter().map(|times| (times, self.way_round(b, times)));
        let moved = |times: i8| if times == 0 { b } else { self.carry_point(b, times == 1) };
        to.filter(|(_, way)| Seam::is_beside(from, *way))
            .map(|(times, _)| (moved(times) - a).hypot2().sqrt())
            .fold(f64::INFINITY, f64::min)
    }

    /// Which ways a ring on the blank has to be carried to be met on the other side of the seam: it reaches over the end
    /// there.
    pub fn reaches_over(&self, ring: &Ring) -> impl Iterator<Item = bool> + use<> {
        let (low, high) = match *self {
            Seam::Shift(length) => {
                let (bounds, half) = (ring.bounds(), length.get() / 2.0);
                (bounds.x0 + half, bounds.x1 - half)
            }
            Seam::Turn { degrees, centre, .. } => {
                let (home, half) = (self.way_round(ring.centroid(), 0), degrees.to_radians() / 2.0);
                let points = ring.flatten(MEET);
                let over = |side: f64| {
                    let out = |p: &Point| {
                        let beyond = side * self.way_round_near(*p, home) - half;
                        beyond * (*p - centre).hypot2().sqrt()
                    };
                    points.iter().map(out).fold(f64::NEG_INFINITY, f64::max)
                };
                (-over(-1.0), over(1.0))
            }
        };
        [(low < -MEET, true), (high > MEET, false)]
            .into_iter()
            .filter(|(over, _)| *over)
            .map(|(_, onwards)| onwards)
    }
}

impl Seam {
    /// The point moved over the seam: onwards is to the right (a band) or anticlockwise (a cone).
    pub fn carry_point(&self, at: Point, onwards: bool) -> Point {
        let sign = if onwards { 1.0 } else { -1.0 };
        match *self {
            Seam::Shift(length) => at + Vec2::new(sign * length.get(), 0.0),
            Seam::Turn { degrees, centre, .. } => {
                let (s, c) = sin_cos_degrees(sign * degrees);
                let v = at - centre;
                centre + Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c)
            }
        }
    }

    /// The ring moved over the seam, as [`Seam::carry_point`].
    pub fn carry(&self, ring: &Ring, onwards: bool) -> Ring {
        ring.map(|p| self.carry_point(p, onwards))
    }

    /// The edges of a blank that are joined at the seam, each with whether it is carried onwards to meet the other, and
    /// all its further edges. Bridges are measured to the further ones only.
    pub fn part_edges(&self, blank: &Ring) -> (Vec<(Edge, bool)>, Vec<Edge>) {
        let edges: Vec<Edge> = blank.edges().collect();
        let meets = |e: &Edge, onwards: bool| {
            let (from, to) = (self.carry_point(e.from(), onwards), self.carry_point(e.to(), onwards));
            let other =
                |f: &Edge| (f.from() - to).hypot2().sqrt() < MEET && (f.to() - from).hypot2().sqrt() < MEET;
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
