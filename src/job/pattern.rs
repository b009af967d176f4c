//! What a job says of its pattern, resolved.

use crate::catalogue::Pattern;
use crate::geom::Point;
use crate::units::Mm;
use std::sync::Arc;

/// The openwork of a piece.
#[derive(Debug, Clone)]
pub struct PatternSpec {
    /// Which pattern.
    pub source: PatternSource,
    /// Shortest repeat in mm; `None`: chosen to suit the piece and the hand (module `pattern`).
    pub pitch: Option<Mm>,
    /// A pitch that is chosen is the smallest that can be pierced.
    pub finest: bool,
    /// Metal between openings, as drawn; where bridges are graded, at the start: in the middle, or at the near end of
    /// the line. Each opening keeps half its own bridge, so that between two it is the mean of both.
    pub bridge: Mm,
    /// Bridge at the end of the grading; `None`: the same everywhere.
    pub bridge_to: Option<Mm>,
    /// Bridges and cells are graded along a line in this direction, degrees; `None`: from the middle outwards.
    pub along: Option<f64>,
    /// Degrees, anticlockwise.
    pub turn: f64,
    /// What lies in the middle of the piece.
    pub centre: CentreChoice,
    /// Where that lies instead, mm; `None`: in the middle of the piece, or a little beside it where a fit to the border comes
    /// out better.
    pub at: Option<Point>,
    /// How it meets the border.
    pub at_border: AtBorder,
    /// Of the corners of its openings.
    pub corner_radius: Mm,
    /// Seed of grown patterns.
    pub variation: u64,
    /// What only grown patterns use.
    pub grown: GrownSettings,
}

impl PatternSpec {
    /// The narrowest drawn bridge.
    pub fn least_bridge(&self) -> Mm {
        self.bridge_to.map_or(self.bridge, |to| to.min(self.bridge))
    }

    /// The widest drawn bridge.
    pub fn most_bridge(&self) -> Mm {
        self.bridge_to.map_or(self.bridge, |to| to.max(self.bridge))
    }
}

/// What a grown pattern may be told besides its pitch; each uses what has a meaning for it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GrownSettings {
    /// How many times it comes again in one turn: petals, rays, directions of bridges.
    pub fold: Option<u32>,
    /// Shrinking to the edge: sides of an opening and openings round a crossing.
    pub sides: Option<(u32, u32)>,
    /// How often the cells are evened.
    pub passes: Option<u32>,
    /// Pitch at the end of the grading over pitch at its start, less 1; from -0.7 to 2.
    pub grade: f64,
}

/// Where a pattern comes from.
#[derive(Debug, Clone)]
pub enum PatternSource {
    /// No pattern: rows and the middle are all there is.
    None,
    /// A repeat read from a pattern file and proved.
    Repeat(Arc<Pattern>),
    /// A pattern that is grown or set out round a point; the name is one of `catalogue::GROWN`.
    Grown(String),
}

/// What lies in the middle of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CentreChoice {
    /// The middle of an opening.
    Opening,
    /// Where bridges meet.
    Crossing,
    /// The middle of a bridge.
    Bridge,
    /// Whichever comes out best.
    Best,
}

/// How a pattern meets the border.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum AtBorder {
    /// Cells bent so that whole ones run along the border; where that does not suit, the best of the others.
    Fit,
    /// Cut at it.
    Trim,
    /// Only whole repeats.
    Whole,
    /// Small cut ones joined to a neighbour.
    Join,
    /// Stretched a little for an even edge row.
    Ease,
}
