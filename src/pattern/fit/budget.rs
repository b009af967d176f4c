//! How much may be bent for one piece: counted, so that the same job costs and gives the same on every machine.

use crate::error::give_way;
use std::cell::Cell;

/// Vertices bent at a glance for one piece: about two seconds (measured: 4 us each with twelve sides to a cell, 1.5 with six).
/// Fewer find less good fits of fine motifs; more keep the person waiting.
const MOST: usize = 500_000;
/// What a glance costs whatever its size, in vertices (measured: half a millisecond).
const EACH: usize = 150;
/// What bending in full costs, in glances (measured).
pub(super) const IN_FULL: usize = 3;

/// Vertices for each cell of a piece of few, and at least: as much for five cells would keep the person waiting for nothing.
const EACH_CELL: f64 = 20_000.0;
const LEAST: f64 = 100_000.0;

/// Vertices bent up to now in search of one piece's fit.
pub(super) struct Budget {
    spent: Cell<usize>,
    all: usize,
    most: Cell<usize>,
}

impl Budget {
    /// For a piece of about so many cells.
    pub(super) fn of(cells: f64) -> Budget {
        let all = (cells * EACH_CELL).max(LEAST).min(MOST as f64) as usize;
        Budget { spent: Cell::new(0), all, most: Cell::new(all) }
    }

    /// So many glances at a mesh of so many vertices.
    pub(super) fn spend(&self, glances: usize, vertices: usize) {
        self.spend_more(glances * (EACH + vertices));
    }

    /// Leaves a part of it for what is tried afterwards; 1 for all of it from now on.
    pub(super) fn allow(&self, part: f64) {
        self.most.set((self.all as f64 * part) as usize);
    }

    /// As much work as bending so many vertices.
    pub(super) fn spend_more(&self, vertices: usize) {
        give_way();
        self.spent.set(self.spent.get().saturating_add(vertices));
    }

    pub(super) fn spent(&self) -> usize {
        self.spent.get()
    }

    /// Nothing is begun any more; what was found up to now is taken.
    pub(super) fn is_spent(&self) -> bool {
        self.spent() >= self.most.get()
    }
}
