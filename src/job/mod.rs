//! The job: everything the maker decided, resolved to millimetres, with no defaults, strings or mixed units left.

mod bench;
mod construct;
mod defaults;
mod found;
mod keys;
mod page;
mod pattern;
mod places;
mod read;
mod repeat;
mod resolve;
mod shape;
mod syntax;

pub use found::measure;
pub use keys::{nearest, outlines, suggestion, Outline};
pub use page::{LabelGrid, MarksShown, PaperSpec, SawLine, Shade, Transfer};
pub use pattern::{AtBorder, CentreChoice, GrownSettings, PatternSource, PatternSpec};
pub use resolve::{needs, parse};

use crate::geom::Ring;
use crate::trade::{Blade, Metal};
use crate::units::Mm;
use kurbo::Point;
use std::collections::BTreeMap;

pub use crate::units::LengthUnit;

/// The bytes of the files a job names, under the names it gives them.
pub type NamedFiles = BTreeMap<String, Vec<u8>>;

/// How sure the hand is: sets limits, clean-up and rates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Skill {
    First,
    Practised,
    FineWork,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Temper {
    Soft,
    HalfHard,
}

/// A resolved job. Lengths in mm; points in mm, y up, origin at the middle of the outline's size over all.
#[derive(Debug, Clone)]
pub struct Job {
    /// File name as the user gave it, for messages.
    pub file: String,
    pub title: String,
    pub units: LengthUnit,
    pub skill: Skill,
    /// Single pieces to make: a pair is two of them.
    pub pieces: u32,
    /// Left and right, mirrored.
    pub pair: bool,
    pub sheet: Sheet,
    pub outline: OutlineSpec,
    pub pattern: PatternSpec,
    pub keep_solid: Vec<KeepSolid>,
    pub windows: Vec<WindowSpec>,
    pub holes: Vec<HoleSpec>,
    pub lugs: Vec<LugSpec>,
    pub changes: Vec<Change>,
    pub limits: Limits,
    pub saw: Saw,
    pub measured: Measured,
    pub construction: Construction,
    pub paper: PaperSpec,
    pub rates: Rates,
    pub wish: Option<Wish>,
}

#[derive(Debug, Clone)]
pub struct Sheet {
    pub metal: Metal,
    pub thickness: Mm,
    pub temper: Temper,
    /// Sheet or off-cut to lay pieces on: width, height.
    pub stock: Option<(Mm, Mm)>,
    pub price_per_gram: Option<f64>,
}

#[derive(Debug, Clone)]
pub struct OutlineSpec {
    pub shape: Shape,
    /// Solid metal inside the drawn edge.
    pub border: Mm,
}

/// An outline, window or kept place. Sizes over all, in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    Circle {
        diameter: Mm,
    },
    Ellipse {
        width: Mm,
        height: Mm,
    },
    Rectangle {
        width: Mm,
        height: Mm,
        corner_radius: Mm,
    },
    /// Regular; `across` is corner to corner, a corner at the top.
    Polygon {
        sides: u32,
        across: Mm,
        corner_radius: Mm,
    },
    /// A full drop, its tip at the top. `tip_radius` 0 leaves the tip sharp, here and below.
    Teardrop {
        width: Mm,
        height: Mm,
        tip_radius: Mm,
    },
    /// Its tip at the foot.
    Heart {
        width: Mm,
        height: Mm,
        tip_radius: Mm,
    },
    /// Two arcs that meet in a tip at each end of the longer size.
    Marquise {
        width: Mm,
        height: Mm,
        tip_radius: Mm,
    },
    /// Four gently bowed sides with round corners; see [`Shape::cushion_corner`].
    Cushion {
        width: Mm,
        height: Mm,
        corner_radius: Mm,
    },
    /// A moon, `thick` at its middle; see [`Shape::crescent_thick`]. It opens to the right when taller than wide, up
    /// when wider than tall.
    Crescent {
        width: Mm,
        height: Mm,
        thick: Mm,
        tip_radius: Mm,
    },
    /// A closed strip for a finger or wrist: x runs along, from -length/2 to length/2. `plain` is the length left solid
    /// at the back, over the seam; 0 for a pattern all round.
    Band {
        inside: Mm,
        width: Mm,
        thickness: Mm,
        plain: Mm,
    },
    /// A cone's blank: diameters and height at mid thickness.
    Cone {
        top: Mm,
        bottom: Mm,
        height: Mm,
    },
    /// Already turned into rings by the job room: the outline first, inner lines after it.
    Drawn {
        rings: Vec<Ring>,
    },
}

