//! The least change to a job that clears every stop.

use super::change::{across, changed, in_words, resized, Change};
use super::look::{look, PieceChange};
use super::options::{bigger, options};
use super::tries::Tries;
use crate::checks::{bridge_limit, count, Check, Level, Verdict};
use crate::job::{Job, LengthUnit};
use crate::units::limits::REMEDIED;
use crate::units::{plain, Mm, JUST_PASSED};
use crate::work::Work;
use std::cmp::Ordering;
use std::collections::BTreeSet;
use std::sync::Arc;

/// Further changes added to a first one before it is given up.
const ROUNDS: usize = 4;
/// First changes followed up for one verdict.
const STARTS: usize = 14;
/// Steps of one figure tried towards what the job has. Fewer pass over a less change of a pitch; more keep the person waiting.
const STEPS: usize = 200;
/// Ways whose figures are made less: the first of them is offered, the next may come before it.
const TIGHTENED: usize = 3;
/// Further changes tried in one round.
const FOLLOW_UPS: usize = 6;
/// Work of the whole search, in units of about 20 us: one to two seconds. Larger finds more ways for pieces of many
/// thousand openings and keeps the person waiting.
const BUDGET: usize = 100_000;
/// Kept for the larger outline, whatever was spent before; a try that costs more is made once.
const LAST_RESORT: usize = 10_000;

/// One way to mend a job, worked out in full.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// What is set in the job, in the order tried.
    pub changes: Vec<Change>,
    /// No stop is left (with cautions asked for: no caution either).
    pub clears: bool,
    /// What is left that should have gone.
    pub left: Vec<Verdict>,
    /// How far the piece looks different.
    pub look: PieceChange,
    /// The figures of the piece as the job has it.
    pub before: Compared,
    /// The same with the changes.
    pub after: Compared,
    /// In one line: what changes, how much of the look, what it costs.
    pub says: String,
}

/// The figures people compare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    pub openings: usize,
    /// Thinnest finished bridge between openings, mm.
    pub thinnest: Option<f64>,
    /// Likely bench minutes for one piece.
    pub minutes: f64,
}

/// What the search found.
#[derive(Debug, Clone)]
pub struct Mended {
    /// Those that clear first, each set by how little the look changes.
    pub candidates: Vec<Candidate>,
    /// The first candidate, if it clears.
    pub best: Option<Candidate>,
    /// Nothing had to be mended.
    pub sound: bool,
    /// What came of it, in plain words.
    pub says: String,
    /// What a finer hand alone would do for bridges that are too thin.
    pub finer_hand: Option<String>,
    /// What was spent on trying, in units of about 20 us, counted: the same on every machine.
    pub spent: usize,
}

/// Searches the least change that clears every stop, cautions too if asked. Every candidate is worked out in full; the
/// outline's size is touched only when nothing else does. Same job, same answer.
pub fn mend(job: &Job, work: &Work, cautions_too: bool) -> Mended {
    mend_while(job, work, cautions_too, &|| true)
}

/// The same, given up before the next try once nobody waits for it: what comes of it then is worth nothing.
pub fn mend_while(job: &Job, work: &Work, cautions_too: bool, awaited: &dyn Fn() -> bool) -> Mended {
    let least = if cautions_too { Level::Caution } else { Level::Stop };
    let open = wanting(work, least);
    if open.is_empty() {
        let says =
            if cautions_too { "nothing to mend: no stop and no caution" } else { "nothing to mend: no stop" };
        return Mended {
            candidates: Vec::new(),
            best: None,
            sound: true,
            says: says.into(),
            finer_hand: None,
            spent: 0,
        };
    }
    let n = work.piece.openings.len();
    if n > REMEDIED {
        let says =
            format!(
            "not tried: this piece has {n} openings, changes stop at {REMEDIED}; mend a smaller part of it first"
        );
        return Mended { candidates: Vec::new(), best: None, sound: false, says, finer_hand: None, spent: 0 };
    }
    let tries = Tries::new(job, work, BUDGET);
    let mut search = Search { job, work, least, tries, awaited, found: Vec::new() };
    for verdict in &open {
        for start in options(verdict, job, work).into_iter().take(STARTS) {
            search.follow(start);
        }
    }
    // Shown beside the others as what it would take, chosen only when none of them does.
    let once = search.tries.cost(&[]);
    if let Some(by) = bigger(job, work) {
        // A piece that takes more than the whole search by itself is not made once more, and larger.
        search.tries.allow(LAST_RESORT.max(once.min(BUDGET)));
        search.follow(vec![by]);
    }
    search.tighten();
    let spent = search.tries.spent;
    let mut candidates = search.found;
    candidates.sort_by(by_rank);
    // Two that read alike are one way for whoever reads them.
    let mut told = BTreeSet::new();
    candidates.retain(|c| told.insert(c.says.clone()));
    let best = candidates.first().filter(|c| c.clears).cloned();
    let says = match spent == 0 && once > BUDGET {
        true => "not tried: working out what might clear it takes longer than is given to one job".into(),
        false => summary(&candidates, &open, job.units),
    };
    Mended { candidates, best, sound: false, says, finer_hand: finer_hand(job, work), spent }
}

