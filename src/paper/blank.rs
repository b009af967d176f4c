//! What a blank that is bent to close carries outside its edge: seam marks, and on a straight one a tick at every repeat
//! and spare.

use super::letters;
use super::look::TRIM;
use super::page::{Group, Ink, Mark, Pen, Words, FINE, SAW_LINE};
use super::place::Placement;
use crate::geom::{Grow, Point, Rect, Ring, Vec2};
use crate::outline::{Outline, Seam};
use crate::work::Work;

/// Spare length drawn beyond a strip's end, mm: something to hold, and to fit by.
pub(super) const SPARE: f64 = 5.0;
/// The dashed end of a strip.
pub(super) const SPARE_PEN: Pen = Pen::new(0.13, 60).dashed(1.6, 1.0);
/// Ticks stand between these distances from the edge, mm: clear of the line, within the trim line.
const TICK: (f64, f64) = (0.5, 1.7);
/// From a seam to its word beyond the trim line.
const LEADER: Pen = Pen::new(0.1, 100);
/// Seam marks reach further out, mm.
const SEAM: f64 = 2.5;

/// Marks of a straight blank on the page, and the box of its spare end.
pub(super) struct Straight {
    pub marks: Vec<Mark>,
    pub spare: Rect,
    /// What the marks take up beside the edge, for hatching to keep out of.
    pub taken: Vec<Rect>,
}

/// How many whole repeats lie along a straight blank, and the length of each, mm.
pub(super) fn repeats(work: &Work) -> Option<(u32, f64)> {
    let run = work.piece.outline.run?.get();
    let count = *work.piece.resolved.repeats.first()?;
    (count > 0).then(|| (count, run / f64::from(count)))
}

/// Seam marks, repeat ticks and spare of a band's blank; `None` for other outlines. `kept_out` holds what already
/// stands beside the edge.
pub(super) fn straight(work: &Work, place: &Placement, kept_out: &[Rect]) -> Option<Straight> {
    let outline: &Outline = &work.piece.outline;
    let run = outline.run?.get();
    let b = outline.edge.bounds();
    let end = outline.allowance.as_ref().map_or(b.x1, |a| a.bounds().x1);
    let flat = |x0: f64, y0: f64, x1: f64, y1: f64| {
        Rect::from_points(place.point(Point::new(x0, y0)), place.point(Point::new(x1, y1)))
    };
    let spare = flat(end, b.y0, end + SPARE, b.y1);
    let mut marks = Vec::new();
    let mut taken = kept_out.to_vec();
    let beside = |x: f64, y: f64, from: f64, to: f64| {
        let up = if y > 0.0 { 1.0 } else { -1.0 };
        vec![place.point(Point::new(x, y + up * from)), place.point(Point::new(x, y + up * to))]
    };
    for x in [b.x0, b.x1] {
        for y in [b.y0, b.y1] {
            let tick = Mark::line(Group::Guides, beside(x, y, TICK.0, SEAM), FINE);
            taken.push(tick.bounds().grow(0.3));
            marks.push(tick);
        }
        // The word leans against its mark from inside, above the blank.
        let edge = place.point(Point::new(x, b.y1));
        let inward = place.direction(Vec2::new(-x.signum(), 0.0)).x;
        let words = Words::new("seam", edge + Vec2::new(0.6 * inward, -0.8), 6.0);
        let words = if inward > 0.0 { words } else { words.end() };
        if !taken.iter().any(|t| t.overlaps(words.bounds().grow(0.2)) && !t.contains(edge)) {
            taken.push(words.bounds().grow(0.3));
            marks.push(Mark::words(words));
        }
    }
    if let Some((count, each)) = repeats(work) {
        for i in 1..count {
            let x = -run / 2.0 + each * f64::from(i);
            for y in [b.y0, b.y1] {
                let tick = Mark::line(Group::Guides, beside(x, y, TICK.0, TICK.1), FINE);
                if !taken.iter().any(|t| t.overlaps(tick.bounds())) {
                    marks.push(tick);
                }
            }
        }
        let ticks: Vec<Rect> = marks.iter().map(|m| m.bounds().grow(0.25)).collect();
        taken.extend(ticks);
    }
    let from = place.point(Point::new(end, 0.0)).x;
    let dashed = Rect { x0: spare.x0 + SAW_LINE * f64::from(u8::from(spare.x0 >= from)), ..spare };
    let corners =
        [(dashed.x0, dashed.y0), (dashed.x1, dashed.y0), (dashed.x1, dashed.y1), (dashed.x0, dashed.y1)];
    let rings = vec![Ring::polygon(corners.map(Point::from))];
    marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen: SPARE_PEN }));
    let words = Words::new("spare", Point::new(spare.center().x + 0.8, spare.center().y), 6.0).upward();
    let words = Words { at: Point::new(words.at.x, words.at.y + words.width() / 2.0), ..words };
    if words.width() + 1.0 < spare.height() {
        marks.push(Mark::words(words));
    }
    Some(Straight { marks, spare, taken })
}

/// Seam marks of a blank whose ends do not run upright (a cone's): a tick at each corner, and the word at each end, out
/// beyond the trim line on a thin leader. Gives them with the room they take.
pub(super) fn turned(work: &Work, place: &Placement, kept_out: &[Rect]) -> (Vec<Mark>, Vec<Rect>) {
    let outline = &work.piece.outline;
    let (mut marks, mut taken) = (Vec::new(), Vec::new());
    let Some(seam @ Seam::Turn { .. }) = outline.seam else { return (marks, taken) };
    let mut put = |mark: Mark, room: Rect| {
        if !kept_out.iter().chain(&taken).any(|t| t.overlaps(room)) {
            taken.push(room.grow(0.3));
            marks.push(mark);
            return true;
        }
        false
    };
    let mut words_at = Vec::new();
    for (end, _) in seam.part_edges(&outline.edge).0 {
        let along = (end.to() - end.from()) / (end.to() - end.from()).hypot2().sqrt().max(1e-9);
        for (corner, out) in [(end.from(), -along), (end.to(), along)] {
            let points = [TICK.0, SEAM].map(|d| place.point(corner + out * d));
            let tick = Mark::line(Group::Guides, points.into(), FINE);
            let room = tick.bounds();
            put(tick, room);
        }
        // The edge runs anticlockwise: outside lies to its right.
        let (middle, out) = (end.from().midpoint(end.to()), Vec2::new(along.y, -along.x));
        let from = if outline.allowance.is_some() { 2.0 * TICK.0 } else { TICK.0 };
        let points = [from, TRIM + 0.8].map(|d| place.point(middle + out * d));
        let way = place.direction(out);
        let words = Words::new("seam", points[1], 6.0);
        let (up, _) = letters::reach("seam", 6.0, false);
        let down = Vec2::new(0.4 * way.x.signum(), up * (0.5 + 0.5 * way.y) + 0.4 * way.y);
        let words = Words { at: points[1] + down, ..words };
        let words = match way.x {
            x if x.abs() < 0.3 => words.middle(),
            x if x < 0.0 => words.end(),
            _ => words,
        };
        let leader = Mark::line(Group::Guides, points.into(), LEADER);
        let room = leader.bounds();
        if put(leader, room) {
            words_at.push(words);
        }
    }
    for words in words_at {
        taken.push(words.bounds().grow(0.3));
        marks.push(Mark::words(words));
    }
    (marks, taken)
}
