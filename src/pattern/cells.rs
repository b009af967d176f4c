//! The step between outline and openings: a job's cells as the pattern alone lays them.

use super::{fitted, lay, starts, Effort, Fits, Laid, Start};
use crate::error::Error;
use crate::job::{AtBorder, Job, PatternSource};
use crate::outline::Outline;

/// The cells of a job, bridges still on. Where the pattern may be laid in several ways (a centre to be chosen, an edge row
/// to be evened, cells to be bent), openings choose among the ways; these come first.
#[derive(Debug, Clone)]
pub enum Cells {
    /// Laid from the first of the job's [`starts`].
    Laid(Laid),
    /// Bent to the border.
    Fitted(Fits),
}

/// Lays a job's cells. Errors as those of [`lay`].
pub fn cells(job: &Job, outline: &Outline) -> Result<Cells, Error> {
    cells_by(job, outline, Effort::Best)
}

/// The same with a choice of how far a fit is sought.
pub fn cells_by(job: &Job, outline: &Outline, effort: Effort) -> Result<Cells, Error> {
    let start = |job: &Job| starts(job, outline).into_iter().next().unwrap_or(Start::MIDDLE);
    match (job.pattern.at_border, &job.pattern.source) {
        (AtBorder::Fit, PatternSource::Repeat(pattern)) => {
            Ok(Cells::Fitted(fitted(pattern, job, outline, effort)))
        }
        (AtBorder::Fit, PatternSource::Grown(_)) => {
            // Begun at the border, or following it as it eases.
            let mut eased = job.clone();
            eased.pattern.at_border = AtBorder::Ease;
            lay(&eased, outline, &start(&eased)).map(Cells::Laid)
        }
        _ => lay(job, outline, &start(job)).map(Cells::Laid),
    }
}

impl Cells {
    /// The first of the ways, if there is one.
    pub fn first(&self) -> Option<&Laid> {
        match self {
            Cells::Laid(laid) => Some(laid),
            Cells::Fitted(fits) => fits.ways.iter().flatten().next().map(|fit| &fit.laid),
        }
    }
}
