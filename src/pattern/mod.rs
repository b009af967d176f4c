//! Repeats laid over the outline: periodic, grown and radial. Cells are whole and touch; the bridge is taken off later.

mod band;
mod cells;
mod conformal;
mod fit;
mod graded;
pub mod grown;
mod periodic;
mod pitch;
mod row;

use crate::catalogue::{grown, AroundRule, Grown, Pattern};
use crate::error::Error;
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::{AtBorder, Job, PatternSource};
use crate::outline::{Outline, Seam};
use crate::units::Mm;
use std::collections::BTreeMap;

use conformal::ConformalMap;
use grown::{grow, usual_pitch, GrowthAsk};

pub use cells::{cells, cells_by, Cells};
pub use fit::{Effort, Fits, Fitted, Image, Quality};
pub use graded::{Ramp, Walls};
pub use pitch::{half_open_bridge, suited_pitch};
pub use row::{set_rows, RowSet};

/// Clearance an opening must leave round the start hole, mm over the diameter: a tenth of a millimetre a side.
/// Less and the drill nicks the line; more and fine openings are refused that a steady hand can pierce.
pub const DRILL_CLEARANCE: f64 = 0.20;

/// Repeats from end to end of a cone's blank when the pitch is chosen: fewer do not look like rounds.
const FEWEST_ROUND: f64 = 6.0;

/// Cells laid over the piece, before bridges are taken off. mm, the pattern's centre at the outline's middle.
#[derive(Debug, Clone, Default)]
pub struct Laid {
    /// Cell shapes, turned and sized; a repeat has a few, a grown pattern one for each cell.
    pub kinds: Vec<Ring>,
    /// Where they stand, in no order that matters.
    pub cells: Vec<Cell>,
    /// The cells are motifs that do not touch: they are openings as they stand.
    pub motif: bool,
    /// Length of a repeat as the pattern defines it; what was typed, or what it was eased to.
    pub pitch: Mm,
    /// How far the repeat was turned, degrees anticlockwise; on a band as it closes.
    pub turn: f64,
    /// Where the pattern file's own origin comes to lie, mm; on a cone before it is bent. None for a grown pattern.
    pub origin: Option<Point>,
    /// The centre used: "opening", "crossing", "bridge".
    pub centre: String,
    /// Order of turning symmetry about the middle, 1 for none.
    pub order: u32,
    /// Whole repeats along a band, rounds of a grown pattern; empty where it has no meaning.
    pub repeats: Vec<u32>,
    /// Repeats that the pattern itself leaves out, each with the reason.
    pub left: Vec<(Point, String)>,
    /// What the maker is told about the laying, in sentences.
    pub notes: Vec<String>,
}

/// One cell: a kind and where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Index into `Laid::kinds`.
    pub kind: usize,
    /// Where the origin of its kind comes to lie, mm.
    pub at: Vec2,
    /// What is taken off this cell when it is not the job's bridge (graded walls), mm.
    pub bridge: Option<f64>,
}

/// A point of the pattern that may be laid on the outline's middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// In shortest repeats.
    pub at: Point,
    /// "opening", "crossing" or "bridge".
    pub name: &'static str,
    /// Order of turning symmetry about it, 1 for none.
    pub order: u32,
    /// The pitch is made bigger by this.
    pub stretch: f64,
}

impl Start {
    const MIDDLE: Start = Start { at: Point::ORIGIN, name: "opening", order: 1, stretch: 1.0 };
}

/// Steps by which `at_border = "ease"` tries the pattern a little smaller and larger.
const EASE_STEPS: i32 = 8;
/// Steps up that are tried for a pitch that was not asked for.
const EASE_CHOSEN: i32 = 20;
/// Farthest the pattern may be stretched to even its edge row. More shows beside the pitch that was asked for; less
/// leaves rows ragged.
const EASE_MOST: f64 = 0.08;

