//! The engine: a job in; outline, openings, bridges, findings and plan out, a step each.

use crate::checks::{graph, verdicts, BridgeGraph, Verdict};
use crate::error::{guarded, Error};
use crate::job::Job;
use crate::openings::{open, Piece};
use crate::outline::{outline, Outline};
use crate::pattern::{cells, Cells};
use crate::plan::card::findings;
use crate::plan::{plan, Plan};
use std::sync::Arc;

/// Everything computed from a job, before any paper. Its parts are shared, so that a copy costs nothing.
#[derive(Debug, Clone)]
pub struct Work {
    /// The openings in their outline.
    pub piece: Arc<Piece>,
    /// Every bridge measured.
    pub graph: Arc<BridgeGraph>,
    /// What speaks for and against it, in the order of the bench.
    pub verdicts: Vec<Verdict>,
    /// The numbers of the bench and the job card.
    pub plan: Arc<Plan>,
}

/// Does the whole of it. Errors: sizes that leave no shape, too many openings, a change that names no opening.
pub fn work(job: &Job) -> Result<Work, Error> {
    guarded(|| worked(job))
}

/// The same for steps that follow: a fault of our own goes through to whoever called the first of them.
pub fn worked(job: &Job) -> Result<Work, Error> {
    let outline = outlined(job)?;
    let cells = celled(job, &outline)?;
    let piece = pierced(job, outline, &cells)?;
    let graph = Arc::new(graph(job, &piece));
    Ok(judged(job, piece, graph))
}

/// First step: the blank with everything that is fixed before the pattern is laid.
pub fn outlined(job: &Job) -> Result<Outline, Error> {
    outline(job).map_err(|e| e.in_file(&job.file))
}

/// Second step: the pattern laid over it.
pub fn celled(job: &Job, outline: &Outline) -> Result<Cells, Error> {
    cells(job, outline).map_err(|e| e.in_file(&job.file))
}

/// Third step: the cells opened.
pub fn pierced(job: &Job, outline: Outline, cells: &Cells) -> Result<Arc<Piece>, Error> {
    open(job, outline, cells).map(Arc::new).map_err(|e| e.in_file(&job.file))
}

/// Last steps, once the bridges are measured: findings and plan.
pub fn judged(job: &Job, piece: Arc<Piece>, graph: Arc<BridgeGraph>) -> Work {
    let mut verdicts = verdicts(job, &piece, &graph);
    let (mut plan, more) = plan(job, &piece, &graph);
    verdicts.extend(more);
    // They stand on the card after the piece itself.
    if let Some(found) = findings(&verdicts, job.units) {
        plan.card.insert(plan.card.len().min(1), found);
    }
    Work { piece, graph, verdicts, plan: Arc::new(plan) }
}
