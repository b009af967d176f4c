//! How much may be bent for one piece: counted, so that the same job costs and gives the same on every machine.

use super::Effort;
use crate::error::give_way;
use std::cell::Cell;

/// Vertices bent at a glance for one piece, at most and at least (measured: 1 to 3 us each), and times its cells. The most finds a
/// fit for patterns of several shapes on small pieces, where every cell is seen; half of it would find none for one in
/// seventy of them. The least is what pieces of 270 cells and more take, which hardly ever fail: more would keep
/// whoever moves something on a page waiting for the drawing that is true.
const MOST: f64 = 480_000.0;
const LEAST: f64 = 120_000.0;
const TIMES_CELLS: f64 = 32e6;
/// The part of it that a first good fit may cost.
const AT_FIRST: f64 = 0.25;
/// What a glance costs whatever its size, in vertices (measured: half a millisecond).
const EACH: usize = 150;
/// What bending in full costs, in glances (measured).
pub(super) const IN_FULL: usize = 3;

/// Vertices bent up to now in search of one piece's fit.
pub(super) struct Budget {
    spent: Cell<usize>,
    all: usize,
    most: Cell<usize>,
}

impl Budget {
    /// For a piece of about so many cells.
    pub(super) fn of(cells: f64, effort: Effort) -> Budget {
        let share = if effort == Effort::First { AT_FIRST } else { 1.0 };
        let all = (share * (TIMES_CELLS / cells.max(1.0)).clamp(LEAST, MOST)) as usize;
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
