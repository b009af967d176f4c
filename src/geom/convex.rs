//! Convex rings: quick and exact ways for the most usual openings.

use super::{Edge, InscribedCircle, Ring};
use kurbo::{Point, Vec2};

/// How much less than its inradius a straight convex ring is offset, mm: so that what is left has a centroid to speak of.
/// Larger would tell in the middle, smaller drowns in rounding.
const STEP_BACK: f64 = 1e-7;
/// Sides that turn less than this run on in one line, as the sine of the angle: a little over rounding.
const SAME_WAY: f64 = 1e-12;
/// A vertex that points in by less than this, as the sine of the angle, does so for having been set on the grid that cells are
/// cut on: a nanometre over an edge of a hundredth of a millimetre. Larger would take a true hollow for none before the circle
/// is held against the ring.
const SET_ON_GRID: f64 = 1e-4;
/// The circle may be so much larger, mm, than what the ring holds about its middle: the micrometre promised. Larger would pass a
/// circle off its best place, smaller sends rings set on the grid to the search.
const TOO_LARGE: f64 = 1e-4;
/// Tangents are drawn until the circle they hold sticks out of the arcs by less than this, mm: a hundredth of the micrometre
/// that is promised. Larger would tell in the middle of a flat lens, smaller costs a round more.
const STUCK_OUT: f64 = 1e-8;
/// Rounds of tangents at most: one or two are usual. A ring that wants more is searched.
const ROUNDS: usize = 24;
/// Tangents of one arc nearer together than this are one, as the sine of the angle between them. Nearer, and the
/// corner between them drowns in rounding.
const SAME_TANGENT: f64 = 1e-7;

impl Ring {
    /// No arcs and no vertex that points in.
    pub fn is_straight_convex(&self) -> bool {
        let n = self.vertices().len();
        n >= 3
            && (0..n).all(|i| {
                let (a, b, c) = (self.vertex(i).at, self.vertex((i + 1) % n).at, self.vertex((i + 2) % n).at);
                self.vertex(i).bulge == 0.0
                    && (b - a).cross(c - b) >= -1e-12 * (b - a).hypot2().sqrt() * (c - b).hypot2().sqrt()
            })
    }

    /// Exact inward offset of a straight convex ring: what is left of it behind every edge moved in.
    pub(crate) fn shrink_convex(&self, by: f64) -> Option<Ring> {
        let mut left: Vec<Point> = self.vertices().map(|c| c.at).collect();
        let mut next = Vec::with_capacity(left.len() + 2);
        for edge in self.edges() {
            let (from, along) = (edge.from(), edge.direction(0.0));
            let behind = |p: Point| along.cross(p - from) - by;
            next.clear();
            for (i, &a) in left.iter().enumerate() {
                let b = left[(i + 1) % left.len()];
                let (da, db) = (behind(a), behind(b));
                if da >= 0.0 {
                    next.push(a);
                }
                if (da > 0.0 && db < 0.0) || (da < 0.0 && db > 0.0) {
                    next.push(a + (b - a) * (da / (da - db)));
                }
            }
            std::mem::swap(&mut left, &mut next);
            if left.len() < 3 {
                return None;
            }
        }
        left.dedup_by(|a, b| (*a - *b).hypot2() < 1e-20);
        if left.len() > 1 && (left[0] - left[left.len() - 1]).hypot2() < 1e-20 {
            left.pop();
        }
        if left.len() < 3 {
            return None;
        }
        Some(Ring::polygon(left)).filter(|ring| ring.area() > 0.0)
    }
}

