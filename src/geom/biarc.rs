//! Biarc fitting: smooth curves as chains of true arcs, so that everything after is lines and arcs.

use super::{Edge, Ring, Vertex};
use kurbo::{BezPath, CubicBez, ParamCurve, ParamCurveDeriv, PathEl, Point, Vec2};
use std::f64::consts::{PI, TAU};

/// How far an arc may stay from the curve it stands for, mm (a twentieth of a micrometre). Larger would eat into the
/// micrometre promised for drawn lines; smaller makes more arcs (their count grows with the inverse cube root).
pub const CURVE: f64 = 5e-5;
/// Deepest halving of one curve: 2^12 pairs of arcs. A guard against cusps, never reached by a smooth curve.
const DEEPEST: u32 = 12;

/// The arc about `centre` from one point of it to another, as one vertex or two: more than half a turn is written as
/// two arcs, which keeps every bulge at 1 or less. The end point is left out.
pub fn arc_about(centre: Point, radius: f64, from: Point, to: Point, anticlockwise: bool) -> Vec<Vertex> {
    let angle = |p: Point| libm::atan2(p.y - centre.y, p.x - centre.x);
    let (start, end) = (angle(from), angle(to));
    let sweep = if anticlockwise { (end - start).rem_euclid(TAU) } else { -(start - end).rem_euclid(TAU) };
    if sweep.abs() <= PI {
        return vec![Vertex { at: from, bulge: libm::tan(sweep / 4.0) }];
    }
    let middle = start + sweep / 2.0;
    let bulge = libm::tan(sweep / 8.0);
    let half_way = centre + Vec2::new(libm::cos(middle), libm::sin(middle)) * radius;
    vec![Vertex { at: from, bulge }, Vertex { at: half_way, bulge }]
}

/// Arcs along a smooth curve given by point and direction at `t`, from `t0` to `t1`. The end point is left out.
pub fn biarcs(curve: &dyn Fn(f64) -> (Point, Vec2), t0: f64, t1: f64) -> Vec<Vertex> {
    let mut vertices = Vec::new();
    split(curve, t0, t1, 0, &mut vertices);
    vertices
}

fn split(curve: &dyn Fn(f64) -> (Point, Vec2), t0: f64, t1: f64, deep: u32, vertices: &mut Vec<Vertex>) {
    let (p0, d0) = curve(t0);
    let (p1, d1) = curve(t1);
    if let Some([a, b]) = biarc(p0, unit(d0), p1, unit(d1)) {
        let edges = [Edge::between(a.at, a.bulge, b.at), Edge::between(b.at, b.bulge, p1)];
        let deviation = (1..16).map(|k| {
            let (p, _) = curve(t0 + (t1 - t0) * f64::from(k) / 16.0);
            edges.iter().map(|e| (e.nearest(p) - p).hypot2().sqrt()).fold(f64::INFINITY, f64::min)
        });
        if deep >= DEEPEST || deviation.fold(0.0, f64::max) <= CURVE {
            vertices.extend([a, b]);
            return;
        }
    } else if deep >= DEEPEST || (p1 - p0).hypot2().sqrt() < CURVE {
        vertices.push(Vertex { at: p0, bulge: 0.0 });
        return;
    }
    let middle = (t0 + t1) / 2.0;
    split(curve, t0, middle, deep + 1, vertices);
    split(curve, middle, t1, deep + 1, vertices);
}

fn unit(v: Vec2) -> Vec2 {
    let len = v.hypot2().sqrt();
    if len > 0.0 {
        v / len
    } else {
        Vec2::ZERO
    }
}

/// Two arcs that leave `p0` along `d0` and reach `p1` along `d1` (unit directions), meeting smoothly: the biarc with
/// equal tangent lengths (from memory, believed Bolton 1975, "Biarc curves").
fn biarc(p0: Point, d0: Vec2, p1: Point, d1: Vec2) -> Option<[Vertex; 2]> {
    if d0 == Vec2::ZERO || d1 == Vec2::ZERO {
        return None;
    }
    let v = p1 - p0;
    let (sum, bend) = (d0 + d1, 2.0 * (1.0 - d0.dot(d1)));
    let along = v.dot(sum);
    let handle = if bend > 1e-12 {
        (-along + (along * along + bend * v.hypot2()).max(0.0).sqrt()) / bend
    } else if along.abs() > 0.0 {
        v.hypot2() / (2.0 * along)
    } else {
        return None;
    };
    if !(handle.is_finite() && handle > 0.0) {
        return None;
    }
    let meet = ((p0 + d0 * handle).to_vec2() + (p1 - d1 * handle).to_vec2()).to_point();
    let meet = Point::new(meet.x / 2.0, meet.y / 2.0);
    let half_turn = |from: Vec2, to: Vec2| libm::atan2(from.cross(to), from.dot(to));
    let bulge = |angle: f64| if angle.abs() < 1e-9 { 0.0 } else { libm::tan(angle / 2.0) };
    let first = bulge(half_turn(d0, meet - p0));
    let second = bulge(half_turn(p1 - meet, d1));
    Some([Vertex { at: p0, bulge: first }, Vertex { at: meet, bulge: second }])
}

