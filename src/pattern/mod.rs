//! Repeats laid over the outline: periodic, grown and radial. Cells are whole and touch; the bridge is taken off later.

mod band;
mod bend;
mod graded;
pub mod grown;
mod periodic;

use crate::error::Error;
use crate::geom::Ring;
use crate::job::{AtBorder, Job, PatternSource};
use crate::outline::{Outline, Seam};
use crate::units::Mm;
use kurbo::{Point, Vec2};

use grown::{grow, grown, Ask};

pub use graded::{Ramp, Walls};
pub use periodic::suited_pitch;

/// Clearance an opening must leave round the start hole, mm over the diameter: a tenth of a millimetre a side.
/// Less and the drill nicks the line; more and fine openings are refused that a steady hand can pierce.
pub const DRILL_CLEARANCE: f64 = 0.20;

/// Most cells a job may ask for. More would fill memory and no bench; the message says which size to change.
pub const MOST_CELLS: usize = 2_000_000;

/// Cells laid over the piece, before bridges are taken off. mm, the pattern's centre at the outline's middle.
#[derive(Debug, Clone, Default)]
pub struct Laid {
    /// Cell shapes, turned and sized; a repeat has a few, a grown pattern one for each cell.
    pub kinds: Vec<Ring>,
    pub cells: Vec<Cell>,
    /// The cells are motifs that do not touch: they are openings as they stand.
    pub motif: bool,
    pub pitch: Mm,
    /// The centre used: "opening", "joint", "bridge".
    pub centre: String,
    /// Order of turning symmetry about the middle, 1 for none.
    pub order: u32,
    /// Whole repeats along a band, rounds of a grown pattern; empty where it has no meaning.
    pub repeats: Vec<u32>,
    pub notes: Vec<String>,
}

/// One cell: a kind and where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    pub kind: usize,
    pub at: Vec2,
    /// What is taken off this cell when it is not the job's bridge (graded walls), mm.
    pub bridge: Option<f64>,
}

/// A point of the pattern that may be laid on the outline's middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// In shortest repeats.
    pub at: Point,
    pub name: &'static str,
    pub order: u32,
    /// The pitch is made bigger by this.
    pub stretch: f64,
}

impl Start {
    const MIDDLE: Start = Start { at: Point::ORIGIN, name: "opening", order: 1, stretch: 1.0 };
}

/// Steps by which `at_border = "ease"` tries the pattern a little smaller and larger.
const EASE_STEPS: i32 = 8;
/// Farthest the pattern may be stretched to even its edge row. More shows beside the pitch that was asked for; less
/// leaves rows ragged.
const EASE_MOST: f64 = 0.08;

/// The ways of laying a job's pattern that are worth trying: one, or every listed centre for `centre = "best"`, each a
/// little stretched either way for `at_border = "ease"`.
pub fn starts(job: &Job, outline: &Outline) -> Vec<Start> {
    let starts = match &job.pattern.source {
        PatternSource::Repeat(pattern) => periodic::starts(pattern, job.pattern.centre),
        PatternSource::Grown(_) => return vec![Start::MIDDLE],
    };
    if job.pattern.at_border != AtBorder::Ease || outline.seam.is_some() {
        return starts;
    }
    // The plain one first: it wins when nothing is better.
    let steps = (0..=EASE_STEPS).flat_map(|k| if k == 0 { vec![0] } else { vec![k, -k] });
    steps
        .flat_map(|k| {
            let stretch = 1.0 + EASE_MOST * f64::from(k) / f64::from(EASE_STEPS);
            starts.iter().map(move |s| Start { stretch, ..s.clone() })
        })
        .collect()
}

/// Lays the job's pattern over an outline from one of its [`starts`]. Errors when there would be more cells than
/// [`MOST_CELLS`] or the settings leave nothing to lay.
pub fn lay(job: &Job, outline: &Outline, start: &Start) -> Result<Laid, Error> {
    let walls = Walls::of(job, outline);
    let mut laid = match &job.pattern.source {
        PatternSource::Repeat(pattern) => periodic::lay(pattern, job, outline, start),
        PatternSource::Grown(name) => lay_grown(name, job, outline, walls.as_ref()),
    }?;
    if let Some(walls) = walls {
        let middles: Vec<Point> = laid.kinds.iter().map(Ring::middle).collect();
        for cell in &mut laid.cells {
            cell.bridge = Some(walls.taken(middles[cell.kind] + cell.at, laid.motif));
        }
        laid.notes.push(walls.note());
    }
    Ok(laid)
}

fn lay_grown(name: &str, job: &Job, outline: &Outline, walls: Option<&Walls>) -> Result<Laid, Error> {
    let unknown =
        || Error::job(format!("there is no pattern called \"{name}\""), "see `sawpierce list patterns`");
    let pattern = grown(name).ok_or_else(unknown)?;
    let mut notes = Vec::new();
    let bounds = outline.inside_border.iter().map(|r| r.outer.bounds()).reduce(|a, b| a.union(b));
    let blank = match outline.seam {
        Some(Seam::Turn { degrees, centre }) => Some((centre, degrees.to_radians())),
        _ => None,
    };
    let mut ask = Ask {
        bounds: bounds.unwrap_or_default(),
        field: &outline.inside_border,
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
    };
    let pitch = job.pattern.pitch.unwrap_or_else(|| {
        // The smallest openings of graded cells have to take the drill.
        let finest = (1.0 + job.pattern.grown.grade).min(1.0);
        let (least, sum) = periodic::pitch_for(pattern.across * finest, false, job);
        // Patterns of few rounds are sized by the piece, if that is larger.
        let usual = Mm(pattern.usual_pitch(&ask));
        let by_piece = format!("pitch {usual}: chosen to fill the piece with rounds enough to see them grow");
        notes.push(if usual > least { by_piece } else { sum });
        least.max(usual)
    });
    ask.pitch = pitch.get();
    if job.pattern.grown.grade != 0.0 {
        let to = pitch * (1.0 + job.pattern.grown.grade);
        notes.push(match job.pattern.along {
            Some(_) => format!("cells graded from pitch {pitch} at the start of the line to {to} at its end"),
            None => format!("cells graded from pitch {pitch} in the middle to {to} at the border"),
        });
    }
    let growth = grow(name, &ask).map_err(|wrong| Error::job(wrong, "change the sizes under [pattern]"))?;
    notes.extend(growth.notes);
    let cells =
        (0..growth.cells.len()).map(|kind| Cell { kind, at: Vec2::ZERO, bridge: None }).collect();
    Ok(Laid {
        kinds: growth.cells,
        cells,
        motif: growth.motif,
        pitch,
        centre: Start::MIDDLE.name.into(),
        order: growth.order,
        repeats: growth.repeats,
        notes,
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_job_room_knows_every_grown_pattern() {
        let ours: Vec<&str> = super::grown::GROWN.iter().map(|g| g.name).collect();
        assert_eq!(ours, crate::catalogue::GROWN);
    }
}