/// Straight convex rings, all edges moved inwards together: one after another vanishes between its neighbours, until the
/// neighbours of the next no longer meet behind it. So far the ring can be offset inwards (edge-collapse events of the straight skeleton of a
/// convex polygon, by hand). `None` when rounding spoils it.
pub(super) fn inscribed_in_straight_convex(ring: &Ring) -> Option<InscribedCircle> {
    let mut sides: Vec<OffsetSide> = ring.edges().filter_map(|e| OffsetSide::of(&e)).collect();
    let runs_on = |a: &OffsetSide, b: &OffsetSide| a.inward.cross(b.inward) <= SAME_WAY;
    sides.dedup_by(|b, a| runs_on(a, b));
    if runs_on(sides.last()?, sides.first()?) {
        sides.pop();
    }
    for k in 0..sides.len() {
        sides[k].lasts = vanishing(&sides, k);
    }
    let radius = loop {
        let n = sides.len();
        let first = (0..n).min_by(|&a, &b| sides[a].lasts.total_cmp(&sides[b].lasts))?;
        let (before, after) = ((first + n - 1) % n, (first + 1) % n);
        // The last three vanish together, and so do all when those before and after run side by side or apart.
        if n <= 3 || runs_on(&sides[before], &sides[after]) {
            break sides[first].lasts;
        }
        sides.remove(first);
        for k in [before, after].map(|k| if k > first { k - 1 } else { k }) {
            sides[k].lasts = vanishing(&sides, k);
        }
    };
    let left = ring.shrink_convex(radius - STEP_BACK)?;
    let n = left.vertices().len() as f64;
    let mean = left.vertices().fold(Vec2::ZERO, |s, c| s + c.at.to_vec2()) / n;
    let middle = left.centroid();
    let at = if left.bounds().contains(middle) { middle } else { mean.to_point() };
    let found = ring.signed_distance(at);
    (found >= radius - 10.0 * STEP_BACK).then_some(InscribedCircle { at, radius: found })
}

/// Convex rings with arcs: every arc is replaced by tangents, at first those at its ends and middle, and the circle inside the
/// straight ring that they make is found. Where it sticks out over an arc a tangent is added at the arc's nearest point, until it does
/// not: Kelley's cutting planes, which no inner circle is lost to, so that the last is the largest. `None` for rings that
/// are not convex, or when it takes too long.
pub(super) fn inscribed_in_rounded_convex(ring: &Ring) -> Option<InscribedCircle> {
    if !is_rounded_convex(ring) {
        return None;
    }
    let edges: Vec<Edge> = ring.edges().collect();
    let mut sides: Vec<Vec<Tangent>> = edges.iter().map(tangents_of).collect();
    for _ in 0..ROUNDS {
        let found = inscribed_in_straight_convex(&around(&sides)?)?;
        let mut kept_in = true;
        for (edge, tangents) in edges.iter().zip(&mut sides) {
            let Edge::Arc { centre, radius, .. } = *edge else { continue };
            let out = found.at - centre;
            if out.hypot2().sqrt() + found.radius > radius + STUCK_OUT && edge.passes(out) {
                kept_in = false;
                if !touched(tangents, centre, out / out.hypot2().sqrt(), radius) {
                    return None;
                }
            }
        }
        if kept_in {
            let radius = ring.signed_distance(found.at);
            return (radius > found.radius - TOO_LARGE).then_some(InscribedCircle { at: found.at, radius });
        }
    }
    None
}

/// A line that touches the ring: where, and its unit direction of travel.
#[derive(Debug, Clone, Copy)]
struct Tangent {
    at: Point,
    along: Vec2,
}

/// A straight edge's own line; of an arc the tangents at its ends and its middle.
fn tangents_of(edge: &Edge) -> Vec<Tangent> {
    let ts: &[f64] = match edge {
        Edge::Line { .. } => &[0.5],
        Edge::Arc { .. } => &[0.0, 0.5, 1.0],
    };
    ts.iter().map(|&t| Tangent { at: edge.point(t), along: edge.direction(t) }).collect()
}

/// Adds the tangent at `out` (unit) from the arc's centre; false where there is one already.
fn touched(tangents: &mut Vec<Tangent>, centre: Point, out: Vec2, radius: f64) -> bool {
    let new = Tangent { at: centre + out * radius, along: Vec2::new(-out.y, out.x) };
    let place =
        tangents.iter().position(|t| t.along.cross(new.along) < SAME_TANGENT).unwrap_or(tangents.len());
    if tangents.get(place).is_some_and(|t| new.along.cross(t.along) < SAME_TANGENT) {
        return false;
    }
    tangents.insert(place, new);
    true
}

