//! Jobs tried with changes, within a budget counted in openings.

use super::change::{changed, Change};
use crate::job::{AtBorder, CentreChoice, Job, PatternSource};
use crate::pattern;
use crate::work::{worked as do_work, Work};
use std::sync::Arc;

/// Above this many openings nothing is tried: one try alone takes most of a second, and the person waits.
pub const MOST_TRIED: usize = 20_000;
/// What a try costs whatever its size, in openings: outline, plan, verdicts.
const EACH: usize = 100;
/// An opening of a pattern that is grown costs as much as so many of a repeat: each is cut and measured by itself (measured:
/// 40 us against 15 to 25).
const GROWN: usize = 3;
/// Openings that are fitted to the border: many places of the pattern are bent before one is taken (estimate).
const FITTED: usize = 10;
/// Lloyd iterations that cost as much as one opening of a repeat (measured: 230 us an opening at 200 passes).
const PASSES: usize = 20;

/// A job with changes, worked out; `None` when it cannot be used.
fn try_out(job: &Job, changes: &[Change]) -> Option<Work> {
    let job = changed(job, changes).ok()?;
    do_work(&job).ok().filter(|w| !w.piece.openings.is_empty())
}

/// A job tried with changes. The same changes, which several verdicts may ask for, are worked out once.
#[derive(Debug, Clone)]
pub(super) struct Tries {
    pub job: Job,
    work: Work,
    /// Openings that may still be worked out.
    pub left: usize,
    known: Vec<(Vec<Change>, Option<Arc<Work>>)>,
}

impl Tries {
    pub(super) fn new(job: &Job, work: &Work, budget: usize) -> Self {
        Self { job: job.clone(), work: work.clone(), left: budget, known: Vec::new() }
    }

    /// Whether the budget holds the job with these changes.
    pub(super) fn can_pay(&self, changes: &[Change]) -> bool {
        self.known.iter().any(|(c, _)| c == changes) || self.cost(changes) <= self.left
    }

    /// The job with changes, worked out; `None` when it cannot be used so or the budget is spent.
    pub(super) fn of(&mut self, changes: &[Change]) -> Option<Arc<Work>> {
        if let Some((_, work)) = self.known.iter().find(|(c, _)| c == changes) {
            return work.clone();
        }
        self.left = self.left.checked_sub(self.cost(changes))?;
        let work = try_out(&self.job, changes).map(Arc::new);
        self.known.push((changes.to_vec(), work.clone()));
        work
    }

    /// The same without keeping it, for searches that never ask twice.
    pub(super) fn once(&mut self, changes: &[Change]) -> Option<Work> {
        self.left = self.left.checked_sub(self.cost(changes))?;
        try_out(&self.job, changes)
    }

    /// About how many openings of a plain repeat the job with these changes is worth: its own, by pitch, times the ways in
    /// which it is laid, times what one of its family costs.
    pub(super) fn cost(&self, changes: &[Change]) -> usize {
        let mut pitch = self.job.pattern.pitch.unwrap_or(self.work.piece.resolved.pitch).get();
        let (mut centre, mut at_border) = (self.job.pattern.centre, self.job.pattern.at_border);
        for change in changes {
            match change {
                Change::Pitch(to) => pitch = to.get(),
                // The piece grows with its pattern.
                Change::Centre(to) => centre = *to,
                Change::AtBorder(to) => at_border = *to,
                _ => {}
            }
        }
        let cells = (self.work.piece.openings.len() + self.work.piece.left_solid.len()).max(1) as f64;
        let finer = self.work.piece.resolved.pitch.get() / pitch.max(1e-3);
        let cells = (cells * finer * finer).min(1e9) as usize;
        cells.saturating_mul(ways(&self.job, &self.work, centre, at_border)).saturating_add(EACH)
    }
}

/// How many times over the openings of a job are worked out, each counted for what one of its family costs.
fn ways(job: &Job, work: &Work, centre: CentreChoice, at_border: AtBorder) -> usize {
    match &job.pattern.source {
        PatternSource::Grown(_) => {
            GROWN + job.pattern.grown.passes.map_or(0, |passes| passes as usize / PASSES)
        }
        PatternSource::None => 1,
        PatternSource::Repeat(_) => {
            let mut tried = job.clone();
            (tried.pattern.centre, tried.pattern.at_border) = (centre, at_border);
            let bent = if at_border == AtBorder::Fit { FITTED } else { 0 };
            bent + pattern::starts(&tried, &work.piece.outline).len().max(1)
        }
    }
}
