//! What is taken off a cell, and the least that can be pierced.

use super::DRILL_CLEARANCE;
use crate::job::Job;
use crate::pattern::{Cell, Laid};

/// Bridge taken off a cell, mm.
pub(super) fn bridge_of(job: &Job, laid: &Laid, cell: &Cell) -> f64 {
    cell.bridge.unwrap_or(usual_bridge(job, laid))
}

/// Bridge taken off cells that have none of their own, mm; motifs are openings as they stand.
pub(super) fn usual_bridge(job: &Job, laid: &Laid) -> f64 {
    if laid.motif {
        0.0
    } else {
        job.pattern.bridge.get()
    }
}

/// Least diameter that can be pierced: the drill and its clearance.
pub(super) fn pierceable(job: &Job) -> f64 {
    job.saw.drill.get() + DRILL_CLEARANCE
}
