//! What every check looks at: the job and its piece, with openings of one shape measured once.

use super::corners::{sawing_of, ShapeSawing};
use super::BridgeGraph;
use crate::job::{Job, Temper};
use crate::openings::{Opening, Piece};
use crate::trade::models::HALF_HARD;
use std::collections::HashMap;

/// Corners of two openings that differ by less than this are the same shape, mm. Larger would give one opening the
/// measures of another; smaller would measure the same cell again and again for its last digit.
const SAME: f64 = 1e-6;

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
    pub fn new(job: &'a Job, piece: &'a Piece, graph: &'a BridgeGraph) -> Self {
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
    pub fn sawn(&self) -> impl Iterator<Item = (&'a Opening, &ShapeSawing, kurbo::Vec2)> + '_ {
        self.piece.openings.iter().zip(&self.shape_of).map(|(opening, &shape)| {
            let model = &self.piece.openings[self.measured_on[shape]];
            (opening, &self.shapes[shape], opening.drill_at - model.drill_at)
        })
    }
}

/// Shape number of each opening, and for each shape the first opening that has it. Trimmed openings stand alone.
fn sort_by_shape(openings: &[Opening]) -> (Vec<usize>, Vec<usize>) {
    let mut known: HashMap<Vec<i64>, usize> = HashMap::new(); // looked up only, never walked
    let mut key = Vec::new();
    let mut measured_on = Vec::new();
    let shape_of = openings
        .iter()
        .enumerate()
        .map(|(i, opening)| {
            let new = measured_on.len();
            if opening.trimmed {
                measured_on.push(i);
                return new;
            }
            key.clear();
            key.extend(opening.ring.shape(SAME));
            if let Some(&shape) = known.get(&key) {
                return shape;
            }
            known.insert(key.clone(), new);
            measured_on.push(i);
            new
        })
        .collect();
    (shape_of, measured_on)
}
