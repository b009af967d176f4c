//! Jobs tried with changes, within a budget counted in openings.

use super::change::{changed, Change};
use crate::job::{AtBorder, CentreChoice, Job, PatternSource};
use crate::pattern;
use crate::work::{work as do_work, Work};
use std::rc::Rc;

/// Above this many openings nothing is tried: one try alone takes most of a second, and the person waits.
pub const MOST_TRIED: usize = 20_000;
/// What a try costs whatever its size, in openings: outline, plan, verdicts.
const EACH: usize = 100;
/// Openings of a pattern that is grown cost as much as so many of a repeat: each is cut and measured by itself (measured).
const GROWN: usize = 8;
/// The same where cells are evened out over and over (measured).
const RELAXED: usize = 40;

/// A job with changes, worked out; `None` when it cannot be used.
fn try_out(job: &Job, changes: &[Change]) -> Option<Work> {
    let job = changed(job, changes).ok()?;
    do_work(&job).ok().filter(|w| !w.piece.openings.is_empty())
}

/// A job tried with changes. The same changes, which several verdicts may ask for, are worked out once.
pub(super) struct Tries<'a> {
    pub job: &'a Job,
    work: &'a Work,
    /// Openings that may still be worked out.
    pub left: usize,
    known: Vec<(Vec<Change>, Option<Rc<Work>>)>,
}

impl<'a> Tries<'a> {
    pub(super) fn new(job: &'a Job, work: &'a Work, budget: usize) -> Self {
        Self { job, work, left: budget, known: Vec::new() }
    }

    /// Whether the budget holds the job with these changes.
    pub(super) fn can_pay(&self, changes: &[Change]) -> bool {
        self.known.iter().any(|(c, _)| c == changes) || self.cost(changes) <= self.left
    }

    /// The job with changes, worked out; `None` when it cannot be used so or the budget is spent.
    pub(super) fn of(&mut self, changes: &[Change]) -> Option<Rc<Work>> {
        if let Some((_, work)) = self.known.iter().find(|(c, _)| c == changes) {
            return work.clone();
        }
        self.left = self.left.checked_sub(self.cost(changes))?;
        let work = try_out(self.job, changes).map(Rc::new);
        self.known.push((changes.to_vec(), work.clone()));
        work
    }

    /// The same without keeping it, for searches that never ask twice.
    pub(super) fn once(&mut self, changes: &[Change]) -> Option<Work> {
        self.left = self.left.checked_sub(self.cost(changes))?;
        try_out(self.job, changes)
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
        cells.saturating_mul(ways(self.job, self.work, centre, at_border)).saturating_add(EACH)
    }
}

/// How many times over the openings of a job are worked out, each counted for what one of its family costs.
fn ways(job: &Job, work: &Work, centre: CentreChoice, at_border: AtBorder) -> usize {
    match &job.pattern.source {
        PatternSource::Grown(name) if name == "evened-out" => {
            RELAXED.max(job.pattern.grown.passes.unwrap_or(0) as usize)
        }
        PatternSource::Grown(_) => GROWN,
        PatternSource::Repeat(_) => {
            let mut tried = job.clone();
            (tried.pattern.centre, tried.pattern.at_border) = (centre, at_border);
            pattern::starts(&tried, &work.piece.outline).len().max(1)
        }
    }
}
