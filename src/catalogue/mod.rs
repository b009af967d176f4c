//! Repeat patterns: the files in `patterns/`, read and proved. A pattern says nothing of size or metal.
//!
//! A file gives its coordinates in any unit and turned any way. Reading brings every pattern to one footing: the
//! shortest repeat is 1 long and runs along +x, so that a job's `pitch` is simply what the pattern is made bigger by.

mod grown;
mod proof;
mod read;
mod shipped;
mod stars;

pub use grown::{grown, grown_takes, AroundRule, Grown, GROWN};
pub use read::read;
pub use shipped::{all, find};

use crate::geom::{Affine, Point, Ring, Vec2};

/// A repeat that fills the plane (or, for a motif, lies on it without touching), with its shortest repeat 1 long.
#[derive(Debug, Clone, PartialEq)]
pub struct Pattern {
    /// Key in a job file: the file's stem.
    pub name: String,
    /// For people: "Hexagon".
    pub title: String,
    /// One sentence on how it looks, for lists.
    pub about: String,
    /// Where the figure comes from.
    pub source: String,
    /// What `pitch` measures on this pattern, for people.
    pub pitch: String,
    /// The two shortest repeats: the first is (1, 0), the second points upward with x from -1/2 to 1/2.
    /// Every repeat is a whole number of each.
    pub repeat: [Vec2; 2],
    /// The cells of one repeat, before the bridge is taken off.
    pub shapes: Vec<PatternShape>,
    /// As listed in the file; at least one of each kind.
    pub centres: Vec<Centre>,
    /// Whether they fill the plane, touch or stand apart.
    pub fills: Fills,
    /// The mirror image is a different pattern.
    pub chiral: bool,
    /// The `turn` (degrees, over -90 to 90) at which the pattern stands as its file draws it, for example bricks level.
    pub upright: f64,
    /// Length of the shortest repeat in the file's own unit.
    pub unit: f64,
}

/// What the shapes do to the plane, and so what the bridge is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fills {
    /// They share it out without a gap; half the bridge is taken off each.
    Plane,
    /// They may touch but not overlap; half the bridge is taken off each and the ground between stays metal.
    Ground,
    /// They stand apart and are openings as they are: nothing is taken off.
    Motif,
}

/// One cell of the repeat, before the bridge is taken off. Anticlockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct PatternShape {
    /// Which shape, as the file calls it.
    pub name: String,
    /// Its edge, in shortest repeats.
    pub ring: Ring,
}

/// A point the pattern may be centred on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Centre {
    /// What lies there once bridges are taken off.
    pub kind: CentreKind,
    /// Where in the repeat, in shortest repeats.
    pub at: Point,
    /// Order of turning symmetry (1: none).
    pub order: u32,
    /// Whether a mirror runs through it.
    pub mirror: bool,
}

/// What of a pattern lies at a point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CentreKind {
    /// The middle of an opening.
    Opening,
    /// Where bridges meet.
    Crossing,
    /// The middle of a bridge.
    Bridge,
}

impl Pattern {
    /// Area of one repeat, in shortest repeats squared.
    pub fn repeat_area(&self) -> f64 {
        self.repeat[0].cross(self.repeat[1])
    }

    /// Its shapes are openings as they stand: nothing is taken off for the bridge.
    pub fn is_motif(&self) -> bool {
        self.fills == Fills::Motif
    }

    /// The first listed centre of a kind.
    pub fn centre(&self, kind: CentreKind) -> Option<&Centre> {
        self.centres.iter().find(|c| c.kind == kind)
    }

    /// The repeat made of `m` of the first and `n` of the second.
    pub fn repeat_of(&self, m: i64, n: i64) -> Vec2 {
        self.repeat[0] * m as f64 + self.repeat[1] * n as f64
    }
}

