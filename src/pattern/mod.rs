//! Repeats laid over the outline: periodic, grown and radial. Cells are whole and touch; the bridge is taken off later.

mod band;
pub mod grown;
mod periodic;

use crate::error::Error;
use crate::geom::Ring;
use crate::job::{Job, PatternSource};
use crate::outline::Outline;
use crate::units::Mm;
use kurbo::{Point, Vec2};

pub use periodic::suited_pitch;

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
    /// Bridge round this cell when it is not the job's (graded walls), mm.
    pub bridge: Option<f64>,
}

/// A point of the pattern that may be laid on the outline's middle.
#[derive(Debug, Clone, PartialEq)]
pub struct Start {
    /// In shortest repeats.
    pub at: Point,
    pub name: &'static str,
    pub order: u32,
}

/// The centres a job's choice allows: one, or every listed one for `centre = "best"`.
pub fn starts(job: &Job) -> Vec<Start> {
    match &job.pattern.source {
        PatternSource::Repeat(pattern) => periodic::starts(pattern, job.pattern.centre),
        PatternSource::Grown(_) => vec![Start { at: Point::ORIGIN, name: "opening", order: 1 }],
    }
}

/// Lays the job's pattern over an outline from one of its [`starts`]. Errors when there would be more cells than
/// [`MOST_CELLS`] or the pattern is not known.
pub fn lay(job: &Job, outline: &Outline, start: &Start) -> Result<Laid, Error> {
    match &job.pattern.source {
        PatternSource::Repeat(pattern) => periodic::lay(pattern, job, outline, start),
        PatternSource::Grown(name) => Err(Error::job(
            format!("the pattern \"{name}\" is not built yet"),
            "choose one from `sawpierce list patterns`",
        )),
    }
}
