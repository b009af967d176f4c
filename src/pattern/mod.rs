//! Repeats laid over the outline: periodic, grown and radial. Cells are whole and touch; the bridge is taken off later.

use crate::geom::Ring;
use kurbo::Vec2;

/// Cells laid over the piece, before bridges are taken off. mm, the pattern's centre at the outline's middle.
#[derive(Debug, Clone, Default)]
pub struct Laid {
    /// Cell shapes, turned and sized; a repeat has a few, a grown pattern one for each cell.
    pub kinds: Vec<Ring>,
    pub cells: Vec<Cell>,
    /// The cells are motifs that do not touch: they are openings as they stand.
    pub motif: bool,
    pub notes: Vec<String>,
}

/// One cell: a kind and where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    pub kind: usize,
    pub at: Vec2,
    /// Bridge round this cell when it is not the job's (graded walls), mm.
    pub bridge: Option<f64>,
}
