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
/// Openings that are fitted to the border, as long as none has been: many places of the pattern are bent before one is taken
/// (estimate).
const FITTED: usize = 10;
/// Vertices bent to the border that cost as much as one opening of a repeat (measured: 2 to 4 us a vertex, 15 to 25 an
/// opening).
const BENT: usize = 6;
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
    /// Openings that may be worked out, and those that were; a fit that took more than was thought goes beyond.
    budget: usize,
    pub spent: usize,
    known: Vec<(Vec<Change>, Option<Arc<Work>>)>,
}

impl Tries {
    pub(super) fn new(job: &Job, work: &Work, budget: usize) -> Self {
        Self { job: job.clone(), work: work.clone(), budget, spent: 0, known: Vec::new() }
    }

    /// Whether the budget holds the job with these changes.
    pub(super) fn can_pay(&self, changes: &[Change]) -> bool {
        self.known.iter().any(|(c, _)| c == changes)
            || self.spent.saturating_add(self.cost(changes)) <= self.budget
    }

    /// The job with changes, worked out; `None` when it cannot be used so or the budget is spent.
    pub(super) fn of(&mut self, changes: &[Change]) -> Option<Arc<Work>> {
        if let Some((_, work)) = self.known.iter().find(|(c, _)| c == changes) {
            return work.clone();
        }
        if !self.can_pay(changes) {
            return None;
        }
        let work = self.once(changes).map(Arc::new);
        self.known.push((changes.to_vec(), work.clone()));
        work
    }

    /// The same without keeping it, for searches that never ask twice.
    pub(super) fn once(&mut self, changes: &[Change]) -> Option<Work> {
        let cost = self.cost(changes);
        if self.spent.saturating_add(cost) > self.budget {
            return None;
        }
        self.spent += cost;
        let work = try_out(&self.job, changes)?;
        // What fitting it takes is known only now.
        self.spent += (bent(&work) / BENT).saturating_sub(cost);
        Some(work)
    }

    /// Room for so many openings more, whatever was spent before.
    pub(super) fn allow(&mut self, openings: usize) {
        self.budget = self.budget.max(self.spent.saturating_add(openings));
    }

    /// Nothing more is worked out.
    pub(super) fn give_up(&mut self) {
        self.budget = 0;
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
        let finer = self.work.piece.resolved.pitch.get() / pitch.max(1e-3);
        let cells = (cells(&self.work) as f64 * finer * finer).min(1e9) as usize;
        cells.saturating_mul(ways(&self.job, &self.work, centre, at_border)).saturating_add(EACH)
    }
}

/// Cells of a piece, opened and left solid.
fn cells(work: &Work) -> usize {
    (work.piece.openings.len() + work.piece.left_solid.len()).max(1)
}

/// Vertices that were bent to fit a piece to its border.
fn bent(work: &Work) -> usize {
    work.piece.resolved.border.as_ref().map_or(0, |border| border.bent)
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
            let fitted = match (at_border, bent(work) / BENT) {
                (AtBorder::Fit, 0) => FITTED,
                (AtBorder::Fit, bent) => bent.div_ceil(cells(work)),
                _ => 0,
            };
            fitted + pattern::starts(&tried, &work.piece.outline).len().max(1)
        }
    }
}
