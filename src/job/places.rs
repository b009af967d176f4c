//! What stands in and on the outline: kept places, windows, holes, lugs, altered openings.

use super::part::SectionReader;
use super::shape::{shape, Shape};
use super::NamedFiles;
use crate::geom::Point;
use crate::units::Mm;

/// A place the pattern flows round.
#[derive(Debug, Clone)]
pub struct KeepSolid {
    /// What the maker calls it.
    pub name: String,
    /// Its shape.
    pub shape: Shape,
    /// Degrees anticlockwise.
    pub turn: f64,
    /// Its place from the middle of the piece.
    pub at: Point,
}

/// A sawn cut-out of its own, with its own border.
#[derive(Debug, Clone)]
pub struct WindowSpec {
    /// What the maker calls it.
    pub name: String,
    /// Its shape.
    pub shape: Shape,
    /// Degrees anticlockwise.
    pub turn: f64,
    /// Its place from the middle of the piece.
    pub at: Point,
    /// Solid metal kept round it.
    pub border: Mm,
}

/// A hole drilled to size, never sawn.
#[derive(Debug, Clone)]
pub struct HoleSpec {
    /// What the maker calls it.
    pub name: String,
    /// Of the drill.
    pub diameter: Mm,
    /// Its place from the middle of the piece.
    pub at: Point,
}

/// An ear standing out from the outline, with its hole.
#[derive(Debug, Clone)]
pub struct LugSpec {
    /// Degrees from +x, anticlockwise, seen from the middle.
    pub at_angle: f64,
    /// Along the edge.
    pub width: Mm,
    /// Out from the edge.
    pub height: Mm,
    /// Diameter of its hole.
    pub hole: Mm,
}

/// One opening altered: the one that holds `at`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpeningChange {
    /// Its place from the middle of the piece.
    pub at: Point,
    /// What is done to it.
    pub what: Alteration,
}

/// What is done to an opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Alteration {
    /// Draw the opening in by this much all round.
    DrawIn(Mm),
    /// Leave it solid.
    Close,
}

fn name(part: &SectionReader, usual: &str) -> String {
    part.word("name").map_or_else(|| usual.to_string(), |name| name.to_string())
}

pub(super) fn keep_solid(part: &SectionReader, files: &NamedFiles) -> Option<KeepSolid> {
    let shape = shape(part, Mm(0.0), files);
    let name = name(part, "kept solid");
    Some(KeepSolid { name, shape: shape?, turn: part.number("turn")?, at: part.point("at")? })
}

pub(super) fn window(part: &SectionReader, files: &NamedFiles) -> Option<WindowSpec> {
    let shape = shape(part, Mm(0.0), files);
    Some(WindowSpec {
        name: name(part, "window"),
        shape: shape?,
        turn: part.number("turn")?,
        at: part.point("at")?,
        border: part.mm("border")?,
    })
}

pub(super) fn hole(part: &SectionReader) -> Option<HoleSpec> {
    Some(HoleSpec { name: name(part, "hole"), diameter: part.mm("diameter")?, at: part.point("at")? })
}

pub(super) fn lug(part: &SectionReader) -> Option<LugSpec> {
    let lug = LugSpec {
        at_angle: part.number("at_angle")?,
        width: part.mm("width")?,
        height: part.mm("height")?,
        hole: part.mm("hole")?,
    };
    if lug.hole >= lug.width.min(lug.height) {
        part.refuse(
            "hole",
            format!("a hole of {} leaves no metal in a lug {} by {}", lug.hole, lug.width, lug.height),
            "make the hole smaller or the lug larger",
        );
        return None;
    }
    Some(lug)
}

pub(super) fn change(part: &SectionReader) -> Option<OpeningChange> {
    let close = part.yes("close");
    let what = match (part.has("draw_in"), close) {
        (true, Some(true)) => {
            part.refuse("close", "an opening is either drawn in or closed", "keep draw_in or close");
            return None;
        }
        (true, _) => Alteration::DrawIn(part.mm("draw_in")?),
        (false, Some(true)) => Alteration::Close,
        (false, _) => {
            if !part.has("close") || close == Some(false) {
                part.refuse("close", "this change changes nothing", "add draw_in = 0.15 or close = true");
            }
            return None;
        }
    };
    Some(OpeningChange { at: part.point("at")?, what })
}
