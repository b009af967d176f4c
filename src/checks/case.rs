//! What every check looks at: the job and its piece, with openings of one shape measured once.

use super::corners::{sawing_of, ShapeSawing};
use super::BridgeGraph;
use crate::job::{Job, Temper};
use crate::openings::{Opening, Piece};
use crate::trade::models::HALF_HARD;
use std::collections::BTreeMap;

pub(super) struct Case<'a> {
    pub job: &'a Job,
    pub piece: &'a Piece,
    pub graph: &'a BridgeGraph,
    /// As measured if it was, mm.
    pub thickness: f64,
    /// Yield strength at the job's temper, MPa.
    pub yield_mpa: Option<f64>,
    /// What sawing meets in each shape.
    shapes: Vec<ShapeSawing>,
    /// Shape of each opening, and the opening it was measured on.
    shape_of: Vec<usize>,
    measured_on: Vec<usize>,
}

impl<'a> Case<'a> {
    pub(super) fn new(job: &'a Job, piece: &'a Piece, graph: &'a BridgeGraph) -> Self {
        let (shape_of, measured_on) = sort_by_shape(&piece.openings);
        let hard = if job.sheet.temper == Temper::HalfHard { HALF_HARD } else { 1.0 };
        Self {
            job,
            piece,
            graph,
            thickness: job.measured.thickness.unwrap_or(job.sheet.thickness).get(),
            yield_mpa: job.sheet.metal.yield_mpa.map(|y| y * hard),
            shapes: measured_on.iter().map(|&i| sawing_of(&piece.openings[i], &job.saw.blade)).collect(),
            shape_of,
            measured_on,
        }
    }

    /// Every opening with what sawing meets in it; places in the second are relative to the shape's own opening, and
    /// the third moves them to this one.
    pub(super) fn sawn(&self) -> impl Iterator<Item = (&'a Opening, &ShapeSawing, crate::geom::Vec2)> + '_ {
        self.piece.openings.iter().zip(&self.shape_of).map(|(opening, &shape)| {
            let model = &self.piece.openings[self.measured_on[shape]];
            (opening, &self.shapes[shape], opening.drill_at - model.drill_at)
        })
    }
}

/// For each opening which of those measured has its shape, and for each of those its place among all.
fn sort_by_shape(openings: &[Opening]) -> (Vec<usize>, Vec<usize>) {
    let mut known: BTreeMap<u32, usize> = BTreeMap::new();
    let mut measured_on = Vec::new();
    let mut measure = |i: usize| {
        measured_on.push(i);
        measured_on.len() - 1
    };
    let shape_of = openings
        .iter()
        .enumerate()
        .map(|(i, opening)| match opening.shape {
            Some(shape) => *known.entry(shape).or_insert_with(|| measure(i)),
            None => measure(i),
        })
        .collect();
    (shape_of, measured_on)
}
