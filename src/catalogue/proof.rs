//! Proof that shapes and their repeats fill the plane exactly once, without cutting anything against anything.
//!
//! Take how often each point of the plane is covered. Crossing an edge changes that number by one; if along every
//! piece of every edge as many edges run one way as the other, it never changes, so it is the same everywhere. It is
//! then the shapes' area over the repeat's area, and when that is 1 and every shape is simple and runs anticlockwise,
//! each point is in exactly one shape. Edges may meet in the middle of a neighbour's edge (bricks), arcs match arcs.

use super::{Fills, Pattern};
use crate::geom::{Edge, Point, Rect, Ring, Vec2};
use crate::units::limits::PATTERN_REACH;
use crate::units::Unread;
use std::f64::consts::TAU;

/// How near edges must match, in shortest repeats. Larger would pass files with visible slits; smaller would refuse
/// files written with seven digits.
const NEAR: f64 = 1e-6;

/// One thing that is wrong with a pattern.
pub(super) struct Fault {
    /// The shape it was found on.
    pub shape: usize,
    pub wrong: String,
    pub todo: String,
}

/// Everything that keeps the pattern from being a repeat pattern. Coordinates as in the file.
pub(super) fn faults(pattern: &Pattern) -> Vec<Fault> {
    let [a, b] = super::shortest_repeats(pattern.repeat);
    let ground = Ground { pattern, a, b, near: NEAR * a.hypot2().sqrt() };
    if let Err(Unread { wrong, todo }) = PATTERN_REACH.counted(ground.work()) {
        return vec![Fault { shape: 0, wrong, todo }];
    }
    let mut faults = ground.not_simple();
    if faults.is_empty() {
        faults = match pattern.fills {
            Fills::Plane => ground.not_filling(),
            Fills::Ground => ground.overlapping(),
            Fills::Motif => ground.touching(),
        };
    }
    faults
}

/// The shapes with the repeats they are copied by.
struct Ground<'p> {
    pattern: &'p Pattern,
    a: Vec2,
    b: Vec2,
    near: f64,
}