/// What should go.
fn wanting(work: &Work, least: Level) -> Vec<Verdict> {
    work.verdicts.iter().filter(|v| v.level >= least).cloned().collect()
}

/// Cleared first, outline kept first, then how little the look changes, then how few things are touched.
fn rank(c: &Candidate) -> (bool, usize, bool, f64, usize) {
    let left = if c.clears { 0 } else { c.left.len() };
    let look = (c.look.change() * 1e6).round() / 1e6;
    (!c.clears, left, c.changes.iter().any(Change::is_last_resort), look, c.changes.len())
}

fn by_rank(a: &Candidate, b: &Candidate) -> Ordering {
    rank(a).partial_cmp(&rank(b)).unwrap_or(Ordering::Equal)
}

struct Search<'a> {
    job: &'a Job,
    work: &'a Work,
    least: Level,
    tries: Tries,
    awaited: &'a dyn Fn() -> bool,
    found: Vec<Candidate>,
}

impl Search<'_> {
    fn follow(&mut self, start: Vec<Change>) {
        let Some(candidate) = self.complete(start) else { return };
        // A way that leads to the same changes, or to the same piece, is one way.
        let same = |c: &Candidate| {
            c.changes == candidate.changes
                || (c.look == candidate.look
                    && c.after == candidate.after
                    && (!c.look.is_none() || c.says == candidate.says))
        };
        if !self.found.iter().any(same) {
            self.found.push(candidate);
        }
    }

    /// What changes may be tried with: nothing once nobody waits any more.
    fn tries(&mut self) -> &mut Tries {
        if !(self.awaited)() {
            self.tries.give_up();
        }
        &mut self.tries
    }

    /// Follows a first change up with others until nothing is left, or gives the best it came to.
    fn complete(&mut self, mut changes: Vec<Change>) -> Option<Candidate> {
        let mut now = self.tries().of(&changes)?;
        for _ in 0..ROUNDS {
            let open = wanting(&now, self.least);
            let Some((more, next)) = self.next_step(&changes, &now, &open) else { break };
            changes = more;
            now = next;
        }
        Some(self.candidate(changes, &now))
    }

    /// Makes each figure of the first ways as little a change as still clears: the least of its kind.
    fn tighten(&mut self) {
        let mut ways: Vec<Candidate> = self.found.iter().filter(|c| c.clears).cloned().collect();
        ways.sort_by(by_rank);
        ways.truncate(TIGHTENED);
        for way in ways {
            let less = (0..way.changes.len()).fold(way, |way, i| self.less(way, i));
            if !self.found.iter().any(|c| c.changes == less.changes) {
                self.found.push(less);
            }
        }
    }

    /// A way with one of its figures nearer to what the job has, if that clears and ranks before it.
    fn less(&mut self, way: Candidate, i: usize) -> Candidate {
        let Some(figure) = Figure::of(&way.changes[i], self.job, self.work) else { return way };
        let figures: Vec<f64> = figure.between(STEPS).collect();
        let mut best = way;
        if figure.wanders {
            // Less of a pitch or a turn may change the look more: each is tried, from the least change up.
            for figure in figures {
                if let Some(less) = self.with(&best, i, figure).filter(|less| by_rank(less, &best).is_lt()) {
                    best = less;
                }
            }
            return best;
        }
        // More of the others clears more and changes the look more: halved to the least that clears.
        let (mut low, mut high) = (0, figures.len());
        while low < high {
            let middle = (low + high) / 2;
            match self.with(&best, i, figures[middle]) {
                Some(less) => {
                    high = middle;
                    if by_rank(&less, &best).is_lt() {
                        best = less;
                    }
                }
                None => low = middle + 1,
            }
        }
        best
    }

    /// A way with another figure, if it clears everything.
    fn with(&mut self, way: &Candidate, i: usize, figure: f64) -> Option<Candidate> {
        let mut changes = way.changes.clone();
        changes[i] = with_figure(&changes[i], self.job, figure)?;
        let now = self.tries().once(&changes)?;
        wanting(&now, self.least).is_empty().then(|| self.candidate(changes, &now))
    }

    /// The follow-up that leaves least of what is open; `None` when none leaves less.
    fn next_step(
        &mut self,
        changes: &[Change],
        now: &Work,
        open: &[Verdict],
    ) -> Option<(Vec<Change>, Arc<Work>)> {
        let first = open.first()?;
        let job = changed(self.job, changes).ok()?;
        let mut best: Option<(Vec<Change>, Arc<Work>, usize)> = None;
        for more in options(first, &job, now).into_iter().take(FOLLOW_UPS) {
            let all: Vec<Change> = changes.iter().cloned().chain(more).collect();
            let all = without_repeats(all);
            let Some(next) = self.tries().of(&all) else { continue };
            let left = wanting(&next, self.least).len();
            if left < open.len() && best.as_ref().is_none_or(|b| left < b.2) {
                best = Some((all, next, left));
                if left == 0 {
                    break;
                }
            }
        }
        best.map(|(changes, work, _)| (changes, work))
    }

    fn candidate(&self, changes: Vec<Change>, now: &Work) -> Candidate {
        let left = wanting(now, self.least);
        let look = look(&self.work.piece, &now.piece);
        let (before, after) = (figures(self.work), figures(now));
        let says = line(self.job, &changes, &look, &before, &after);
        Candidate { clears: left.is_empty(), changes, left, look, before, after, says }
    }
}

