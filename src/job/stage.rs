//! The steps of a job, by which reads a key first.

/// The steps of a job, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// The edge, the border and what is fixed in it.
    Outline,
    /// The pattern laid, bridges still on.
    Cells,
    /// Bridges taken off, cells trimmed and numbered.
    Openings,
    /// The metal between, measured.
    Bridges,
    /// What speaks against it, and the plan.
    Findings,
    /// Pages.
    Paper,
}
