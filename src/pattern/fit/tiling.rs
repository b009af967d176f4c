//! A repeat as a complex of vertices and sides: which cells meet where, by whole numbers and not by rounding.

use crate::catalogue::Pattern;
use crate::geom::{Edge, Point, Ring, Vec2};
use std::f64::consts::TAU;

/// Points nearer than this are one vertex, in shortest repeats: what pattern files are proved to.
const SAME: f64 = 2e-6;

/// Repeats looked at each way for one along a direction, and how near to it one has to run, in shortest repeats.
pub(super) const AROUND: i64 = 8;
pub(super) const ALONG: f64 = 1e-6;

/// Length of the shortest repeat along a direction (a unit vector), in shortest repeats.
pub(super) fn repeat_along([a, b]: &[Vec2; 2], along: Vec2) -> Option<f64> {
    (-AROUND..=AROUND)
        .flat_map(|m| (-AROUND..=AROUND).map(move |n| *a * m as f64 + *b * n as f64))
        .filter(|v| v.dot(along) > ALONG && v.cross(along).abs() < ALONG)
        .map(|v| v.dot(along))
        .min_by(f64::total_cmp)
}

/// A vertex of the endless pattern: its class, and the whole repeats it is moved by.
pub(super) type Key = (usize, i64, i64);

/// What stands at a point of a cell's line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Node {
    /// A corner of the cell itself.
    Corner,
    /// A neighbour's corner on one of its sides.
    Joint,
    /// The middle of an arc, which carries its rise.
    Rise,
}

/// A point of a cell's line.
#[derive(Debug, Clone, Copy)]
pub(super) struct At {
    pub key: Key,
    pub node: Node,
    /// Inner angle between the sides that meet here, degrees.
    pub angle: f64,
}

/// The cell types of a repeat, with the vertices they share. In shortest repeats.
#[derive(Debug, Clone)]
pub(super) struct Tiling {
    pub repeat: [Vec2; 2],
    classes: Vec<Point>,
    /// The lines of the cells, anticlockwise.
    pub shapes: Vec<Vec<At>>,
    pub areas: Vec<f64>,
}

impl Tiling {
    /// Of a pattern that fills the plane.
    pub(super) fn of(pattern: &Pattern) -> Tiling {
        let mut tiling = Tiling {
            repeat: pattern.repeat,
            classes: Vec::new(),
            shapes: Vec::new(),
            areas: pattern.shapes.iter().map(|s| s.ring.area()).collect(),
        };
        let rings: Vec<&Ring> = pattern.shapes.iter().map(|s| &s.ring).collect();
        for corner in rings.iter().flat_map(|r| r.vertices()) {
            tiling.key_or_new(corner.at);
        }
        let corners = tiling.classes.clone();
        tiling.shapes = rings.iter().map(|ring| tiling.line(ring, &corners)).collect();
        tiling
    }

    /// Mean area of a cell, in shortest repeats squared.
    pub(super) fn mean_area(&self) -> f64 {
        self.areas.iter().sum::<f64>() / self.areas.len() as f64
    }

    /// How many vertices a repeat has.
    pub(super) fn classes(&self) -> usize {
        self.classes.len()
    }

    pub(super) fn position(&self, (class, i, j): Key) -> Point {
        self.classes[class] + self.repeat[0] * i as f64 + self.repeat[1] * j as f64
    }

    /// The vertex at a point, if there is one.
    pub(super) fn key(&self, p: Point) -> Option<Key> {
        let [a, b] = self.repeat;
        let area = a.cross(b);
        (0..self.classes.len()).find_map(|class| {
            let v = p - self.classes[class];
            let (i, j) = ((v.cross(b) / area).round(), (a.cross(v) / area).round());
            ((v - a * i - b * j).hypot2().sqrt() < SAME).then_some((class, i as i64, j as i64))
        })
    }

    fn key_or_new(&mut self, p: Point) -> Key {
        self.key(p).unwrap_or_else(|| {
            self.classes.push(p);
            (self.classes.len() - 1, 0, 0)
        })
    }