/// The figure of a change that can be made less.
struct Figure {
    was: f64,
    is: f64,
    /// The finest it is offered in.
    step: f64,
    /// The look does not change the more, the more the figure does.
    wanders: bool,
}

impl Figure {
    fn of(change: &Change, job: &Job, work: &Work) -> Option<Figure> {
        let fine = |was: Mm, is: &Mm| (was.get(), is.get(), 0.01, false);
        let (was, is, step, wanders) = match change {
            Change::Bridge(mm) => fine(job.pattern.bridge, mm),
            Change::Border(mm) => fine(job.outline.border, mm),
            Change::CornerRadius(mm) => fine(job.pattern.corner_radius, mm),
            Change::WindowBorder(i, mm) => fine(job.windows.get(*i)?.border, mm),
            Change::Window(i, shape) => (across(&job.windows.get(*i)?.shape).0, across(shape).0, 0.05, false),
            Change::Pitch(mm) => (work.piece.resolved.pitch.get(), mm.get(), 0.01, true),
            Change::Turn(degrees) => (job.pattern.turn, *degrees, 1.0, true),
            _ => return None,
        };
        Some(Figure { was, is, step, wanders })
    }

    /// Figures between what the job has and the change, the least change first: on the finest step, or on as many even
    /// ones as may be tried.
    fn between(&self, most: usize) -> impl Iterator<Item = f64> + use<> {
        let (was, by) = (self.was, self.is - self.was);
        let fine = (by.abs() / self.step).ceil().max(1.0);
        let stride = (fine / most as f64).ceil() * self.step * by.signum();
        // From the change backwards, so that every figure is as round as it.
        let count = (by / stride).ceil() as usize;
        let is = self.is;
        (1..count.max(1))
            .rev()
            .map(move |k| ((is - k as f64 * stride) * 1e4).round() / 1e4)
            .filter(move |figure| (figure - was).abs() > 1e-9)
    }
}

fn with_figure(change: &Change, job: &Job, figure: f64) -> Option<Change> {
    Some(match change {
        Change::Bridge(_) => Change::Bridge(Mm(figure)),
        Change::Pitch(_) => Change::Pitch(Mm(figure)),
        Change::Border(_) => Change::Border(Mm(figure)),
        Change::CornerRadius(_) => Change::CornerRadius(Mm(figure)),
        Change::WindowBorder(i, _) => Change::WindowBorder(*i, Mm(figure)),
        Change::Window(i, _) => {
            let shape = &job.windows.get(*i)?.shape;
            Change::Window(*i, resized(shape, figure / across(shape).0)?)
        }
        Change::Turn(_) => Change::Turn(figure),
        _ => return None,
    })
}

