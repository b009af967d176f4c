//! The piece's edge, its border, kept places, windows and holes. The drawn edge is the only geometry.

mod build;
mod curved;
mod shape;
mod strip;

pub use build::outline;
pub use shape::{rectangle, rings};
pub use strip::{band_length, ConeBlank, FILING};

use crate::geom::{sin_cos_degrees, Region, Ring};
use crate::units::Mm;
use kurbo::{Point, Vec2};

/// The blank with everything that is fixed before the pattern is laid. mm, y up, origin at the middle of the size over all.
#[derive(Debug, Clone)]
pub struct Outline {
    /// The drawn outer edge, lugs joined on. Anticlockwise.
    pub edge: Ring,
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
    /// The edge as the bench measured it, lugs joined on; it stands in for `edge` in borders, weights, hang, rim and
    /// back, and moves no opening.
    pub measured: Option<Ring>,
    /// How the two ends meet when the blank is bent round: neighbours are measured across the seam.
    pub seam: Option<Seam>,
    /// Length that whole repeats must fill along a band, mm: the blank's, less its plain part, a bridge added since
    /// the first and last repeat share the one at the seam.
    pub run: Option<Mm>,
    /// The blank with its filing allowance at both ends, drawn outside the edge.
    pub allowance: Option<Ring>,
}

/// The move that brings a blank's right end (seen from its middle) onto its left end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Seam {
    /// A band: along x by its length.
    Shift(Mm),
    /// A cone: a turn about the point both arcs are struck from.
    Turn { degrees: f64, centre: Point },
}

impl Seam {
    /// The ring moved over the seam: onwards to the right (a band) or anticlockwise (a cone), or the other way.
    pub fn carry(&self, ring: &Ring, onwards: bool) -> Ring {
        let sign = if onwards { 1.0 } else { -1.0 };
        match *self {
            Seam::Shift(length) => ring.shifted(Vec2::new(sign * length.get(), 0.0)),
            Seam::Turn { degrees, centre } => {
                let by = centre.to_vec2();
                ring.shifted(-by).turned(sign * degrees).shifted(by)
            }
        }
    }

    /// The point moved over the seam, as [`Seam::carry`].
    pub fn carry_point(&self, at: Point, onwards: bool) -> Point {
        let sign = if onwards { 1.0 } else { -1.0 };
        match *self {
            Seam::Shift(length) => at + Vec2::new(sign * length.get(), 0.0),
            Seam::Turn { degrees, centre } => {
                let (s, c) = sin_cos_degrees(sign * degrees);
                let v = at - centre;
                centre + Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c)
            }
        }
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
