//! Order of piercing: openings from the middle outwards in short moves, windows after them, the outer edge last.
//!
//! Which order keeps a sheet stiffest flips with how it is held, and the differences are thousandths of a millimetre;
//! what matters is to support the sheet within about 6 mm of the cut. So the order is the plain one: there is always
//! uncut metal outside the opening being sawn, and the work is turned little. Sorting makes it cost n log n.

use super::bench::{sharp_corners, Bench};
use crate::geom::{Point, Ring};
use crate::trade::models::left_in_corner;
use std::f64::consts::TAU;

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
pub fn order(bench: &Bench) -> Vec<Turn> {
    let piece = bench.piece;
    let mut turns: Vec<Turn> = sequence(bench)
        .into_iter()
        .map(|i| {
            let opening = &piece.openings[i];
            turn(bench, Cut::Opening(opening.n), &opening.ring, opening.drill_at)
        })
        .collect();
    // Small before large: each window takes a wall of stiffness with it.
    let mut windows: Vec<usize> = (0..piece.outline.windows.len()).collect();
    let area = |w: &usize| piece.outline.windows[*w].ring.area().abs();
    windows.sort_by(|a, b| area(a).total_cmp(&area(b)).then(a.cmp(b)));
    for w in windows {
        let window = &piece.outline.windows[w];
        turns.push(turn(bench, Cut::Window(w + 1), &window.ring, window.drill_at));
    }
    // From outside, the waste on the other hand: start at the foot, where the hold-down is not.
    let edge = &piece.outline.edge;
    let bounds = edge.bounds();
    let foot = Point::new(bounds.center().x, bounds.y0 - 1.0);
    let mut last = turn(bench, Cut::Outline, edge, foot);
    last.clockwise = !last.clockwise;
    turns.push(last);
    turns
}

/// Places of the openings in the order of piercing.
fn sequence(bench: &Bench) -> Vec<usize> {
    let openings = &bench.piece.openings;
    if openings.is_empty() {
        return Vec::new();
    }
    let (width, height) = (bench.size.0.max(1e-9), bench.size.1.max(1e-9));
    if bench.piece.outline.seam.is_some() {
        return along_strip(bench, width * height / openings.len() as f64);
    }
    // Rings as wide as one opening's share of the sheet, following the outline's own proportions.
    let mean = (width * height).sqrt();
    let round = |p: Point| (p.x * mean / width).hypot(p.y * mean / height);
    let step = (mean * mean / openings.len() as f64).sqrt().max(1e-9);
    let mut rings: Vec<(usize, f64, usize)> = openings
        .iter()
        .enumerate()
        .map(|(i, o)| {
            // The middle opening stands alone in ring 0.
            let ring = (round(o.centroid) / step + 0.5).floor() as usize;
            (ring, libm::atan2(o.centroid.y, o.centroid.x), i)
        })
        .collect();
    rings.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
    let mut out: Vec<usize> = Vec::with_capacity(rings.len());
    for ring in rings.chunk_by(|a, b| a.0 == b.0) {
        // Go on from where the last ring ended, the same way round.
        let from = out.last().map_or(0.0, |&i| libm::atan2(openings[i].centroid.y, openings[i].centroid.x));
        let start = (0..ring.len())
            .min_by(|&a, &b| gap(ring[a].1, from).total_cmp(&gap(ring[b].1, from)))
            .unwrap_or(0);
        out.extend(ring[start..].iter().chain(&ring[..start]).map(|r| r.2));
    }
    out
}

/// Angle from `from` on to `to`, anticlockwise, a hair behind counting as none.
fn gap(to: f64, from: f64) -> f64 {
    (to - from + 1e-9).rem_euclid(TAU)
}

/// A strip is pierced from its middle to one end, then from the middle to the other, in columns up and down.
fn along_strip(bench: &Bench, share: f64) -> Vec<usize> {
    let openings = &bench.piece.openings;
    let step = share.sqrt().max(1e-9);
    let mut columns: Vec<(bool, usize, f64, usize)> = openings
        .iter()
        .enumerate()
        .map(|(i, o)| {
            let left = o.centroid.x < -1e-6;
            let column = (o.centroid.x.abs() / step).floor() as usize;
            let y = if column % 2 == 0 { o.centroid.y } else { -o.centroid.y };
            (left, column, y, i)
        })
        .collect();
    columns.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.cmp(&b.1)).then(a.2.total_cmp(&b.2)).then(a.3.cmp(&b.3)));
    columns.into_iter().map(|c| c.3).collect()
}

fn turn(bench: &Bench, cut: Cut, ring: &Ring, hole: Point) -> Turn {
    let corners = sharp_corners(ring);
    let nearest = corners.iter().min_by(|a, b| (a.at - hole).hypot2().total_cmp(&(b.at - hole).hypot2()));
    let enter = nearest.map_or_else(|| ring.nearest(hole), |c| c.at);
    // An inside corner of the outer edge is sharp too, but only angles under 180 hold waste.
    let sharpest = corners.iter().map(|c| c.angle).filter(|a| *a < 180.0).fold(180.0, f64::min);
    Turn {
        cut,
        enter,
        // The right hand holds the frame, the line is seen on the left of the blade: waste lies to the right.
        clockwise: !bench.job.saw.left_handed,
        back_out: corners.len(),
        left_for_file: left_in_corner(&bench.job.saw.blade, sharpest),
    }
}

/// Sum of the moves from opening to opening, mm.
pub fn moves(bench: &Bench, turns: &[Turn]) -> f64 {
    let at = |turn: &Turn| match turn.cut {
        Cut::Opening(n) => bench.piece.openings.get(n.wrapping_sub(1)).map(|o| o.drill_at),
        Cut::Window(w) => bench.piece.outline.windows.get(w.wrapping_sub(1)).map(|w| w.drill_at),
        Cut::Outline => None,
    };
    let points: Vec<Point> = turns.iter().filter_map(at).collect();
    points.windows(2).map(|p| (p[1] - p[0]).hypot()).sum()
}
