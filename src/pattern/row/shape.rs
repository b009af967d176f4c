//! The openings of a row: drawn once and set turned with the line, or bent with it.

use crate::geom::{ellipse, Edge, Point, Rect, Ring, Vec2, Vertex};
use crate::job::{Element, RowSpec, Shape};
use crate::outline::{rings, Track};
use crate::pattern::fit::curve::Curve;
use crate::units::Mm;

/// Beside a corner the line's direction is taken so far before and after it, mm.
const BESIDE: f64 = 1e-6;

/// One row's opening and the lines of its track.
pub(super) struct Shaped {
    /// As it stands with the line along +x and the line's left up, round the origin; none for bricks.
    upright: Option<Ring>,
    /// Along the row, mm.
    wide: f64,
    across: f64,
    corner_radius: f64,
    right: Curve,
    middle: Curve,
    left: Curve,
    closed: bool,
}

/// What openings of a shape are called.
pub(super) fn called(shape: &Element) -> &'static str {
    match shape {
        Element::Round => "round openings",
        Element::Drop => "drops",
        Element::Brick => "bricks",
        Element::Petal => "petals",
        Element::Lozenge => "lozenges",
        Element::Own(_) => "openings",
    }
}

impl Shaped {
    pub(super) fn new(row: &RowSpec, track: &Track, corner_radius: f64) -> Shaped {
        let (width, height) = row.size;
        let (w, h) = (width.get(), height.get());
        let first = |shape: Shape| rings(&shape).ok().and_then(|all| all.into_iter().next());
        let (tip_radius, point) = (Mm(0.0), Point::new);
        let drawn = match &row.shape {
            Element::Round if (w - h).abs() < 1e-9 => Some(Ring::circle(Point::ORIGIN, w / 2.0)),
            Element::Round => Some(ellipse(w, h)),
            Element::Drop => first(Shape::Teardrop { width, height, tip_radius }),
            Element::Petal => first(Shape::Marquise { width, height, tip_radius }),
            Element::Lozenge => {
                let corners =
                    [point(w / 2.0, 0.0), point(0.0, h / 2.0), point(-w / 2.0, 0.0), point(0.0, -h / 2.0)];
                Some(Ring::polygon(corners))
            }
            Element::Own(ring) => {
                let size = ring.bounds();
                Some(ring.scaled((w / size.width().max(1e-9)).min(h / size.height().max(1e-9))))
            }
            Element::Brick => None,
        };
        let turned = |ring: Ring| if row.tips_out { ring.rotated(180.0) } else { ring };
        let upright = drawn.and_then(|ring| largest(ring.rounded(corner_radius))).map(turned);
        let line = |edges: &[Edge]| {
            Curve::new(
                edges.iter().copied().filter(|e| e.length() > 1e-9).collect(),
                track.open.unwrap_or(Vec2::ZERO),
            )
        };
        Shaped {
            upright,
            wide: w,
            across: h,
            corner_radius,
            right: line(&track.right),
            middle: line(&track.middle),
            left: line(&track.left),
            closed: track.open.is_none(),
        }
    }

    /// The line through the middles of the openings.
    pub(super) fn middle(&self) -> &Curve {
        &self.middle
    }

    /// Openings at places along the middle line, in order along it, with the middle of the gap after each; and whether each can
    /// be drawn there. A brick too short to go round a pointed corner cannot.
    pub(super) fn along(&self, stations: &[f64], gaps: &[f64]) -> Vec<(Ring, bool)> {
        if let Some(ring) = &self.upright {
            return stations.iter().map(|s| (self.set(ring, *s), true)).collect();
        }
        let (n, length) = (stations.len(), self.middle.length());
        let plain = Ring::rectangle(Rect::from_center_size(Point::ORIGIN, (self.wide, self.across)));
        let brick = |i: usize| {
            let s = stations[i];
            let before = (s - gaps[(i + n - 1) % n]).rem_euclid(length);
            let after = (gaps[i] - s).rem_euclid(length);
            match self.brick(s, before, after) {
                Some(ring) => (ring, true),
                None => (self.set(&plain, s), false),
            }
        };
        (0..n).map(brick).collect()
    }

    /// A point of the line and its direction there; on a corner half way between before and after.
    fn frame(&self, s: f64) -> (Point, Vec2) {
        // An open line goes on elsewhere past its ends.
        let s = if self.closed { s } else { s.clamp(2.0 * BESIDE, self.middle.length() - 2.0 * BESIDE) };
        let at = self.middle.point(s);
        let both = self.middle.direction(s - BESIDE) + self.middle.direction(s + BESIDE);
        let length = both.hypot();
        (at, if length > 1e-9 { both / length } else { self.middle.direction(s) })
    }

    fn set(&self, ring: &Ring, s: f64) -> Ring {
        let (at, along) = self.frame(s);
        let up = Vec2::new(-along.y, along.x);
        let place = |v: Vertex| Vertex { at: at + along * v.at.x + up * v.at.y, bulge: v.bulge };
        Ring::new(ring.vertices().map(place).collect())
    }

    /// A brick bent with the lane, its ends parallel to the middles of the gaps `before` and `after` it, mm along the line.
    fn brick(&self, s: f64, before: f64, after: f64) -> Option<Ring> {
        let half = self.wide / 2.0;
        let [r0, l0] = self.end(s - before, before - half)?;
        let [r1, l1] = self.end(s + after, half - after)?;
        let bent = self.between(&self.right, r0, r1)?;
        let back = self.between(&self.left, l0, l1)?;
        let mut ring = bent;
        ring.push(Vertex { at: self.right.point(r1), bulge: 0.0 });
        ring.extend(backwards(&back, self.left.point(l1)));
        largest(Ring::new(ring).anticlockwise().rounded(self.corner_radius))
    }

    /// Where a brick's end, `by` mm on from the middle of a gap, meets the lane's right and left lines.
    fn end(&self, gap: f64, by: f64) -> Option<[f64; 2]> {
        let (at, along) = self.frame(gap);
        let left = Vec2::new(-along.y, along.x);
        let from = at + along * by;
        let meet = |curve: &Curve, way: Vec2| {
            let ray = Edge::Line { from, to: from + way * (2.0 * self.across) };
            let all = curve.edges().iter().flat_map(|edge| edge.crossings(&ray));
            let nearest = all.min_by(|a, b| (*a - from).hypot2().total_cmp(&(*b - from).hypot2()))?;
            Some(curve.nearest(nearest).0)
        };
        Some([meet(&self.right, -left)?, meet(&self.left, left)?])
    }

    /// A stretch of a line, its last point left out; `None` where its ends have changed places, in the hollow of a tight bend.
    fn between(&self, curve: &Curve, from: f64, to: f64) -> Option<Vec<Vertex>> {
        let over = if self.closed && to < from { curve.length() } else { 0.0 };
        let long = to + over - from;
        (long > 0.0 && long < curve.length() / 2.0).then(|| curve.between(from, to + over))
    }
}

/// A stretch up to `end` run the other way, its first point left out.
fn backwards(stretch: &[Vertex], end: Point) -> Vec<Vertex> {
    let mut back = vec![Vertex { at: end, bulge: 0.0 }];
    for vertex in stretch.iter().rev() {
        if let Some(last) = back.last_mut() {
            last.bulge = -vertex.bulge;
        }
        back.push(Vertex { at: vertex.at, bulge: 0.0 });
    }
    back
}

fn largest(rings: Vec<Ring>) -> Option<Ring> {
    rings.into_iter().max_by(|a, b| a.area().total_cmp(&b.area()))
}
