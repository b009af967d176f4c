//! Every bridge measured, and what the metal will say to it.
//!
//! A check looks at the piece at its *finished* widths and says one thing for each cause it finds: what was measured,
//! what it should be, where the worst place is and where the limit comes from; or one line that all is well.

mod alike;
mod border;
mod bridge;
mod case;
mod corners;
mod finding;
mod fit;
mod fixed;
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

pub use bridge::{Bridge, BridgeGraph, Side};
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

use crate::job::Job;
use crate::openings::Piece;
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
