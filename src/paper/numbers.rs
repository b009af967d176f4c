//! Where an opening's number goes: inside it, clear of the line and of the punch mark, in one type for the whole piece.

use super::letters;
use super::page::{Group, Mark, Pen, Words, SAW_LINE};
use crate::geom::{Grow, Point, Rect, Ring, Vec2};

/// Type of the numbers of one piece, points: the largest in which all of them find room. Under 5.5 nobody reads them at
/// the bench.
pub(super) const SIZES: [f64; 4] = [8.0, 7.0, 6.0, 5.5];
/// Numbers this large are bold.
const BOLD: f64 = 7.0;
/// A number keeps this far from the punch mark, mm. Less and they run together on a photocopy; more and two figures find
/// no room in a 7 mm opening.
const CLEAR: f64 = 0.2;
/// And this far from the drawn edge, mm: the printed line lies between.
pub(super) const FROM_EDGE: f64 = SAW_LINE + 0.15;
/// A line under a number stands this far below it, mm.
const UNDER: f64 = 0.38;

/// What stands in an opening: its number, with a line under one that would read as another of the piece's numbers upside
/// down, or a word.
#[derive(Debug, Clone)]
pub(super) struct Numeral {
    text: String,
    underlined: bool,
}

impl Numeral {
    /// Number `n` of `count`. Of 31, only 6 and 9 have a line under them: no 91 can be meant by a 16.
    pub(super) fn of(n: usize, count: usize) -> Self {
        let turned = upside_down(n).filter(|m| *m != n && *m <= count);
        Self { text: n.to_string(), underlined: turned.is_some() }
    }
    pub(super) fn word(text: &str) -> Self {
        Self { text: text.into(), underlined: false }
    }
}

/// The number that `n` reads as upside down, if it has a 6 or a 9 and reads as one: without, the foot of the 1 tells.
fn upside_down(n: usize) -> Option<usize> {
    const TURNED: [Option<usize>; 10] =
        [Some(0), Some(1), None, None, None, None, Some(9), None, Some(8), Some(6)];
    if n.is_multiple_of(10) {
        return None;
    }
    let (mut left, mut turned, mut round) = (n, 0, false);
    while left > 0 {
        round |= matches!(left % 10, 6 | 9);
        turned = 10 * turned + TURNED[left % 10]?;
        left /= 10;
    }
    round.then_some(turned)
}

/// The words of a number, with its line under it where it has one.
pub(super) fn number_marks(label: &Numeral, at: Point, size: f64) -> Vec<Mark> {
    let mut words = Words::new(&label.text, at, size);
    words.bold = size >= BOLD;
    let mut marks = Vec::new();
    if label.underlined {
        let y = at.y + UNDER;
        let points = vec![Point::new(at.x, y), Point::new(at.x + words.width(), y)];
        marks.push(Mark::line(Group::Words, points, Pen::new(0.12, 100)));
    }
    marks.push(Mark::words(words));
    marks
}

/// Width and height of a number, the line under it included, mm.
pub(super) fn room(label: &Numeral, size: f64) -> (f64, f64) {
    let below = if label.underlined { UNDER + 0.06 } else { 0.0 };
    (letters::width(&label.text, size, size >= BOLD), cap(label, size) + below)
}

/// Height of a number above its baseline, mm.
pub(super) fn cap(label: &Numeral, size: f64) -> f64 {
    letters::reach(&label.text, size, size >= BOLD).0
}

/// An opening and its punch mark as they lie on the page, mm.
pub(super) struct PunchedOpening {
    pub ring: Ring,
    pub drill_at: Point,
    /// Radius of the drill.
    pub radius: f64,
    /// How far the punch mark reaches along its axes.
    pub arms: f64,
    pub label: Numeral,
    /// What stands in it already.
    pub taken: Vec<Rect>,
}

/// Every number inside its own opening, all in the largest type that gives all of them room; `None` if none does.
pub(super) fn all_inside(holes: &[PunchedOpening]) -> Option<Vec<Vec<Mark>>> {
    SIZES.into_iter().find_map(|size| holes.iter().map(|hole| inside(hole, size)).collect())
}

/// A word inside an opening, clear of the line, of the punch mark and of what is taken.
pub(super) fn inside(hole: &PunchedOpening, size: f64) -> Option<Vec<Mark>> {
    let bounds = hole.ring.bounds();
    let (w, h) = room(&hole.label, size);
    if w + 2.0 * FROM_EDGE > bounds.width() || h + 2.0 * FROM_EDGE > bounds.height() {
        return None;
    }
    let points = hole.ring.flatten(0.05);
    places(hole.arms, hole.radius, w, h).into_iter().find_map(|(x, y)| {
        let at = hole.drill_at + Vec2::new(x, y);
        let room = Rect::new(at.x, at.y, at.x + w, at.y + h);
        let free = !hole.taken.iter().any(|t| t.overlaps(room.grow(CLEAR)));
        (free && box_inside(&points, room.grow(FROM_EDGE)))
            .then(|| number_marks(&hole.label, Point::new(at.x, at.y + cap(&hole.label, size)), size))
    })
}

/// Top left corners to try for a box beside the punch mark, from its middle: right above first, then round, then further
/// off.
fn places(arms: f64, hole: f64, w: f64, h: f64) -> Vec<(f64, f64)> {
    let mut places = Vec::new();
    // Closest to an arm on one side, clear of the circle on the other.
    let by_arm = CLEAR + 0.07;
    let by_hole = (hole + CLEAR) * std::f64::consts::FRAC_1_SQRT_2;
    let off = ((hole + CLEAR) * (hole + CLEAR) - by_arm * by_arm).max(0.0).sqrt();
    for (a, b) in
        [(by_hole, by_hole), (off, by_arm), (by_arm, off), (by_hole + 0.6, by_hole), (by_hole, by_hole + 0.6)]
    {
        let (a, b) = (a.max(by_arm), b.max(by_arm));
        places.extend([(a, -b - h), (a, b), (-a - w, -b - h), (-a - w, b)]);
    }
    for more in [0.0, 0.5, 1.0] {
        let d = arms.max(hole) + CLEAR + more;
        places.extend([(-w / 2.0, -d - h), (-w / 2.0, d), (d, -h / 2.0), (-d - w, -h / 2.0)]);
    }
    places
}

/// Whether a box lies wholly inside a closed line of points.
pub(super) fn box_inside(points: &[Point], room: Rect) -> bool {
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
pub(super) fn passes(points: &[Point], room: Rect) -> bool {
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Every number from 1 to `count` that has a line under it.
    fn underlined(count: usize) -> Vec<usize> {
        (1..=count).filter(|n| Numeral::of(*n, count).underlined).collect()
    }

    #[test]
    fn a_number_has_a_line_under_it_if_upside_down_it_is_another_of_the_piece() {
        assert_eq!(underlined(8), [0; 0]);
        assert_eq!(underlined(31), [6, 9]);
        assert_eq!(underlined(99), [6, 9, 16, 19, 61, 66, 68, 86, 89, 91, 98, 99]);
        // 109 would be 601.
        assert!(!underlined(600).contains(&109) && underlined(601).contains(&109));
        assert!(!Numeral::word("W6").underlined);
    }
}
