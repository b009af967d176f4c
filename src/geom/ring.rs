//! Rings of lines and arcs, and what can be said of one by itself.

use super::Edge;
use crate::error::fault;
use kurbo::{BezPath, Point, Rect, Vec2};
use std::f64::consts::PI;
use std::sync::Arc;

/// A point of a ring and the edge that leaves it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vertex {
    /// Its place, mm.
    pub at: Point,
    /// tan(angle / 4) of the arc to the next vertex; 0 for a straight edge.
    pub bulge: f64,
}

/// A closed line of straight edges and arcs; the last vertex's edge runs back to the first. It has at least two
/// vertices, and all its numbers are finite. It may cross itself ([`Ring::self_intersection`] tells).
///
/// A ring and its copies, moved ones too, share their vertices: a million openings of one shape take the room of their places.
#[derive(Debug, Clone)]
pub struct Ring {
    /// Before the ring was moved.
    vertices: Arc<[Vertex]>,
    /// How far it was moved, mm.
    by: Vec2,
}

/// A ring with rings cut out of it. The outer runs anticlockwise, the holes clockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    outer: Ring,
    holes: Vec<Ring>,
}

impl Vertex {
    /// A vertex at a place, mm.
    pub fn new(x: f64, y: f64, bulge: f64) -> Self {
        Self { at: Point::new(x, y), bulge }
    }

    fn is_finite(&self) -> bool {
        self.at.is_finite() && self.bulge.is_finite()
    }

    fn moved(self, by: Vec2) -> Self {
        Self { at: self.at + by, ..self }
    }
}

impl PartialEq for Ring {
    fn eq(&self, other: &Self) -> bool {
        self.vertices().eq(other.vertices())
    }
}

/// A fault of our own: a vertex that is not finite.
fn unending(v: &Vertex) -> ! {
    fault(format!("a closed line runs to {}, {} with bulge {}", v.at.x, v.at.y, v.bulge))
}

impl Ring {
    /// The ring through `vertices`. A fault of our own where they cannot be a ring: fewer than two, or a number that is
    /// not finite.
    pub fn new(vertices: Vec<Vertex>) -> Self {
        let n = vertices.len();
        Self::if_any(vertices).unwrap_or_else(|| fault(format!("a closed line of {n} vertices")))
    }

    /// The ring through `vertices`, or `None` where fewer than two of them are left: they go round nothing. A fault of
    /// our own where a number is not finite.
    pub fn if_any(vertices: Vec<Vertex>) -> Option<Self> {
        if let Some(v) = vertices.iter().find(|v| !v.is_finite()) {
            unending(v);
        }
        (vertices.len() >= 2).then(|| Self { vertices: vertices.into(), by: Vec2::ZERO })
    }

    /// Straight edges through `points`; a fault as in [`Ring::new`].
    pub fn polygon(points: impl IntoIterator<Item = Point>) -> Self {
        Self::new(points.into_iter().map(|at| Vertex { at, bulge: 0.0 }).collect())
    }

    /// The four sides of a box, from its lower left vertex.
    pub fn rectangle(r: Rect) -> Self {
        Self::polygon([(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)].map(Point::from))
    }

    /// A circle as two half-circle arcs, anticlockwise, starting at its right.
    pub fn circle(centre: Point, radius: f64) -> Self {
        let r = Vec2::new(radius, 0.0);
        Self::new(vec![Vertex { at: centre + r, bulge: 1.0 }, Vertex { at: centre - r, bulge: 1.0 }])
    }

