//! A job just done as a line of the log, and what the log taught as a job's rates.

use super::measured::Measured;
use super::Plan;
use crate::job::{Job, Rates};
use crate::openings::Piece;
use crate::trade::pace::Learnt;
use crate::trade::timed::Entry;

/// The entry for a job just done: one whole piece, or `openings` timed openings of it.
pub fn entry(
    job: &Job,
    piece: &Piece,
    plan: &Plan,
    openings: Option<u32>,
    minutes: f64,
    filing: Option<f64>,
) -> Entry {
    let bench = Measured::found(job, piece);
    let stack = f64::from(bench.stack());
    let count = piece.openings.len() as f64;
    let (holes, line, corners, planned) = match openings.filter(|_| count > 0.0) {
        Some(n) => {
            let share = f64::from(n) / count;
            let inside: usize = piece.openings.iter().map(|o| o.corners).sum();
            let per_hole = plan.time.drilling / (plan.saw.threadings as f64).max(1.0);
            let of_line = plan.saw.openings / plan.saw.length().max(f64::EPSILON);
            let of_corners = inside as f64 / (plan.saw.corners as f64).max(1.0);
            let planned = f64::from(n) * per_hole
                + (plan.time.sawing * of_line + plan.time.corners * of_corners) * share;
            (f64::from(n), plan.saw.openings * share, inside as f64 * share, Some(planned * stack))
        }
        None => {
            let planned = (plan.time.drilling + plan.time.sawing + plan.time.corners) * stack;
            (plan.saw.threadings as f64, plan.saw.length(), plan.saw.corners as f64, Some(planned))
        }
    };
    Entry {
        job: job.title.clone(),
        metal: job.sheet.metal.name.clone(),
        thickness: bench.thickness * stack,
        holes,
        line,
        corners,
        minutes,
        filing,
        planned,
    }
}

/// What the log taught, ready for `Settings`; what was not learnt stays by skill.
pub fn learnt_rates(learnt: &Learnt) -> Rates {
    let pace = learnt.pace.as_ref();
    Rates {
        per_hole: pace.map(|p| p.per_hole),
        cut: pace.map(|p| p.cut),
        corner: pace.map(|p| p.corner),
        filing: pace.filter(|_| learnt.filing_timed).map(|p| p.filing),
        ..Rates::default()
    }
}