/// The ways of laying a job's pattern that are worth trying: one, or every listed centre for `centre = "best"`, each a
/// little stretched for `at_border = "ease"`: either way, or up only where the pitch was chosen.
pub fn starts(job: &Job, outline: &Outline) -> Vec<Start> {
    let starts = match &job.pattern.source {
        PatternSource::Repeat(pattern) => periodic::starts(pattern, job.pattern.centre),
        PatternSource::Grown(_) | PatternSource::None => return vec![Start::MIDDLE],
    };
    if job.pattern.at_border != AtBorder::Ease || outline.seam.is_some() {
        return starts;
    }
    // The plain one first: it wins when nothing is better. A pitch chosen for its smallest opening is made no smaller.
    let steps: Vec<i32> = match job.pattern.pitch {
        None => (0..=EASE_CHOSEN).collect(),
        Some(_) => (0..=EASE_STEPS).flat_map(|k| if k == 0 { vec![0] } else { vec![k, -k] }).collect(),
    };
    steps
        .into_iter()
        .flat_map(|k| {
            let stretch = 1.0 + EASE_MOST * f64::from(k) / f64::from(EASE_STEPS);
            starts.iter().map(move |s| Start { stretch, ..s.clone() })
        })
        .collect()
}

/// Lays the job's pattern over an outline from one of its [`starts`]. Errors when there would be more cells than
/// [`crate::units::limits::OPENINGS`] or the settings leave nothing to lay.
pub fn lay(job: &Job, outline: &Outline, start: &Start) -> Result<Laid, Error> {
    let walls = Walls::of(job, outline);
    let mut laid = match &job.pattern.source {
        PatternSource::Repeat(pattern) => periodic::lay(pattern, job, outline, start),
        PatternSource::Grown(name) => lay_grown(name, job, outline, walls.as_ref()),
        PatternSource::None => Ok(Laid { order: 1, centre: Start::MIDDLE.name.into(), ..Laid::default() }),
    }?;
    if let Some(walls) = walls {
        let middles: Vec<Point> = laid.kinds.iter().map(Ring::centroid).collect();
        for cell in &mut laid.cells {
            cell.bridge = Some(walls.taken(middles[cell.kind] + cell.at, laid.motif));
        }
        laid.notes.push(walls.note(job.units));
    }
    Ok(laid)
}

/// The ways of bending a repeat's cells to the border.
fn fitted(pattern: &Pattern, job: &Job, outline: &Outline, effort: Effort) -> Fits {
    let mut note = None;
    let pitch = job.pattern.pitch.unwrap_or_else(|| {
        let (pitch, sum) = suited_pitch(pattern, job, outline);
        note = Some(sum);
        pitch
    });
    let mut fits = fit::fit(pattern, job, outline, pitch, effort);
    let ways = fits.ways.iter_mut().flatten();
    ways.for_each(|fit| fit.laid.notes.splice(0..0, note.clone()).for_each(drop));
    fits
}

