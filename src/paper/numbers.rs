//! Where an opening's number goes: inside if it fits, else outside the piece on a thin leader, else on a key map.

use super::letters;
use super::page::{Group, Mark, Pen, Words, SAW_LINE};
use crate::geom::{Grow, Point, Rect, Ring, Vec2};

/// Type of a number, points and weight, by the width of its opening (largest circle, mm): the first row that fits. One
/// width keeps to one type, so that a page of like openings looks even. Nothing under 6 points is readable at all.
const TYPES: [(f64, f64, bool); 3] = [(12.0, 8.0, true), (9.0, 7.0, true), (0.0, 6.0, false)];
/// A number keeps this far from the line, the cross and the drill circle, mm. Less and they run together on a
/// photocopy; more and two figures find no room in a 7 mm opening.
const CLEAR: f64 = 0.2;
/// And this far from the drawn edge, mm: the printed line lies between.
const FROM_EDGE: f64 = SAW_LINE + 0.15;
/// A line under a number stands this far below it, mm.
const UNDER: f64 = 0.38;
/// Leader pen.
pub const LEADER: Pen = Pen::new(0.1, 100);

/// The words of a number, with a line under one that would read as another number upside down.
pub fn number_marks(label: &str, at: Point, size: f64, bold: bool) -> Vec<Mark> {
    let mut words = Words::new(label, at, size);
    words.bold = bold;
    let mut marks = Vec::new();
    if underlined(label) {
        let y = at.y + UNDER;
        let pen = Pen::new(0.12, 100);
        marks.push(Mark::line(
            Group::Words,
            vec![Point::new(at.x, y), Point::new(at.x + words.width(), y)],
            pen,
        ));
    }
    marks.push(Mark::words(words));
    marks
}

/// Whether a number would read as another one upside down.
fn underlined(label: &str) -> bool {
    label.bytes().all(|b| matches!(b, b'0' | b'1' | b'6' | b'8' | b'9'))
        && label.bytes().any(|b| matches!(b, b'6' | b'9'))
}

/// An opening and its drill mark as they lie on the page, mm.
pub struct Hole<'a> {
    pub ring: &'a Ring,
    pub drill_at: Point,
    /// Radius of the drill.
    pub radius: f64,
    /// How far the cross reaches along its axes, 0 for a dot.
    pub arms: f64,
    /// Diameter of the largest circle that fits.
    pub widest: f64,
}

/// The number inside its opening, clear of the line, of the punch and drill marks and of what is `taken`.
pub fn inside(hole: &Hole, label: &str, taken: &[Rect]) -> Option<Vec<Mark>> {
    let bounds = hole.ring.bounds();
    for (_, size, bold) in TYPES.into_iter().filter(|(from, _, _)| hole.widest >= *from) {
        let w = letters::width(label, size, bold);
        let h = letters::reach(label, size, bold).0;
        if w + 2.0 * FROM_EDGE > bounds.width() || h + 2.0 * FROM_EDGE > bounds.height() {
            continue;
        }
        let points = hole.ring.flatten(0.05);
        let below = if underlined(label) { UNDER + 0.06 } else { 0.0 };
        for (x, y) in places(hole.arms, hole.radius, w, h + below) {
            let at = hole.drill_at + Vec2::new(x, y);
            let room = Rect::new(at.x, at.y, at.x + w, at.y + h + below);
            let free = !taken.iter().any(|t| t.overlaps(room.grow(CLEAR)));
            if free && box_inside(&points, room.grow(FROM_EDGE)) {
                return Some(number_marks(label, Point::new(at.x, at.y + h), size, bold));
            }
        }
    }
    None
}

