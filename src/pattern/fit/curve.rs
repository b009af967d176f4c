//! A border line measured along itself: places on it are arc lengths.

use crate::geom::{box_distance2, Edge, Point, Rect, Ring, Vec2, Vertex};
use std::f64::consts::PI;

/// A turn of the line at one point sharper than this is a corner, degrees. Smaller would make corners of the joints of
/// smooth arcs; larger would let cells bend round true corners. Chosen by eye.
const SHARP: f64 = 25.0;
/// A rounded corner turns more than [`ROUNDED`] degrees within this part of a pitch to each side of its middle. Chosen
/// by eye: a heart's rounded notch is one, a small window is not.
const WINDOW: f64 = 0.28;
const ROUNDED: f64 = 48.0;
/// Steps a rounded corner is looked for in, of a pitch.
const LOOK: f64 = 1.0 / 128.0;

/// Steps in which the line is sampled, mm, and the fewest and most samples.
const STEP: f64 = 0.04;
const SAMPLES: (f64, f64) = (16.0, 6000.0);

/// A closed line with the inside on its left, or one that repeats by `period` (the long edge of a band).
#[derive(Debug, Clone)]
pub(in crate::pattern) struct Curve {
    edges: Vec<Edge>,
    boxes: Vec<Rect>,
    /// Arc length at the start of every edge, and the whole at the end, mm.
    starts: Vec<f64>,
    /// Direction at the start of every edge, radians, turned on from the edge before, and at the end of all.
    headings: Vec<f64>,
    /// The direction from an arc's centre to its start, and how far it turns, radians.
    angles: Vec<(f64, f64)>,
    /// The edge on which each of equal parts of the line starts.
    parts: Vec<usize>,
    /// Points at equal steps along the line, from its start on.
    pub(in crate::pattern) samples: Vec<Point>,
    /// What one way round moves by: nothing on a closed line.
    pub period: Vec2,
}

/// A corner of a border line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::pattern) struct Bend {
    /// Arc length, mm.
    pub at: f64,
    /// Degrees, positive where the line turns left: a corner of the field that points out.
    pub turn: f64,
}

impl Curve {
    /// `period`: what the last point lies beyond the first one, for a line that repeats.
    pub(in crate::pattern) fn new(edges: Vec<Edge>, period: Vec2) -> Curve {
        let (mut starts, mut headings) = (vec![0.0], Vec::new());
        let mut heading = 0.0;
        let mut along = 0.0;
        for (i, edge) in edges.iter().enumerate() {
            let out = edge.direction(0.0);
            if i == 0 {
                heading = libm::atan2(out.y, out.x);
            } else {
                heading += turned(edges[i - 1].direction(1.0), out);
            }
            headings.push(heading);
            heading += edge.sweep();
            along += edge.length();
            starts.push(along);
        }
        if let (Some(first), Some(last)) = (edges.first(), edges.last()) {
            headings.push(heading + turned(last.direction(1.0), first.direction(0.0)));
        }
        let angles = edges.iter().map(|e| (e.start(), e.sweep())).collect();
        let count = 4 * edges.len();
        let parts = (0..=count).map(|k| {
            let s = along * k as f64 / count as f64;
            starts.partition_point(|&start| start <= s).clamp(1, edges.len().max(1)) - 1
        });
        let parts = parts.collect();
        let boxes = edges.iter().map(Edge::bounds).collect();
        let mut curve = Curve { edges, boxes, starts, headings, angles, parts, samples: Vec::new(), period };
        let count = (along / STEP).ceil().clamp(SAMPLES.0, SAMPLES.1) as usize;
        let count = if curve.edges.is_empty() { 0 } else { count };
        curve.samples = (0..count).map(|k| curve.point(along * k as f64 / count as f64)).collect();
        curve
    }

    pub(in crate::pattern) fn of(ring: &Ring) -> Curve {
        Curve::new(ring.edges().filter(|e| e.length() > 1e-9).collect(), Vec2::ZERO)
    }

    pub(in crate::pattern) fn length(&self) -> f64 {
        self.starts.last().copied().unwrap_or(0.0)
    }