impl Ground<'_> {
    fn fault(&self, shape: usize, wrong: String, todo: &'static str) -> Fault {
        let wrong = format!("shape “{}”: {wrong}", self.pattern.shapes[shape].name);
        Fault { shape, wrong, todo: todo.into() }
    }

    /// Shapes whose own line is not a plain closed one.
    fn not_simple(&self) -> Vec<Fault> {
        let mut faults = Vec::new();
        for (i, shape) in self.pattern.shapes.iter().enumerate() {
            let edges: Vec<Edge> = shape.ring.edges().collect();
            let straight = edges.iter().all(|e| matches!(e, Edge::Line { .. }));
            if edges.len() < 2 || (straight && edges.len() < 3) {
                faults.push(self.fault(
                    i,
                    "too few corners".into(),
                    "three make a triangle, two with arcs a petal",
                ));
            } else if let Some(e) =
                edges.iter().find(|e| (e.to() - e.from()).hypot2().sqrt() <= 2.0 * self.near)
            {
                faults.push(self.fault(i, format!("two corners at {}", spot(e.from())), "leave one out"));
            } else if let Some(at) = crossing(&edges, self.near) {
                faults.push(self.fault(
                    i,
                    format!("its line crosses or touches itself at {}", spot(at)),
                    "draw it as one plain loop",
                ));
            } else if shape.ring.area() <= self.near * self.near {
                faults.push(self.fault(i, "it has no area".into(), "check the order of its corners"));
            }
        }
        faults
    }

    /// How many comparisons a proof may take: every edge with every edge in every place where it could meet it.
    fn work(&self) -> f64 {
        let mut corners = 0;
        let mut reach = 0.0;
        for shape in &self.pattern.shapes {
            let bounds = shape.ring.bounds();
            corners += shape.ring.vertices().len();
            reach = f64::max(reach, bounds.width().max(bounds.height()));
        }
        let copies = |repeat: Vec2, other: Vec2| {
            1.0 + 4.0 * reach * repeat.hypot2().sqrt() / repeat.cross(other).abs()
        };
        (corners * corners) as f64 * copies(self.a, self.b) * copies(self.b, self.a)
    }

    /// Steps by which something lying in `moving` can be copied to overlap `still` (bounds only).
    fn steps(&self, still: Rect, moving: Rect) -> Vec<Vec2> {
        let reach =
            Rect::new(still.x0 - moving.x1, still.y0 - moving.y1, still.x1 - moving.x0, still.y1 - moving.y0)
                .inflate(self.near, self.near);
        let whole = self.a.cross(self.b);
        let ends = [(reach.x0, reach.y0), (reach.x1, reach.y0), (reach.x0, reach.y1), (reach.x1, reach.y1)];
        let range = |f: &dyn Fn(Vec2) -> f64| {
            let values = ends.map(|(x, y)| f(Vec2::new(x, y)));
            let low = values.iter().copied().fold(f64::INFINITY, f64::min);
            let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            (low - 1e-6).ceil() as i64..=(high + 1e-6).floor() as i64
        };
        let mut steps = Vec::new();
        for m in range(&|v| v.cross(self.b) / whole) {
            for n in range(&|v| self.a.cross(v) / whole) {
                let step = self.a * m as f64 + self.b * n as f64;
                if reach.contains(step.to_point()) {
                    steps.push(step);
                }
            }
        }
        steps
    }

    /// Edges not met by exactly one neighbour, and an area that is not that of the repeat.
    fn not_filling(&self) -> Vec<Fault> {
        let rings: Vec<&Ring> = self.pattern.shapes.iter().map(|s| &s.ring).collect();
        let edges: Vec<(usize, Edge)> =
            rings.iter().enumerate().flat_map(|(i, r)| r.edges().map(move |e| (i, e))).collect();
        let mut faults: Vec<Fault> = Vec::new();
        for &(shape, edge) in &edges {
            // One message for each shape is enough to go by.
            if faults.last().is_some_and(|f| f.shape == shape) {
                continue;
            }
            let mut stretches = Vec::new();
            for (_, other) in &edges {
                for step in self.steps(edge.bounds(), other.bounds()) {
                    stretches_along(edge, *other, step, self.near, &mut stretches);
                }
            }
            if let Some((along, sum)) = uneven(stretches, edge.length(), 2.0 * self.near) {
                let at = spot(edge.point(along / edge.length()));
                let (wrong, todo) = if sum == 1 {
                    (
                        format!("no neighbour meets its edge at {at}"),
                        "move the corners so that no slit stays open",
                    )
                } else {
                    (format!("neighbours overlap along its edge at {at}"), "every edge needs one neighbour")
                };
                faults.push(self.fault(shape, wrong, todo));
            }
        }
        let area: f64 = rings.iter().map(|r| r.area()).sum();
        let whole = self.a.cross(self.b);
        if faults.is_empty() && (area / whole - 1.0).abs() > NEAR {
            let wrong =
                format!("the shapes come to {} of one repeat's area", (area / whole * 1e6).round() / 1e6);
            faults.push(Fault {
                shape: 0,
                wrong,
                todo: "it must be 1: check the two repeats and count the shapes".into(),
            });
        }
        faults
    }

    /// Shapes that meet or lie inside one another although they must keep apart. `rings` are the shapes to try.
    fn meeting(&self, rings: &[Ring], todo: &'static str) -> Vec<Fault> {
        let mut faults = Vec::new();
        for (i, still) in rings.iter().enumerate() {
            for (j, moving) in rings.iter().enumerate().skip(i) {
                for step in self.steps(still.bounds(), moving.bounds()) {
                    if i == j && step.hypot2().sqrt() < self.near {
                        continue;
                    }
                    let copy = moving.translated(step);
                    let gap = still.closest(&copy);
                    let inside = |outer: &Ring, inner: &Ring| inner.vertices().any(|c| outer.contains(c.at));
                    if gap.distance <= self.near || inside(still, &copy) || inside(&copy, still) {
                        let name = &self.pattern.shapes[j].name;
                        faults.push(self.fault(i, format!("it meets “{name}” at {}", spot(gap.at[0])), todo));
                        break;
                    }
                }
            }
        }
        faults
    }

    /// Motifs must leave metal between them.
    fn touching(&self) -> Vec<Fault> {
        let rings: Vec<Ring> = self.pattern.shapes.iter().map(|s| s.ring.clone()).collect();
        self.meeting(&rings, "motifs must leave metal between them")
    }

    /// Shapes on a ground may touch, since the bridge is still to be taken off, but not overlap: drawn smaller by a
    /// hundred-thousandth they must stand apart.
    fn overlapping(&self) -> Vec<Fault> {
        let smaller = |ring: &Ring| {
            let middle = ring.centroid().to_vec2();
            ring.translated(-middle).scaled(1.0 - 1e-5).translated(middle)
        };
        let rings: Vec<Ring> = self.pattern.shapes.iter().map(|s| smaller(&s.ring)).collect();
        self.meeting(&rings, "shapes may touch but not overlap")
    }
}