/// Top left corners to try for a box beside the drill mark, from it: right above first, then round, then further off.
fn places(arms: f64, hole: f64, w: f64, h: f64) -> Vec<(f64, f64)> {
    let mut places = Vec::new();
    // Closest to an arm of the cross on one side, clear of the circle on the other.
    let by_arm = CLEAR + 0.07;
    let by_hole = (hole + CLEAR) * std::f64::consts::FRAC_1_SQRT_2;
    let off = ((hole + CLEAR) * (hole + CLEAR) - by_arm * by_arm).max(0.0).sqrt();
    for (a, b) in
        [(by_hole, by_hole), (off, by_arm), (by_arm, off), (by_hole + 0.6, by_hole), (by_hole, by_hole + 0.6)]
    {
        let (a, b) = (a.max(by_arm), b.max(by_arm));
        places.extend([(a, -b - h), (a, b), (-a - w, -b - h), (-a - w, b)]);
    }
    let beyond = if arms == 0.0 { hole + CLEAR } else { arms + CLEAR };
    for more in [0.0, 0.5, 1.0] {
        let d = beyond + more;
        places.extend([(-w / 2.0, -d - h), (-w / 2.0, d), (d, -h / 2.0), (-d - w, -h / 2.0)]);
    }
    places
}

/// Whether a box lies wholly inside a closed line of points.
fn box_inside(points: &[Point], room: Rect) -> bool {
    let mut within = false;
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        if crosses(*p, q, room) {
            return false;
        }
        let c = room.center();
        if (p.y > c.y) != (q.y > c.y) && c.x < p.x + (c.y - p.y) / (q.y - p.y) * (q.x - p.x) {
            within = !within;
        }
    }
    within
}

/// Whether a closed line of points passes through a box.
pub fn passes(points: &[Point], room: Rect) -> bool {
    points.iter().enumerate().any(|(i, p)| crosses(*p, points[(i + 1) % points.len()], room))
}

/// Whether the line from `p` to `q` touches the box.
fn crosses(p: Point, q: Point, room: Rect) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let d = q - p;
    for (p, v, low, high) in [(p.x, d.x, room.x0, room.x1), (p.y, d.y, room.y0, room.y1)] {
        if v.abs() < 1e-12 {
            if p < low || p > high {
                return false;
            }
            continue;
        }
        let (t0, t1) = ((low - p) / v, (high - p) / v);
        from = from.max(t0.min(t1));
        to = to.min(t0.max(t1));
    }
    from <= to
}

/// A number that wants a place outside: the opening's drill point, its own edge, and the outline beyond.
#[derive(Debug, Clone)]
pub struct Outward {
    pub opening: usize,
    pub from: Point,
    /// The opening's point nearest to the outline.
    pub beside: Point,
    pub edge: Point,
}

/// Numbers outside the trim line on straight leaders across the border, and the openings whose number would collide.
pub fn outward(wanted: &[Outward], beyond: f64, taken: &[Rect]) -> (Vec<Mark>, Vec<usize>) {
    let mut boxes: Vec<Rect> = taken.to_vec();
    let (mut marks, mut left) = (Vec::new(), Vec::new());
    for one in wanted {
        let run = one.edge - one.from;
        let length = run.hypot();
        let out = run / length.max(1e-9);
        let label = one.opening.to_string();
        let (w, h) = (letters::width(&label, 6.0, true), letters::reach(&label, 6.0, true).0);
        let end = one.edge + out * (beyond + 0.6);
        let centre = end + Vec2::new(out.x * (w / 2.0 + 0.5), out.y * (h / 2.0 + 0.5));
        let room = Rect::from_center_size(centre, (w + 0.8, h + 1.2));
        if length < 1e-6 || boxes.iter().any(|b| b.overlaps(room)) {
            // A border that stays wide may carry it instead.
            let middle = one.beside.midpoint(one.edge);
            let room = Rect::from_center_size(middle, (w + 0.8, h + 1.2));
            let wide = (one.edge - one.beside).hypot() > w + h;
            if wide && !boxes.iter().any(|b| b.overlaps(room)) {
                boxes.push(room);
                let at = Point::new(middle.x - w / 2.0, middle.y + h / 2.0);
                marks.extend(number_marks(&label, at, 6.0, true).into_iter().map(|m| m.of(one.opening)));
            } else {
                left.push(one.opening);
            }
            continue;
        }
        boxes.push(room);
        // From just outside the edge: a leader never crosses a cut edge.
        let start = one.edge + out * 0.5;
        marks.push(Mark::line(Group::Guides, vec![start, end], LEADER).of(one.opening));
        let at = Point::new(centre.x - w / 2.0, centre.y + h / 2.0);
        marks.extend(number_marks(&label, at, 6.0, true).into_iter().map(|m| m.of(one.opening)));
    }
    (marks, left)
}
