//! How much the look of a piece changes: what people see from arm's length.

use crate::geom::{boolean, BooleanOp, Point, Region, Ring};
use crate::openings::Piece;

/// Cut-outs whose middles and sizes agree within this are the same, mm.
const SAME: f64 = 1e-3;

/// What changed between two pieces. Shares from 0 up.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub struct PieceChange {
    /// Openings that are not found again as they were, as a share of those there were; a window counts as one.
    pub openings_changed: f64,
    /// Openings that are not found again.
    pub changed: usize,
    /// Windows and holes that are not found again.
    pub windows_changed: usize,
    /// The outer edge is another.
    pub outline_changed: bool,
    /// Area that was open and is solid now or the other way round, the metal at the outer edge counted as well, as a share
    /// of the open area there was.
    pub area_moved: f64,
}

impl PieceChange {
    /// One figure to rank by: the mean of both shares.
    pub fn change(&self) -> f64 {
        (self.openings_changed + self.area_moved) / 2.0
    }

    /// The drawing is as it was.
    pub fn is_none(&self) -> bool {
        self.changed == 0 && self.windows_changed == 0 && !self.outline_changed
    }
}

/// A cut-out as it is seen.
#[derive(Clone)]
struct CutOut {
    ring: Ring,
    centroid: Point,
    perimeter: f64,
    area: f64,
}

impl CutOut {
    fn of(ring: Ring) -> Self {
        Self { centroid: ring.centroid(), perimeter: ring.perimeter(), area: ring.area().abs(), ring }
    }

    fn is_same(&self, other: &CutOut) -> bool {
        (self.centroid - other.centroid).hypot2().sqrt() <= SAME
            && (self.perimeter - other.perimeter).abs() <= SAME
            && (self.area - other.area).abs() <= SAME * self.perimeter
    }
}

fn openings(piece: &Piece) -> Vec<CutOut> {
    let of = |o: &crate::openings::Opening| CutOut {
        ring: o.ring.clone(),
        centroid: o.centroid,
        perimeter: o.perimeter.get(),
        area: o.area,
    };
    piece.openings.iter().map(of).collect()
}

fn windows(piece: &Piece) -> Vec<CutOut> {
    let holes = piece.outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0));
    piece.outline.windows.iter().map(|w| w.ring.clone()).chain(holes).map(CutOut::of).collect()
}

/// Compares all that is cut of two pieces.
pub fn look(before: &Piece, after: &Piece) -> PieceChange {
    let both_ways =
        |of: fn(&Piece) -> Vec<CutOut>| (unmatched(before, after, of), unmatched(after, before, of));
    let ((mut old, mut new), (old_windows, new_windows)) = (both_ways(openings), both_ways(windows));
    let changed = old.len().max(new.len());
    let windows_changed = old_windows.len().max(new_windows.len());
    old.extend(old_windows);
    new.extend(new_windows);
    let mut moved = apart(&regions(&old), &regions(&new));
    let edge = |piece: &Piece| CutOut::of(piece.outline.edge.clone());
    let outline_changed = !edge(before).is_same(&edge(after));
    if outline_changed {
        moved += apart(&regions(&[edge(before)]), &regions(&[edge(after)]));
    }
    let there = before.openings.len() + before.outline.windows.len();
    PieceChange {
        openings_changed: (changed + windows_changed) as f64 / there.max(1) as f64,
        changed,
        windows_changed,
        outline_changed,
        area_moved: moved / before.open_area().max(1e-9),
    }
}

fn regions(seen: &[CutOut]) -> Vec<Region> {
    seen.iter().map(|s| Region::new(s.ring.clone(), Vec::new())).collect()
}

/// Area that lies in one of two sets and not in the other, mm2.
fn apart(a: &[Region], b: &[Region]) -> f64 {
    let area = |r: &[Region]| r.iter().map(Region::area).sum::<f64>();
    let both = if a.is_empty() || b.is_empty() { 0.0 } else { area(&boolean(a, BooleanOp::Intersection, b)) };
    (area(a) + area(b) - 2.0 * both).max(0.0)
}

/// Cut-outs of `of` that `other` does not have just so.
fn unmatched(of: &Piece, other: &Piece, seen: fn(&Piece) -> Vec<CutOut>) -> Vec<CutOut> {
    let mut there = seen(other);
    there.sort_by(|a, b| a.centroid.x.total_cmp(&b.centroid.x));
    let mut own = seen(of);
    own.retain(|o| {
        let from = there.partition_point(|t| t.centroid.x < o.centroid.x - SAME);
        !there[from..].iter().take_while(|t| t.centroid.x <= o.centroid.x + SAME).any(|t| o.is_same(t))
    });
    own
}
