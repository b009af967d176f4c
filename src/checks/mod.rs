//! Every bridge measured, and what the metal will say to it.

mod graph;

pub use graph::graph;

use crate::job::Job;
use crate::openings::Piece;
use crate::units::Mm;
use kurbo::Point;
use serde::Serialize;

/// Which edge a bridge runs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Opening by its number.
    Opening(usize),
    /// The outer edge (0 in JSON).
    Edge,
    /// Window by its place from 1 ("W1").
    Window(usize),
    /// Hole by its place from 1 ("H1").
    Hole(usize),
}

/// Metal between two edges at its narrowest: the least distance, with its two witness points.
#[derive(Debug, Clone, PartialEq)]
pub struct Bridge {
    pub between: [Side; 2],
    /// As drawn.
    pub width: Mm,
    /// After clean-up on each sawn side.
    pub finished: Mm,
    /// Witness points, one on each edge.
    pub at: [Point; 2],
}

/// All bridges of a piece.
#[derive(Debug, Clone, Default)]
pub struct BridgeGraph {
    /// Thinnest finished first.
    pub bridges: Vec<Bridge>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    Good,
    Caution,
    Stop,
}

/// What one check has to say.
#[derive(Debug, Clone, Serialize)]
pub struct Verdict {
    /// Name of the check: "bridge-width".
    pub check: &'static str,
    pub level: Level,
    pub measured: Option<f64>,
    pub limit: Option<f64>,
    pub unit: &'static str,
    #[serde(rename = "at_mm")]
    pub at: Option<[f64; 2]>,
    /// A plain sentence.
    pub says: String,
    /// A remedy that was tried, or `None`.
    pub remedy: Option<String>,
    /// Why there is no remedy, or which rule binds and its source.
    pub because: String,
}

/// All verdicts on a piece, in the order the bench meets them.
pub fn verdicts(_job: &Job, _piece: &Piece, _graph: &BridgeGraph) -> Vec<Verdict> {
    Vec::new()
}