/// Of settings changed twice only the last counts.
fn without_repeats(changes: Vec<Change>) -> Vec<Change> {
    let setting = |c: &Change| match c {
        Change::DrawIn { .. }
        | Change::Close { .. }
        | Change::Window(..)
        | Change::WindowBorder(..)
        | Change::Hole(..)
        | Change::Lug(..)
        | Change::LugSize(..)
        | Change::RowCount(_)
        | Change::Bigger(_) => None,
        other => Some(std::mem::discriminant(other)),
    };
    let overruled = |i: usize| {
        setting(&changes[i]).is_some_and(|s| changes[i + 1..].iter().any(|c| setting(c) == Some(s)))
    };
    (0..changes.len()).filter(|&i| !overruled(i)).map(|i| changes[i].clone()).collect()
}

fn figures(work: &Work) -> Compared {
    let thinnest = work.graph.bridges().find(|b| b.is_between_openings()).map(|b| b.finished.get());
    Compared { openings: work.piece.openings.len(), thinnest, minutes: super::minutes(work) }
}

fn line(job: &Job, changes: &[Change], look: &PieceChange, before: &Compared, after: &Compared) -> String {
    let windows = match look.windows_changed {
        0 => String::new(),
        n => format!("{} and ", count(n, "window")),
    };
    let mut parts = vec![if look.is_none() {
        format!("{}: the drawing stays as it is", in_words(job, changes))
    } else if look.area_moved > 1.0 {
        format!("{}: the whole pattern changes", in_words(job, changes))
    } else {
        format!(
            "{}: {windows}{} of {} openings change, {} % of the open area moves",
            in_words(job, changes),
            look.changed.min(before.openings),
            before.openings,
            plain(100.0 * look.area_moved, 0)
        )
    }];
    if let (Some(was), Some(is)) = (before.thinnest, after.thinnest)
        && (was - is).abs() > 0.004
    {
        let mm = |mm: f64| job.units.says(mm, 2);
        parts.push(format!("thinnest bridge {} -> {} finished", mm(was), mm(is)));
    }
    if before.openings != after.openings {
        parts.push(format!("{} -> {} openings", before.openings, after.openings));
    }
    let more = after.minutes - before.minutes;
    if more.abs() >= 1.0 {
        parts.push(format!(
            "about {} {}",
            count(more.abs().round() as usize, "minute"),
            if more > 0.0 { "more" } else { "less" }
        ));
    }
    parts.join("; ")
}

fn summary(candidates: &[Candidate], open: &[Verdict], units: LengthUnit) -> String {
    let cleared = candidates.iter().filter(|c| c.clears).count();
    if let Some(best) = candidates.first().filter(|c| c.clears) {
        let ways = if cleared == 1 { "1 way clears".to_string() } else { format!("{cleared} ways clear") };
        let grown = best.changes.iter().any(Change::is_last_resort);
        let last = if grown { "nothing that keeps the outline's size does; " } else { "" };
        return format!("{ways} everything; {last}the least change is {}", best.says);
    }
    let mut checks: Vec<Check> = Vec::new();
    let left = candidates.first().map_or(open, |c| &c.left);
    for v in left {
        if !checks.contains(&v.check) {
            checks.push(v.check);
        }
    }
    let tried = match candidates.len() {
        0 => "no change to the drawing is known that would help".to_string(),
        n => format!("nothing tried clears everything ({n} ways); nearest is {}", candidates[0].says),
    };
    // The verdict itself says what would do where no drawing does: a deeper frame, another solder, metal kept.
    let first = left.first().map_or(String::new(), |v| v.says(units));
    let names: Vec<&str> = checks.into_iter().map(Check::name).collect();
    format!("{tried}; what is left: {}: {first}", names.join(", "))
}

/// Half the clean-up: what it would leave of the thinnest bridge if that is too thin now.
fn finer_hand(job: &Job, work: &Work) -> Option<String> {
    let need = bridge_limit(job).mm;
    let clean_up = job.saw.clean_up.get();
    let thinnest = work.graph.bridges().find(|b| b.is_between_openings())?;
    if thinnest.finished.get() >= need - JUST_PASSED || clean_up <= 0.0 {
        return None;
    }
    let left = thinnest.width.get() - clean_up;
    let enough = if left >= need - JUST_PASSED { "enough" } else { "not enough" };
    Some(format!(
        "finer sawing and filing ({} a side instead of {}) would leave {}, {enough}",
        job.units.says(clean_up / 2.0, 2),
        job.units.says(clean_up, 2),
        job.units.says(left, 2)
    ))
}
