//! What stands in and on the outline: kept places, windows, holes, lugs, altered openings.

use super::read::Section;
use super::shape::shape;
use super::{keys, Alteration, Change, HoleSpec, KeepSolid, LugSpec, NamedFiles, WindowSpec};
use crate::geom::Point;
use crate::units::limits::{BORDER, DRAW_IN, HOLE, LUG, PLACE_SIZE, TURN};
use crate::units::Mm;

/// A place on the piece; the middle if left out.
fn at(section: &Section) -> Option<Point> {
    match section.has("at") {
        true => section.point("at"),
        false => Some(Point::ORIGIN),
    }
}

fn turn(section: &Section) -> Option<f64> {
    match section.has("turn") {
        true => section.number("turn", &TURN),
        false => Some(0.0),
    }
}

fn name(section: &Section, usual: &str) -> String {
    section.text("name").map_or_else(|| usual.to_string(), str::to_string)
}

pub(super) fn keep_solid(section: &Section, files: &NamedFiles) -> Option<KeepSolid> {
    let shape = shape(section, keys::KEEP_SOLID, &PLACE_SIZE, Mm(0.0), files);
    let (turn, at, name) = (turn(section), at(section), name(section, "kept solid"));
    Some(KeepSolid { name, shape: shape?, turn: turn?, at: at? })
}

/// `border` is what a window gets that names none.
pub(super) fn window(section: &Section, border: Mm, files: &NamedFiles) -> Option<WindowSpec> {
    let shape = shape(section, keys::WINDOW, &PLACE_SIZE, Mm(0.0), files);
    let (turn, at, name) = (turn(section), at(section), name(section, "window"));
    let border = match section.has("border") {
        true => section.length("border", &BORDER),
        false => Some(border),
    };
    Some(WindowSpec { name, shape: shape?, turn: turn?, at: at?, border: border? })
}

pub(super) fn hole(section: &Section) -> Option<HoleSpec> {
    section.knows(keys::HOLE);
    let diameter = section.need("diameter", section.length("diameter", &HOLE), "add diameter = 1.8");
    let at = section.need("at", section.point("at"), "add at = [0, 19], from the middle of the piece");
    Some(HoleSpec { name: name(section, "hole"), diameter: diameter?, at: at? })
}

pub(super) fn lug(section: &Section) -> Option<LugSpec> {
    section.knows(keys::LUG);
    let at_angle = match section.has("at_angle") {
        true => section.number("at_angle", &TURN),
        false => Some(90.0),
    };
    let width = section.need("width", section.length("width", &LUG), "add width = 6");
    let height = section.need("height", section.length("height", &LUG), "add height = 4");
    let hole = section.need("hole", section.length("hole", &HOLE), "add hole = 1.8");
    let lug = LugSpec { at_angle: at_angle?, width: width?, height: height?, hole: hole? };
    if lug.hole >= lug.width.min(lug.height) {
        section.refuse(
            "hole",
            format!("a hole of {} leaves no metal in a lug {} by {}", lug.hole, lug.width, lug.height),
            "make the hole smaller or the lug larger",
        );
        return None;
    }
    Some(lug)
}

pub(super) fn change(section: &Section) -> Option<Change> {
    section.knows(keys::CHANGE);
    let at = section.need("at", section.point("at"), "add at = [3.1, 6.0], a point inside the opening");
    let draw_in = section.length("draw_in", &DRAW_IN);
    let close = section.yes("close");
    let what = match (section.has("draw_in"), close) {
        (true, Some(true)) => {
            section.refuse("close", "an opening is either drawn in or closed", "keep draw_in or close");
            return None;
        }
        (true, _) => Alteration::DrawIn(draw_in?),
        (false, Some(true)) => Alteration::Close,
        (false, _) => {
            if !section.has("close") || close == Some(false) {
                section.refuse("close", "this change changes nothing", "add draw_in = 0.15 or close = true");
            }
            return None;
        }
    };
    Some(Change { at: at?, what })
}
