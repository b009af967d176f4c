//! The sheet, the saw, the limits, what was measured, the maker's rates and wishes.

use super::part::SectionReader;
use super::shape;
use super::values::Value;
use super::walk::Walk;
use super::{PatternSource, Shape};
use crate::trade::{self, Blade, Metal};
use crate::units::limits::{Limit, OPENINGS};
use crate::units::{short, LengthUnit, Mm, Unread};

/// The metal it is sawn from.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Which metal.
    pub metal: Metal,
    /// As bought.
    pub thickness: Mm,
    /// How hard it is.
    pub temper: Temper,
    /// Sheet or off-cut to lay pieces on: width, height.
    pub stock: Option<(Mm, Mm)>,
    /// Of the metal, in the maker's money.
    pub price_per_gram: Option<f64>,
}

/// How hard a sheet is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Temper {
    /// Annealed.
    Soft,
    /// As most sheet is sold.
    HalfHard,
}

/// Least finished sizes in mm. Filled from the skill, then from `[limits]`.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Limits {
    /// Between openings, finished.
    pub bridge: Mm,
    /// Across an opening.
    pub opening: Mm,
    /// Along the edge, finished.
    pub border: Mm,
}

/// What it is sawn and drilled with.
#[derive(Debug, Clone)]
pub struct Saw {
    /// Which blade.
    pub blade: Blade,
    /// Start-hole drill, mm.
    pub drill: Mm,
    /// Saw wander and file, per sawn side.
    pub clean_up: Mm,
    /// The throat of the saw frame.
    pub frame_depth: Option<Mm>,
    /// The saw is held in the left hand.
    pub left_handed: bool,
    /// Sheets sawn together.
    pub stack: u32,
}

/// What the bench found; replaces the planned size for everything that follows.
#[derive(Debug, Clone, Default)]
pub struct Measured {
    /// The outer edge.
    pub outline: Option<MeasuredOutline>,
    /// The sheet.
    pub thickness: Option<Mm>,
}

/// The outer edge as the bench measured it.
#[derive(Debug, Clone, PartialEq)]
pub enum MeasuredOutline {
    /// Circles: one or more readings across.
    Across(Vec<Mm>),
    /// Everything else: width and height of the bounding box.
    Size {
        /// Across.
        width: Mm,
        /// Up.
        height: Mm,
    },
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

/// What is wished for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wish {
    /// So many openings.
    Openings(u32),
    /// So many hours of work.
    Hours(f64),
    /// So many grams.
    Weight(f64),
}

/// A measured size this far from the planned one is asked about: larger would let inches typed as mm pass, smaller
/// would argue with a piece that really came out wrong.
const MEASURED_SHARE: std::ops::RangeInclusive<f64> = 0.7..=1.3;

pub(super) fn sheet(walk: &Walk) -> Option<Sheet> {
    let s = walk.part("sheet");
    Some(Sheet {
        metal: trade::metal(&s.word("metal")?)?.clone(),
        thickness: s.mm("thickness")?,
        temper: s.choice("temper", &[("soft", Temper::Soft), ("half-hard", Temper::HalfHard)])?,
        stock: s.two("stock"),
        price_per_gram: s.number("price_per_gram"),
    })
}

pub(super) fn limits(walk: &Walk) -> Option<Limits> {
    let l = walk.part("limits");
    Some(Limits { bridge: l.mm("bridge")?, opening: l.mm("opening")?, border: l.mm("border")? })
}

pub(super) fn saw(walk: &Walk) -> Option<Saw> {
    let s = walk.part("saw");
    Some(Saw {
        blade: trade::blade(&s.word("blade")?)?.clone(),
        drill: s.mm("drill")?,
        clean_up: s.mm("clean_up")?,
        frame_depth: s.mm("frame_depth"),
        left_handed: s.choice("hand", &[("right", false), ("left", true)])?,
        stack: s.whole("stack")?,
    })
}

/// `planned` is the outline, if it could be read.
pub(super) fn measured(walk: &Walk, planned: Option<&Shape>) -> Option<Measured> {
    let m = walk.part("measured");
    let outline = match (m.has("outline"), planned) {
        (true, Some(shape)) => Some(measured_outline(&m, shape)?),
        _ => None,
    };
    Some(Measured { outline, thickness: m.mm("thickness") })
}

