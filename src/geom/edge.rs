//! One edge of a ring, straight or an arc, and what can be said of it by itself.

use kurbo::{Point, Rect, Vec2};
use std::f64::consts::TAU;

/// One edge of a ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edge {
    /// A straight edge.
    Line {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
    },
    /// `bulge` as of a [`super::Vertex`], signed (positive anticlockwise). Angles are worked out only when asked for: most of what
    /// is asked of an arc needs none.
    Arc {
        /// Where it starts.
        from: Point,
        /// Where it ends.
        to: Point,
        /// The middle of its circle.
        centre: Point,
        /// mm.
        radius: f64,
        /// tan(angle / 4) of the arc, positive anticlockwise about its centre.
        bulge: f64,
    },
}

impl Edge {
    /// The edge from a vertex to the next point.
    pub fn between(from: Point, bulge: f64, to: Point) -> Self {
        if bulge == 0.0 {
            return Edge::Line { from, to };
        }
        let chord = to - from;
        // Centre: from the chord's middle, along its left normal, by c/2 * (1 - b^2) / (2 b).
        let along = (1.0 - bulge * bulge) / (4.0 * bulge);
        let centre = from + chord * 0.5 + Vec2::new(-chord.y, chord.x) * along;
        let radius = chord.hypot2().sqrt() * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
        Edge::Arc { from, to, centre, radius, bulge }
    }

    /// The angle an arc turns through, radians, positive anticlockwise; 0 for a line.
    pub fn sweep(&self) -> f64 {
        match *self {
            Edge::Line { .. } => 0.0,
            Edge::Arc { bulge, .. } => 4.0 * libm::atan(bulge),
        }
    }

    /// The direction from an arc's centre to its first end, radians; 0 for a line.
    pub fn start(&self) -> f64 {
        match *self {
            Edge::Line { .. } => 0.0,
            Edge::Arc { from, centre, .. } => libm::atan2(from.y - centre.y, from.x - centre.x),
        }
    }

    /// Where it starts.
    pub fn from(&self) -> Point {
        match *self {
            Edge::Line { from, .. } | Edge::Arc { from, .. } => from,
        }
    }

    /// Where it ends.
    pub fn to(&self) -> Point {
        match *self {
            Edge::Line { to, .. } | Edge::Arc { to, .. } => to,
        }
    }

    /// mm.
    pub fn length(&self) -> f64 {
        match *self {
            Edge::Line { from, to } => (to - from).hypot2().sqrt(),
            Edge::Arc { radius, .. } => radius * self.sweep().abs(),
        }
    }

    /// The point at `t` from 0 to 1 along the edge.
    pub fn point(&self, t: f64) -> Point {
        match *self {
            Edge::Line { from, to } => from + (to - from) * t,
            Edge::Arc { from, .. } if t == 0.0 => from,
            Edge::Arc { to, .. } if t == 1.0 => to,
            Edge::Arc { from, to, bulge, .. } if t == 0.5 => {
                let chord = to - from;
                from.midpoint(to) + Vec2::new(chord.y, -chord.x) * (bulge / 2.0)
            }
            Edge::Arc { centre, radius, .. } => {
                let angle = self.start() + self.sweep() * t;
                centre + Vec2::new(libm::cos(angle), libm::sin(angle)) * radius
            }
        }
    }

    /// Unit direction of travel at `t`.
    pub fn direction(&self, t: f64) -> Vec2 {
        let (from, to) = (self.from(), self.to());
        let chord = to - from;
        let length = chord.hypot2().sqrt();
        let along = if length > 0.0 { chord / length } else { Vec2::new(1.0, 0.0) };
        match *self {
            Edge::Line { .. } => along,
            Edge::Arc { bulge, .. } => {
                // An arc turns by half its angle on either side of its chord's direction.
                let (sin, cos) = match t {
                    0.0 | 1.0 => half_sweep(bulge),
                    0.5 => (0.0, 1.0),
                    _ => {
                        let turn = (2.0 * t - 1.0) * self.sweep() / 2.0;
                        (libm::sin(turn), libm::cos(turn))
                    }
                };
                let sin = if t == 0.0 { -sin } else { sin };
                Vec2::new(along.x * cos - along.y * sin, along.x * sin + along.y * cos)
            }
        }
    }

    /// Unit direction of travel at a point of the edge.
    pub(super) fn direction_at(&self, p: Point) -> Vec2 {
        match *self {
            Edge::Line { .. } => self.direction(0.0),
            Edge::Arc { centre, bulge, .. } => {
                let out = p - centre;
                Vec2::new(-out.y, out.x) * (bulge.signum() / out.hypot2().sqrt())
            }
        }
    }

    /// How far along the edge a point of it lies, from 0 to 1.
    pub(super) fn along(&self, p: Point) -> f64 {
        match *self {
            Edge::Line { from, to } => (p - from).dot(to - from) / (to - from).hypot2(),
            Edge::Arc { from, centre, bulge, .. } => {
                let (a, v) = (from - centre, p - centre);
                let turned = libm::atan2(a.cross(v), a.dot(v)) * bulge.signum();
                turned.rem_euclid(TAU) / self.sweep().abs()
            }
        }
    }

