//! Every bridge measured, and what the metal will say to it.
//!
//! A check looks at the piece at its *finished* widths and says one thing for each cause it finds: what was measured,
//! what it should be, where the worst place is and where the limit comes from; or one line that all is well.

mod border;
mod case;
mod corners;
mod finding;
mod fit;
mod graph;
mod heat;
mod held;
mod loose;
mod reach;
mod solid;
mod strength;
mod tongue;
mod verdict;
mod widths;

pub use corners::{narrowest_neck, out_of_reach, worst_bay, Bay};
pub use finding::{
    blade_name, once_sawn, BenchFinding, FileFit, Finding, HeatFinding, Hold, Instead, Margin, MetalFinding,
    PaperFinding, ToolFinding, Width,
};
pub use fit::{blade_with_teeth, smaller_drill};
pub use graph::graph;
pub use heat::{rim_heat, seam_room, seam_solder};
pub use held::{held_by_one, HeldByOne};
pub use reach::beyond_the_frame;
pub use verdict::{Level, Quantity, Verdict};
pub use widths::{border_limit, bridge_limit, margin, margin_limit, WidthLimit, WidthRule};

use crate::geom::Point;
use crate::job::Job;
use crate::openings::Piece;
use crate::units::Mm;
use case::Case;
use serde::{Serialize, Serializer};
use std::fmt;

macro_rules! checks {
    ($($(#[$doc:meta])* $check:ident $name:literal;)*) => {
        /// Everything that is looked at, in the order the bench meets it. The names stand in the JSON and on the screen.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Check {
            $($(#[$doc])* $check,)*
        }

        impl Check {
            /// All of them.
            pub const ALL: &'static [Check] = &[$(Check::$check,)*];

            /// As it is written: "bridge-width".
            pub fn name(self) -> &'static str {
                match self {
                    $(Check::$check => $name,)*
                }
            }
        }
    };
}

checks! {
    /// Start holes in the openings.
    DrillFit "drill-fit";
    /// The blade through the start hole, necks and corners.
    BladeFit "blade-fit";
    /// Teeth in the thickness.
    BladeTeeth "blade-teeth";
    /// The saw frame round the piece.
    FrameReach "frame-reach";
    /// Files in the openings.
    OpeningSize "opening-size";
    /// Metal between openings.
    BridgeWidth "bridge-width";
    /// Metal to the edge, round windows and round holes.
    BorderWidth "border-width";
    /// Metal that falls out.
    LooseMetal "loose-metal";
    /// Metal that hangs by one bridge.
    HeldByOne "held-by-one";
    /// Metal held at one end, and tips.
    Tongue "tongue";
    /// Bridges that bend under the saw.
    BridgeStrength "bridge-strength";
    /// Openwork beside a torch.
    BridgeHeat "bridge-heat";
    /// Solid patches inside the border.
    SolidPatch "solid-patch";
    /// The pattern against its outline.
    BorderFit "border-fit";
    /// Solders in their order.
    SolderSteps "solder-steps";
    /// How the piece falls.
    Hang "hang";
    /// What doming does to the openings.
    Doming "doming";
    /// Rings through their holes.
    RingFit "ring-fit";
    /// Blanks in the sheet.
    StockFit "stock-fit";
    /// What the piece weighs.
    Weight "weight";
    /// How long the work takes.
    Hours "hours";
    /// The template on its paper.
    PaperFit "paper-fit";
}

impl fmt::Display for Check {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}

impl Serialize for Check {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.name())
    }
}

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

impl Side {
    /// Its place in the order of sides, as one number that is quickly compared.
    fn rank(self) -> u64 {
        let (kind, n) = match self {
            Side::Opening(n) => (0, n),
            Side::Edge => (1, 0),
            Side::Window(w) => (2, w),
            Side::Hole(h) => (3, h),
        };
        (kind << 60) | n as u64
    }

    /// As short as a table wants it: "12", "the edge", "W1", "H1".
    pub fn short(self) -> String {
        match self {
            Side::Opening(n) => n.to_string(),
            Side::Edge => "the edge".to_string(),
            other => other.to_string(),
        }
    }
}

impl fmt::Display for Side {
    /// As said on the bench: "opening 12", "the outer edge", "W1", "H1".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Side::Opening(n) => write!(f, "opening {n}"),
            Side::Edge => write!(f, "the outer edge"),
            Side::Window(w) => write!(f, "W{w}"),
            Side::Hole(h) => write!(f, "H{h}"),
        }
    }
}

/// Metal between two edges at its narrowest: the least distance, with its two witness points.
#[derive(Debug, Clone, PartialEq)]
pub struct Bridge {
    /// What it runs between.
    pub between: [Side; 2],
    /// As drawn.
    pub width: Mm,
    /// After clean-up on each sawn side.
    pub finished: Mm,
    /// Witness points, one on each edge.
    pub at: [Point; 2],
}

impl Bridge {
    /// Halfway between the two edges.
    pub fn midpoint(&self) -> Point {
        self.at[0].midpoint(self.at[1])
    }

    /// The openings at its ends, by their numbers.
    pub fn openings(&self) -> impl Iterator<Item = usize> + '_ {
        self.between.iter().filter_map(|side| match side {
            Side::Opening(n) => Some(*n),
            _ => None,
        })
    }

    /// Both ends are openings.
    pub fn is_between_openings(&self) -> bool {
        matches!(self.between, [Side::Opening(_), Side::Opening(_)])
    }
}

/// All bridges of a piece.
#[derive(Debug, Clone, Default)]
pub struct BridgeGraph {
    /// Thinnest finished first.
    pub bridges: Vec<Bridge>,
}

/// "1 bridge", "3 bridges".
pub(crate) fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

/// The outer edge is measured when the piece is sawn: nothing about it can be stopped any more.
fn once_measured(mut verdict: Verdict) -> Verdict {
    verdict.level = verdict.level.min(Level::Caution);
    verdict
}

/// All verdicts on a piece, in the order the bench meets them: drill, blade, frame, the widths, what may fall out or
/// bend, the torch.
pub fn verdicts(job: &Job, piece: &Piece, graph: &BridgeGraph) -> Vec<Verdict> {
    let case = Case::new(job, piece, graph);
    [
        fit::drill_fit,
        fit::blade_fit,
        fit::blade_teeth,
        reach::frame_reach,
        fit::opening_size,
        widths::bridge_width,
        widths::border_width,
        loose::loose_metal,
        held::held_firm,
        tongue::tongue,
        strength::bridge_strength,
        heat::bridge_heat,
        solid::solid_patch,
        border::border_fit,
    ]
    .into_iter()
    .flat_map(|check| check(&case))
    .map(|verdict| if job.measured.outline.is_some() { once_measured(verdict) } else { verdict })
    .collect()
}