    /// The line of one cell: its corners, the neighbours' corners on its sides, and the middles of its arcs.
    fn line(&mut self, ring: &Ring, corners: &[Point]) -> Vec<At> {
        let edges: Vec<Edge> = ring.edges().collect();
        let n = edges.len();
        let mut line = Vec::new();
        for (i, edge) in edges.iter().enumerate() {
            let (into, out) = (edges[(i + n - 1) % n].direction(1.0), edge.direction(0.0));
            let angle = 180.0 - libm::atan2(into.cross(out), into.dot(out)).to_degrees();
            line.push(At { key: self.key_or_new(edge.from()), node: Node::Corner, angle });
            let mut stops = self.joints(edge, corners);
            stops.push(1.0);
            let mut from = 0.0;
            for stop in stops {
                if let Edge::Arc { .. } = edge {
                    let key = self.key_or_new(edge.point((from + stop) / 2.0));
                    line.push(At { key, node: Node::Rise, angle: 180.0 });
                }
                if stop < 1.0 {
                    let key = self.key_or_new(edge.point(stop));
                    line.push(At { key, node: Node::Joint, angle: 180.0 });
                }
                from = stop;
            }
        }
        line
    }

    /// Where other cells' corners stand on a side, from 0 to 1, in order.
    fn joints(&self, edge: &Edge, corners: &[Point]) -> Vec<f64> {
        let [a, b] = self.repeat;
        let area = a.cross(b);
        let about = edge.bounds().inflate(SAME, SAME);
        let ends = [(about.x0, about.y0), (about.x1, about.y0), (about.x0, about.y1), (about.x1, about.y1)];
        let mut stops: Vec<f64> = Vec::new();
        for corner in corners {
            let steps = ends.map(|p| Point::from(p) - *corner);
            let range = |f: &dyn Fn(Vec2) -> f64| {
                let values = steps.map(f);
                let low = values.iter().copied().fold(f64::INFINITY, f64::min);
                let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
                (low - 1e-6).ceil() as i64..=(high + 1e-6).floor() as i64
            };
            for i in range(&|v| v.cross(b) / area) {
                for j in range(&|v| a.cross(v) / area) {
                    let p = *corner + a * i as f64 + b * j as f64;
                    let clear =
                        (p - edge.from()).hypot2().sqrt() > SAME && (p - edge.to()).hypot2().sqrt() > SAME;
                    if clear && (edge.nearest(p) - p).hypot2().sqrt() < SAME {
                        stops.push(along(edge, p));
                    }
                }
            }
        }
        stops.sort_by(f64::total_cmp);
        stops.dedup_by(|b, a| (*b - *a).abs() < SAME);
        stops
    }
}

/// How far along an edge a point of it lies, from 0 to 1.
fn along(edge: &Edge, p: Point) -> f64 {
    match *edge {
        Edge::Line { from, to } => (p - from).dot(to - from) / (to - from).hypot2(),
        Edge::Arc { centre, .. } => {
            let (a, b) = (edge.from() - centre, p - centre);
            let swept = libm::atan2(a.cross(b), a.dot(b)) * edge.sweep().signum();
            swept.rem_euclid(TAU) / edge.sweep().abs()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::find;

    #[test]
    fn bricks_have_a_joint_in_each_long_side() {
        let tiling = Tiling::of(find("running-bond").expect("shipped").as_ref());
        let nodes = |node: Node| tiling.shapes[0].iter().filter(|a| a.node == node).count();
        assert_eq!((nodes(Node::Corner), nodes(Node::Joint), nodes(Node::Rise)), (4, 2, 0));
    }

    #[test]
    fn arcs_carry_their_rise() {
        let tiling = Tiling::of(find("fish-scale").expect("shipped").as_ref());
        assert_eq!(tiling.shapes[0].iter().filter(|a| a.node == Node::Rise).count(), 4);
    }
}