    /// The vertices in order, at least two.
    pub fn vertices(&self) -> impl ExactSizeIterator<Item = Vertex> + DoubleEndedIterator + Clone + '_ {
        self.vertices.iter().map(|vertex| vertex.moved(self.by))
    }

    /// Vertex `i`.
    pub fn vertex(&self, i: usize) -> Vertex {
        self.vertices[i].moved(self.by)
    }

    /// The first vertex's place.
    pub fn first(&self) -> Point {
        self.vertex(0).at
    }

    /// The edges in order.
    pub fn edges(&self) -> impl ExactSizeIterator<Item = Edge> + Clone + '_ {
        let n = self.vertices.len();
        (0..n).map(move |i| self.edge(i))
    }

    /// The ring's line seen from its first vertex, in steps of `step` (mm, and bulge): the same numbers for rings that differ
    /// only in place.
    pub fn shape(&self, step: f64) -> impl Iterator<Item = i64> + '_ {
        let first = self.first();
        let steps = move |v: f64| (v / step).round() as i64;
        self.vertices().flat_map(move |c| [c.at.x - first.x, c.at.y - first.y, c.bulge].map(steps))
    }

    /// Edge `i`, leaving vertex `i`.
    pub fn edge(&self, i: usize) -> Edge {
        let vertex = self.vertex(i);
        let next = self.vertex((i + 1) % self.vertices.len());
        Edge::between(vertex.at, vertex.bulge, next.at)
    }

    /// Signed area, mm2; positive anticlockwise. Exact for arcs (chord polygon plus circle segments).
    pub fn area(&self) -> f64 {
        self.moments().0
    }

    /// Perimeter, mm.
    pub fn perimeter(&self) -> f64 {
        self.edges().map(|e| e.length()).sum()
    }

    /// Centroid; the first vertex for an empty area.
    pub fn centroid(&self) -> Point {
        let (area, m) = self.moments();
        if area.abs() > 1e-12 {
            self.first() + m / area
        } else {
            self.first()
        }
    }

    /// Area and first moment about the first vertex.
    fn moments(&self) -> (f64, Vec2) {
        let origin = self.first();
        let mut area = 0.0;
        let mut moment = Vec2::ZERO;
        for edge in self.edges() {
            let (a, b) = (edge.from() - origin, edge.to() - origin);
            let part = 0.5 * a.cross(b);
            area += part;
            moment += (a + b) * (part / 3.0);
            if let Edge::Arc { centre, radius, .. } = edge {
                let (start, sweep) = (edge.start(), edge.sweep());
                // Circle segment between chord and arc; its centroid lies on the middle radius.
                let segment = 0.5 * radius * radius * (sweep - libm::sin(sweep));
                area += segment;
                let half = sweep / 2.0;
                let denominator = sweep - libm::sin(sweep);
                if denominator.abs() > 1e-14 {
                    let s = libm::sin(half);
                    let reach = 4.0 * radius * s * s * s / (3.0 * denominator);
                    let mid = start + half;
                    let at = (centre - origin) + Vec2::new(libm::cos(mid), libm::sin(mid)) * reach;
                    moment += at * segment;
                }
            }
        }
        (area, moment)
    }

    /// The box that holds it.
    pub fn bounds(&self) -> Rect {
        let first = self.first();
        let vertices = self.vertices().fold(Rect::from_points(first, first), |b, v| b.union_pt(v.at));
        let sticks_out = |e: &Edge| matches!(e, Edge::Arc { .. }) && !vertices.contains_rect(e.about());
        self.edges().filter(sticks_out).fold(vertices, |b, e| b.union(e.bounds()))
    }

    /// The same elsewhere. A fault as in [`Ring::new`].
    pub fn translated(&self, by: Vec2) -> Self {
        if self.by != Vec2::ZERO {
            // Moved once more: both steps are rounded, as those who count on the last digit are used to.
            return self.map(|p| p + by);
        }
        let moved = Self { vertices: self.vertices.clone(), by };
        if !by.is_finite() {
            unending(&moved.vertex(0));
        }
        moved
    }

    /// Turned about the origin, degrees anticlockwise.
    pub fn rotated(&self, degrees: f64) -> Self {
        let (s, c) = sin_cos_degrees(degrees);
        self.map(|p| Point::new(p.x * c - p.y * s, p.x * s + p.y * c))
    }

    /// Made bigger about the origin by a positive factor.
    pub fn scaled(&self, by: f64) -> Self {
        self.map(|p| Point::new(p.x * by, p.y * by))
    }

    /// Mirrored left to right (x to -x), the direction kept anticlockwise if it was.
    pub fn mirrored(&self) -> Self {
        let other_side = |v: Vertex| Vertex::new(-v.at.x, v.at.y, -v.bulge);
        Self::new(self.vertices().map(other_side).collect()).reversed()
    }

    /// The same line run the other way.
    pub fn reversed(&self) -> Self {
        let n = self.vertices.len();
        let vertices = (0..n)
            .map(|i| {
                let at = self.vertex(n - 1 - i).at;
                let bulge = -self.vertex((2 * n - 2 - i) % n).bulge;
                Vertex { at, bulge }
            })
            .collect();
        Self::new(vertices)
    }

    /// The same line started at vertex `k`.
    pub fn started_at(&self, k: usize) -> Self {
        let n = self.vertices.len();
        Self::new((k..k + n).map(|i| self.vertex(i % n)).collect())
    }

    /// Anticlockwise, whichever way it ran.
    pub fn anticlockwise(self) -> Self {
        if self.area() < 0.0 {
            self.reversed()
        } else {
            self
        }
    }

    /// The ring under a map that keeps circles circles and does not mirror.
    pub fn map(&self, f: impl Fn(Point) -> Point) -> Self {
        Self::new(self.vertices().map(|c| Vertex { at: f(c.at), bulge: c.bulge }).collect())
    }

    /// Points along the ring, arcs cut into chords that stay within `tolerance` mm of them.
    pub fn flatten(&self, tolerance: f64) -> Vec<Point> {
        self.flatten_where(tolerance, |_| true)
    }

    /// The same, of those arcs that `finely` says; of the others the start alone.
    pub(super) fn flatten_where(&self, tolerance: f64, finely: impl Fn(&Edge) -> bool) -> Vec<Point> {
        let mut points = Vec::with_capacity(self.vertices.len());
        for edge in self.edges() {
            points.push(edge.from());
            if let Edge::Arc { radius, .. } = edge
                && finely(&edge)
            {
                let sweep = edge.sweep();
                let step = 2.0 * libm::acos((1.0 - tolerance / radius).clamp(-1.0, 1.0));
                let n = if step > 0.0 { (sweep.abs() / step).ceil().clamp(1.0, 1e6) as usize } else { 1 };
                points.extend((1..n).map(|k| edge.point(k as f64 / n as f64)));
            }
        }
        points
    }

    /// The ring as lines and cubic curves; arcs are cut into pieces of at most 30 degrees, which stay within
    /// 4e-7 of the radius of the true arc: one micrometre on the largest piece, 5 m across (the usual handles of 4/3
    /// tan(angle / 4) err by 2.7e-4 of the radius over 90 degrees, as the sixth power of the angle; tested in
    /// `tests/geometry.rs`).
    pub fn to_path(&self) -> BezPath {
        let mut path = BezPath::new();
        path.move_to(self.first());
        let n = self.vertices.len();
        for (i, edge) in self.edges().enumerate() {
            match edge {
                Edge::Line { to, .. } => {
                    if i + 1 < n {
                        path.line_to(to);
                    }
                }
                Edge::Arc { radius, to, .. } => {
                    let sweep = edge.sweep();
                    let pieces = (sweep.abs() / (PI / 6.0) - 1e-9).ceil().max(1.0) as usize;
                    let handle = 4.0 / 3.0 * libm::tan(sweep.abs() / pieces as f64 / 4.0) * radius;
                    for k in 0..pieces {
                        let (t0, t1) = (k as f64 / pieces as f64, (k + 1) as f64 / pieces as f64);
                        let end = if k + 1 == pieces { to } else { edge.point(t1) };
                        let start = if k == 0 { edge.from() } else { edge.point(t0) };
                        path.curve_to(
                            start + edge.direction(t0) * handle,
                            end - edge.direction(t1) * handle,
                            end,
                        );
                    }
                }
            }
        }
        path.close_path();
        path
    }
}

