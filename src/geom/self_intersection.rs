//! Self-intersection test of a ring.

use super::{Edge, Rect, Ring};
use kurbo::{Point, Vec2};
use std::f64::consts::TAU;

/// Edges that come this near, mm, meet. A nanometre: the grid everything is cut on.
const MEET: f64 = 1e-9;
/// A second meeting this near to a shared vertex is that vertex, mm. Smooth joins need the room for rounding.
const AT_VERTEX: f64 = 1e-6;

impl Ring {
    /// A point where the ring crosses, touches or runs back over itself, if there is one.
    pub fn self_intersection(&self) -> Option<Point> {
        let edges: Vec<(Edge, Rect)> = self.edges().map(|e| (e, e.bounds())).collect();
        let n = edges.len();
        if n < 2 {
            return edges.first().map(|(e, _)| e.from());
        }
        let mut by_left: Vec<usize> = (0..n).collect();
        by_left.sort_by(|&a, &b| edges[a].1.x0.total_cmp(&edges[b].1.x0));
        for (k, &i) in by_left.iter().enumerate() {
            let (edge, bounds) = &edges[i];
            for &j in by_left[k + 1..].iter().take_while(|&&j| edges[j].1.x0 <= bounds.x1 + MEET) {
                let (other, b) = &edges[j];
                if b.y0 > bounds.y1 + MEET || b.y1 < bounds.y0 - MEET {
                    continue;
                }
                let follows = (i + 1) % n == j;
                let leads = (j + 1) % n == i;
                let met = match (follows, leads) {
                    (false, false) => {
                        Some(edge.closest(other)).filter(|g| g.distance < MEET).map(|g| g.at[0])
                    }
                    (true, false) => meet_again(edge, other, &[edge.to()]),
                    (false, true) => meet_again(other, edge, &[edge.from()]),
                    (true, true) => meet_again(edge, other, &[edge.to(), edge.from()]),
                };
                if met.is_some() {
                    return met;
                }
            }
        }
        None
    }
}

/// Where an edge meets the one that follows it, other than at the vertices they share.
fn meet_again(first: &Edge, second: &Edge, shared: &[Point]) -> Option<Point> {
    let vertex = first.to();
    let (into, out) = (first.direction(1.0), second.direction(0.0));
    let back = into.dot(out) < 0.0 && into.cross(out).abs() < 1e-9;
    let again = match (first, second) {
        (Edge::Line { .. }, Edge::Line { .. }) => return back.then_some(vertex),
        (Edge::Line { from, to }, Edge::Arc { centre, .. }) => mirrored(vertex, *centre, *to - *from),
        (Edge::Arc { centre, .. }, Edge::Line { from, to }) => mirrored(vertex, *centre, *to - *from),
        (Edge::Arc { centre: a, .. }, Edge::Arc { centre: b, .. }) => {
            if (*b - *a).hypot2().sqrt() < MEET {
                // One circle: back over itself, or more than all the way round.
                let over = back || first.sweep().abs() + second.sweep().abs() > TAU + AT_VERTEX;
                return over.then_some(vertex);
            }
            let along = *b - *a;
            mirrored(vertex, *a, Vec2::new(-along.y, along.x))
        }
    };
    let off_corners = shared.iter().all(|p| (again - *p).hypot2().sqrt() > AT_VERTEX);
    (off_corners && on(first, again) && on(second, again)).then_some(again)
}

/// `p` mirrored in the line through `centre` square to `along`.
fn mirrored(p: Point, centre: Point, along: Vec2) -> Point {
    let len2 = along.hypot2();
    if len2 == 0.0 {
        return p;
    }
    p + along * (2.0 * (centre - p).dot(along) / len2)
}

fn on(edge: &Edge, p: Point) -> bool {
    match *edge {
        Edge::Line { from, to } => {
            let d = to - from;
            (0.0..=1.0).contains(&((p - from).dot(d) / d.hypot2()))
        }
        Edge::Arc { centre, .. } => edge.passes(p - centre),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Vertex;

    #[test]
    fn a_bow_tie_meets_itself_in_its_middle() {
        let tie = Ring::polygon([(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)].map(Point::from));
        let at = tie.self_intersection().map(|p| (p - Point::new(2.0, 2.0)).hypot2().sqrt());
        assert!(at.is_some_and(|d| d < 1e-9), "{at:?}");
    }

    #[test]
    fn neighbours_that_meet_twice() {
        // A deep arc that swings back over the straight edge before it.
        let ring = Ring::new(vec![
            Vertex::new(0.0, 0.0, 0.0),
            Vertex::new(10.0, 0.0, -2.0),
            Vertex::new(10.0, 4.0, 0.0),
            Vertex::new(0.0, 4.0, 0.0),
        ]);
        assert!(ring.self_intersection().is_some());
        let shallow = Ring::new(ring.vertices().map(|c| Vertex { bulge: c.bulge / 4.0, ..c }).collect());
        assert_eq!(shallow.self_intersection(), None);
    }

    #[test]
    fn whole_shapes_do_not() {
        assert_eq!(Ring::circle(Point::new(1.0, 2.0), 3.0).self_intersection(), None);
        assert_eq!(crate::geom::ellipse(40.0, 3.0).self_intersection(), None);
    }
}