/// Across for a circle (one or more readings), the bounding box for every other shape.
fn measured_outline(m: &SectionReader, planned: &Shape) -> Option<MeasuredOutline> {
    let round = matches!(planned, Shape::Circle { .. });
    let outline = match (m.value("outline")?, round) {
        (Value::Size(width, height), true) => MeasuredOutline::Across(vec![Mm(width), Mm(height)]),
        (Value::Size(width, height), false) => MeasuredOutline::Size { width: Mm(width), height: Mm(height) },
        (Value::List(readings), true) => MeasuredOutline::Across(readings.into_iter().map(Mm).collect()),
        _ => {
            let wrong = "this outline is measured by its overall size";
            m.refuse("outline", wrong, "write outline = { width = 29.6, height = 19.8 }");
            return None;
        }
    };
    match implausible(planned, &outline) {
        Some(unread) => {
            m.refuse("outline", unread.wrong, unread.todo);
            None
        }
        None => Some(outline),
    }
}

/// A question about a measured size far from the planned one.
pub(super) fn implausible(planned: &Shape, outline: &MeasuredOutline) -> Option<Unread> {
    let (width, height) = shape::over_all(planned)?;
    let pairs: Vec<(Mm, Mm)> = match outline {
        MeasuredOutline::Across(readings) => readings.iter().map(|r| (*r, width)).collect(),
        MeasuredOutline::Size { width: w, height: h } => vec![(*w, width), (*h, height)],
    };
    let (found, planned) =
        pairs.into_iter().find(|(found, plan)| !MEASURED_SHARE.contains(&(*found / *plan)))?;
    Some(Unread::new(
        format!("measured {found}, planned {planned}: is it the same piece, and in the job's units?"),
        "measure again, or change the outline of the job",
    ))
}

/// Typed rates first, then those learnt; what neither has goes by skill.
pub(super) fn rates(walk: &Walk) -> Rates {
    let r = walk.part("rates");
    Rates {
        per_hour: r.number("per_hour").filter(|m| *m > 0.0).or(walk.settings.rates.per_hour),
        saw: r.number("saw"),
        per_hole: r.number("per_hole"),
        filing: r.number("filing"),
        handling: r.number("handling"),
        cut: walk.settings.rates.cut,
        corner: walk.settings.rates.corner,
    }
}

/// `source`: the job's pattern.
pub(super) fn wish(walk: &Walk, source: Option<&PatternSource>) -> Option<Wish> {
    let w = walk.part("wish");
    let given: Vec<&str> = ["openings", "hours", "weight"].into_iter().filter(|key| w.has(key)).collect();
    if let (Some(key), Some(PatternSource::None)) = (given.first(), source) {
        let todo = "name a pattern, or take [wish] out and set the rows' count and size";
        w.refuse(key, "a wish is met by the pitch of a pattern, and this job has none", todo);
    }
    match given[..] {
        ["openings"] => w.whole("openings").map(Wish::Openings),
        ["hours"] => w.number("hours").map(Wish::Hours),
        ["weight"] => w.number("weight").map(Wish::Weight),
        [_, second, ..] => {
            let todo = format!("keep one of: {}", given.join(", "));
            w.refuse(second, "one wish at a time can be met", todo);
            None
        }
        _ => None,
    }
}

/// What is wrong with a pitch, mm, that comes to more openings than a job may have, and which would do.
pub(super) fn too_many(count: f64, pitch: Mm, units: LengthUnit) -> Option<(String, String)> {
    let most: &Limit = &OPENINGS;
    (count > most.most).then(|| {
        let about = if count < 1e12 { short(count.round(), 0) } else { format!("{count:.0e}") };
        (
            format!("this comes to about {about} openings"),
            format!(
                "a pitch of {} would do: at most {}, {}",
                units.says((pitch.get() * (count / most.most).sqrt() * 100.0).ceil() / 100.0, 2),
                short(most.most, 0),
                most.why
            ),
        )
    })
}
