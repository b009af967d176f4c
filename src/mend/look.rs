//! How much the look of a piece changes: what people see from arm's length.

use crate::geom::{boolean, BooleanOp, Region};
use crate::openings::{Opening, Piece};

/// Openings whose middles and sizes agree within this are the same opening, mm.
const SAME: f64 = 1e-3;

/// What changed between two pieces. Shares from 0 up.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub struct Look {
    /// Openings that are not found again as they were, as a share of those there were.
    pub openings_changed: f64,
    /// Their count.
    pub changed: usize,
    /// Area that was open and is solid now or the other way round, as a share of the open area there was.
    pub area_moved: f64,
}

impl Look {
    /// One figure to rank by: the mean of both shares.
    pub fn change(&self) -> f64 {
        (self.openings_changed + self.area_moved) / 2.0
    }
}

/// Compares the openings of two pieces.
pub fn look(before: &Piece, after: &Piece) -> Look {
    let (old, new) = (unmatched(before, after), unmatched(after, before));
    let region = |o: &&Opening| Region::new(o.ring.clone(), Vec::new());
    let (a, b): (Vec<Region>, Vec<Region>) =
        (old.iter().map(region).collect(), new.iter().map(region).collect());
    let area = |r: &[Region]| r.iter().map(Region::area).sum::<f64>();
    let both =
        if a.is_empty() || b.is_empty() { 0.0 } else { area(&boolean(&a, BooleanOp::Intersection, &b)) };
    let moved = area(&a) + area(&b) - 2.0 * both;
    let changed = old.len().max(new.len());
    Look {
        openings_changed: changed as f64 / before.openings.len().max(1) as f64,
        changed,
        area_moved: moved.max(0.0) / before.open_area().max(1e-9),
    }
}

/// Openings of `of` that `other` does not have just so.
fn unmatched<'a>(of: &'a Piece, other: &Piece) -> Vec<&'a Opening> {
    let mut there: Vec<&Opening> = other.openings.iter().collect();
    there.sort_by(|a, b| a.centroid.x.total_cmp(&b.centroid.x));
    of.openings
        .iter()
        .filter(|o| {
            let from = there.partition_point(|t| t.centroid.x < o.centroid.x - SAME);
            !there[from..].iter().take_while(|t| t.centroid.x <= o.centroid.x + SAME).any(|t| {
                (t.centroid - o.centroid).hypot() <= SAME
                    && (t.perimeter.get() - o.perimeter.get()).abs() <= SAME
                    && (t.area - o.area).abs() <= SAME * o.perimeter.get()
            })
        })
        .collect()
}
