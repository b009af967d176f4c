//! Shapes: the outline, windows and kept places all read the same way.

use super::keys;
use super::read::Section;
use super::{NamedFiles, Shape};
use crate::geom::{self, Ring};
use crate::trade;
use crate::units::limits::{Limit, CORNER_RADIUS, RING_INSIDE, SIDES, STRIP_HEIGHT};
use crate::units::Mm;

/// Reads `shape` and its sizes. `also` are the section's other keys; `size` limits the shape over all.
pub(super) fn shape(
    section: &Section,
    also: &[&str],
    size: &Limit,
    thickness: Mm,
    files: &NamedFiles,
) -> Option<Shape> {
    let Some(name) = section.need("shape", section.text("shape"), "add shape = \"circle\" or another") else {
        let sizes = keys::SHAPES.iter().flat_map(|shape| shape.keys.iter().copied());
        let every: Vec<&str> = also.iter().copied().chain(sizes).collect();
        section.knows(&every);
        return None;
    };
    let inside = also.contains(&"at");
    let fitting = || keys::SHAPES.iter().filter(|shape| !(inside && shape.alone));
    let Some(found) = fitting().find(|shape| shape.name == name) else {
        let known: Vec<&str> = fitting().map(|shape| shape.name).collect();
        section.unknown("shape", name, &known);
        return None;
    };
    let takes: Vec<&str> = also.iter().chain(found.keys).copied().collect();
    section.knows(&takes);
    let read = match name {
        "drawn" => drawn(section, size),
        "file" => from_file(section, size, files),
        _ => sizes_of(section, name, size, thickness),
    }?;
    corners_fit(section, &read).then_some(read)
}

fn sizes_of(section: &Section, name: &str, size: &Limit, thickness: Mm) -> Option<Shape> {
    let length = |key: &'static str| section.need(key, section.length(key, size), &format!("add {key} = 30"));
    let or = |key: &'static str, limit: &Limit, usual: Mm| match section.has(key) {
        true => section.length(key, limit),
        false => Some(usual),
    };
    let radius = || or("corner_radius", &CORNER_RADIUS, Mm(0.0));
    let tip = || or("tip_radius", &CORNER_RADIUS, Mm(0.0));
    Some(match name {
        "circle" => Shape::Circle { diameter: length("diameter")? },
        "polygon" => {
            let sides = section.need("sides", section.whole("sides", &SIDES), "add sides = 6");
            let across = length("across");
            Shape::Polygon { sides: sides?, across: across?, corner_radius: radius()? }
        }
        "band" => {
            let width = section.need("width", section.length("width", &STRIP_HEIGHT), "add width = 8");
            let plain = or("plain", size, Mm(0.0));
            Shape::Band { inside: ring_inside(section)?, width: width?, thickness, plain: plain? }
        }
        "cone" => {
            let (top, bottom, height) = (length("top"), length("bottom"), length("height"));
            Shape::Cone { top: top?, bottom: bottom?, height: height? }
        }
        _ => {
            let (width, height) = (length("width"), length("height"));
            let (width, height) = (width?, height?);
            match name {
                "ellipse" => Shape::Ellipse { width, height },
                "rectangle" => Shape::Rectangle { width, height, corner_radius: radius()? },
                "teardrop" => Shape::Teardrop { width, height, tip_radius: tip()? },
                "heart" => Shape::Heart { width, height, tip_radius: tip()? },
                "marquise" => Shape::Marquise { width, height, tip_radius: tip()? },
                "cushion" => {
                    let usual = Shape::cushion_corner(width, height);
                    let corner_radius = or("corner_radius", &CORNER_RADIUS, usual)?;
                    Shape::Cushion { width, height, corner_radius }
                }
                "crescent" => {
                    let thick = or("thick", size, Shape::crescent_thick(width, height))?;
                    Shape::Crescent { width, height, thick, tip_radius: tip()? }
                }
                _ => return None,
            }
        }
    })
}

/// A line typed into the job, as SVG writes it.
fn drawn(section: &Section, size: &Limit) -> Option<Shape> {
    let d = section.need("d", section.text("d"), "add d = \"M 0 0 L 30 0 L 15 26 Z\", in mm")?;
    match geom::rings_of_svg(d) {
        Ok(rings) => of_sensible_size(section, "d", size, rings),
        Err((at, wrong)) => {
            section.refuse(
                "d",
                format!("at character {at}: {wrong}"),
                "draw closed lines that do not cross, in mm",
            );
            None
        }
    }
}

/// A shape out of an SVG file, at the size the file says it is.
fn from_file(section: &Section, size: &Limit, files: &NamedFiles) -> Option<Shape> {
    let name = section.need("file", section.text("file"), "add file = \"leaf.svg\"")?;
    let id = section.text("id");
    let Some(bytes) = files.get(name) else {
        section.reader.missing_file(section.span("file"), name);
        return None;
    };
    match geom::rings_of_svg_file(bytes, id) {
        Ok(rings) => of_sensible_size(section, "file", size, rings),
        Err(wrong) => {
            let todo = "save the shape as closed lines in a plain SVG file, at its true size";
            section.refuse("file", format!("\"{name}\": {wrong}"), todo);
            None
        }
    }
}

/// Refuses a drawing that is far too small or large: its units are likely to be others than were meant.
fn of_sensible_size(section: &Section, key: &'static str, size: &Limit, rings: Vec<Ring>) -> Option<Shape> {
    let shape = Shape::Drawn { rings };
    let (width, height) = over_all(&shape)?;
    for side in [width, height] {
        if let Err(unread) = (Limit { name: "size over all", ..*size }).check(side.0) {
            section.refuse(key, unread.wrong, unread.todo);
            return None;
        }
    }
    Some(shape)
}

/// Inside of a band: a ring size in any system, or mm.
fn ring_inside(section: &Section) -> Option<Mm> {
    if section.has("ring_size") && section.has("inside") {
        section.refuse("inside", "both ring_size and inside are given", "keep one of them");
        return None;
    }
    if section.has("inside") {
        return section.length("inside", &RING_INSIDE);
    }
    let text =
        section.need("ring_size", section.text("ring_size"), "add ring_size = \"US 7\", or inside = 17.3")?;
    match trade::ring_size(text) {
        Ok(size) => Some(Mm(size.inside_mm)),
        Err(why) => {
            section.refuse("ring_size", format!("ring_size \"{text}\" is not known"), why);
            None
        }
    }
}

/// A corner cannot be rounded by more than half the shorter side.
fn corners_fit(section: &Section, shape: &Shape) -> bool {
    let (radius, most) = match *shape {
        Shape::Rectangle { width, height, corner_radius } => (corner_radius, width.min(height) / 2.0),
        Shape::Polygon { sides, across, corner_radius } => {
            (corner_radius, across * 0.5 * libm::cos(std::f64::consts::PI / f64::from(sides)))
        }
        _ => return true,
    };
    let fits = radius <= most;
    if !fits {
        section.refuse(
            "corner_radius",
            format!("corner_radius {radius} is too large for this shape"),
            format!("give at most {most}"),
        );
    }
    fits
}

/// Size over all, mm: the least rectangle round the shape with its sides level. `None` where the outline room works
/// it out.
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
        // Corner to corner: a little more than the true size over all for odd counts.
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
