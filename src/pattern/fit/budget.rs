//! How much may be bent for one piece: counted, so that the same job costs and gives the same on every machine.

use std::cell::Cell;

/// Vertices bent at a glance for one piece: about two seconds (measured: 4 us each with twelve sides to a cell, 1.5 with six).
/// Fewer find less good fits of fine motifs; more keep the person waiting.
const MOST: usize = 500_000;
/// What a glance costs whatever its size, in vertices (measured: half a millisecond).
const EACH: usize = 150;
/// What bending in full costs, in glances (measured).
pub(super) const IN_FULL: usize = 3;

/// Vertices bent up to now in search of one piece's fit.
pub(super) struct Budget {
    spent: Cell<usize>,
    most: Cell<usize>,
}

impl Default for Budget {
    fn default() -> Budget {
        Budget { spent: Cell::new(0), most: Cell::new(MOST) }
    }
}

impl Budget {
    /// So many glances at a mesh of so many vertices.
    pub(super) fn spend(&self, glances: usize, vertices: usize) {
        self.spend_more(glances * (EACH + vertices));
    }

    /// Leaves a part of it for what is tried afterwards; 1 for all of it from now on.
    pub(super) fn allow(&self, part: f64) {
        self.most.set((MOST as f64 * part) as usize);
    }

    /// As much work as bending so many vertices.
    pub(super) fn spend_more(&self, vertices: usize) {
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
