//! Remedies tried, jobs mended with the least change, wishes solved: typed changes put through `work`, never guessed.

mod change;
mod hanging;
mod look;
mod margins;
mod options;
mod remedy;
mod search;
mod single;
mod tries;
mod wish;

use crate::work::Work;

pub use change::{changed, edits_of, in_words, Change};
pub use look::{look, PieceChange};
pub use remedy::{with_remedies, Remedies};
pub use search::{mend, mend_while, Candidate, Mended};
pub use wish::{wish, wish_while, Solution, Wished};

/// Likely bench minutes for one piece, filing and handling included.
fn minutes(work: &Work) -> f64 {
    work.plan.time.whole.likely
}