impl Region {
    /// What lies inside `outer` and outside `holes`, whichever way they run.
    pub fn new(outer: Ring, holes: Vec<Ring>) -> Self {
        let clockwise = |h: Ring| if h.area() > 0.0 { h.reversed() } else { h };
        Self { outer: outer.anticlockwise(), holes: holes.into_iter().map(clockwise).collect() }
    }

    /// The line all round, anticlockwise.
    pub fn outer(&self) -> &Ring {
        &self.outer
    }

    /// The lines of what is cut out, clockwise.
    pub fn holes(&self) -> &[Ring] {
        &self.holes
    }

    /// The outer line, then the holes.
    pub fn rings(&self) -> impl Iterator<Item = &Ring> + Clone {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// The outer line alone, the holes let go.
    pub fn into_outer(self) -> Ring {
        self.outer
    }

    /// The outer line, then the holes.
    pub fn into_rings(self) -> impl Iterator<Item = Ring> {
        std::iter::once(self.outer).chain(self.holes)
    }

    /// mm2, holes taken off.
    pub fn area(&self) -> f64 {
        self.outer.area().abs() - self.holes.iter().map(|h| h.area().abs()).sum::<f64>()
    }
}

/// Sine and cosine of an angle in degrees, exact at multiples of 90 so that a quarter turn moves nothing by rounding.
pub fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    let d = degrees.rem_euclid(360.0);
    if d == 0.0 {
        (0.0, 1.0)
    } else if d == 90.0 {
        (1.0, 0.0)
    } else if d == 180.0 {
        (0.0, -1.0)
    } else if d == 270.0 {
        (-1.0, 0.0)
    } else {
        let r = d.to_radians();
        (libm::sin(r), libm::cos(r))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What goes round nothing is no ring; a number that is none never becomes one.
    #[test]
    fn a_ring_is_a_ring_when_it_is_built() {
        let corner = Vertex::new(1.0, 2.0, 0.0);
        assert_eq!(Ring::if_any(vec![corner]), None);
        assert!(Ring::if_any(vec![corner, Vertex::new(3.0, 2.0, 1.0)]).is_some());
        for broken in [Vertex::new(f64::NAN, 0.0, 0.0), Vertex::new(0.0, 0.0, f64::INFINITY)] {
            let built = std::panic::catch_unwind(|| Ring::if_any(vec![corner, corner, broken]));
            assert!(built.is_err(), "{broken:?}");
        }
        assert!(std::panic::catch_unwind(|| Ring::new(vec![corner])).is_err());
    }

    /// Whichever way its lines were drawn, a region's outer line runs anticlockwise and its holes clockwise.
    #[test]
    fn a_region_turns_its_lines() {
        let [outer, hole] = [5.0, 2.0].map(|r| Ring::circle(Point::ORIGIN, r));
        for (outer, hole) in [
            (outer.clone(), hole.reversed()),
            (outer.reversed(), hole.clone()),
            (outer.clone(), hole.clone()),
        ] {
            let region = Region::new(outer, vec![hole]);
            assert!(region.outer().area() > 0.0 && region.holes()[0].area() < 0.0);
            assert!((region.area() - PI * 21.0).abs() < 1e-12);
            assert_eq!(region.rings().count(), 2);
        }
    }

    #[test]
    fn circle_measures() {
        let ring = Ring::circle(Point::new(3.0, -2.0), 5.0);
        assert!((ring.area() - PI * 25.0).abs() < 1e-12);
        assert!((ring.perimeter() - 2.0 * PI * 5.0).abs() < 1e-12);
        assert!((ring.centroid() - Point::new(3.0, -2.0)).hypot2().sqrt() < 1e-12);
        let b = ring.bounds();
        assert!((b.x1 - 8.0).abs() < 1e-12 && (b.y0 + 7.0).abs() < 1e-12);
    }

    #[test]
    fn reversing_and_mirroring_keep_what_is_measured() {
        let ring = Ring::new(vec![
            Vertex::new(0.0, 0.0, 0.3),
            Vertex::new(4.0, 0.5, -0.2),
            Vertex::new(5.0, 4.0, 0.0),
            Vertex::new(-1.0, 3.0, 0.1),
        ]);
        assert!((ring.area() + ring.reversed().area()).abs() < 1e-12);
        assert!((ring.area() - ring.mirrored().area()).abs() < 1e-12);
        assert_eq!(ring.reversed().reversed(), ring);
        assert!((ring.centroid() - ring.reversed().centroid()).hypot2().sqrt() < 1e-12);
        let m = ring.mirrored().centroid();
        assert!((m.x + ring.centroid().x).abs() < 1e-12 && (m.y - ring.centroid().y).abs() < 1e-12);
    }
}
