//! What is built on the pierced plate: rim, back, bezel, jump rings.

use super::fields::STONES;
use super::part::SectionReader;
use super::shape::Shape;
use super::values::Value;
use super::walk::Walk;
use crate::geom::Point;
use crate::units::Mm;

/// What is built from the piece.
#[derive(Debug, Clone, Default)]
pub struct Construction {
    /// A strip that walls it.
    pub rim: Option<Rim>,
    /// A plate behind it.
    pub back: Option<Back>,
    /// A setting on it.
    pub bezel: Option<Bezel>,
    /// Rings it hangs or is linked by.
    pub jump_rings: Vec<JumpRing>,
    /// Height of the dome, 0 for flat.
    pub dome: Mm,
    /// Grade of the first seam; `None`: chosen by alloy and step.
    pub solder: Option<String>,
}

/// A strip that walls the plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rim {
    /// How high it stands.
    pub height: Mm,
    /// Of its sheet.
    pub thickness: Mm,
    /// Where it stands.
    pub sits: RimSits,
}

/// Where a rim stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RimSits {
    /// The plate lies on the rim: the strip's outside is flush with the edge.
    UnderPlate,
    /// The strip goes round the edge.
    RoundEdge,
}

/// A plate behind the piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Back {
    /// Of its sheet.
    pub thickness: Mm,
    /// How far it stands out all round.
    pub overhang: Mm,
}

/// A strip that holds a stone.
#[derive(Debug, Clone, PartialEq)]
pub struct Bezel {
    /// The stone seen from above: a circle, an ellipse, a cushion, a rectangle, a teardrop or a marquise.
    pub stone: Shape,
    /// Degrees, anticlockwise.
    pub turn: f64,
    /// Of its sheet.
    pub thickness: Mm,
    /// How high it stands.
    pub height: Mm,
    /// The stone's middle.
    pub at: Point,
    /// Metal left under the stone all round.
    pub ledge: Mm,
    /// The metal behind the stone is cut out.
    pub window: bool,
}

/// Rings of wire, all alike.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JumpRing {
    /// Thickness of the wire.
    pub wire: Mm,
    /// Across the inside.
    pub inside: Mm,
    /// How many.
    pub count: u32,
}

pub(super) fn construction(walk: &Walk) -> Option<Construction> {
    let c = walk.part("construction");
    let rings: Vec<Option<JumpRing>> = walk.parts("construction.jump_rings").map(|r| jump_ring(&r)).collect();
    let (rim, back, bezel) = (
        part(walk, "construction.rim", rim),
        part(walk, "construction.back", back),
        part(walk, "construction.bezel", bezel),
    );
    Some(Construction {
        rim: rim?,
        back: back?,
        bezel: bezel?,
        jump_rings: rings.into_iter().collect::<Option<_>>()?,
        dome: c.mm("dome")?,
        solder: c.word("solder").map(|grade| grade.to_string()),
    })
}

/// A part that may be left out: `Some(None)` if it is, `None` if it is there and cannot be used.
fn part<T>(walk: &Walk, path: &str, read: impl Fn(&SectionReader) -> Option<T>) -> Option<Option<T>> {
    let part = walk.part(path);
    if part.is_there() {
        read(&part).map(Some)
    } else {
        Some(None)
    }
}

fn rim(r: &SectionReader) -> Option<Rim> {
    let words = [("under-plate", RimSits::UnderPlate), ("round-edge", RimSits::RoundEdge)];
    Some(Rim { height: r.mm("height")?, thickness: r.mm("thickness")?, sits: r.choice("sits", &words)? })
}

fn back(b: &SectionReader) -> Option<Back> {
    Some(Back { thickness: b.mm("thickness")?, overhang: b.mm("overhang")? })
}

fn bezel(b: &SectionReader) -> Option<Bezel> {
    let stone = stone(b)?;
    let (width, height) = stone.size()?;
    let across = width.min(height);
    let read = Bezel {
        stone,
        turn: b.number("turn")?,
        thickness: b.mm("thickness")?,
        height: b.mm("height")?,
        at: b.point("at")?,
        ledge: b.mm("ledge")?,
        window: b.yes("window")?,
    };
    if read.window && read.ledge * 2.0 >= across {
        b.refuse(
            "ledge",
            format!("a ledge of {} leaves no window behind a stone of {across}", read.ledge),
            "make the ledge smaller, or write window = false",
        );
        return None;
    }
    Some(read)
}

/// The stone as the shape it has from above.
fn stone(b: &SectionReader) -> Option<Shape> {
    let Some(Value::Row(row)) = b.value("stone") else { return None };
    let mm = |key: &str| row.iter().find(|(k, _)| *k == key).and_then(|(_, v)| v.as_mm());
    let (width, height) = (Mm(mm("width")?), Mm(mm("height")?));
    let word = row.iter().find_map(|(k, v)| match v {
        Value::Word(word) if *k == "shape" => Some(word.as_ref()),
        _ => None,
    })?;
    let (corner_radius, tip_radius) = (Mm(0.0), Mm(0.0));
    Some(match STONES.iter().find(|(name, _)| *name == word)?.1 {
        "circle" => Shape::Circle { diameter: width },
        "ellipse" => Shape::Ellipse { width, height },
        "cushion" => Shape::Cushion { width, height, corner_radius: Shape::cushion_corner(width, height) },
        "rectangle" => Shape::Rectangle { width, height, corner_radius },
        "teardrop" => Shape::Teardrop { width, height, tip_radius },
        "marquise" => Shape::Marquise { width, height, tip_radius },
        _ => return None,
    })
}

fn jump_ring(r: &SectionReader) -> Option<JumpRing> {
    Some(JumpRing { wire: r.mm("wire")?, inside: r.mm("inside")?, count: r.whole("count")? })
}