    /// Whether the arc passes the direction `v` from its centre; a line passes none. Told by which side of its two end
    /// radii `v` lies, without an angle.
    pub(crate) fn passes(&self, v: Vec2) -> bool {
        self.passes_at(v, v.hypot2().sqrt())
    }

    /// The same for a direction whose length is known.
    pub(super) fn passes_at(&self, v: Vec2, length: f64) -> bool {
        match *self {
            Edge::Line { .. } => false,
            Edge::Arc { from, to, centre, bulge, radius } => {
                let (a, b) =
                    if bulge > 0.0 { (from - centre, to - centre) } else { (to - centre, from - centre) };
                let slack = -1e-12 * radius * length;
                let (after_start, before_end) = (a.cross(v) >= slack, v.cross(b) >= slack);
                if bulge.abs() <= 1.0 {
                    after_start && before_end && (a + b).dot(v) >= slack
                } else {
                    after_start || before_end
                }
            }
        }
    }

    /// How many equal chords stay within `tolerance` mm of the edge; 1 for a line.
    pub(crate) fn chords(&self, tolerance: f64) -> usize {
        let Edge::Arc { radius, .. } = *self else { return 1 };
        let step = 2.0 * libm::acos((1.0 - tolerance / radius).clamp(-1.0, 1.0));
        if step > 0.0 {
            (self.sweep().abs() / step).ceil().clamp(1.0, 1e6) as usize
        } else {
            1
        }
    }

    /// The part of the edge from one share of it to another, on the same circle.
    pub(super) fn part(&self, from: f64, to: f64) -> Edge {
        let ends = (self.point(from), self.point(to));
        match *self {
            Edge::Line { .. } => Edge::Line { from: ends.0, to: ends.1 },
            Edge::Arc { centre, radius, .. } => {
                let bulge = libm::tan(self.sweep() * (to - from) / 4.0);
                Edge::Arc { from: ends.0, to: ends.1, centre, radius, bulge }
            }
        }
    }

    /// How far the edge rises from its chord, mm; 0 for a line.
    pub(super) fn rise(&self) -> f64 {
        match *self {
            Edge::Line { .. } => 0.0,
            Edge::Arc { from, to, bulge, .. } => (to - from).hypot2().sqrt() / 2.0 * bulge.abs(),
        }
    }

    /// A box that holds the edge, quicker than [`Edge::bounds`] and for arcs a little wider: up to half a turn lies in the
    /// slanting box on its chord, and that in its own upright one.
    pub(super) fn about(&self) -> Rect {
        match *self {
            Edge::Line { from, to } => Rect::from_points(from, to),
            Edge::Arc { from, to, bulge, .. } if bulge.abs() <= 1.0 => {
                let chord = to - from;
                let rise = Vec2::new(chord.y, -chord.x) * (bulge / 2.0);
                Rect::from_points(from, to).union(Rect::from_points(from + rise, to + rise))
            }
            Edge::Arc { centre, radius, .. } => Rect::from_center_size(centre, (2.0 * radius, 2.0 * radius)),
        }
    }

    /// The box that holds it.
    pub fn bounds(&self) -> Rect {
        let ((x0, x1), (y0, y1)) = (self.reach(Vec2::new(1.0, 0.0)), self.reach(Vec2::new(0.0, 1.0)));
        Rect { x0, y0, x1, y1 }
    }

    /// The least and the most that any point of the edge lies along a unit vector, mm from the origin.
    pub(super) fn reach(&self, along: Vec2) -> (f64, f64) {
        let far = |p: Point| p.to_vec2().dot(along);
        let (a, b) = (far(self.from()), far(self.to()));
        let (mut least, mut most) = (a.min(b), a.max(b));
        if let Edge::Arc { centre, radius, .. } = *self {
            if self.passes(along) {
                most = most.max(far(centre) + radius);
            }
            if self.passes(-along) {
                least = least.min(far(centre) - radius);
            }
        }
        (least, most)
    }

    /// How far the point of the edge is that lies farthest from `p`, mm.
    pub(super) fn farthest(&self, p: Point) -> f64 {
        let ends = (self.from() - p).hypot2().sqrt().max((self.to() - p).hypot2().sqrt());
        match *self {
            Edge::Arc { centre, radius, .. } if self.passes(centre - p) => {
                ends.max((centre - p).hypot2().sqrt() + radius)
            }
            _ => ends,
        }
    }
}

/// Sine and cosine of half the angle that an arc turns through, from its bulge: the tangent of half of that again.
pub(super) fn half_sweep(bulge: f64) -> (f64, f64) {
    let over = 1.0 + bulge * bulge;
    (2.0 * bulge / over, (1.0 - bulge * bulge) / over)
}
