//! True least distances between lines and arcs, with the two points where they are met.

use super::{Bounded, Edge, Ring};
use kurbo::{Point, Rect, Vec2};

/// The least distance between two lines and one point on each where it is met.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClosestPoints {
    /// mm; 0 when they touch or cross.
    pub distance: f64,
    /// The point on the one and the point on the other.
    pub at: [Point; 2],
}

impl ClosestPoints {
    const FAR: ClosestPoints = ClosestPoints { distance: f64::INFINITY, at: [Point::ZERO; 2] };

    fn between(p: Point, q: Point) -> ClosestPoints {
        ClosestPoints { distance: (q - p).hypot2().sqrt(), at: [p, q] }
    }

    fn keep(&mut self, other: ClosestPoints) {
        if other.distance < self.distance {
            *self = other;
        }
    }

    /// The same elsewhere.
    pub fn translated(self, by: Vec2) -> ClosestPoints {
        let [a, b] = self.at;
        ClosestPoints { at: [a + by, b + by], ..self }
    }

    /// The same seen from the other line.
    pub fn swapped(self) -> ClosestPoints {
        ClosestPoints { distance: self.distance, at: [self.at[1], self.at[0]] }
    }
}

impl Edge {
    /// The point of the edge nearest to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        match *self {
            Edge::Line { from, to } => {
                let d = to - from;
                let len2 = d.hypot2();
                let t = if len2 > 0.0 { ((p - from).dot(d) / len2).clamp(0.0, 1.0) } else { 0.0 };
                from + d * t
            }
            Edge::Arc { from, to, centre, radius, .. } => {
                let v = p - centre;
                let len = v.hypot2().sqrt();
                if len > 0.0 && self.passes_at(v, len) {
                    centre + v * (radius / len)
                } else if (p - from).hypot2() <= (p - to).hypot2() {
                    from
                } else {
                    to
                }
            }
        }
    }

    /// Where the edge crosses a straight line from end to end; up to two points for an arc.
    pub fn crossings(&self, line: &Edge) -> Vec<Point> {
        let (a, b) = (line.from(), line.to());
        match *self {
            Edge::Line { from, to } => lines_cross(from, to, a, b).into_iter().collect(),
            Edge::Arc { .. } => arc_crossings(a, b, self),
        }
    }

    /// The least distance to another edge.
    pub fn closest(&self, other: &Edge) -> ClosestPoints {
        let ends = [
            (self.from(), other.nearest(self.from())),
            (self.to(), other.nearest(self.to())),
            (self.nearest(other.from()), other.from()),
            (self.nearest(other.to()), other.to()),
        ];
        let mut nearest = ends[0];
        for pair in &ends[1..] {
            if apart2(*pair) < apart2(nearest) {
                nearest = *pair;
            }
        }
        let mut best = ClosestPoints::between(nearest.0, nearest.1);
        match (self, other) {
            (Edge::Line { from: a, to: b }, Edge::Line { from: c, to: d }) => {
                if let Some(p) = lines_cross(*a, *b, *c, *d) {
                    best = ClosestPoints { distance: 0.0, at: [p, p] };
                } else {
                    best.at = middle_of(&ends, best.distance);
                }
            }
            (Edge::Line { .. }, Edge::Arc { .. }) => best.keep(line_arc(self, other)),
            (Edge::Arc { .. }, Edge::Line { .. }) => best.keep(line_arc(other, self).swapped()),
            (Edge::Arc { centre: c1, radius: r1, .. }, Edge::Arc { centre: c2, radius: r2, .. }) => {
                arc_arc(self, other, (*c1, *r1), (*c2, *r2), &mut best)
            }
        }
        best
    }

    fn is_off_ends(&self, p: Point) -> bool {
        (p - self.from()).hypot2().sqrt() > AS_NEAR && (p - self.to()).hypot2().sqrt() > AS_NEAR
    }

    /// A distance that two arcs are at least apart, told by their whole circles; 0 for lines, and where the circles cross.
    fn apart_at_least(&self, other: &Edge) -> f64 {
        match (*self, *other) {
            (Edge::Arc { centre: c1, radius: r1, .. }, Edge::Arc { centre: c2, radius: r2, .. }) => {
                let d = (c2 - c1).hypot2().sqrt();
                (d - r1 - r2).max((r1 - r2).abs() - d)
            }
            _ => 0.0,
        }
    }
}

fn apart2((p, q): (Point, Point)) -> f64 {
    (q - p).hypot2()
}

/// Of two straight edges that are parallel, the middle of the stretch where they are nearest.
fn middle_of(ends: &[(Point, Point); 4], width: f64) -> [Point; 2] {
    let most = (width + AS_NEAR) * (width + AS_NEAR);
    let (mut sum, mut n) = ([Vec2::ZERO; 2], 0.0);
    for (p, q) in ends.iter().filter(|pair| apart2(**pair) <= most) {
        sum = [sum[0] + p.to_vec2(), sum[1] + q.to_vec2()];
        n += 1.0;
    }
    [(sum[0] / n).to_point(), (sum[1] / n).to_point()]
}

