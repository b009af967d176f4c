//! Shapes: the outline, windows and kept places all read the same way.

use super::part::SectionReader;
use super::NamedFiles;
use crate::geom::{self, Ring};
use crate::trade;
use crate::units::limits::Limit;
use crate::units::Mm;

/// The edge of a piece.
#[derive(Debug, Clone)]
pub struct OutlineSpec {
    /// Its shape.
    pub shape: Shape,
    /// Solid metal inside the drawn edge.
    pub border: Mm,
}

/// An outline, window or kept place. Sizes are those of the bounding box, in mm.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A circle.
    Circle {
        /// Across.
        diameter: Mm,
    },
    /// An oval.
    Ellipse {
        /// Width of the bounding box.
        width: Mm,
        /// Height of the bounding box.
        height: Mm,
    },
    /// A rectangle.
    Rectangle {
        /// Width of the bounding box.
        width: Mm,
        /// Height of the bounding box.
        height: Mm,
        /// Of its corners.
        corner_radius: Mm,
    },
    /// Regular; `across` is corner to corner, a corner at the top.
    Polygon {
        /// How many sides.
        sides: u32,
        /// From corner to corner.
        across: Mm,
        /// Of its corners.
        corner_radius: Mm,
    },
    /// A full drop, its tip at the top. `tip_radius` 0 leaves the tip sharp, here and below.
    Teardrop {
        /// Width of the bounding box.
        width: Mm,
        /// Height of the bounding box.
        height: Mm,
        /// Of its tips.
        tip_radius: Mm,
    },
    /// Its tip at the foot.
    Heart {
        /// Width of the bounding box.
        width: Mm,
        /// Height of the bounding box.
        height: Mm,
        /// Of its tips.
        tip_radius: Mm,
    },
    /// Two arcs that meet in a tip at each end of the longer size.
    Marquise {
        /// Width of the bounding box.
        width: Mm,
        /// Height of the bounding box.
        height: Mm,
        /// Of its tips.
        tip_radius: Mm,
    },
    /// Four gently bowed sides with round corners; see [`Shape::cushion_corner`].
    Cushion {
        /// Width of the bounding box.
        width: Mm,
        /// Height of the bounding box.
        height: Mm,
        /// Of its corners.
        corner_radius: Mm,
    },
    /// A moon, `thick` at its middle; see [`Shape::crescent_thick`]. It opens to the right when taller than wide, up
    /// when wider than tall.
    Crescent {
        /// Width of the bounding box.
        width: Mm,
        /// Height of the bounding box.
        height: Mm,
        /// At its middle.
        thick: Mm,
        /// Of its tips.
        tip_radius: Mm,
    },
    /// A closed strip for a finger or wrist: x runs along, from -length/2 to length/2. `plain` is the length left solid
    /// at the back, over the seam; 0 for a pattern all round.
    Band {
        /// Across the inside.
        inside: Mm,
        /// Width of the bounding box.
        width: Mm,
        /// Of the sheet.
        thickness: Mm,
        /// Length left solid at the back, over the seam.
        plain: Mm,
    },
    /// A cone's blank: diameters and height at mid thickness.
    Cone {
        /// Its upper diameter, at mid thickness.
        top: Mm,
        /// Its lower diameter, at mid thickness.
        bottom: Mm,
        /// Height of the bounding box.
        height: Mm,
    },
    /// Already turned into rings by the module `job`: the outline first, inner lines after it.
    Drawn {
        /// The outer line, then those inside it.
        rings: Vec<Ring>,
    },
}

impl Shape {
    /// Width and height of the least upright rectangle round it, mm; `None` for a cone, whose blank is worked out later.
    pub fn size(&self) -> Option<(Mm, Mm)> {
        over_all(self)
    }

    /// Corner radius of a cushion when the job names none: a quarter of the shorter side.
    pub fn cushion_corner(width: Mm, height: Mm) -> Mm {
        width.min(height) * 0.25
    }

    /// Thickness of a crescent at its middle when the job names none: four tenths of the shorter size.
    pub fn crescent_thick(width: Mm, height: Mm) -> Mm {
        width.min(height) * 0.4
    }
}

/// Reads `shape` and its sizes. `thickness` is the sheet's, for a band.
pub(super) fn shape(part: &SectionReader, thickness: Mm, files: &NamedFiles) -> Option<Shape> {
    let read = match part.word("shape")?.as_ref() {
        "drawn" => drawn(part),
        "file" => from_file(part, files),
        name => sizes(part, name, thickness),
    }?;
    corners_fit(part, &read).then_some(read)
}

fn sizes(part: &SectionReader, name: &str, thickness: Mm) -> Option<Shape> {
    let mm = |key: &str| part.mm(key);
    Some(match name {
        "circle" => Shape::Circle { diameter: mm("diameter")? },
        "ellipse" => Shape::Ellipse { width: mm("width")?, height: mm("height")? },
        "rectangle" => Shape::Rectangle {
            width: mm("width")?,
            height: mm("height")?,
            corner_radius: mm("corner_radius")?,
        },
        "polygon" => Shape::Polygon {
            sides: part.whole("sides")?,
            across: mm("across")?,
            corner_radius: mm("corner_radius")?,
        },
        "teardrop" => {
            Shape::Teardrop { width: mm("width")?, height: mm("height")?, tip_radius: mm("tip_radius")? }
        }
        "heart" => Shape::Heart { width: mm("width")?, height: mm("height")?, tip_radius: mm("tip_radius")? },
        "marquise" => {
            Shape::Marquise { width: mm("width")?, height: mm("height")?, tip_radius: mm("tip_radius")? }
        }
        "cushion" => {
            Shape::Cushion { width: mm("width")?, height: mm("height")?, corner_radius: mm("corner_radius")? }
        }
        "crescent" => Shape::Crescent {
            width: mm("width")?,
            height: mm("height")?,
            thick: mm("thick")?,
            tip_radius: mm("tip_radius")?,
        },
        "band" => {
            let inside = ring_inside(part);
            Shape::Band { inside: inside?, width: mm("width")?, thickness, plain: mm("plain")? }
        }
        "cone" => Shape::Cone { top: mm("top")?, bottom: mm("bottom")?, height: mm("height")? },
        _ => return None,
    })
}

