//! The piece's edge, its border, kept places, windows and holes. The drawn edge is the only geometry.

mod build;
mod curved;
mod domed;
mod lanes;
mod motif;
mod seam;
mod seat;
mod shape;
mod stretch;
mod strip;

pub use build::outline;
pub use domed::Domed;
pub use lanes::{Lane, Track};
pub use motif::Middle;
pub use seam::Seam;
pub use seat::Seat;
pub use shape::{outer, rectangle, rings};
pub use stretch::Stretch;
pub use strip::{band_length, ConeBlank, FILING};

use crate::geom::{Point, Rect, Region, Ring};
use crate::units::Mm;

/// The blank with everything that is fixed before the pattern is laid. mm, y up, origin at the middle of the bounding box.
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
    /// Bounding box of the outline without its lugs: width, height.
    pub size: (Mm, Mm),
    /// Solid metal kept round it.
    pub border: Mm,
    /// Where the pattern's openings may lie: `room` less windows, holes, circles of rows and the middle with their metal, and
    /// the kept places.
    pub field: Vec<Region>,
    /// The edge drawn in to where the pattern begins; repeats that overlap it must be opened or listed as left solid.
    pub room: Vec<Region>,
    /// The edge drawn in by the border alone.
    pub inside_border: Vec<Region>,
    /// How deep inside the edge the pattern begins: the border, or what the rows along it take.
    pub pattern_from: Mm,
    /// Where rows of openings run.
    pub lanes: Vec<Lane>,
    /// Ground of rows along circles.
    pub circles: Vec<Region>,
    /// The motif in the middle.
    pub middle: Option<Middle>,
    /// Places that stay solid.
    pub keeps: Vec<KeptPlace>,
    /// Openings beside the pattern.
    pub windows: Vec<Window>,
    /// Drilled holes that stay.
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
    /// Whether a place belongs to a row along a circle or to the middle.
    pub fn is_set_aside(&self, at: Point) -> bool {
        let on_circle =
            |r: &Region| r.outer().contains(at) && !r.holes().iter().any(|hole| hole.contains(at));
        self.circles.iter().any(on_circle) || self.middle.as_ref().is_some_and(|m| m.ground.contains(at))
    }

    /// How much wider and higher the bench found the edge than it was drawn.
    pub fn stretch(&self) -> Stretch {
        self.found.as_ref().map_or(Stretch::NONE, |found| Stretch::between(&self.edge, found))
    }

    /// Bounding box without the lugs, as the bench found them; as drawn where nothing was measured.
    pub fn found_size(&self) -> (Mm, Mm) {
        self.stretch().size(self.size)
    }
}

/// A place that stays solid.
#[derive(Debug, Clone)]
pub struct KeptPlace {
    /// As the job names it.
    pub name: String,
    /// Its drawn line, anticlockwise.
    pub ring: Ring,
    /// The box round it: most of what is asked lies outside.
    pub bounds: Rect,
}

impl KeptPlace {
    pub(crate) fn new(name: String, ring: Ring) -> KeptPlace {
        KeptPlace { name, bounds: ring.bounds(), ring }
    }

    /// Whether a point lies in it; on its line counts either way.
    pub fn contains(&self, at: Point) -> bool {
        holds(self.bounds, 0.0, at) && self.ring.contains(at)
    }
}

/// Whether a point lies in a box, or no farther from it than this, mm.
fn holds(bounds: Rect, within: f64, at: Point) -> bool {
    let far = within + 1e-6;
    bounds.inflate(far, far).contains(at)
}

/// An opening beside the pattern: for a stone, a keyhole, a name.
#[derive(Debug, Clone)]
pub struct Window {
    /// "W1", "W2"...
    pub label: String,
    /// As the job names it.
    pub name: String,
    /// Its drawn line, anticlockwise.
    pub ring: Ring,
    /// The box round it: most of what is asked lies outside.
    pub bounds: Rect,
    /// Solid metal kept round it.
    pub border: Mm,
    /// How far from it the pattern begins: its border, or what the rows round it take.
    pub pattern_from: Mm,
    /// Lines drawn inside it: metal that nothing holds.
    pub islands: Vec<Ring>,
    /// Start hole for the saw: middle of the widest circle.
    pub drill_at: Point,
    /// Diameter of the largest circle that fits.
    pub widest: Mm,
}

impl Window {
    /// Whether a point lies in it; on its line counts either way.
    pub fn contains(&self, at: Point) -> bool {
        holds(self.bounds, 0.0, at) && self.ring.contains(at)
    }

    /// Whether a point lies in it or in the metal kept round it.
    pub fn is_about(&self, at: Point) -> bool {
        let far = self.border.get() + 1e-6;
        holds(self.bounds, far, at) && self.ring.signed_distance(at) >= -far
    }
}

/// A drilled hole that stays.
#[derive(Debug, Clone)]
pub struct Hole {
    /// "H1", "H2"...
    pub label: String,
    /// As the job names it.
    pub name: String,
    /// Its middle.
    pub at: Point,
    /// Of the drill.
    pub diameter: Mm,
}

impl Hole {
    /// Whether the maker named it; left out it is called just a hole.
    pub fn has_name(&self) -> bool {
        !matches!(self.name.as_str(), "" | "hole")
    }
}
