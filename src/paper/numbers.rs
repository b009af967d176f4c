//! Where an opening's number goes: inside if it fits, else outside the piece on a thin leader, else on a key map.

use super::letters;
use super::page::{Group, Mark, Pen, Words};
use crate::geom::{Point, Rect, Ring, Vec2};

/// Sizes tried for a number beside its hole, points. Nothing smaller is readable under a lens.
const SIZES: [f64; 2] = [7.0, 6.0];
/// Free metal-side edge and marks by this much, mm.
const CLEAR: f64 = 0.35;
/// Leader pen.
const LEADER: Pen = Pen::new(0.1, 100);

/// The words of a number, with a line under one that would read as another number upside down.
pub fn number_marks(label: &str, at: Point, size: f64) -> Vec<Mark> {
    let words = Words::new(label, at, size).bold();
    let mut marks = Vec::new();
    let turns = label.bytes().all(|b| matches!(b, b'0' | b'1' | b'6' | b'8' | b'9'));
    if turns && label.bytes().any(|b| matches!(b, b'6' | b'9')) {
        let y = at.y + 0.35;
        let pen = Pen::new(0.12, 100);
        marks.push(Mark::line(Group::Words, vec![Point::new(at.x, y), Point::new(at.x + words.width(), y)], pen));
    }
    marks.push(Mark::words(words));
    marks
}

/// A place for the number inside the ring, clear of the line and of the punch and drill marks. All in page mm.
/// `arms` is how far the cross reaches along its axes (0 for a dot), `hole` the drill's radius.
pub fn inside(ring: &Ring, drill_at: Point, arms: f64, hole: f64, label: &str) -> Option<(Point, f64)> {
    let bounds = ring.bounds();
    for size in SIZES {
        let w = letters::width(label, size, true);
        let h = letters::reach(label, size, true).0;
        if w + 2.0 * CLEAR > bounds.width() || h + 2.0 * CLEAR > bounds.height() {
            continue;
        }
        let points = ring.flatten(0.05);
        for step in 0..6 {
            let away = hole + CLEAR + 0.4 * f64::from(step);
            // Right above, right below, left above, left below, then straight up and down for a dot.
            let diagonal = away * std::f64::consts::FRAC_1_SQRT_2;
            let mut places = vec![(diagonal, -diagonal - h), (diagonal, diagonal), (-diagonal - w, -diagonal - h), (-diagonal - w, diagonal)];
            if arms == 0.0 {
                places.extend([(away, -h / 2.0), (-away - w, -h / 2.0), (-w / 2.0, -away - h), (-w / 2.0, away)]);
            } else {
                let beyond = arms + CLEAR;
                places.extend([(-w / 2.0, -beyond - h), (-w / 2.0, beyond)]);
            }
            for (x, y) in places {
                let at = drill_at + Vec2::new(x, y);
                let room = Rect::new(at.x, at.y, at.x + w, at.y + h).inset(CLEAR);
                if box_inside(&points, room) {
                    return Some((Point::new(at.x, at.y + h), size));
                }
            }
        }
    }
    None
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

/// A number that wants a place outside: the opening's near point to the edge, and the edge's point.
#[derive(Debug, Clone)]
pub struct Outward {
    pub opening: usize,
    pub from: Point,
    pub edge: Point,
}

/// Numbers outside the trim line on straight leaders across the border, or nothing if they would collide.
pub fn outward(wanted: &[Outward], beyond: f64, taken: &[Rect]) -> Option<Vec<Mark>> {
    let mut boxes: Vec<Rect> = taken.to_vec();
    let mut marks = Vec::new();
    for one in wanted {
        let run = one.edge - one.from;
        let length = run.hypot();
        if length < 1e-6 {
            return None;
        }
        let out = run / length;
        let label = one.opening.to_string();
        let (w, h) = (letters::width(&label, 6.0, true), letters::reach(&label, 6.0, true).0);
        let end = one.edge + out * (beyond + 0.6);
        let centre = end + Vec2::new(out.x * (w / 2.0 + 0.5), out.y * (h / 2.0 + 0.5));
        let room = Rect::from_center_size(centre, (w + 0.8, h + 1.0));
        if boxes.iter().any(|b| b.overlaps(room)) {
            return None;
        }
        boxes.push(room);
        marks.push(Mark::line(Group::Guides, vec![one.from + out * -0.3, end], LEADER).of(one.opening));
        marks.extend(
            number_marks(&label, Point::new(centre.x - w / 2.0, centre.y + h / 2.0), 6.0)
                .into_iter()
                .map(|m| m.of(one.opening)),
        );
    }
    Some(marks)
}
