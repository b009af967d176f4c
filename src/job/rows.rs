//! Rows of openings along a line, and the motif in the middle, resolved.

use super::fields::ELEMENTS;
use super::part::SectionReader;
use super::repeat::own;
use super::shape::{self, Shape};
use super::values::Value;
use super::NamedFiles;
use crate::catalogue::{self, Pattern};
use crate::geom::{Point, Ring};
use crate::units::Mm;

/// Openings in a row along a line, all of one shape, evenly spaced.
#[derive(Debug, Clone, PartialEq)]
pub struct RowSpec {
    /// The line it follows.
    pub along: Along,
    /// What each of its openings is.
    pub shape: Element,
    /// Along the row, and across it.
    pub size: (Mm, Mm),
    /// How far from one to the next.
    pub spacing: Spacing,
    /// Solid metal between the edge, or the row before along the same line, and this one; `None` along a circle of its own.
    pub inset: Option<Mm>,
    /// Solid metal between the row and the pattern.
    pub apart: Mm,
    /// Drops point away from the middle of the line.
    pub tips_out: bool,
}

/// The line a row follows.
#[derive(Debug, Clone, PartialEq)]
pub enum Along {
    /// Inside the outer edge; of a band or a cone, inside both long edges.
    Outline,
    /// Outside the window of this name.
    Window(String),
    /// A circle through the middles of the openings.
    Circle {
        /// Its diameter.
        diameter: Mm,
        /// Its middle.
        at: Point,
    },
}

/// The shape of a row's openings.
#[derive(Debug, Clone, PartialEq)]
pub enum Element {
    /// A circle, or an oval where the two sizes differ.
    Round,
    /// Round at one end, pointed at the other.
    Drop,
    /// Bent with the line; its ends are parallel to its neighbours'.
    Brick,
    /// Pointed at both ends of its longer size.
    Petal,
    /// Two pairs of equal sides, a corner at each end.
    Lozenge,
    /// The first shape of a pattern file, upright, its size over all 1 at most and its middle at the origin.
    Own(Ring),
}

/// How many openings stand in a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Spacing {
    /// The most that leave the bridge between neighbours.
    Most,
    /// So many all round.
    Count(u32),
    /// From one to the next along the row, about.
    Pitch(Mm),
}

/// One motif in the middle.
#[derive(Debug, Clone, PartialEq)]
pub struct MiddleSpec {
    /// What stands there.
    pub motif: Motif,
    /// Degrees anticlockwise.
    pub turn: f64,
    /// Its place from the middle of the piece.
    pub at: Point,
    /// Solid metal between it and the pattern.
    pub apart: Mm,
}

/// What stands in the middle.
#[derive(Debug, Clone, PartialEq)]
pub enum Motif {
    /// Petals round one point, each an opening, a bridge apart; `eye`: across a round opening in the middle.
    Rosette {
        /// Over all.
        diameter: Mm,
        /// How many.
        petals: u32,
        /// Diameter of the hole in the middle.
        eye: Option<Mm>,
    },
    /// One opening with so many points.
    Star {
        /// Over all.
        diameter: Mm,
        /// How many.
        points: u32,
    },
    /// One opening.
    Single(Shape),
}

pub(super) fn row(part: &SectionReader, files: &NamedFiles) -> Option<RowSpec> {
    let along = match part.value("along")? {
        Value::Word(word) if word == "outline" => Along::Outline,
        Value::Word(word) => Along::Window(word.to_string()),
        Value::Row(keys) => {
            let of = |key: &str| keys.iter().find(|(k, _)| *k == key).map(|(_, v)| v);
            let at = match of("at") {
                Some(Value::List(at)) if at.len() == 2 => Point::new(at[0], at[1]),
                _ => Point::ORIGIN,
            };
            Along::Circle { diameter: Mm(of("diameter")?.as_mm()?), at }
        }
        _ => return None,
    };
    if matches!(along, Along::Circle { .. }) && part.has("inset") {
        part.refuse(
            "inset",
            "inset means nothing to a row along a circle of its own",
            "leave it out: the circle's diameter says where the row stands",
        );
    }
    let element = element(part, files);
    let (size, apart) = (part.two("size"), part.mm("apart"));
    let (element, size, apart) = (element?, size?, apart?);
    if element == Element::Drop && size.1 <= size.0 {
        let wrong = format!("a drop {} along the row and {} across it has no point", size.0, size.1);
        part.refuse("size", wrong, "give more across the row than along it, like [2, 3.2]");
        return None;
    }
    if part.has("tips") && !matches!(element, Element::Drop | Element::Own(_)) {
        part.refuse("tips", "tips says which way drops point", "leave it out, or take shape = \"drop\"");
    }
    if part.has("count") && part.has("pitch") {
        part.refuse("pitch", "both count and pitch are given", "keep one of them");
    }
    let spacing = match (part.whole("count"), part.mm("pitch")) {
        (Some(count), _) => Spacing::Count(count),
        (None, Some(pitch)) => Spacing::Pitch(pitch),
        (None, None) => Spacing::Most,
    };
    let tips_out = part.word("tips")? == "out";
    Some(RowSpec { inset: part.mm("inset"), along, shape: element, size, spacing, apart, tips_out })
}

fn element(part: &SectionReader, files: &NamedFiles) -> Option<Element> {
    if part.has("file") {
        if part.has("shape") {
            part.refuse("file", "both shape and file are given", "keep one of them");
            return None;
        }
        return own(part, &part.word("file")?, files).and_then(|own| first_shape(&own)).map(Element::Own);
    }
    let word = part.word("shape")?;
    let known = [Element::Round, Element::Drop, Element::Brick, Element::Petal, Element::Lozenge];
    let drawn = ELEMENTS.iter().zip(known).find(|(name, _)| **name == word).map(|(_, element)| element);
    drawn.or_else(|| catalogue::find(&word).and_then(|pattern| first_shape(&pattern)).map(Element::Own))
}

/// The first shape of a pattern as its file draws it, brought to a size over all of 1 about the origin.
fn first_shape(pattern: &Pattern) -> Option<Ring> {
    let ring = pattern.shapes.first()?.ring.rotated(pattern.upright);
    let bounds = ring.bounds();
    Some(
        ring.translated(-bounds.center().to_vec2())
            .scaled(1.0 / bounds.width().max(bounds.height()).max(1e-9)),
    )
}

pub(super) fn middle(part: &SectionReader, files: &NamedFiles) -> Option<MiddleSpec> {
    let motif = match part.word("shape")?.as_ref() {
        "rosette" => Motif::Rosette {
            diameter: part.mm("diameter")?,
            petals: part.whole("petals")?,
            eye: part.mm("eye"),
        },
        "star" => Motif::Star { diameter: part.mm("diameter")?, points: part.whole("petals")? },
        _ => Motif::Single(shape::shape(part, Mm(0.0), files)?),
    };
    Some(MiddleSpec { motif, turn: part.number("turn")?, at: part.point("at")?, apart: part.mm("apart")? })
}