/// The straight ring that the tangents make; `None` when they do not close.
fn around(sides: &[Vec<Tangent>]) -> Option<Ring> {
    let mut lines: Vec<Tangent> = sides.iter().flatten().copied().collect();
    let runs_on =
        |a: &Tangent, b: &Tangent| a.along.cross(b.along) <= SAME_TANGENT && a.along.dot(b.along) > 0.0;
    lines.dedup_by(|b, a| runs_on(a, b));
    while lines.len() > 3 && runs_on(lines.last()?, lines.first()?) {
        lines.pop();
    }
    let n = lines.len();
    let meet = |i: usize| {
        let (a, b) = (lines[i], lines[(i + 1) % n]);
        let turn = a.along.cross(b.along);
        (turn > 0.0).then(|| a.at + a.along * ((b.at - a.at).cross(b.along) / turn))
    };
    let points: Option<Vec<Point>> = (0..n).map(meet).collect();
    points.filter(|p| p.len() >= 3).map(Ring::polygon)
}

/// Arcs that all bulge outwards, by half a turn at most, and no vertex that points in, but for the grid.
pub(super) fn is_rounded_convex(ring: &Ring) -> bool {
    let n = ring.vertices().len();
    n >= 2
        && ring.vertices().all(|v| (0.0..=1.0).contains(&v.bulge))
        && (0..n).all(|i| {
            let (before, after) = (ring.edge(i).direction(1.0), ring.edge((i + 1) % n).direction(0.0));
            before.cross(after) >= -SET_ON_GRID
        })
}

/// One side of a straight convex ring that is offset inwards.
struct OffsetSide {
    inward: Vec2,
    /// How far the side lies from the origin along `inward`, mm.
    off: f64,
    /// The inward offset at which this side vanishes, mm.
    lasts: f64,
}

impl OffsetSide {
    fn of(edge: &Edge) -> Option<OffsetSide> {
        let along = edge.to() - edge.from();
        let length = along.hypot2().sqrt();
        let inward = Vec2::new(-along.y, along.x) / length;
        (length > 0.0).then(|| OffsetSide { inward, off: inward.dot(edge.from().to_vec2()), lasts: 0.0 })
    }
}