fn spot(p: Point) -> String {
    let short = |v: f64| (v * 1e6).round() / 1e6 + 0.0;
    format!("({}, {})", short(p.x), short(p.y))
}

/// Adds the stretch of `edge` along which `other`, moved by `step`, runs: from, to (lengths along `edge`), +1 for the
/// same way and -1 for the opposite way.
fn stretches_along(edge: Edge, other: Edge, step: Vec2, near: f64, found: &mut Vec<(f64, f64, i32)>) {
    match (edge, other) {
        (Edge::Line { from, to }, Edge::Line { from: p, to: q }) => {
            let length = (to - from).hypot2().sqrt();
            let along = (to - from) / length;
            let (p, q) = (p + step - from, q + step - from);
            if along.cross(p).abs() > near || along.cross(q).abs() > near {
                return;
            }
            let (s, t) = (along.dot(p), along.dot(q));
            let (low, high) = (s.min(t).max(0.0), s.max(t).min(length));
            if high - low > near {
                found.push((low, high, if t > s { 1 } else { -1 }));
            }
        }
        (Edge::Arc { centre, radius, .. }, Edge::Arc { .. }) => {
            let (start, sweep, turn) = (edge.start(), edge.sweep(), other.sweep());
            let on = |t: f64| ((other.point(t) + step - centre).hypot2().sqrt() - radius).abs() <= near;
            let same_side = {
                // Two circles may share three points nearly when both are almost straight; their middles then agree.
                let Edge::Arc { centre: c, radius: r, .. } = other else { return };
                (c + step - centre).hypot2().sqrt() <= near.max(1e-3 * r.max(radius))
            };
            if !(same_side && on(0.0) && on(0.5) && on(1.0)) {
                return;
            }
            let from = other.from() + step - centre;
            let offset = (libm::atan2(from.y, from.x) - start) * sweep.signum();
            let begins = offset.rem_euclid(TAU);
            let turn = turn * sweep.signum();
            for begins in [begins - TAU, begins, begins + TAU] {
                let (low, high) =
                    (begins.min(begins + turn).max(0.0), begins.max(begins + turn).min(sweep.abs()));
                if (high - low) * radius > near {
                    found.push((low * radius, high * radius, if turn > 0.0 { 1 } else { -1 }));
                }
            }
        }
        _ => {}
    }
}

/// The first place along an edge where the ways do not cancel, and their sum there.
fn uneven(stretches: Vec<(f64, f64, i32)>, length: f64, near: f64) -> Option<(f64, i32)> {
    let mut ends: Vec<f64> = stretches.iter().flat_map(|s| [s.0, s.1]).chain([0.0, length]).collect();
    ends.sort_by(f64::total_cmp);
    ends.windows(2).find_map(|pair| {
        let middle = 0.5 * (pair[0] + pair[1]);
        let sum = stretches.iter().filter(|s| s.0 < middle && middle < s.1).map(|s| s.2).sum();
        (pair[1] - pair[0] > near && sum != 0).then_some((middle, sum))
    })
}

/// A point where a closed line meets itself other than from one edge to the next.
fn crossing(edges: &[Edge], near: f64) -> Option<Point> {
    let n = edges.len();
    for i in 0..n {
        for j in i + 1..n {
            let (one, other) = (edges[i], edges[j]);
            let shared: Vec<Point> = [(j == i + 1, other.from()), (i == 0 && j == n - 1, one.from())]
                .into_iter()
                .filter_map(|(meets, at)| meets.then_some(at))
                .collect();
            let met = if shared.is_empty() {
                let gap = one.closest(&other);
                (gap.distance <= near).then_some(gap.at[0])
            } else {
                shared.iter().find_map(|&at| meets_again(one, other, at, near, &shared))
            };
            if met.is_some() {
                return met;
            }
        }
    }
    None
}

