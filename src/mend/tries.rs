//! Jobs tried with changes, within a budget counted by what opening and fitting them took: the same on every machine.

use super::change::{changed, Change};
use crate::job::{Job, PatternSource};
use crate::work::{worked as do_work, Work};
use std::sync::Arc;

/// What a try costs whatever its size, in units of about 20 us: outline, plan, verdicts (measured).
const EACH: usize = 100;
/// What a window, hole or kept place costs besides: it is cut out of the field and held against the others (measured: 0.2 to 0.5 ms).
const PLACE: usize = 30;
/// Edges of the outline that cost as much as a unit: it is drawn in, cut and asked (measured: 5 us each).
const EDGES: usize = 4;
/// What its bridges and verdicts cost for each opening (measured).
const JUDGED: usize = 1;
/// Vertices bent to the border that cost as much as a unit (measured: 2 to 4 us a vertex).
const BENT: usize = 6;
/// What an opening of a pattern that is grown costs: each is cut and measured by itself (measured: 40 us).
const GROWN: usize = 3;
/// Lloyd iterations of one opening that cost as much as a unit (measured: 230 us an opening at 200 passes).
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
    /// What may be spent and what was; a try that took more than was thought goes beyond.
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
        let work = try_out(&self.job, changes);
        // What it takes is known only now.
        self.spent += work.as_ref().map_or(cost, |work| took(&self.job, work));
        work
    }

    /// Room for so much more, whatever was spent before.
    pub(super) fn allow(&mut self, more: usize) {
        self.budget = self.budget.max(self.spent.saturating_add(more));
    }

    /// Nothing more is worked out.
    pub(super) fn give_up(&mut self) {
        self.budget = 0;
    }

    /// About what the job with these changes takes: as much as the job itself, by the number of its openings.
    pub(super) fn cost(&self, changes: &[Change]) -> usize {
        let own = self.work.piece.resolved.pitch.get();
        let pitch = |change: &Change| match change {
            Change::Pitch(to) => Some(to.get()),
            _ => None,
        };
        let finer = own / changes.iter().filter_map(pitch).next_back().unwrap_or(own).max(1e-3);
        (took(&self.job, &self.work) as f64 * finer * finer).min(1e9) as usize
    }
}

/// What a piece took to work out, in units of about 20 us.
fn took(job: &Job, work: &Work) -> usize {
    let resolved = &work.piece.resolved;
    let bent = resolved.border.as_ref().map_or(0, |border| border.bent);
    let grown = match job.pattern.source {
        PatternSource::Grown(_) => {
            GROWN + job.pattern.grown.passes.map_or(0, |passes| passes as usize / PASSES)
        }
        _ => 0,
    };
    let outline = &work.piece.outline;
    let places = outline.windows.len() + outline.holes.len() + outline.keeps.len();
    let drawn = PLACE * places + outline.edge.edges().len() / EDGES;
    EACH + drawn + (JUDGED + grown) * work.piece.openings.len() + resolved.worked + bent / BENT
}