fn lay_grown(name: &str, job: &Job, outline: &Outline, walls: Option<&Walls>) -> Result<Laid, Error> {
    let unknown =
        || Error::job(format!("there is no pattern called \"{name}\""), "see `sawpierce list patterns`");
    let pattern = grown(name).ok_or_else(unknown)?;
    let mut notes = Vec::new();
    let bend = ConformalMap::of(outline).filter(|_| pattern.round == AroundRule::Whole);
    let closed = pattern.round == AroundRule::Whole && outline.seam.is_some();
    goes_round(pattern, job, outline, &mut notes)?;
    let flat = outline.room.iter().map(|r| r.outer().bounds()).reduce(|a, b| a.union(b));
    let flat = flat.unwrap_or_default();
    let bounds = match (bend, outline.run) {
        (Some(bend), _) => bend.strip(),
        (None, Some(run)) if closed => Rect { x0: -run.get() / 2.0, x1: run.get() / 2.0, ..flat },
        _ => flat,
    };
    let blank = match outline.seam {
        Some(Seam::Turn { degrees, centre, .. }) => Some((centre, degrees.to_radians())),
        _ => None,
    };
    let mut ask = GrowthAsk {
        bounds,
        closed,
        field: &outline.room,
        blank,
        ease: job.pattern.at_border == AtBorder::Ease,
        pitch: 0.0,
        bridge: job.pattern.least_bridge().get(),
        walls,
        along: job.pattern.along,
        least: job.saw.drill.get() + DRILL_CLEARANCE,
        variation: job.pattern.variation,
        turn: job.pattern.turn,
        settings: job.pattern.grown.clone(),
        units: job.units,
    };
    let pitch = job.pattern.pitch.unwrap_or_else(|| {
        // The smallest openings of graded cells have to take the drill.
        let finest = (1.0 + job.pattern.grown.grade).min(1.0);
        let (least, sum) = pitch::grown_pitch(pattern.across * finest, job, outline);
        // Patterns of few rounds are sized by the piece, if that is larger.
        let usual = Mm(usual_pitch(name, &ask));
        let by_piece = format!(
            "pitch {}: chosen to fill the piece with rounds enough to see them grow",
            job.units.says(usual.get(), 2)
        );
        notes.push(if usual > least { by_piece } else { sum });
        // Rounds on a cone want a few repeats from end to end.
        let most = ConformalMap::of(outline).map_or(f64::INFINITY, |b| b.run() / FEWEST_ROUND);
        (least.max(usual) / bend.map_or(1.0, |b| b.sizes().0)).min(Mm(most))
    });
    ask.pitch = pitch.get();
    if job.pattern.grown.grade != 0.0 {
        let mm = |mm: Mm| job.units.says(mm.get(), 2);
        let (pitch, to) = (mm(pitch), mm(pitch * (1.0 + job.pattern.grown.grade)));
        notes.push(match job.pattern.along {
            Some(_) => format!("cells graded from pitch {pitch} at the start of the line to {to} at its end"),
            None => format!("cells graded from pitch {pitch} in the middle to {to} at the border"),
        });
    }
    let growth = grow(name, &ask)
        .map_err(|wrong| job.refused("pattern.pitch", wrong, "change the sizes under [pattern]"))?;
    notes.extend(growth.notes);
    let mut size = pitch;
    if let (true, Some(&count)) = (closed, growth.repeats.first()) {
        let (run, count) = (bounds.width(), f64::from(count));
        let what = if bend.is_some() { "the cone, half way up" } else { "the band" };
        let round = band::Circuit { what, units: job.units };
        notes.extend(band::counts(run, 1.0, pitch.get(), count, round));
        size = Mm(run / count);
    }
    let rings: Vec<Ring> = match bend {
        Some(bend) => {
            notes.push(bend.note(size.get(), job.units));
            growth.cells.iter().map(|r| bend.ring(r)).collect()
        }
        None => growth.cells,
    };
    let (kinds, cells) = of_kinds(rings);
    Ok(Laid {
        cells,
        kinds,
        motif: growth.motif,
        pitch: size,
        turn: job.pattern.turn,
        origin: None,
        centre: Start::MIDDLE.name.into(),
        order: growth.order,
        repeats: growth.repeats,
        left: growth.left,
        notes,
    })
}

/// Two cells are of one kind when, laid on each other, their corners are no farther apart than about this, mm: rounding.
const ALIKE: f64 = 1e-9;

/// Cells sorted by kind: those that differ only in place are opened and measured once.
fn of_kinds(rings: Vec<Ring>) -> (Vec<Ring>, Vec<Cell>) {
    let (mut kinds, mut cells) = (Vec::new(), Vec::with_capacity(rings.len()));
    let mut known: BTreeMap<Vec<i64>, (usize, Point)> = BTreeMap::new();
    for ring in rings {
        let first = ring.first();
        let (kind, from) = *known.entry(ring.shape(ALIKE).collect()).or_insert_with(|| {
            kinds.push(ring);
            (kinds.len() - 1, first)
        });
        cells.push(Cell { kind, at: first - from, bridge: None });
    }
    (kinds, cells)
}

/// Says how a grown pattern goes round a blank that is bent to meet itself; refuses those that cannot.
fn goes_round(pattern: &Grown, job: &Job, outline: &Outline, notes: &mut Vec<String>) -> Result<(), Error> {
    let (what, cone) = match outline.seam {
        None => return Ok(()),
        Some(Seam::Shift(_)) => ("a band", false),
        Some(Seam::Turn { .. }) => ("a cone", true),
    };
    match pattern.round {
        AroundRule::Follows => notes.push("its cells follow both ends: the seam runs in one straight bridge".into()),
        AroundRule::Whole if job.pattern.turn % 90.0 != 0.0 => {
            return Err(Error::job(
                format!("\"{}\" goes round {what} upright only", pattern.name),
                "leave out turn, or give a quarter turn",
            ));
        }
        AroundRule::Cut => notes.push(format!(
            "set out round one middle: on {what} its openings are cut straight at both ends and do not go on across the seam"
        )),
        AroundRule::ConeOnly if cone => {}
        AroundRule::Whole => {}
        AroundRule::ConeOnly | AroundRule::Not => {
            let rounds = if cone { ", one of the growing rounds" } else { "" };
            return Err(Error::job(
                format!("\"{}\" is one round about its own middle and does not go round {what}", pattern.name),
                format!("take a pattern that repeats{rounds}, or \"evened-out\" or \"quarter-circles\""),
            ));
        }
    }
    Ok(())
}