/// Where two edges that share the corner `at` meet a second time: the first meeting mirrored in the line through
/// their centres, or a stretch along which one runs back on the other.
fn meets_again(one: Edge, other: Edge, at: Point, near: f64, shared: &[Point]) -> Option<Point> {
    let mut back = Vec::new();
    stretches_along(one, other, Vec2::ZERO, near, &mut back);
    if let Some(&(low, high, _)) = back.first() {
        return Some(one.point(0.5 * (low + high) / one.length()));
    }
    let (on, along) = match (one, other) {
        (Edge::Line { from, to }, Edge::Arc { centre, .. })
        | (Edge::Arc { centre, .. }, Edge::Line { from, to }) => {
            (centre, Vec2::new(from.y - to.y, to.x - from.x))
        }
        (Edge::Arc { centre: c, .. }, Edge::Arc { centre: d, .. }) => (c, d - c),
        (Edge::Line { .. }, Edge::Line { .. }) => return None,
    };
    if along.hypot2().sqrt() <= near {
        return None;
    }
    let along = along / along.hypot2().sqrt();
    let foot = on + along * (at - on).dot(along);
    let again = foot + (foot - at);
    // Edges that leave a corner side by side (cusps) meet again within rounding of it.
    let new = shared.iter().all(|&p| (p - again).hypot2().sqrt() > 1e3 * near);
    (new && [one, other].iter().all(|e| (e.nearest(again) - again).hypot2().sqrt() <= near)).then_some(again)
}

#[cfg(test)]
mod tests {
    use crate::catalogue::read;

    fn read_shape(repeat: &str, corners: &str, extra: &str) -> Result<(), String> {
        let text = format!("title = \"T\"\nrepeat = {repeat}\n{extra}\n[[shapes]]\ncorners = {corners}\n");
        read(&text, "t.toml").map(|_| ()).map_err(|e| e.to_string())
    }

    const SQUARE: &str = "[[0, 0], [1, 0], [1, 1], [0, 1]]";

    #[test]
    fn squares_in_rows_pass_whatever_the_shift() {
        for shift in ["0", "0.3", "0.5", "7.25"] {
            assert_eq!(read_shape(&format!("[[1, 0], [{shift}, 1]]"), SQUARE, ""), Ok(()));
        }
    }

    #[test]
    fn a_slit_an_overlap_and_a_wrong_count_are_named() {
        let slit = read_shape("[[1, 0], [0, 1.01]]", SQUARE, "");
        assert!(slit.is_err_and(|e| e.starts_with("t.toml:5:11: ") && e.contains("no neighbour meets")));
        let overlap = read_shape("[[1, 0], [0, 0.5]]", SQUARE, "");
        assert!(overlap.is_err_and(|e| e.contains("of one repeat's area") || e.contains("overlap")));
        let bulged = read_shape("[[1, 0], [0, 1]]", "[[0, 0, 0.2], [1, 0], [1, 1, 0.2], [0, 1]]", "");
        assert!(bulged.is_err());
        let waved = read_shape("[[1, 0], [0, 1]]", "[[0, 0, 0.2], [1, 0], [1, 1, -0.2], [0, 1]]", "");
        assert_eq!(waved, Ok(()));
        let crossed = read_shape("[[1, 0], [0, 1]]", "[[0, 0], [1, 1], [1, 0], [0, 2]]", "");
        assert!(crossed.is_err_and(|e| e.contains("crosses or touches itself")));
    }

    #[test]
    fn motifs_must_keep_apart() {
        assert_eq!(read_shape("[[1.1, 0], [0, 1.1]]", SQUARE, "motif = true"), Ok(()));
        assert!(read_shape("[[1, 0], [0, 1.1]]", SQUARE, "motif = true").is_err_and(|e| e.contains("meets")));
        let circle = "[[0, 0, 1], [1, 0, 1]]";
        assert_eq!(read_shape("[[1.01, 0], [0, 1.01]]", circle, "motif = true"), Ok(()));
        assert!(read_shape("[[0.99, 0], [0, 1.2]]", circle, "motif = true").is_err());
    }
}
