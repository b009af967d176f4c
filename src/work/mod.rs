//! The engine: a job in; outline, openings, bridges, findings and plan out, a step each.

use crate::checks::{graph, verdicts, BridgeGraph, Verdict};
use crate::error::Error;
use crate::job::Job;
use crate::openings::{piece, Piece};
use crate::outline::{outline, Outline};
use crate::plan::{plan, Plan};
use std::sync::Arc;

/// Everything computed from a job, before any paper. Its parts are shared, so that a copy costs nothing.
#[derive(Debug, Clone)]
pub struct Work {
    pub piece: Arc<Piece>,
    pub graph: Arc<BridgeGraph>,
    pub verdicts: Vec<Verdict>,
    pub plan: Arc<Plan>,
}

/// Does the whole of it. Errors: sizes that leave no shape, too many openings, a change that names no opening.
pub fn work(job: &Job) -> Result<Work, Error> {
    let outline = outlined(job)?;
    let piece = pierced(job, outline)?;
    let graph = Arc::new(graph(job, &piece));
    Ok(judged(job, piece, graph))
}

/// First step: the blank with everything that is fixed before the pattern is laid.
pub fn outlined(job: &Job) -> Result<Outline, Error> {
    outline(job).map_err(|e| e.in_file(&job.file))
}

/// Second step: the pattern laid and opened.
pub fn pierced(job: &Job, outline: Outline) -> Result<Arc<Piece>, Error> {
    piece(job, outline).map(Arc::new).map_err(|e| e.in_file(&job.file))
}

/// Second step for a hand that waits: the first fit to the border that keeps what is promised, not yet the best.
pub fn pierced_at_once(job: &Job, outline: Outline) -> Result<Arc<Piece>, Error> {
    piece(job, outline).map(Arc::new).map_err(|e| e.in_file(&job.file))
}

/// Last steps, once the bridges are measured: findings and plan.
pub fn judged(job: &Job, piece: Arc<Piece>, graph: Arc<BridgeGraph>) -> Work {
    let mut verdicts = verdicts(job, &piece, &graph);
    let (plan, more) = plan(job, &piece, &graph);
    verdicts.extend(more);
    Work { piece, graph, verdicts, plan: Arc::new(plan) }
}
