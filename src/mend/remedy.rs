//! A remedy for each verdict, tried before it is offered: one job worked out at each step, so that whoever waits may stop
//! waiting between two of them.

use super::change::{in_words, Change};
use super::options::options;
use super::tries::Tries;
use crate::checks::{once_sawn, Level, Verdict};
use crate::job::Job;
use crate::units::limits::REMEDIED;
use crate::work::Work;
use std::cmp::Ordering;

/// Tries for one verdict at most; the first options are the likely ones.
const TRIES: usize = 8;
/// Tries kept for every verdict before any gets more.
const KEPT: usize = 2;
/// Work of all tries for one job, in units of about 20 us: about a second. Larger finds more and keeps the person waiting.
const BUDGET: usize = 40_000;
/// Openings lost by a remedy, as a share of all, from which a better one is looked for.
const LOST: f64 = 0.02;

/// The same beyond which a caution is better lived with (estimate).
const MOST_LOST: f64 = 0.6;

/// The verdicts of a job, each that is a fault with a remedy that was tried and clears it without a new stop, or `None`
/// with the reason in `no_remedy`.
pub fn with_remedies(job: &Job, work: &Work) -> Vec<Verdict> {
    let mut remedies = Remedies::new(job, work);
    while remedies.step() {}
    remedies.verdicts()
}

/// The search for remedies of one job: stops first, a few tries kept for every verdict.
#[derive(Debug, Clone)]
pub struct Remedies {
    work: Work,
    tries: Tries,
    asks: Vec<Unmended>,
}

/// One verdict that wants a remedy.
#[derive(Debug, Clone)]
struct Unmended {
    /// Its place among the verdicts.
    verdict: usize,
    /// What is still to be tried, the likeliest last.
    options: Vec<Vec<Change>>,
    known: usize,
    tried: usize,
    /// Options too large to try.
    passed_over: usize,
    best: Option<Offer>,
    done: bool,
}

#[derive(Debug, Clone)]
struct Offer {
    harm: Harm,
    changes: Vec<Change>,
    says: String,
}

/// What a remedy does beside clearing its verdict.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Harm {
    /// Faults that were not there before.
    new: usize,
    /// Openings lost, as a share of those there were.
    lost: f64,
}

impl Harm {
    fn is_none(&self) -> bool {
        self.new == 0 && self.lost <= LOST
    }

    fn rank(&self, other: &Harm) -> Ordering {
        // A fifth of the openings gone is as bad as a new caution.
        let sum = |h: &Harm| h.new as f64 + 5.0 * h.lost;
        sum(self).total_cmp(&sum(other))
    }
}

impl Remedies {
    /// The search for remedies of a job that is worked out, none tried yet.
    pub fn new(job: &Job, work: &Work) -> Self {
        let n = work.piece.openings.len();
        let wants = |v: &Verdict| v.level.is_fault() && v.remedy.is_none();
        let mut order: Vec<usize> = (0..work.verdicts.len()).filter(|&i| wants(&work.verdicts[i])).collect();
        order.sort_by_key(|&i| std::cmp::Reverse(work.verdicts[i].level));
        let asks = order.into_iter().map(|verdict| {
            let mut options = match n > REMEDIED {
                true => Vec::new(),
                false => options(&work.verdicts[verdict], job, work),
            };
            options.truncate(TRIES);
            options.reverse();
            Unmended {
                verdict,
                known: options.len(),
                options,
                tried: 0,
                passed_over: 0,
                best: None,
                done: false,
            }
        });
        let asks = asks.collect();
        Self { work: work.clone(), tries: Tries::new(job, work, BUDGET), asks }
    }

    /// Works out one job more; false when there is nothing left to try.
    pub fn step(&mut self) -> bool {
        let open = |ask: &&mut Unmended| !ask.done && !ask.options.is_empty();
        let short = self.asks.iter().position(|a| !a.done && !a.options.is_empty() && a.tried < KEPT);
        let next = match short {
            Some(i) => self.asks.get_mut(i),
            None => self.asks.iter_mut().find(open),
        };
        let Some(ask) = next else { return false };
        let Some(changes) = ask.options.pop() else { return false };
        let verdict = &self.work.verdicts[ask.verdict];
        if !self.tries.can_pay(&changes) {
            ask.passed_over += 1;
            return true;
        }
        ask.tried += 1;
        let Some(after) = self.tries.of(&changes) else { return true };
        let harm = harm(&self.work, &after);
        // What costs more than a caution is worth is no remedy for it.
        let worth = verdict.level == Level::Stop || harm.lost <= MOST_LOST;
        if worth && clears(&self.work, &after, verdict) {
            if ask.best.as_ref().is_none_or(|best| harm.rank(&best.harm) == Ordering::Less) {
                let says = offer(&self.tries.job, &changes, &self.work, &after, verdict);
                ask.best = Some(Offer { harm, changes, says });
            }
            ask.done = harm.is_none();
        }
        true
    }

