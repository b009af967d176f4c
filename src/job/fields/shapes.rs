//! The shapes an outline, a window and a kept place may have, and the keys of their sizes.

use super::{field_row as row, usual, Field, Listed, Section, Usual, ValueKind};
use crate::job::values::Value;
use crate::units::limits::{CORNER_RADIUS, PETALS, RING_INSIDE, SIDES};

/// A shape a job may name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ShapeSection {
    /// As a job names it.
    pub name: &'static str,
    /// For people.
    pub title: &'static str,
    /// The keys of its sizes.
    pub keys: &'static [&'static str],
    /// Where it may stand.
    pub stands: Stands,
}

/// Where a shape may stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// As an outline, a window or a kept place.
    Anywhere,
    /// It is the whole piece and cannot stand inside one.
    Alone,
    /// It is a motif for the middle of a piece.
    Middle,
}

const fn outline(
    name: &'static str,
    title: &'static str,
    keys: &'static [&'static str],
    stands: Stands,
) -> ShapeSection {
    ShapeSection { name, title, keys, stands }
}

/// Each shape with its sizes.
pub(super) const SHAPES: &[ShapeSection] = &[
    outline("circle", "disc", &["diameter"], Stands::Anywhere),
    outline("ellipse", "oval", &["width", "height"], Stands::Anywhere),
    outline(
        "rectangle",
        "rectangle, corners rounded if asked",
        &["width", "height", "corner_radius"],
        Stands::Anywhere,
    ),
    outline(
        "polygon",
        "equal sides, a corner at the top",
        &["sides", "across", "corner_radius"],
        Stands::Anywhere,
    ),
    outline("teardrop", "drop, tip up", &["width", "height", "tip_radius"], Stands::Anywhere),
    outline("heart", "heart, tip down", &["width", "height", "tip_radius"], Stands::Anywhere),
    outline(
        "marquise",
        "pointed oval (navette), a tip at each end",
        &["width", "height", "tip_radius"],
        Stands::Anywhere,
    ),
    outline(
        "cushion",
        "square or oblong with bowed sides",
        &["width", "height", "corner_radius"],
        Stands::Anywhere,
    ),
    outline("crescent", "moon", &["width", "height", "thick", "tip_radius"], Stands::Anywhere),
    outline("band", "ring or bangle, laid flat", &["ring_size", "inside", "width", "plain"], Stands::Alone),
    outline("cone", "cone, laid flat", &["top", "bottom", "height"], Stands::Alone),
    outline("drawn", "your own line, as SVG writes it", &["d"], Stands::Anywhere),
    outline("file", "a shape from an SVG file", &["file", "id", "width"], Stands::Anywhere),
    outline(
        "rosette",
        "petals round one point, each an opening",
        &["diameter", "petals", "eye"],
        Stands::Middle,
    ),
    outline("star", "one opening with points", &["diameter", "petals"], Stands::Middle),
];

/// Every shape a piece may have, for lists.
pub fn outlines() -> impl Iterator<Item = &'static ShapeSection> {
    SHAPES.iter().filter(|shape| shape.stands != Stands::Middle)
}

/// Every shape that may stand in a section.
pub fn shapes_for(section: &Section) -> impl Iterator<Item = &'static ShapeSection> {
    let path = section.path;
    SHAPES.iter().filter(move |shape| match shape.stands {
        Stands::Anywhere => true,
        Stands::Alone => path == "outline",
        Stands::Middle => path == "middle",
    })
}

/// The sizes of all shapes. Which of them a shape has stands in [`SHAPES`]; it needs those that are needed here.
pub(super) const SIZES: &[Field] = &[
    row("diameter", ValueKind::Size, "30", Usual::Needed, "across a circle"),
    row(
        "width",
        ValueKind::Size,
        "30",
        Usual::Needed,
        "from side to side; of a band, along the finger; of a file only if it does not say its size",
    ),
    row("height", ValueKind::Size, "30", Usual::Needed, "from foot to top; of a cone, standing"),
    row("sides", ValueKind::Whole(SIDES), "6", Usual::Needed, "how many equal sides a polygon has"),
    row("across", ValueKind::Size, "30", Usual::Needed, "a polygon from corner to corner"),
    row(
        "corner_radius",
        ValueKind::Length(CORNER_RADIUS),
        "2",
        Usual::By(usual::corner_radius, "0; of a cushion, a quarter of the shorter side"),
        "rounds the corners",
    ),
    row(
        "tip_radius",
        ValueKind::Length(CORNER_RADIUS),
        "0.5",
        Usual::By(usual::nought, "0: the tip stays sharp"),
        "rounds the tips",
    ),
    row(
        "thick",
        ValueKind::Size,
        "8",
        Usual::By(usual::crescent_thick, "four tenths of the shorter size"),
        "a crescent at its middle",
    ),
    row(
        "ring_size",
        ValueKind::Named(Listed::RingSizes),
        "\"US 7\"",
        Usual::Nothing("inside must be given"),
        "of a band: US, UK, EU or JP",
    ),
    row(
        "inside",
        ValueKind::Length(RING_INSIDE),
        "17.3",
        Usual::Nothing("ring_size must be given"),
        "of a band: the inside diameter",
    ),
    row(
        "plain",
        ValueKind::Size,
        "12",
        Usual::By(usual::nought, "0: the pattern runs all round"),
        "of a band: length left solid at the back, over the seam",
    ),
    row("top", ValueKind::Size, "30", Usual::Needed, "of a cone: its upper diameter, at mid thickness"),
    row("bottom", ValueKind::Size, "30", Usual::Needed, "of a cone: its lower diameter, at mid thickness"),
    row(
        "petals",
        ValueKind::Whole(PETALS),
        "8",
        Usual::Is(Value::Number(8.0), ""),
        "of a rosette; of a star, its points",
    ),
    row(
        "eye",
        ValueKind::Size,
        "3",
        Usual::Nothing("its petals meet in a point of solid metal"),
        "of a rosette: across a round opening in its middle",
    ),
    row(
        "d",
        ValueKind::Text,
        "\"M 0 0 L 30 0 L 15 26 Z\"",
        Usual::Needed,
        "the line as SVG path data in mm, y down as a drawing shows it",
    ),
    row(
        "file",
        ValueKind::Text,
        "\"leaf.svg\"",
        Usual::Needed,
        "an SVG file beside the job; its size is kept",
    ),
    row(
        "id",
        ValueKind::Text,
        "\"leaf\"",
        Usual::Nothing("the largest shape"),
        "which shape of the SVG file",
    ),
];