    pub(in crate::pattern) fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// Whole times round, the edge, and how far along it from 0 to 1.
    fn place(&self, s: f64) -> (f64, usize, f64) {
        let length = self.length();
        let round = (s / length).floor();
        let s = (s - round * length).clamp(0.0, length);
        let part = (s / length * (self.parts.len() - 1) as f64) as usize;
        let mut i = self.parts[part.min(self.parts.len() - 1)];
        while i + 1 < self.edges.len() && self.starts[i + 1] <= s {
            i += 1;
        }
        while i > 0 && self.starts[i] > s {
            i -= 1;
        }
        let t = (s - self.starts[i]) / (self.starts[i + 1] - self.starts[i]);
        (round, i, t.clamp(0.0, 1.0))
    }

    pub(in crate::pattern) fn point(&self, s: f64) -> Point {
        self.frame(s).0
    }

    pub(in crate::pattern) fn direction(&self, s: f64) -> Vec2 {
        self.frame(s).1
    }

    /// The point at an arc length, and the direction of travel there.
    pub(in crate::pattern) fn frame(&self, s: f64) -> (Point, Vec2) {
        let (round, i, t) = self.place(s);
        let by = self.period * round;
        match self.edges[i] {
            Edge::Line { from, to } => {
                let along = to - from;
                (from + along * t + by, along / (self.starts[i + 1] - self.starts[i]))
            }
            Edge::Arc { centre, radius, bulge, .. } => {
                let (start, sweep) = self.angles[i];
                let (sin, cos) = (libm::sin(start + sweep * t), libm::cos(start + sweep * t));
                (centre + Vec2::new(cos, sin) * radius + by, Vec2::new(-sin, cos) * bulge.signum())
            }
        }
    }

    /// Where the line is nearest to `p`, and how far that is, mm.
    pub(in crate::pattern) fn nearest(&self, p: Point) -> (f64, f64) {
        // On a line that repeats, first to the copy that lies beside `p`.
        let long = self.period.hypot2();
        let round = match self.edges.first() {
            Some(first) if long > 0.0 => ((p - first.from()).dot(self.period) / long).floor(),
            _ => 0.0,
        };
        let p = p - self.period * round;
        let mut best = (0.0, f64::INFINITY);
        let at = Rect::from_points(p, p);
        for (i, edge) in self.edges.iter().enumerate() {
            // An edge as far off as the best is no nearer.
            if box_distance2(at, self.boxes[i]) > best.1 * best.1 {
                continue;
            }
            let q = edge.nearest(p);
            let far = (q - p).hypot2().sqrt();
            if far < best.1 {
                let t = match *edge {
                    Edge::Line { from, to } => (q - from).dot(to - from) / (to - from).hypot2(),
                    Edge::Arc { centre, .. } => {
                        let (a, b) = (edge.from() - centre, q - centre);
                        let sweep = self.angles[i].1;
                        let swept = libm::atan2(a.cross(b), a.dot(b)) * sweep.signum();
                        let swept = if swept < -1e-9 { swept + 2.0 * PI } else { swept.max(0.0) };
                        (swept / sweep.abs()).min(1.0)
                    }
                };
                best = (self.starts[i] + t * (self.starts[i + 1] - self.starts[i]), far);
            }
        }
        (best.0 + round * self.length(), best.1)
    }

    /// Degrees the line turns from one place on to another, corners between them counted.
    pub(in crate::pattern) fn turning(&self, from: f64, to: f64) -> f64 {
        let whole = self.headings[self.edges.len()] - self.headings[0];
        let heading = |s: f64| {
            let (round, i, t) = self.place(s);
            self.headings[i] + self.angles[i].1 * t + round * whole
        };
        (heading(to) - heading(from)).to_degrees()
    }

    /// Corners, sharp and rounded, for a pattern of this pitch; in order along the line.
    pub(in crate::pattern) fn bends(&self, pitch: f64) -> Vec<Bend> {
        let n = self.edges.len();
        let mut bends: Vec<Bend> = (0..n)
            .map(|i| {
                let turn = turned(self.edges[(i + n - 1) % n].direction(1.0), self.edges[i].direction(0.0));
                Bend { at: self.starts[i], turn: turn.to_degrees() }
            })
            .filter(|bend| bend.turn.abs() > SHARP)
            .collect();
        let sharp = bends.clone();
        let length = self.length();
        let window = WINDOW * pitch;
        let count = (length / (LOOK * pitch)).ceil().clamp(8.0, 1e5) as usize;
        let step = length / count as f64;
        let turn = |k: usize| self.turning(k as f64 * step - window, k as f64 * step + window);
        let turns: Vec<f64> = (0..count).map(turn).collect();
        let Some(start) = turns.iter().position(|t| t.abs() <= ROUNDED) else { return bends };
        let mut run: Option<(usize, f64)> = None;
        for k in start + 1..=start + count {
            let t = turns[k % count];
            let goes_on = run.is_some_and(|(_, sign)| t * sign > ROUNDED);
            if let (Some((from, _)), false) = (run, goes_on) {
                let at = (from + k - 1) as f64 / 2.0 * step;
                let apart = |bend: &Bend| {
                    let d = (bend.at - at).rem_euclid(length);
                    d.min(length - d)
                };
                if !sharp.iter().any(|bend| apart(bend) <= 2.0 * window) {
                    let turn = self.turning(at - 2.0 * window, at + 2.0 * window);
                    bends.push(Bend { at: at.rem_euclid(length), turn });
                }
                run = None;
            }
            if run.is_none() && t.abs() > ROUNDED {
                run = Some((k, t.signum()));
            }
        }
        bends.sort_by(|a, b| a.at.total_cmp(&b.at));
        bends
    }