    /// The verdicts with what was found up to now.
    pub fn verdicts(&self) -> Vec<Verdict> {
        let mut verdicts = self.work.verdicts.clone();
        let sawn = self.tries.job.measured.outline.is_some();
        let n = self.work.piece.openings.len();
        for ask in &self.asks {
            let verdict = &mut verdicts[ask.verdict];
            match &ask.best {
                Some(best) => verdict.remedy = Some(best.says.clone()),
                None => verdict.no_remedy = ask.why_none(verdict, sawn, n),
            }
        }
        verdicts
    }

    /// What was spent on trying up to now, in units of about 20 us, counted.
    pub fn spent(&self) -> usize {
        self.tries.spent
    }

    /// The changes found for each verdict, by its place among the verdicts.
    pub fn found(&self) -> Vec<(usize, &[Change])> {
        let found = self.asks.iter().filter_map(|ask| Some((ask.verdict, ask.best.as_ref()?)));
        found.map(|(verdict, best)| (verdict, best.changes.as_slice())).collect()
    }
}

impl Unmended {
    fn why_none(&self, verdict: &Verdict, sawn: bool, n: usize) -> String {
        if n > REMEDIED {
            return format!("not tried: this piece has {n} openings, remedies stop at {REMEDIED}");
        }
        if sawn && self.known == 0 {
            return once_sawn(verdict.check).to_string();
        }
        match (self.known, self.tried, self.passed_over) {
            (0, ..) => "no change to the job is known that would clear it".into(),
            (_, 0, _) => {
                "not tried: working out what might clear it takes longer than is given to one job".into()
            }
            (_, 1, _) => "the one remedy tried does not clear it".into(),
            (_, tried, _) => format!("{tried} remedies were tried and none clears it"),
        }
    }
}

/// Nothing of the verdict's cause is a fault any more, and no check has a stop of a cause that had none.
fn clears(before: &Work, after: &Work, verdict: &Verdict) -> bool {
    !has(after, verdict, Level::Caution)
        && after.verdicts.iter().filter(|v| v.level == Level::Stop).all(|v| has(before, v, Level::Stop))
}

/// Whether a piece has a verdict of the same cause, at least so grave.
fn has(work: &Work, verdict: &Verdict, least: Level) -> bool {
    let same = |v: &&Verdict| v.check == verdict.check && v.finding.same_cause(&verdict.finding);
    work.verdicts.iter().filter(same).any(|v| v.level >= least)
}

fn new_faults<'a>(before: &'a Work, after: &'a Work) -> impl Iterator<Item = &'a Verdict> {
    after.verdicts.iter().filter(|v| v.level.is_fault() && !has(before, v, Level::Caution))
}

fn harm(before: &Work, after: &Work) -> Harm {
    let (was, is) = (before.piece.openings.len(), after.piece.openings.len());
    Harm { new: new_faults(before, after).count(), lost: was.saturating_sub(is) as f64 / was.max(1) as f64 }
}

/// What is changed, what the check says then, openings before and after where they differ, and what is worse.
fn offer(job: &Job, changes: &[Change], before: &Work, after: &Work, verdict: &Verdict) -> String {
    let units = job.units;
    let then = after.verdicts.iter().find(|v| v.check == verdict.check && !v.level.is_fault());
    let then = then.map_or("it is cleared".to_string(), |v| v.says(units));
    let (was, is) = (before.piece.openings.len(), after.piece.openings.len());
    let openings = if was == is { String::new() } else { format!("; {was} -> {is} openings") };
    let but = new_faults(before, after).next().map(|v| format!("; but: {}", v.says(units)));
    format!("{} (tried: {then}{openings}{})", in_words(job, changes), but.unwrap_or_default())
}
