//! The piece's edge, its border, kept places, windows and holes. The drawn edge is the only geometry.

mod build;
mod curved;
mod domed;
mod seam;
mod seat;
mod shape;
mod strip;

pub use build::outline;
pub use domed::Domed;
pub use seam::Seam;
pub use seat::Seat;
pub use shape::{outer, rectangle, rings};
pub use strip::{band_length, ConeBlank, FILING};

use crate::geom::{Point, Region, Ring};
use crate::units::Mm;

/// The blank with everything that is fixed before the pattern is laid. mm, y up, origin at the middle of the size over all.
#[derive(Debug, Clone)]
pub struct Outline {
    /// The drawn outer edge, lugs joined on. Anticlockwise. Of a piece to be domed: the flat's.
    pub edge: Ring,
    /// The same without lugs.
    pub base: Ring,
    /// For a piece to be domed.
    pub domed: Option<Domed>,
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
    /// How the two ends meet when the blank is bent round: neighbours are measured across the seam.
    pub seam: Option<Seam>,
    /// Length that whole repeats must fill along a band, mm: the blank's, less its plain part, a bridge added since
    /// the first and last repeat share the one at the seam.
    pub run: Option<Mm>,
    /// The blank with its filing allowance at both ends, drawn outside the edge.
    pub allowance: Option<Ring>,
}

impl Outline {
    /// How much wider and higher the bench found the edge than it was drawn; 1 where nothing was measured.
    pub fn stretch(&self) -> (f64, f64) {
        let of = |found: &Ring| {
            let (now, drawn) = (found.bounds(), self.edge.bounds());
            (now.width() / drawn.width(), now.height() / drawn.height())
        };
        self.found.as_ref().map_or((1.0, 1.0), of)
    }
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
    /// Lines drawn inside it: metal that nothing holds.
    pub islands: Vec<Ring>,
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
