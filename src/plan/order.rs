//! The cuts in order: openings by their numbers, windows after them, the outer edge last; where each is entered and
//! which way it goes.

use super::measured::Measured;
use crate::geom::{Point, Ring};
use crate::openings::corners_of;
use crate::trade::models::left_in_corner;
use std::collections::BTreeMap;

/// Distances this near to each other, mm (mm2 for their squares), are the same. Larger would pass over the nearest corner, smaller would let
/// the last digit choose.
const NEAR: f64 = 1e-6;

/// What is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// Opening by its number.
    Opening(usize),
    /// Window by its place from 1.
    Window(usize),
    /// The outer edge, last.
    Outline,
}

/// One cut: where the saw meets the line and which way it goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// What is sawn.
    pub cut: Cut,
    /// Where the saw meets the line: the sharp corner nearest to the start hole, else the nearest point.
    pub enter: Point,
    /// Seen from the pattern side.
    pub clockwise: bool,
    /// Sharp corners to back out of and come at from the other side.
    pub back_out: usize,
    /// Waste that stays in the sharpest of them for the file, mm along the line; 0 where the saw leaves it clean.
    pub left_for_file: f64,
}

/// The cuts in order.
pub(super) fn order(bench: &Measured) -> Vec<Turn> {
    let piece = bench.piece;
    let mut turns: Vec<Turn> = Vec::with_capacity(piece.openings.len() + piece.outline.windows.len() + 1);
    // Openings of one shape are entered at the same corner.
    let mut known: BTreeMap<u32, Corners> = BTreeMap::new();
    for o in &piece.openings {
        let measured = || Corners::of(bench, &o.ring, o.drill_at);
        let corners = match o.shape {
            Some(shape) => *known.entry(shape).or_insert_with(measured),
            None => measured(),
        };
        turns.push(corners.turn(bench, Cut::Opening(o.n), &o.ring, o.drill_at));
    }
    // Small before large: each window takes a wall of stiffness with it.
    let mut windows: Vec<usize> = (0..piece.outline.windows.len()).collect();
    let area = |w: &usize| piece.outline.windows[*w].ring.area().abs();
    windows.sort_by(|a, b| area(a).total_cmp(&area(b)).then(a.cmp(b)));
    for w in windows {
        let window = &piece.outline.windows[w];
        let corners = Corners::of(bench, &window.ring, window.drill_at);
        turns.push(corners.turn(bench, Cut::Window(w + 1), &window.ring, window.drill_at));
    }
    // From outside, the waste on the other hand: start at the foot, where the hold-down is not.
    let edge = &piece.outline.edge;
    let bounds = edge.bounds();
    let foot = Point::new(bounds.center().x, bounds.y0 - 1.0);
    let mut last = Corners::of(bench, edge, foot).turn(bench, Cut::Outline, edge, foot);
    last.clockwise = !last.clockwise;
    turns.push(last);
    turns
}

/// The sharp corners of a line that is entered from a hole.
#[derive(Clone, Copy)]
struct Corners {
    /// Vertex of the corner nearest to the hole.
    nearest: Option<usize>,
    count: usize,
    left_for_file: f64,
}

impl Corners {
    fn of(bench: &Measured, ring: &Ring, hole: Point) -> Self {
        let corners = corners_of(ring);
        // Of corners as near as each other the lowest, then the leftmost: like openings are entered alike.
        let nearest = corners.iter().map(|(i, _)| *i).min_by_key(|i| {
            let away = ring.vertex(*i).at - hole;
            [away.hypot2(), away.y, away.x].map(|v| (v / NEAR).round() as i64)
        });
        // An inside corner of the outer edge is sharp too, but only angles under 180 hold waste.
        let angles = corners.iter().map(|(_, turn)| 180.0 - turn.to_degrees());
        let sharpest = angles.filter(|a| *a < 180.0).fold(180.0, f64::min);
        Self { nearest, count: corners.len(), left_for_file: left_in_corner(&bench.job.saw.blade, sharpest) }
    }

    fn turn(&self, bench: &Measured, cut: Cut, ring: &Ring, hole: Point) -> Turn {
        Turn {
            cut,
            enter: self.nearest.map_or_else(|| ring.nearest(hole), |i| ring.vertex(i).at),
            // The right hand holds the frame, the line is seen on the left of the blade: waste lies to the right.
            clockwise: !bench.job.saw.left_handed,
            back_out: self.count,
            left_for_file: self.left_for_file,
        }
    }
}

/// Sum of the moves from opening to opening, mm.
pub fn moves(bench: &Measured, turns: &[Turn]) -> f64 {
    let at = |turn: &Turn| match turn.cut {
        Cut::Opening(n) => bench.piece.openings.get(n.wrapping_sub(1)).map(|o| o.drill_at),
        Cut::Window(w) => bench.piece.outline.windows.get(w.wrapping_sub(1)).map(|w| w.drill_at),
        Cut::Outline => None,
    };
    let points: Vec<Point> = turns.iter().filter_map(at).collect();
    points.windows(2).map(|p| (p[1] - p[0]).hypot2().sqrt()).sum()
}