impl Shape {
    /// Corner radius of a cushion when the job names none: a quarter of the shorter side.
    pub fn cushion_corner(width: Mm, height: Mm) -> Mm {
        width.min(height) * 0.25
    }

    /// Thickness of a crescent at its middle when the job names none: four tenths of the shorter size.
    pub fn crescent_thick(width: Mm, height: Mm) -> Mm {
        width.min(height) * 0.4
    }
}

/// A place the pattern flows round.
#[derive(Debug, Clone)]
pub struct KeepSolid {
    pub name: String,
    pub shape: Shape,
    pub turn: f64,
    pub at: Point,
}

/// A sawn cut-out of its own, with its own border.
#[derive(Debug, Clone)]
pub struct WindowSpec {
    pub name: String,
    pub shape: Shape,
    pub turn: f64,
    pub at: Point,
    pub border: Mm,
}

/// A hole drilled to size, never sawn.
#[derive(Debug, Clone)]
pub struct HoleSpec {
    pub name: String,
    pub diameter: Mm,
    pub at: Point,
}

/// An ear standing out from the outline, with its hole.
#[derive(Debug, Clone)]
pub struct LugSpec {
    /// Degrees from +x, anticlockwise, seen from the middle.
    pub at_angle: f64,
    pub width: Mm,
    pub height: Mm,
    pub hole: Mm,
}

/// One opening altered: the one that holds `at`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    pub at: Point,
    pub what: Alteration,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alteration {
    /// Draw the opening in by this much all round.
    DrawIn(Mm),
    /// Leave it solid.
    Close,
}

/// Least finished sizes in mm. Filled from the skill, then from `[limits]`.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Limits {
    pub bridge: Mm,
    pub opening: Mm,
    pub border: Mm,
}

#[derive(Debug, Clone)]
pub struct Saw {
    pub blade: Blade,
    /// Start-hole drill, mm.
    pub drill: Mm,
    /// Saw wander and file, per sawn side.
    pub clean_up: Mm,
    pub frame_depth: Option<Mm>,
    pub left_handed: bool,
    /// Sheets sawn together.
    pub stack: u32,
}

/// What the bench found; replaces the planned size for everything that follows.
#[derive(Debug, Clone, Default)]
pub struct Measured {
    pub outline: Option<MeasuredOutline>,
    pub thickness: Option<Mm>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum MeasuredOutline {
    /// Circles: one or more readings across.
    Across(Vec<Mm>),
    /// Everything else: size over all.
    Size { width: Mm, height: Mm },
}

#[derive(Debug, Clone, Default)]
pub struct Construction {
    pub rim: Option<Rim>,
    pub back: Option<Back>,
    pub bezel: Option<Bezel>,
    pub jump_rings: Vec<JumpRing>,
    /// Height of the dome, 0 for flat.
    pub dome: Mm,
    /// Grade of the first seam; `None`: chosen by alloy and step.
    pub solder: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rim {
    pub height: Mm,
    pub thickness: Mm,
    pub sits: RimSits,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RimSits {
    /// The plate lies on the rim: the strip's outside is flush with the edge.
    UnderPlate,
    /// The strip goes round the edge.
    RoundEdge,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Back {
    pub thickness: Mm,
    pub overhang: Mm,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bezel {
    pub stone: Mm,
    pub thickness: Mm,
    pub height: Mm,
    pub at: Point,
    pub ledge: Mm,
    pub window: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JumpRing {
    pub wire: Mm,
    pub inside: Mm,
    pub count: u32,
}

/// The maker's own rates; `None` means by skill.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Rates {
    /// Money for an hour, as typed.
    pub per_hour: Option<f64>,
    /// mm of line a minute.
    pub saw: Option<f64>,
    /// Minutes for each hole and threading.
    pub per_hole: Option<f64>,
    /// Minutes of filing for each opening.
    pub filing: Option<f64>,
    /// Minutes of handling for each piece.
    pub handling: Option<f64>,
    /// mm2 of cut (line x thickness) a minute in sterling; learnt from minutes really taken, used when `saw` is not typed.
    pub cut: Option<f64>,
    /// Minutes for each sharp corner; learnt.
    pub corner: Option<f64>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wish {
    Openings(u32),
    Hours(f64),
    Weight(f64),
}

/// What the shell knows beyond the job file: stored printers and learnt rates.
#[derive(Debug, Clone, Default)]
pub struct Settings {
    pub printers: Vec<Printer>,
    /// Rates learnt from minutes really taken, used where the job types none.
    pub rates: Rates,
}

/// A printer's stored correction: what its 100 mm bar measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Printer {
    pub name: String,
    pub across: f64,
    pub up: f64,
}
