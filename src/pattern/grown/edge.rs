//! Openings that shrink to the edge: a regular {p, q} tiling of the hyperbolic plane, drawn in Poincare's
//! disc, where sides are arcs that stand square on the disc's edge.

use super::{turned, Growth, GrowthAsk};
use crate::geom::{Point, Ring, Vec2, Vertex};
use crate::job::GrownSettings;
use std::collections::BTreeSet;
use std::f64::consts::PI;

/// Most rounds of openings; the eighth is never large enough to saw.
const MOST_ROUNDS: usize = 8;
/// Two middles nearer than this (the disc's radius being 1) are the same opening. Middles of openings too small by far
/// are still a hundred times farther apart.
const SAME: f64 = 1e-6;

/// An arc that stands square on the unit circle, or a straight line through its middle.
enum DiscArc {
    Arc { centre: Point, square: f64 },
    Line { along: Vec2 },
}

impl DiscArc {
    fn through(a: Point, b: Point) -> DiscArc {
        let (u, v) = (a.to_vec2(), b.to_vec2());
        let whole = u.cross(v);
        // All but on one line through the middle: the arc strays from straight by less than rounding can draw.
        if whole.abs() < 1e-9 {
            let along = if u.hypot2() > v.hypot2() { u } else { v };
            return DiscArc::Line { along: along / along.hypot2().sqrt() };
        }
        let (p, q) = (0.5 * (1.0 + u.hypot2()), 0.5 * (1.0 + v.hypot2()));
        let centre = Point::new((p * v.y - q * u.y) / whole, (q * u.x - p * v.x) / whole);
        DiscArc::Arc { centre, square: centre.to_vec2().hypot2() - 1.0 }
    }

    fn mirrored(&self, p: Point) -> Point {
        match *self {
            DiscArc::Arc { centre, square } => {
                let v = p - centre;
                centre + v * (square / v.hypot2())
            }
            DiscArc::Line { along } => (along * (2.0 * p.to_vec2().dot(along)) - p.to_vec2()).to_point(),
        }
    }

    fn bulge(&self, a: Point, b: Point) -> f64 {
        match *self {
            DiscArc::Arc { centre, .. } => {
                let (u, v) = (a - centre, b - centre);
                libm::tan(libm::atan2(u.cross(v), u.dot(v)) / 4.0)
            }
            DiscArc::Line { .. } => 0.0,
        }
    }
}

/// Openings with `sides` sides, `meeting` round every crossing, in rounds from the middle of a disc of radius 1; a round
/// is followed outwards only from openings that `go_on` accepts. Empty unless (sides - 2)(meeting - 2) > 4.
pub fn shrinking(sides: u32, meeting: u32, rounds: usize, go_on: impl Fn(&Ring) -> bool) -> Vec<Vec<Ring>> {
    if sides < 3 || meeting < 3 || (sides - 2) * (meeting - 2) <= 4 {
        return Vec::new();
    }
    let (p, q) = (PI / f64::from(sides), PI / f64::from(meeting));
    let radius = libm::sqrt(libm::cos(p + q) / libm::cos(p - q));
    let first: Vec<Point> =
        (0..sides).map(|k| super::polar(radius, PI / 2.0 + p + 2.0 * p * f64::from(k))).collect();
    let ring_of = |corners: &[Point]| {
        let n = corners.len();
        let with_bulge = (0..n).map(|i| {
            let (a, b) = (corners[i], corners[(i + 1) % n]);
            Vertex { at: a, bulge: DiscArc::through(a, b).bulge(a, b) }
        });
        Ring::new(with_bulge.collect())
    };
    let key = |middle: Point| ((middle.x / SAME).round() as i64, (middle.y / SAME).round() as i64);
    let mut seen = BTreeSet::from([key(Point::ORIGIN)]);
    let mut front = vec![(first, Point::ORIGIN)];
    let mut all = Vec::new();
    while !front.is_empty() {
        let rings: Vec<Ring> = front.iter().map(|(corners, _)| ring_of(corners)).collect();
        let mut next = Vec::new();
        if all.len() < rounds {
            for ((corners, middle), ring) in front.iter().zip(&rings) {
                if !go_on(ring) {
                    continue;
                }
                for i in 0..corners.len() {
                    let side = DiscArc::through(corners[i], corners[(i + 1) % corners.len()]);
                    let m = side.mirrored(*middle);
                    let (x, y) = key(m);
                    let known = (-1..=1).any(|dx| (-1..=1).any(|dy| seen.contains(&(x + dx, y + dy))));
                    if !known {
                        seen.insert((x, y));
                        // A mirror turns the way round; run it back.
                        next.push((corners.iter().rev().map(|&c| side.mirrored(c)).collect::<Vec<_>>(), m));
                    }
                }
            }
        }
        all.push(rings);
        front = next;
    }
    all
}

fn sides_of(settings: &GrownSettings) -> (u32, u32) {
    settings.sides.unwrap_or((7, 3))
}

/// Width of the opening in the middle, from side to side, over the radius of the disc: 2 tanh(r / 2) with
/// cosh r = cos(180 / meeting) / sin(180 / sides) (published geometry of the hyperbolic plane).
pub(super) fn usual(settings: &GrownSettings) -> f64 {
    let (sides, meeting) = sides_of(settings);
    let r = libm::acosh(
        (libm::cos(PI / f64::from(meeting.max(3))) / libm::sin(PI / f64::from(sides.max(3)))).max(1.0),
    );
    2.0 * libm::tanh(r / 2.0)
}

pub(super) fn grow(ask: &GrowthAsk) -> Result<Growth, String> {
    let (sides, meeting) = sides_of(&ask.settings);
    let radius = ask.pitch / usual(&ask.settings).max(0.01);
    let large_enough = |r: &Ring| {
        // Nothing beyond is wider than this one, and an opening is never wider than its area allows.
        2.0 * radius * libm::sqrt(r.area() / PI) - ask.bridge >= ask.least.max(0.01 * radius)
    };
    let rounds = shrinking(sides, meeting, MOST_ROUNDS, large_enough);
    if rounds.is_empty() {
        return Err(format!(
            "{sides} sides with {meeting} round a crossing lie flat or close up; (sides - 2) times (round a crossing - 2) must be more than 4"
        ));
    }
    let cells = turned(rounds.into_iter().flatten().map(|r| r.scaled(radius)), ask.turn);
    Ok(Growth { cells, order: sides, ..Growth::default() })
}