/// The inward offset at which side `k` and the two beside it meet in one point, mm.
fn vanishing(sides: &[OffsetSide], k: usize) -> f64 {
    let n = sides.len();
    let (before, side, after) = (&sides[(k + n - 1) % n], &sides[k], &sides[(k + 1) % n]);
    let (u, v) = (before.inward - side.inward, after.inward - side.inward);
    let det = u.cross(v);
    if det == 0.0 {
        return f64::INFINITY;
    }
    let (a, b) = (before.off - side.off, after.off - side.off);
    let meet = Vec2::new(a * v.y - b * u.y, b * u.x - a * v.x) / det;
    side.inward.dot(meet) - side.off
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::inscribed::search;
    use crate::geom::Vertex;

    fn ring(vertices: &[(f64, f64)]) -> Ring {
        Ring::polygon(vertices.iter().copied().map(Point::from))
    }

    /// Twice the area over the way round for what has a circle touching all sides; half the width of a strip.
    #[test]
    fn known_circles() {
        let right_angled = ring(&[(0.0, 0.0), (4.0, 0.0), (0.0, 3.0)]);
        let hexagon: Vec<(f64, f64)> =
            (0..6).map(|k| crate::geom::sin_cos_degrees(60.0 * f64::from(k))).map(|(s, c)| (c, s)).collect();
        let strip = ring(&[(0.0, 0.0), (9.0, 0.0), (9.0, 0.5), (9.0, 2.0), (4.0, 2.0), (0.0, 2.0)]);
        for (ring, radius, at) in [
            (right_angled, 1.0, (1.0, 1.0)),
            (ring(&hexagon), 0.75f64.sqrt(), (0.0, 0.0)),
            (strip, 1.0, (4.5, 1.0)),
        ] {
            for k in 0..ring.vertices().len() {
                let w = inscribed_in_straight_convex(&ring.started_at(k)).expect("found");
                assert!(
                    (w.radius - radius).abs() < 1e-6 && (w.at - Point::from(at)).hypot2().sqrt() < 1e-5,
                    "{k} {w:?}"
                );
            }
        }
    }

    /// Cuts across a disc at random, many of them nearly side by side: as good as searching square by square.
    #[test]
    fn as_deep_as_any_search_finds() {
        let mut seed = 5u64;
        let mut next = || {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (seed >> 33) as f64 / (1u64 << 31) as f64
        };
        let mut found = 0;
        for _ in 0..400 {
            let sides = 3 + (9.0 * next()) as usize;
            let mut angles: Vec<f64> = (0..sides).map(|_| 360.0 * next()).collect();
            angles.push(angles[0] + 1e-3 * next());
            angles.sort_by(f64::total_cmp);
            let (wide, high) = (0.3 + 4.0 * next(), 0.3 + 4.0 * next());
            let on = |a: &f64| crate::geom::sin_cos_degrees(*a);
            let ring = Ring::polygon(angles.iter().map(on).map(|(s, c)| Point::new(wide * c, high * s)));
            if !ring.is_straight_convex() || ring.area() < 1e-3 {
                continue;
            }
            let searched = search(&ring, 3e-4);
            let w = inscribed_in_straight_convex(&ring).unwrap_or_else(|| panic!("{ring:?}"));
            assert!(w.radius > searched.radius - 1e-6 && w.radius < searched.radius + 6e-4, "{w:?} {ring:?}");
            found += 1;
        }
        assert!(found > 300, "{found}");
    }

    /// Lenses, half discs, slots and cells cut by a round border: as deep as searching square by square, and no circle sticks out.
    #[test]
    fn rounded_rings_are_as_deep_as_any_search_finds() {
        let mut seed = 11u64;
        let mut next = || {
            seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (seed >> 33) as f64 / (1u64 << 31) as f64
        };
        let (mut found, mut tried) = (0, 0);
        for _ in 0..400 {
            let sides = 2 + (6.0 * next()) as usize;
            let mut angles: Vec<f64> = (0..sides).map(|_| 360.0 * next()).collect();
            angles.sort_by(f64::total_cmp);
            let (wide, high) = (0.3 + 4.0 * next(), 0.3 + 4.0 * next());
            let most = 0.4 * next() * next();
            let vertices = angles.iter().map(|a| {
                let (s, c) = crate::geom::sin_cos_degrees(*a);
                Vertex::new(wide * c, high * s, if next() < 0.6 { most * next() } else { 0.0 })
            });
            let ring = Ring::if_any(vertices.collect()).filter(|ring| ring.area() > 1e-3);
            let Some(ring) = ring.filter(|ring| is_rounded_convex(ring) && !ring.is_straight_convex()) else {
                continue;
            };
            tried += 1;
            let Some(w) = inscribed_in_rounded_convex(&ring) else { continue };
            let searched = search(&ring, 3e-4);
            assert!(
                w.radius > searched.radius - 1e-6 && w.radius < searched.radius + 6e-4,
                "{w:?} {searched:?} {ring:?}"
            );
            found += 1;
        }
        assert!(tried > 100 && found * 100 >= tried * 95, "{found} of {tried}");
    }

    #[test]
    fn known_circles_of_rounded_rings() {
        let half_disc = Ring::new(vec![Vertex::new(-2.0, 0.0, 0.0), Vertex::new(2.0, 0.0, 1.0)]);
        let slot = Ring::new(vec![
            Vertex::new(0.0, 0.0, 0.0),
            Vertex::new(12.0, 0.0, 1.0),
            Vertex::new(12.0, 2.0, 0.0),
            Vertex::new(0.0, 2.0, 0.0),
        ]);
        let lens = Ring::new(vec![Vertex::new(-3.0, 0.0, 0.2), Vertex::new(3.0, 0.0, 0.2)]);
        for (ring, radius, at) in
            [(half_disc, 1.0, (0.0, 1.0)), (slot, 1.0, (6.5, 1.0)), (lens, 0.6, (0.0, 0.0))]
        {
            let w = inscribed_in_rounded_convex(&ring).expect("found");
            assert!(
                (w.radius - radius).abs() < 1e-6 && (w.at - Point::from(at)).hypot2().sqrt() < 1e-3,
                "{w:?}"
            );
        }
    }
}
