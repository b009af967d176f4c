//! A remedy for each verdict, tried before it is offered.

use super::change::{changed, in_words, Change};
use super::options::options;
use crate::checks::{Check, Level, Verdict};
use crate::job::{Job, LengthUnit};
use crate::work::{work as do_work, Work};
use std::rc::Rc;

/// Above this many openings nothing is tried: one try alone takes most of a second, and the person waits.
pub const MOST_TRIED: usize = 20_000;
/// Tries for one verdict at most; the first options are the likely ones.
const TRIES: usize = 8;
/// Work of all tries for one job, in openings: tries stop when it is spent, so that a large piece does not wait long.
const BUDGET: usize = 60_000;

/// The verdicts of a job, each that is not good with a remedy that was tried and clears it without a new stop, or
/// `None` with the reason at the end of `because`.
pub fn with_remedies(job: &Job, work: &Work) -> Vec<Verdict> {
    let mut tries = Tries::new(job, work, BUDGET.max(3 * work.piece.openings.len()));
    let mut verdicts = work.verdicts.clone();
    for verdict in verdicts.iter_mut().filter(|v| v.level.is_fault() && v.remedy.is_none()) {
        let why = if work.piece.openings.len() > MOST_TRIED {
            format!("no remedy is tried above {MOST_TRIED} openings")
        } else {
            match remedy(work, verdict, &mut tries) {
                Ok(found) => {
                    verdict.remedy = Some(found);
                    continue;
                }
                Err(why) => why,
            }
        };
        verdict.no_remedy = why;
    }
    verdicts
}

fn remedy(work: &Work, verdict: &Verdict, tries: &mut Tries) -> Result<String, String> {
    let units = tries.job.units;
    let mut second_best = None;
    let list = options(verdict, tries.job, work);
    if list.is_empty() {
        return Err("no change to the job is known that would clear it".into());
    }
    let mut tried = 0;
    for changes in list.into_iter().take(TRIES) {
        if tries.are_spent() {
            break;
        }
        tried += 1;
        let Some(after) = tries.of(&changes) else { continue };
        if !clears(work, &after, verdict) {
            continue;
        }
        match worse(work, &after) {
            None => return Ok(offer(&changes, &after, verdict, None, units)),
            Some(new) if second_best.is_none() => {
                second_best = Some(offer(&changes, &after, verdict, Some(new), units));
            }
            Some(_) => {}
        }
    }
    match second_best {
        Some(offer) => Ok(offer),
        None if tried == 0 => Err("there was no time to try a remedy".into()),
        None if tried == 1 => Err("the one remedy tried does not clear it".into()),
        None => Err(format!("{tried} remedies were tried and none clears it")),
    }
}

/// A job with changes, worked out; `None` when it cannot be used.
pub(super) fn try_out(job: &Job, changes: &[Change]) -> Option<Work> {
    let job = changed(job, changes).ok()?;
    do_work(&job).ok().filter(|w| !w.piece.openings.is_empty())
}

/// A job tried with changes, within a budget. The same changes, which several verdicts may ask for, are worked out once.
pub(super) struct Tries<'a> {
    pub job: &'a Job,
    /// Openings that may still be worked out.
    pub left: usize,
    /// What one try takes of it.
    pub each: usize,
    known: Vec<(Vec<Change>, Option<Rc<Work>>)>,
}

impl<'a> Tries<'a> {
    pub fn new(job: &'a Job, work: &Work, budget: usize) -> Self {
        Self { job, left: budget, each: work.piece.openings.len() + 100, known: Vec::new() }
    }

    pub fn are_spent(&self) -> bool {
        self.left < self.each
    }

    /// The job with changes, worked out; `None` when it cannot be used so or the budget is spent.
    pub fn of(&mut self, changes: &[Change]) -> Option<Rc<Work>> {
        if let Some((_, work)) = self.known.iter().find(|(c, _)| c == changes) {
            return work.clone();
        }
        self.left = self.left.checked_sub(self.each)?;
        let work = try_out(self.job, changes).map(Rc::new);
        self.known.push((changes.to_vec(), work.clone()));
        work
    }
}

fn of_check(work: &Work, check: Check, least: Level) -> usize {
    work.verdicts.iter().filter(|v| v.check == check && v.level >= least).count()
}

/// Fewer verdicts of this check than before, and no check with more stops.
fn clears(before: &Work, after: &Work, verdict: &Verdict) -> bool {
    of_check(after, verdict.check, Level::Caution) < of_check(before, verdict.check, Level::Caution)
        && before
            .verdicts
            .iter()
            .all(|v| of_check(after, v.check, Level::Stop) <= of_check(before, v.check, Level::Stop))
}

/// A caution that was not there before.
fn worse<'a>(before: &Work, after: &'a Work) -> Option<&'a Verdict> {
    after.verdicts.iter().find(|v| {
        v.level.is_fault()
            && of_check(after, v.check, Level::Caution) > of_check(before, v.check, Level::Caution)
    })
}

fn offer(
    changes: &[Change],
    after: &Work,
    verdict: &Verdict,
    new: Option<&Verdict>,
    units: LengthUnit,
) -> String {
    let then =
        after.verdicts.iter().find(|v| v.check == verdict.check).map_or(String::new(), |v| v.says(units));
    let but = new.map(|v| format!("; but: {}", v.says(units))).unwrap_or_default();
    format!("{} (tried: {then}{but})", in_words(changes))
}
