//! Marks inside one opening: waste shading, punch and drill marks, back-out corners, all by the opening's size.

use super::page::{Group, Ink, Mark, Pen, FINE};
use super::place::Place;
use crate::geom::{Point, Rect, Ring, Vec2};

/// Hatch lines stand this far apart, mm, at 45 degrees. Closer turns grey on label paper; wider reads as pattern.
const HATCH_APART: f64 = 1.2;
/// Hatch pen: thin and grey so that nobody takes it for a cut edge.
const HATCH: Pen = Pen::new(0.1, 60);
/// Ink of flat waste shading, percent: dark enough to see through a lens, light enough for a punch mark on it.
pub const WASTE_SHADE: u8 = 16;
/// Ink of shaded metal, percent: a little darker, since bridges are narrow and it has no line of its own.
pub const METAL_SHADE: u8 = 24;
/// Hatching stops this far from the saw line, mm, so that the line stands free.
pub const HATCH_GAP: f64 = 0.3;
/// Openings at least this wide (largest circle, mm) are hatched and get a cross.
pub const WIDE: f64 = 4.0;
/// Openings narrower than this stay white, with the drill mark only.
pub const NARROW: f64 = 2.0;
/// Openings at least this wide say OUT: a large drop-out is easily taken for the piece.
pub const DROP_OUT: f64 = 18.0;
/// Arm of a punch cross, mm from its middle: a punch mark hides a dot, the arms still show.
pub const ARM: f64 = 1.5;
/// Radius of a punch dot, mm (0.3 across).
const DOT: f64 = 0.15;

/// How an opening is marked, by the widest circle that fits in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SizeClass {
    Wide,
    Middling,
    Narrow,
}

impl SizeClass {
    pub fn of(widest: f64) -> Self {
        if widest >= WIDE {
            SizeClass::Wide
        } else if widest >= NARROW {
            SizeClass::Middling
        } else {
            SizeClass::Narrow
        }
    }

    /// Flat shade of the opening itself; a wide one stays white under its hatching.
    pub fn shade(self) -> u8 {
        if self == SizeClass::Middling {
            WASTE_SHADE
        } else {
            0
        }
    }
}

/// Punch mark at a drill point: a cross where there is room and marks are not kept few, else a dot.
pub fn punch(at: Point, cross: bool) -> Vec<Mark> {
    if cross {
        let arm = |v: Vec2| Mark::line(Group::PunchMarks, vec![at - v, at + v], FINE);
        vec![arm(Vec2::new(ARM, 0.0)), arm(Vec2::new(0.0, ARM))]
    } else {
        vec![Mark::new(Group::PunchMarks, Ink::Circle { at, radius: DOT, fill: Some(100), pen: None })]
    }
}

/// The drill at its true size.
pub fn drill_circle(group: Group, at: Point, diameter: f64) -> Mark {
    Mark::new(group, Ink::Circle { at, radius: diameter / 2.0, fill: None, pen: Some(FINE) })
}

/// A hole that stays: two circles, so that nobody saws from it.
pub fn kept_hole(at: Point, diameter: f64) -> Vec<Mark> {
    let r = diameter / 2.0;
    let circle = |radius, fill, pen| Mark::new(Group::PunchMarks, Ink::Circle { at, radius, fill, pen });
    vec![
        circle(r, None, Some(FINE)),
        circle((r - 0.4).max(r * 0.55), None, Some(FINE)),
        circle(DOT.min(r / 3.0), Some(100), None),
    ]
}

/// Hatching of what lies inside the rings by the even-odd rule, left out inside `spared`.
pub fn hatch(rings: &[Ring], spared: &[Rect]) -> Vec<Mark> {
    let step = HATCH_APART * std::f64::consts::SQRT_2;
    // Lines run where x + y is a whole number of steps; `t` = x - y measures along them.
    let mut crossings: Vec<(i64, f64)> = Vec::new();
    for ring in rings {
        let points = ring.flatten(0.02);
        for (i, p) in points.iter().enumerate() {
            let q = points[(i + 1) % points.len()];
            let (s0, t0, s1, t1) = (p.x + p.y, p.x - p.y, q.x + q.y, q.x - q.y);
            let (low, high) = if s0 < s1 { (s0, s1) } else { (s1, s0) };
            let mut k = (low / step).floor() as i64 + 1;
            while k as f64 * step <= high {
                let along = (k as f64 * step - s0) / (s1 - s0);
                crossings.push((k, t0 + (t1 - t0) * along));
                k += 1;
            }
        }
    }
    crossings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut marks = Vec::new();
    for pair in crossings.chunks_exact(2) {
        let ((k, t0), (other, t1)) = (pair[0], pair[1]);
        if k != other {
            continue;
        }
        let s = k as f64 * step;
        let at = |t: f64| Point::new((s + t) / 2.0, (s - t) / 2.0);
        let mut lines = vec![(at(t0), at(t1))];
        for rect in spared {
            lines = lines.into_iter().flat_map(|l| outside(l, *rect)).collect();
        }
        for (a, b) in lines {
            if (b - a).hypot() > 0.2 {
                marks.push(Mark::line(Group::Shade, vec![a, b], HATCH));
            }
        }
    }
    marks
}