    /// The line from one place on to another, its last point left out.
    pub(in crate::pattern) fn between(&self, from: f64, to: f64) -> Vec<Vertex> {
        let mut corners = Vec::new();
        if self.length() <= 0.0 {
            return corners;
        }
        let (mut round, mut i, mut t) = self.place(from);
        let mut s = from;
        // Edge after edge, so that one too short to be told from its end is passed and not looked for again.
        while s < to - 1e-9 {
            let end = self.starts[i + 1] + round * self.length();
            let stop = if end >= to - 1e-9 { to } else { end };
            if stop > s && 1.0 - t >= 1e-12 {
                let edge = self.edges[i];
                let part = (stop - s) / (self.starts[i + 1] - self.starts[i]);
                let bulge = match edge {
                    Edge::Line { .. } => 0.0,
                    Edge::Arc { .. } => libm::tan(edge.sweep() * part / 4.0),
                };
                corners.push(Vertex { at: edge.point(t) + self.period * round, bulge });
                s = stop;
            }
            (i, t) = (i + 1, 0.0);
            if i == self.edges.len() {
                (i, round) = (0, round + 1.0);
            }
        }
        corners
    }
}

/// Angle from one direction to another, radians.
fn turned(from: Vec2, to: Vec2) -> f64 {
    libm::atan2(from.cross(to), from.dot(to))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn round_a_rectangle() {
        let curve = Curve::of(&Ring::rectangle(Rect::new(0.0, 0.0, 30.0, 20.0)));
        assert_eq!(curve.length(), 100.0);
        assert!((curve.point(105.0) - Point::new(5.0, 0.0)).hypot2().sqrt() < 1e-12);
        assert!((curve.turning(-1.0, 31.0) - 180.0).abs() < 1e-9);
        let bends = curve.bends(5.0);
        assert_eq!(bends.iter().map(|b| b.at).collect::<Vec<_>>(), [0.0, 30.0, 50.0, 80.0]);
        assert!(bends.iter().all(|b| (b.turn - 90.0).abs() < 1e-9));
        let (s, far) = curve.nearest(Point::new(31.0, 4.0));
        assert!((s - 34.0).abs() < 1e-12 && (far - 1.0).abs() < 1e-12);
        assert_eq!(curve.between(28.0, 33.0).len(), 2);
    }

    /// Found in a drawing: an edge shorter than places are told apart was looked for without end.
    #[test]
    fn an_edge_of_hardly_any_length_is_passed() {
        let at = |x: f64, y: f64| Vertex { at: Point::new(x, y), bulge: 0.0 };
        let vertices = vec![at(0.0, 0.0), at(30.0, 0.0), at(30.0, 1e-11), at(30.0, 20.0), at(0.0, 20.0)];
        let curve = Curve::of(&Ring::new(vertices));
        for from in [0.0, 29.0, 30.0, 30.0 + 1e-11, 95.0] {
            let points = curve.between(from, from + 20.0);
            assert!((1..=4).contains(&points.len()), "{from}: {}", points.len());
        }
    }

    #[test]
    fn a_rounded_corner_is_one_corner() {
        let ring = Ring::rectangle(Rect::new(0.0, 0.0, 30.0, 20.0)).rounded(1.0).remove(0);
        let bends = Curve::of(&ring).bends(5.0);
        assert_eq!(bends.len(), 4);
        assert!(bends.iter().all(|b| (b.turn - 90.0).abs() < 1e-6), "{bends:?}");
        assert!(Curve::of(&Ring::circle(Point::ORIGIN, 3.0)).bends(5.0).is_empty());
    }
}
