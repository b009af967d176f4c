//! Ticks on the metal where the line straight down through the balance point meets the edge.

use super::page::{Group, Mark};
use super::place::Placement;
use super::signs;
use crate::geom::{Point, Ring};
use crate::work::Work;

/// A tick keeps this far from cut edges, mm.
const CLEAR: f64 = 0.5;
/// Longest and shortest tick, mm: a shorter one reads as a speck.
const LONGEST: f64 = 4.0;
const SHORTEST: f64 = 1.2;

/// What the legend says of them.
pub(super) const ABOUT: &str = "It hangs along this line, straight down through the balance point.";

/// Whether a piece hangs from a hole of its own, so that its hang line is worth a mark.
pub(super) fn hangs(work: &Work) -> bool {
    work.piece.outline.seam.is_none() && work.plan.hang.as_ref().is_some_and(|h| h.hole.is_some())
}

/// A tick at the top edge and one at the lower edge, where the metal is wide enough.
pub(super) fn ticks(work: &Work, place: &Placement) -> Vec<Mark> {
    let Some(hang) = work.plan.hang.as_ref().filter(|_| hangs(work)) else { return Vec::new() };
    let x = hang.balance.x;
    let metal = metal_along(work, x);
    let tick = |from: f64, to: f64| {
        let points = [from, to].map(|y| place.point(Point::new(x, y)));
        ((to - from).abs() >= SHORTEST).then(|| Mark::line(Group::Guides, points.into(), signs::HANG_PEN))
    };
    let top = metal.last().and_then(|(low, high)| {
        let from = high - CLEAR;
        tick(from, (low + CLEAR).max(from - LONGEST).min(from))
    });
    let foot = metal.first().and_then(|(low, high)| {
        let from = low + CLEAR;
        tick(from, (high - CLEAR).min(from + LONGEST).max(from))
    });
    top.into_iter().chain(foot).collect()
}

/// Where the upright line at `x` runs over metal, from low to high, mm.
fn metal_along(work: &Work, x: f64) -> Vec<(f64, f64)> {
    let outline = &work.piece.outline;
    let holes: Vec<Ring> = outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0)).collect();
    let rings = std::iter::once(&outline.edge)
        .chain(outline.windows.iter().map(|w| &w.ring))
        .chain(work.piece.openings.iter().map(|o| &o.ring))
        .chain(&holes);
    let mut met: Vec<f64> = Vec::new();
    for ring in rings {
        let b = ring.bounds();
        if x < b.x0 || x > b.x1 {
            continue;
        }
        let points = ring.flatten(0.02);
        for (i, p) in points.iter().enumerate() {
            let q = points[(i + 1) % points.len()];
            if (p.x > x) != (q.x > x) {
                met.push(p.y + (x - p.x) / (q.x - p.x) * (q.y - p.y));
            }
        }
    }
    met.sort_by(f64::total_cmp);
    met.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}