/// The parts of a line that lie outside a box.
pub fn outside((a, b): (Point, Point), rect: Rect) -> Vec<(Point, Point)> {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let d = b - a;
    for (p, v, low, high) in [(a.x, d.x, rect.x0, rect.x1), (a.y, d.y, rect.y0, rect.y1)] {
        if v.abs() < 1e-12 {
            if p <= low || p >= high {
                return vec![(a, b)];
            }
            continue;
        }
        let (t0, t1) = ((low - p) / v, (high - p) / v);
        from = from.max(t0.min(t1));
        to = to.min(t0.max(t1));
    }
    if from >= to {
        return vec![(a, b)];
    }
    let mut left = Vec::new();
    if from > 0.0 {
        left.push((a, a + d * from));
    }
    if to < 1.0 {
        left.push((a + d * to, b));
    }
    left
}

/// Small triangles at corners too sharp to turn the blade in: saw in, back out, come from the other side.
/// `ring` runs anticlockwise in the piece; the answer is in the piece's own coordinates.
pub fn back_out_corners(ring: &Ring) -> Vec<[Point; 3]> {
    const SHARP: f64 = 75.0; // degrees between the edges; above it a blade turns on the spot without overcutting
    let n = ring.vertices.len();
    let mut triangles = Vec::new();
    for i in 0..n {
        let at = ring.vertices[i].at;
        let back = -ring.edge((i + n - 1) % n).direction(1.0);
        let on = ring.edge(i).direction(0.0);
        let inside = on.cross(back) > 0.0;
        let angle = libm::acos(on.dot(back).clamp(-1.0, 1.0)).to_degrees();
        if !inside || !(1.0..=SHARP).contains(&angle) {
            continue;
        }
        let along = (on + back) / (on + back).hypot();
        let side = Vec2::new(-along.y, along.x);
        // Far enough in that the triangle's tip clears the line by a quarter of a millimetre on both sides.
        let tip = at + along * (0.45 / libm::sin((angle / 2.0).to_radians()));
        let base = tip + along * 0.9;
        triangles.push([tip, base + side * 0.35, base - side * 0.35]);
    }
    triangles
}

/// A 2 mm arrow in the waste beside the line, from where the saw comes to it, the way the saw goes; with the room it
/// takes on the page. `None` where it would touch the line or another mark.
pub fn arrow(
    ring: &Ring,
    enter: Point,
    clockwise: bool,
    place: &Place,
    taken: &[Rect],
) -> Option<(Vec<Mark>, Rect)> {
    /// From the line to the arrow's shaft, mm.
    const OFF: f64 = 0.75;
    let n = ring.vertices.len();
    let away = |i: usize| {
        let e = ring.edge(i);
        (e.nearest(enter) - enter).hypot()
    };
    let nearest = (0..n).min_by(|a, b| away(*a).total_cmp(&away(*b)))?;
    // Of the two edges at a corner, the one the saw sets out on.
    let leaves = |i: usize| {
        if clockwise {
            (ring.edge(i).to() - enter).hypot()
        } else {
            (ring.edge(i).from() - enter).hypot()
        }
    };
    let i = (0..n)
        .filter(|i| away(*i) < away(nearest) + 1e-6)
        .min_by(|a, b| leaves(*a).total_cmp(&leaves(*b)))?;
    let edge = ring.edge(i);
    let (t, sign) = if clockwise { (1.0, -1.0) } else { (0.0, 1.0) };
    let at_corner = leaves(i) < 1e-6;
    let travel = if at_corner { edge.direction(t) * sign } else { edge.direction(0.5) * sign };
    let inward = Vec2::new(-travel.y, travel.x) * sign;
    for start in [0.7, 1.2, 1.7] {
        let from = enter + travel * start + inward * OFF;
        let to = from + travel * 2.0;
        let side = Vec2::new(-travel.y, travel.x) * 0.32;
        let head = [to, to - travel * 0.8 + side, to - travel * 0.8 - side];
        let free = head.iter().chain([&from]).all(|p| ring.signed_distance(*p) > 0.35);
        let [a, b, c] = head.map(|p| place.point(p));
        let from = place.point(from);
        let room = Rect::from_points(from, a).union_pt(b).union_pt(c);
        if !free || taken.iter().any(|r| r.overlaps(room)) {
            continue;
        }
        let tail = place.point(to - travel * 0.6);
        return Some((
            vec![
                Mark::line(Group::PunchMarks, vec![from, tail], FINE),
                Mark::new(Group::PunchMarks, Ink::Area { rings: vec![Ring::polygon([a, b, c])], shade: 100 }),
            ],
            room,
        ));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_fills_a_square_evenly_and_spares_a_box() {
        let square = Ring::polygon([(0., 0.), (12., 0.), (12., 12.), (0., 12.)].map(Point::from));
        let length = |marks: &[Mark]| -> f64 {
            marks
                .iter()
                .map(|m| match &m.ink {
                    Ink::Line { points, .. } => (points[1] - points[0]).hypot(),
                    _ => 0.0,
                })
                .sum()
        };
        // Length of line over an area: area / distance apart.
        let all = length(&hatch(std::slice::from_ref(&square), &[]));
        assert!((all - 144.0 / 1.2).abs() < 6.0, "{all}");
        let spared = length(&hatch(&[square], &[Rect::new(3.0, 3.0, 9.0, 9.0)]));
        assert!((all - spared - 36.0 / 1.2).abs() < 4.0, "{spared}");
    }

    #[test]
    fn only_sharp_corners_are_backed_out_of() {
        let triangle = Ring::polygon([(0., 0.), (10., 0.), (5., 8.66)].map(Point::from));
        let marks = back_out_corners(&triangle);
        assert_eq!(marks.len(), 3);
        assert!(marks.iter().flatten().all(|p| triangle.contains(*p)));
        let square = Ring::polygon([(0., 0.), (9., 0.), (9., 9.), (0., 9.)].map(Point::from));
        assert!(back_out_corners(&square).is_empty());
    }
}