/// Part of an ellipse in any position: `centre + u cos a + v sin a` for angles from `start` through `sweep` (radians).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EllipticArc {
    /// The middle of the ellipse, mm.
    pub centre: Point,
    /// From the middle to the point at angle 0.
    pub u: Vec2,
    /// From the middle to the point at angle 90 degrees.
    pub v: Vec2,
    /// Angle of the start, radians.
    pub start: f64,
    /// How far it turns from there, radians; positive from `u` to `v`.
    pub sweep: f64,
}

impl EllipticArc {
    /// The point at an angle, radians.
    pub fn point(&self, angle: f64) -> Point {
        self.centre + self.u * libm::cos(angle) + self.v * libm::sin(angle)
    }

    /// The arc as vertices, its end point left out: one true arc for each half turn when it is part of a circle, else
    /// arcs along it within [`CURVE`].
    pub fn vertices(&self) -> Vec<Vertex> {
        let pieces = (self.sweep.abs() / PI - 1e-9).ceil().max(1.0) as usize;
        let step = self.sweep / pieces as f64;
        let (ru, rv) = (self.u.hypot2().sqrt(), self.v.hypot2().sqrt());
        let round = (ru - rv).abs() <= CURVE / 2.0 && self.u.dot(self.v).abs() <= CURVE / 2.0 * ru;
        let mut vertices = Vec::new();
        for k in 0..pieces {
            let from = self.start + step * k as f64;
            if round {
                let way = if self.u.cross(self.v) < 0.0 { -1.0 } else { 1.0 };
                vertices.push(Vertex { at: self.point(from), bulge: way * libm::tan(step / 4.0) });
            } else {
                let direction =
                    |a: f64| (self.v * libm::cos(a) - self.u * libm::sin(a)) * self.sweep.signum();
                vertices.extend(biarcs(&|a| (self.point(a), direction(a)), from, from + step));
            }
        }
        vertices
    }
}

impl Ring {
    /// The ring stretched about the origin, across and up, by positive factors. Arcs become arcs along the ellipses
    /// they turn into, within [`CURVE`].
    pub fn stretched(&self, across: f64, up: f64) -> Ring {
        if (across - up).abs() < 1e-12 {
            return self.scaled(across);
        }
        let mut vertices = Vec::new();
        for edge in self.edges() {
            let from = edge.from();
            let at = Point::new(from.x * across, from.y * up);
            match edge {
                Edge::Line { .. } => vertices.push(Vertex { at, bulge: 0.0 }),
                Edge::Arc { centre, radius, .. } => {
                    let oval = EllipticArc {
                        centre: Point::new(centre.x * across, centre.y * up),
                        u: Vec2::new(radius * across, 0.0),
                        v: Vec2::new(0.0, radius * up),
                        start: edge.start(),
                        sweep: edge.sweep(),
                    };
                    let first = vertices.len();
                    vertices.extend(oval.vertices());
                    if let Some(c) = vertices.get_mut(first) {
                        c.at = at;
                    }
                }
            }
        }
        Ring::new(vertices)
    }
}

/// An ellipse round the origin, anticlockwise from its right, each quarter the mirror of the next.
pub fn ellipse(width: f64, height: f64) -> Ring {
    let (a, b) = (width / 2.0, height / 2.0);
    if a == b {
        return Ring::circle(Point::ORIGIN, a);
    }
    let curve = |t: f64| {
        let (s, c) = super::sin_cos_degrees(t);
        (Point::new(a * c, b * s), Vec2::new(-a * s, b * c))
    };
    let quarter = biarcs(&curve, 0.0, 90.0);
    let top = Vertex { at: Point::new(0.0, b), bulge: 0.0 };
    // Mirrored back from the top to the left, then both turned by half.
    let mut half = quarter.clone();
    half.push(top);
    for k in (0..quarter.len()).rev() {
        let Vertex { at, bulge } = quarter[k];
        if let Some(last) = half.last_mut() {
            last.bulge = bulge;
        }
        half.push(Vertex { at: Point::new(-at.x, at.y), bulge: 0.0 });
    }
    half.pop();
    let turned: Vec<Vertex> =
        half.iter().map(|c| Vertex { at: Point::new(-c.at.x, -c.at.y), bulge: c.bulge }).collect();
    half.extend(turned);
    Ring::new(half)
}