fn lines_cross(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let (u, v, w) = (b - a, d - c, c - a);
    // Nearly always both ends lie on one side.
    if u.cross(w) * u.cross(d - a) > 0.0 {
        return None;
    }
    let det = u.cross(v);
    // Side by side or on one line, as far as the digits go: then the ends decide.
    if det.abs() <= 1e-11 * u.hypot2().sqrt() * v.hypot2().sqrt() {
        return None;
    }
    let (s, t) = (w.cross(v) / det, w.cross(u) / det);
    ((0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t)).then(|| a + u * s)
}

fn line_arc(line: &Edge, arc: &Edge) -> ClosestPoints {
    let (Edge::Line { from, to }, Edge::Arc { centre, radius, .. }) = (*line, *arc) else {
        return ClosestPoints::FAR;
    };
    let mut best = ClosestPoints::FAR;
    let d = to - from;
    let len2 = d.hypot2();
    if len2 == 0.0 {
        return best;
    }
    let t = (centre - from).dot(d) / len2;
    let foot = from + d * t;
    let away = foot - centre;
    let off = away.hypot2().sqrt();
    if off > radius {
        if (0.0..=1.0).contains(&t) && arc.passes(away) {
            best.keep(ClosestPoints::between(foot, centre + away * (radius / off)));
        }
    } else if let Some(&p) = arc_crossings(from, to, arc).first() {
        best.keep(ClosestPoints { distance: 0.0, at: [p, p] });
    }
    best
}

fn arc_crossings(from: Point, to: Point, arc: &Edge) -> Vec<Point> {
    let Edge::Arc { centre, radius, .. } = *arc else { return Vec::new() };
    let d = to - from;
    let len2 = d.hypot2();
    let t = (centre - from).dot(d) / len2;
    let off2 = (from + d * t - centre).hypot2();
    if len2 == 0.0 || off2 > radius * radius {
        return Vec::new();
    }
    let reach = ((radius * radius - off2) / len2).sqrt();
    [t - reach, t + reach]
        .into_iter()
        .filter(|s| (0.0..=1.0).contains(s))
        .map(|s| from + d * s)
        .filter(|p| arc.passes(*p - centre))
        .collect()
}

fn arc_arc(a: &Edge, b: &Edge, (c1, r1): (Point, f64), (c2, r2): (Point, f64), best: &mut ClosestPoints) {
    let between = c2 - c1;
    let d = between.hypot2().sqrt();
    if d == 0.0 {
        return; // One centre: the ends decide.
    }
    let u = between / d;
    if d < r1 + r2 && d > (r1 - r2).abs() {
        let x = (d * d + r1 * r1 - r2 * r2) / (2.0 * d);
        let y = (r1 * r1 - x * x).max(0.0).sqrt();
        for side in [y, -y] {
            let p = c1 + u * x + Vec2::new(-u.y, u.x) * side;
            if a.passes(p - c1) && b.passes(p - c2) {
                best.keep(ClosestPoints { distance: 0.0, at: [p, p] });
            }
        }
        return;
    }
    for (s1, s2) in [(1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0)] {
        if a.passes(u * s1) && b.passes(u * s2) {
            best.keep(ClosestPoints::between(c1 + u * (r1 * s1), c2 + u * (r2 * s2)));
        }
    }
}

/// Distance between two boxes, squared; 0 when they meet.
pub fn box_distance2(a: Rect, b: Rect) -> f64 {
    let dx = (a.x0 - b.x1).max(b.x0 - a.x1).max(0.0);
    let dy = (a.y0 - b.y1).max(b.y0 - a.y1).max(0.0);
    dx * dx + dy * dy
}

/// Distances that differ by no more than this are as good as each other, mm: a little over rounding.
const AS_NEAR: f64 = 1e-9;

/// The least distance between any two edges whose boxes come within `reach` of each other. Where several are as near, one
/// that is met off the edges' ends: between two parallel sides the middle, and not a vertex of theirs.
fn least(ours: &[Bounded<Edge>], theirs: &[Bounded<Edge>], reach: f64) -> ClosestPoints {
    let (mut best, mut off_ends) = (ClosestPoints::FAR, false);
    for Bounded { item: edge, bounds: b } in ours {
        for Bounded { item: e, bounds: c } in theirs {
            let limit = best.distance.min(reach) + AS_NEAR;
            if box_distance2(*b, *c) > limit * limit || edge.apart_at_least(e) > limit {
                continue;
            }
            let gap = edge.closest(e);
            let nearer = gap.distance < best.distance - AS_NEAR;
            if nearer || (!off_ends && gap.distance < limit) {
                let off = edge.is_off_ends(gap.at[0]) && e.is_off_ends(gap.at[1]);
                if nearer || off {
                    (best, off_ends) =
                        (ClosestPoints { distance: gap.distance.min(best.distance), at: gap.at }, off);
                }
            }
        }
    }
    best
}

