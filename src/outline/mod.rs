//! The piece's edge, its border, kept places, windows and holes. The drawn edge is the only geometry.

mod build;
mod shape;

pub use build::outline;
pub use shape::rings;

use crate::geom::{Region, Ring};
use crate::units::Mm;
use kurbo::Point;

/// The blank with everything that is fixed before the pattern is laid. mm, y up, origin at the middle of the size over all.
#[derive(Debug, Clone)]
pub struct Outline {
    /// The drawn outer edge, lugs joined on. Anticlockwise.
    pub edge: Ring,
    /// The outer edge as the bench measured it; it moves no opening, but border, weights, hang, rim and back follow it.
    pub found: Option<Ring>,
    /// Size over all of the outline without its lugs: width, height.
    pub size: (Mm, Mm),
    pub border: Mm,
    /// Where openings may lie: the edge drawn in by the border, less windows and holes with theirs and the kept places.
    pub field: Vec<Region>,
    /// The edge drawn in by the border alone; repeats that overlap it must be opened or listed as left solid.
    pub inside_border: Vec<Region>,
    pub keeps: Vec<Kept>,
    pub windows: Vec<Window>,
    pub holes: Vec<Hole>,
    /// A band's length when its two ends meet: neighbours are measured across the seam.
    pub seam: Option<Mm>,
}

#[derive(Debug, Clone)]
pub struct Kept {
    pub name: String,
    pub ring: Ring,
}

#[derive(Debug, Clone)]
pub struct Window {
    /// "W1", "W2"...
    pub label: String,
    pub name: String,
    pub ring: Ring,
    pub border: Mm,
    /// Start hole for the saw: middle of the widest circle.
    pub drill_at: Point,
    /// Diameter of the largest circle that fits.
    pub widest: Mm,
}

#[derive(Debug, Clone)]
pub struct Hole {
    /// "H1", "H2"...
    pub label: String,
    pub name: String,
    pub at: Point,
    pub diameter: Mm,
}
