//! The engine in one call: a job in, the piece with its verdicts and its plan out.

use crate::checks::{BridgeGraph, Verdict};
use crate::job::Job;
use crate::openings::Piece;
use crate::plan::Plan;

/// Everything computed from a job, before any paper.
#[derive(Debug, Clone)]
pub struct Work {
    pub piece: Piece,
    pub graph: BridgeGraph,
    pub verdicts: Vec<Verdict>,
    pub plan: Plan,
}

/// Marker so that the signature is fixed while rooms are being built.
pub type WorkOf = fn(&Job) -> Result<Work, crate::error::Error>;