/// The listed centres, and plain ones (no symmetry promised) for the kinds that are not listed.
fn with_plain_centres(mut centres: Vec<Centre>, shapes: &[PatternShape]) -> Vec<Centre> {
    if let Some(PatternShape { ring, .. }) = shapes.first() {
        let plain = [
            (CentreKind::Opening, ring.centroid()),
            (CentreKind::Crossing, ring.first()),
            (CentreKind::Bridge, ring.edge(0).point(0.5)),
        ];
        for (kind, at) in plain {
            if !centres.iter().any(|c| c.kind == kind) {
                centres.push(Centre { kind, at, order: 1, mirror: false });
            }
        }
    }
    centres
}

/// Two repeats of the same set that are as short as can be (Gauss's reduction), the shorter first; when several are
/// equally short, the one nearest to +x leads. The second lies anticlockwise of the first.
fn shortest_repeats(repeat: [Vec2; 2]) -> [Vec2; 2] {
    let [mut a, mut b] = repeat;
    // Each turn makes the longer one shorter; 64 is far beyond what finite numbers need.
    for _ in 0..64 {
        if b.hypot2() < a.hypot2() {
            std::mem::swap(&mut a, &mut b);
        }
        let k = (a.dot(b) / a.hypot2()).round();
        if k == 0.0 {
            break;
        }
        b -= a * k;
    }
    let near = a.hypot2() * (1.0 + 1e-9);
    let turn_of = |v: &Vec2| libm::atan2(v.y, v.x).abs();
    let first = [a, b, a + b, a - b]
        .into_iter()
        .flat_map(|v| [v, -v])
        .filter(|v| v.hypot2() <= near)
        .fold(None, |best: Option<Vec2>, v| match best {
            // Of two mirrored directions the anticlockwise one leads.
            Some(w)
                if turn_of(&w) < turn_of(&v) - 1e-9 || (turn_of(&w) < turn_of(&v) + 1e-9 && w.y >= v.y) =>
            {
                Some(w)
            }
            _ => Some(v),
        })
        .unwrap_or(a);
    let other = if first.cross(a).abs() > first.cross(b).abs() { a } else { b };
    let other = if first.cross(other) < 0.0 { -other } else { other };
    let k = (first.dot(other) / first.hypot2() - 1e-9).round();
    [first, other - first * k]
}

/// Brings a pattern in its file's own unit to a shortest repeat of (1, 0).
fn onto_one_footing(mut pattern: Pattern) -> Pattern {
    let [first, second] = shortest_repeats(pattern.repeat);
    let unit = first.hypot2().sqrt();
    let (s, c) = (-first.y / unit, first.x / unit);
    let straight = s == 0.0 && c == 1.0;
    let turn = Affine::new([c / unit, s / unit, -s / unit, c / unit, 0.0, 0.0]);
    let moved = |p: Point| if straight { Point::new(p.x / unit, p.y / unit) } else { turn * p };
    pattern.repeat = [Vec2::new(1.0, 0.0), moved(second.to_point()).to_vec2()];
    for shape in &mut pattern.shapes {
        shape.ring = shape.ring.map(moved);
    }
    for centre in &mut pattern.centres {
        centre.at = moved(centre.at);
    }
    pattern.unit = unit;
    pattern.upright = if straight { 0.0 } else { libm::atan2(first.y, first.x).to_degrees() };
    pattern
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn repeats_come_out_shortest_first() {
        // Running bond, bricks 2 by 1: half a brick along and one course up is shorter than a brick.
        let [a, b] = shortest_repeats([Vec2::new(2.0, 0.0), Vec2::new(1.0, 1.0)]);
        assert_eq!((a, b), (Vec2::new(1.0, 1.0), Vec2::new(-1.0, 1.0)));
        // A square given by long repeats.
        let [a, b] = shortest_repeats([Vec2::new(5.0, 3.0), Vec2::new(3.0, 2.0)]);
        assert_eq!((a, b), (Vec2::new(1.0, 0.0), Vec2::new(0.0, 1.0)));
        // Clockwise repeats are turned round.
        let [a, b] = shortest_repeats([Vec2::new(0.0, 2.0), Vec2::new(1.0, 0.0)]);
        assert_eq!((a, b), (Vec2::new(1.0, 0.0), Vec2::new(0.0, 2.0)));
    }
}
