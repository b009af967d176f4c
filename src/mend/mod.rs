//! Remedies tried, jobs mended with the least change, wishes solved: typed changes put through `work`, never guessed.

mod change;
mod look;
mod options;
mod remedy;
mod search;
mod wish;
mod write;

use crate::job::Job;
use crate::work::Work;

pub use change::{in_words, Change};
pub use look::{look, Look};
pub use remedy::{with_remedies, MOST_TRIED};
pub use search::{mend, Candidate, Mended};
pub use wish::{wish, Solution, Wished};
pub use write::write;

/// Likely bench minutes for one piece.
fn minutes(_work: &Work) -> Option<f64> {
    None
}

/// Weight of the finished piece, g.
fn grams(job: &Job, work: &Work) -> Option<f64> {
    let outline = &work.piece.outline;
    let edge = outline.found.as_ref().unwrap_or(&outline.edge).area();
    let windows: f64 = outline.windows.iter().map(|w| w.ring.area()).sum();
    let holes: f64 =
        outline.holes.iter().map(|h| std::f64::consts::PI * h.diameter.get().powi(2) / 4.0).sum();
    let thickness = job.measured.thickness.unwrap_or(job.sheet.thickness).get();
    Some((edge - work.piece.open_area() - windows - holes) * thickness * job.sheet.metal.density * 1e-3)
}