/// The least distance between a ring's edges, made beforehand with their boxes for asking many times, and another ring, if
/// it is at most `reach`; both rings' boxes are given. Only edges that face the other ring are looked at.
pub fn closest_within(
    (ours, bounds): (&[Bounded<Edge>], Rect),
    (other, theirs): (&Ring, Rect),
    reach: f64,
) -> Option<ClosestPoints> {
    let ours = facing(ours.iter().copied(), theirs, reach);
    let theirs = facing(other.bounded_edges(), bounds, reach);
    let best = least(&ours, &theirs, reach);
    (best.distance <= reach).then_some(best)
}

/// The edges within `reach` of a box, the nearest first: from there on it rules out most of the others.
fn facing(edges: impl Iterator<Item = Bounded<Edge>>, other: Rect, reach: f64) -> Vec<Bounded<Edge>> {
    let mut nearest = f64::INFINITY;
    let mut facing: Vec<Bounded<Edge>> = Vec::with_capacity(8);
    for edge in edges {
        let far2 = box_distance2(edge.bounds, other);
        if far2 <= reach * reach {
            facing.push(edge);
            if far2 < nearest {
                nearest = far2;
                let last = facing.len() - 1;
                facing.swap(0, last);
            }
        }
    }
    facing
}

impl Ring {
    /// The least distance between two rings' lines.
    pub fn closest(&self, other: &Ring) -> ClosestPoints {
        least(
            &self.bounded_edges().collect::<Vec<_>>(),
            &other.bounded_edges().collect::<Vec<_>>(),
            f64::INFINITY,
        )
    }

    /// The edges, each with a box that holds it.
    pub fn bounded_edges(&self) -> impl Iterator<Item = Bounded<Edge>> + '_ {
        self.edges().map(|e| Bounded { item: e, bounds: e.about() })
    }

    /// The point of the ring's line nearest to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        nearest(self.edges(), p)
    }

    /// Whether `p` lies inside, by counting turns; on the line counts either way.
    pub fn contains(&self, p: Point) -> bool {
        contains(self.edges(), p)
    }

    /// Distance from `p` to the line, positive inside, negative outside, mm.
    pub fn signed_distance(&self, p: Point) -> f64 {
        signed_distance(&self.edges().collect::<Vec<_>>(), p)
    }
}

/// [`Ring::signed_distance`] for edges made beforehand, for asking many times.
pub(super) fn signed_distance(edges: &[Edge], p: Point) -> f64 {
    let d = (nearest(edges.iter().copied(), p) - p).hypot2().sqrt();
    if contains(edges.iter().copied(), p) {
        d
    } else {
        -d
    }
}

fn nearest(edges: impl Iterator<Item = Edge>, p: Point) -> Point {
    let mut best = (f64::INFINITY, p);
    for edge in edges {
        let q = edge.nearest(p);
        let d = (q - p).hypot2();
        if d < best.0 {
            best = (d, q);
        }
    }
    best.1
}

/// Whether `p` lies inside a closed line of edges, by counting turns; on the line counts either way.
pub fn contains(edges: impl Iterator<Item = Edge> + Clone, p: Point) -> bool {
    let mut turns = 0;
    for edge in edges.clone() {
        let (a, b) = (edge.from(), edge.to());
        let left = (b - a).cross(p - a);
        if a.y <= p.y && b.y > p.y && left > 0.0 {
            turns += 1;
        } else if a.y > p.y && b.y <= p.y && left < 0.0 {
            turns -= 1;
        }
        if let Edge::Arc { centre, radius, bulge, .. } = edge {
            // Inside the piece between chord and arc: one turn more, the arc's way round.
            let in_circle = (p - centre).hypot2() < radius * radius;
            if left == 0.0 && in_circle {
                // Exactly on a chord, which is no line of the ring: ask just beside it.
                return contains(edges, p + Vec2::new(1.3e-10, 1.7e-10));
            }
            let beyond_chord = if bulge > 0.0 { left < 0.0 } else { left > 0.0 };
            if in_circle && beyond_chord {
                turns += if bulge > 0.0 { 1 } else { -1 };
            }
        }
    }
    turns != 0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_circles_side_by_side_and_nested() {
        let a = Ring::circle(Point::new(0.0, 0.0), 2.0);
        let g = a.closest(&Ring::circle(Point::new(5.0, 0.0), 1.5));
        assert!((g.distance - 1.5).abs() < 1e-12, "{g:?}");
        let g = a.closest(&Ring::circle(Point::new(0.3, 0.4), 1.0));
        assert!((g.distance - 0.5).abs() < 1e-12, "{g:?}");
    }

    #[test]
    fn a_disc_holds_its_inside_only() {
        let a = Ring::circle(Point::new(1.0, 1.0), 2.0);
        for (x, y, inside) in
            [(1.0, 1.0, true), (2.9, 1.0, true), (3.1, 1.0, false), (1.0, 2.99, true), (1.0, -1.01, false)]
        {
            assert_eq!(a.contains(Point::new(x, y)), inside, "{x} {y}");
            assert_eq!(a.reversed().contains(Point::new(x, y)), inside, "{x} {y} reversed");
        }
    }
}