/// A line typed into the job, as SVG writes it.
fn drawn(part: &SectionReader) -> Option<Shape> {
    match geom::rings_of_svg(&part.word("d")?) {
        Ok(rings) => of_sensible_size(part, "d", rings),
        Err((at, wrong)) => {
            let todo = "draw closed lines that do not cross, in mm";
            part.refuse("d", format!("at character {at}: {wrong}"), todo);
            None
        }
    }
}

/// A shape out of an SVG file, at the size the file says it is.
fn from_file(part: &SectionReader, files: &NamedFiles) -> Option<Shape> {
    let (name, id) = (part.word("file")?, part.word("id"));
    let Some(bytes) = files.get(name.as_ref()) else {
        part.walk.reader.missing_file(part.span("file"), &name);
        return None;
    };
    match geom::rings_of_svg_file(bytes, id.as_deref()) {
        Ok((rings, sized)) => {
            let drawn = rings.first().map_or(0.0, |ring| ring.bounds().width());
            let by = match part.mm("width") {
                Some(width) => width.get() / drawn.max(1e-9),
                None if sized => 1.0,
                None => {
                    part.refuse(
                        "file",
                        format!("\"{name}\" does not say how large it is: how wide shall the shape be?"),
                        "add width = 40 here, or save the file with its size in mm",
                    );
                    return None;
                }
            };
            let rings = if by == 1.0 { rings } else { rings.iter().map(|ring| ring.scaled(by)).collect() };
            of_sensible_size(part, "file", rings)
        }
        Err(wrong) => {
            let todo = "save the shape as closed lines in a plain SVG file, at its true size";
            part.refuse("file", format!("\"{name}\": {wrong}"), todo);
            None
        }
    }
}

/// Refuses a drawing that is far too small or large: its units are likely to be others than were meant.
fn of_sensible_size(part: &SectionReader, key: &'static str, rings: Vec<Ring>) -> Option<Shape> {
    let shape = Shape::Drawn { rings };
    let (width, height) = over_all(&shape)?;
    for side in [width, height] {
        if let Err(unread) =
            (Limit { name: "overall size", ..part.shape_limit() }).check_in(side.0, part.units())
        {
            part.refuse(key, unread.wrong, unread.todo);
            return None;
        }
    }
    Some(shape)
}

/// Inside of a band: a ring size in any system, or mm.
fn ring_inside(part: &SectionReader) -> Option<Mm> {
    if part.has("ring_size") && part.has("inside") {
        part.refuse("inside", "both ring_size and inside are given", "keep one of them");
        return None;
    }
    if !part.has("ring_size") && !part.has("inside") {
        part.refuse("ring_size", "a band has no ring_size", "add ring_size = \"US 7\", or inside = 17.3");
        return None;
    }
    match part.word("ring_size") {
        Some(text) => trade::ring_size(&text).ok().map(|size| Mm(size.inside_mm)),
        None => part.mm("inside"),
    }
}

/// A corner cannot be rounded by more than half the shorter side.
fn corners_fit(part: &SectionReader, shape: &Shape) -> bool {
    let (radius, most) = match *shape {
        Shape::Rectangle { width, height, corner_radius } => (corner_radius, width.min(height) / 2.0),
        Shape::Polygon { sides, across, corner_radius } => {
            (corner_radius, across * 0.5 * libm::cos(std::f64::consts::PI / f64::from(sides)))
        }
        _ => return true,
    };
    let fits = radius <= most;
    if !fits {
        part.refuse(
            "corner_radius",
            format!("corner_radius {radius} is too large for this shape"),
            format!("give at most {most}"),
        );
    }
    fits
}

/// Bounding box, mm. `None` where the module `outline` works it out.
pub(super) fn over_all(shape: &Shape) -> Option<(Mm, Mm)> {
    Some(match *shape {
        Shape::Circle { diameter } => (diameter, diameter),
        Shape::Ellipse { width, height }
        | Shape::Rectangle { width, height, .. }
        | Shape::Teardrop { width, height, .. }
        | Shape::Heart { width, height, .. }
        | Shape::Marquise { width, height, .. }
        | Shape::Cushion { width, height, .. }
        | Shape::Crescent { width, height, .. } => (width, height),
        // Corner to corner: a little more than the true width for odd counts.
        Shape::Polygon { across, .. } => (across, across),
        Shape::Band { inside, width, thickness, .. } => ((inside + thickness) * std::f64::consts::PI, width),
        Shape::Drawn { ref rings } => {
            let bounds = rings.first()?.bounds();
            (Mm(bounds.width()), Mm(bounds.height()))
        }
        Shape::Cone { .. } => return None,
    })
}

/// Narrowest way across the shape, mm, where a border on both sides has to leave room.
pub(super) fn narrowest(shape: &Shape) -> Option<Mm> {
    match *shape {
        Shape::Polygon { sides, across, .. } => {
            // Flat to flat, or flat to corner for odd counts.
            let flat = across * 0.5 * libm::cos(std::f64::consts::PI / f64::from(sides));
            Some(if sides % 2 == 0 { flat * 2.0 } else { flat + across * 0.5 })
        }
        _ => over_all(shape).map(|(width, height)| width.min(height)),
    }
}