/// Arcs along a quadratic Bezier curve, its end point left out.
pub(super) fn quadratic_biarcs(from: Point, handle: Point, to: Point) -> Vec<Vertex> {
    let third = |p: Point| p + (handle - p) * (2.0 / 3.0);
    cubic_biarcs(from, third(from), third(to), to)
}

/// Arcs along a cubic Bezier curve, its end point left out.
pub(super) fn cubic_biarcs(from: Point, out: Point, into: Point, to: Point) -> Vec<Vertex> {
    let curve = CubicBez::new(from, out, into, to);
    let slope = curve.deriv();
    let direction = |t: f64| {
        let v = slope.eval(t).to_vec2();
        // A handle of no length: the direction just beyond it.
        if v.hypot2() > 1e-18 {
            v
        } else {
            slope.eval(if t < 0.5 { t + 1e-4 } else { t - 1e-4 }).to_vec2()
        }
    };
    biarcs(&|t| (curve.eval(t), direction(t)), 0.0, 1.0)
}

/// The closed lines of a path as rings of lines and arcs, each in the direction it was drawn. A line left open is
/// closed straight, as a fill would be; lines of fewer than two edges are left out.
pub fn rings_of_path(path: &BezPath) -> Vec<Ring> {
    let mut rings = Vec::new();
    let mut vertices: Vec<Vertex> = Vec::new();
    let mut at = Point::ORIGIN;
    let mut first = Point::ORIGIN;
    let finish = |vertices: &mut Vec<Vertex>, at: Point, first: Point, rings: &mut Vec<Ring>| {
        if !vertices.is_empty() && (at - first).hypot2().sqrt() > 1e-9 {
            vertices.push(Vertex { at, bulge: 0.0 });
        }
        if vertices.len() >= 2 {
            rings.push(Ring::new(std::mem::take(vertices)));
        }
        vertices.clear();
    };
    for el in path.elements() {
        let to = match *el {
            PathEl::MoveTo(p) => {
                finish(&mut vertices, at, first, &mut rings);
                first = p;
                p
            }
            PathEl::LineTo(p) => {
                if (p - at).hypot2().sqrt() > 1e-9 {
                    vertices.push(Vertex { at, bulge: 0.0 });
                }
                p
            }
            PathEl::QuadTo(c, p) => {
                vertices.extend(quadratic_biarcs(at, c, p));
                p
            }
            PathEl::CurveTo(c1, c2, p) => {
                vertices.extend(cubic_biarcs(at, c1, c2, p));
                p
            }
            PathEl::ClosePath => {
                finish(&mut vertices, at, first, &mut rings);
                first
            }
        };
        at = to;
    }
    finish(&mut vertices, at, first, &mut rings);
    rings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_ellipse_has_its_area_and_is_even() {
        let ring = ellipse(40.0, 24.0);
        let area = std::f64::consts::PI * 20.0 * 12.0;
        assert!((ring.area() - area).abs() < 2e-3, "{} {area} {}", ring.area(), ring.vertices().len());
        assert!(ring.centroid().to_vec2().hypot2().sqrt() < 1e-9);
        let b = ring.bounds();
        assert!((b.x1 - 20.0).abs() < 1e-9 && (b.y0 + 12.0).abs() < 1e-9, "{b:?}");
        assert!(ring.vertices().len() < 300, "{}", ring.vertices().len());
        for e in ring.edges() {
            for k in 0..5 {
                let p = e.point(f64::from(k) / 5.0);
                let r = (p.x / 20.0).hypot(p.y / 12.0);
                assert!((r - 1.0).abs() * 12.0 < 2.0 * CURVE, "{r}");
            }
        }
    }

    #[test]
    fn a_drawn_leaf_keeps_its_curves() {
        let mut path = BezPath::new();
        path.move_to((0.0, 0.0));
        path.curve_to((10.0, 0.0), (20.0, 10.0), (20.0, 20.0));
        path.curve_to((10.0, 20.0), (0.0, 10.0), (0.0, 0.0));
        let rings = rings_of_path(&path);
        assert_eq!(rings.len(), 1);
        let exact = kurbo::Shape::area(&path);
        assert!((rings[0].area() - exact).abs() < 5e-3, "{} {exact}", rings[0].area());
    }
}
