//! From repeats to openings: bridges taken off, trimmed at the border, rounded, each with its drill point.

mod fitted;
mod join;
mod measure;
mod open;
mod piece;
mod score;
mod sequence;
mod taken;

pub use crate::pattern::DRILL_CLEARANCE;
pub use fitted::BorderFit;
pub use measure::{boxes, corners_of};
pub use piece::{first_piece, open, piece};

use crate::geom::{Point, Ring};
use crate::outline::Outline;
use crate::pattern::RowSet;
use crate::units::Mm;

/// The piece as drawn.
#[derive(Debug, Clone)]
pub struct Piece {
    /// What they lie in.
    pub outline: Outline,
    /// In order of number: `openings[i].n == i + 1`.
    pub openings: Vec<Opening>,
    /// Repeats that were not opened, from the foot up.
    pub left_solid: Vec<LeftSolid>,
    /// What the pattern came out as.
    pub resolved: Resolved,
}

/// One sawn opening.
#[derive(Debug, Clone)]
pub struct Opening {
    /// Its number everywhere, from 1: the order of piercing.
    pub n: usize,
    /// The drawn edge, anticlockwise.
    pub ring: Ring,
    /// Where the start hole is drilled: the middle of the largest circle that fits.
    pub drill_at: Point,
    /// Diameter of the largest circle that fits.
    pub widest: Mm,
    /// mm2.
    pub area: f64,
    /// Perimeter of the drawn edge.
    pub perimeter: Mm,
    /// Centroid.
    pub centroid: Point,
    /// Corners sharper than the saw can turn (more than 30 degrees of turn at a point).
    pub corners: usize,
    /// Cut by the border, a window or a kept place.
    pub trimmed: bool,
    /// Openings with the same number here differ only in place; none for one that has no like.
    pub shape: Option<u32>,
}

/// A repeat that was not opened, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct LeftSolid {
    /// Its middle.
    pub at: Point,
    /// Why, for people.
    pub reason: String,
    /// A whole repeat of which the bridge and the rounding leave nothing: nobody asked for that.
    pub whole: bool,
}

/// What the pattern came out as.
#[derive(Debug, Clone)]
pub struct Resolved {
    /// From one repeat to the next.
    pub pitch: Mm,
    /// As drawn; where bridges are graded, at the start.
    pub bridge: Mm,
    /// The bridge at the end of the grading.
    pub bridge_to: Option<Mm>,
    /// "opening", "crossing" or "bridge".
    pub centre: String,
    /// Degrees anticlockwise; on a band as it closes.
    pub turn: f64,
    /// Where the pattern file's own origin lies, mm; on a cone before it is bent. None for a grown pattern.
    pub origin: Option<Point>,
    /// Whole repeats along a band, rounds of a grown pattern; empty where it has no meaning.
    pub repeats: Vec<u32>,
    /// How the pattern met the border when it was asked to fit it.
    pub border: Option<BorderFit>,
    /// What opening it took, all places tried counted, in units of about 20 us: counted by openings, not timed.
    pub worked: usize,
    /// Rows of openings, in the order of the job.
    pub rows: Vec<RowSet>,
    /// Sums and choices worth showing: "pitch 6.20: chosen so that ...".
    pub notes: Vec<String>,
}
