//! The engine in one call: a job in, the piece with its verdicts and its plan out.

use crate::checks::{graph, verdicts, BridgeGraph, Verdict};
use crate::error::Error;
use crate::job::Job;
use crate::openings::{piece, Piece};
use crate::outline::outline;
use crate::plan::{plan, Plan};

/// Everything computed from a job, before any paper.
#[derive(Debug, Clone)]
pub struct Work {
    pub piece: Piece,
    pub graph: BridgeGraph,
    pub verdicts: Vec<Verdict>,
    pub plan: Plan,
}

/// Does the whole of it. Errors are those of the rooms: sizes that leave no shape, too many openings, a change that
/// names no opening.
pub fn work(job: &Job) -> Result<Work, Error> {
    let piece = outline(job).and_then(|o| piece(job, o)).map_err(|e| e.in_file(&job.file))?;
    let graph = graph(job, &piece);
    let mut verdicts = verdicts(job, &piece, &graph);
    let (plan, more) = plan(job, &piece, &graph);
    verdicts.extend(more);
    Ok(Work { piece, graph, verdicts, plan })
}
