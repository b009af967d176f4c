//! `[wish]`: pitch and bridge solved for a number of openings, hours or a weight.

use super::tries::try_out;
use super::Change;
use crate::checks::Level;
use crate::error::Error;
use crate::job::{Job, Shape, Wish};
use crate::outline::Seam;
use crate::units::{plain, Mm};
use crate::work::{work as do_work, Work};
use std::collections::BTreeSet;

/// Repeats across looked at, from the first that is tried.
const MOST_REPEATS: u32 = 400;
/// Openings worked out in one search at most.
const BUDGET: usize = 400_000;

/// One way to come near a wish.
#[derive(Debug, Clone)]
pub struct Solution {
    pub changes: Vec<Change>,
    /// Whole repeats between the borders.
    pub repeats: u32,
    pub pitch: Mm,
    /// The narrowest, as drawn.
    pub bridge: Mm,
    pub openings: usize,
    /// What was wished for, as it comes out: openings, hours or grams.
    pub value: f64,
    pub says: String,
}

/// What came of a wish: the two nearest that pass the checks, nearest first.
#[derive(Debug, Clone)]
pub struct Wished {
    pub target: f64,
    /// "openings", "hours" or "g".
    pub unit: &'static str,
    pub solutions: Vec<Solution>,
    pub says: String,
}

/// Solves a job's wish. `None` when it has none. Errors are those of `work`.
pub fn wish(job: &Job) -> Result<Option<Wished>, Error> {
    let Some(wanted) = job.wish else { return Ok(None) };
    let (target, unit) = match wanted {
        Wish::Openings(n) => (f64::from(n), "openings"),
        Wish::Hours(h) => (h, "hours"),
        Wish::Weight(g) => (g, "g"),
    };
    let first = do_work(job)?;
    let span = span(job, &first);
    let start = ((span / first.piece.resolved.pitch.get()).round() as u32).clamp(1, MOST_REPEATS);
    let mut solver = Solver { job, wanted, target, unit, left: BUDGET, span, start, found: Vec::new() };
    solver.solve();
    let mut solutions = solver.found;
    // As near as a hundredth of the wish is as good as met: then the fewest repeats away from the job as it stands.
    let away = |s: &Solution| ((s.value - target).abs() / target.max(1e-9) * 100.0).floor() as u64;
    solutions.sort_by_key(|s| (away(s), s.repeats.abs_diff(start)));
    solutions.truncate(2);
    let says = match &solutions[..] {
        [] => format!(
            "no whole number of repeats that passes the checks comes near {} {unit}",
            plain(target, digits(unit))
        ),
        all => {
            let each: Vec<&str> = all.iter().map(|s| s.says.as_str()).collect();
            format!("nearest to {} {unit}: {}", plain(target, digits(unit)), each.join("; or "))
        }
    };
    Ok(Some(Wished { target, unit, solutions, says }))
}

fn digits(unit: &str) -> usize {
    match unit {
        "openings" => 0,
        "hours" => 1,
        _ => 2,
    }
}

/// Width between the borders along the first repeat, and along a band its length, mm.
fn span(job: &Job, work: &Work) -> f64 {
    match work.piece.outline.seam {
        Some(Seam::Shift(length)) => length.get(),
        _ => (work.piece.outline.size.0.get() - 2.0 * job.outline.border.get()).max(1.0),
    }
}

struct Solver<'a> {
    job: &'a Job,
    wanted: Wish,
    target: f64,
    unit: &'static str,
    left: usize,
    span: f64,
    /// Repeats across of the job as it stands.
    start: u32,
    found: Vec<Solution>,
}

impl Solver<'_> {
    /// Openings and hours grow with the repeats, but for the border's whims: the wish is bracketed by doubling steps,
    /// then halved. A weight is reached by the bridge at any number of repeats, so the search stays where the job is.
    fn solve(&mut self) {
        let start = self.start;
        if matches!(self.wanted, Wish::Weight(_)) {
            return self.walk(start);
        }
        let target = self.target;
        let Some(at_start) = self.value_at(start) else { return self.walk(start) };
        let up = at_start < target;
        let (mut near, mut far, mut step) = (start, start, 1u32);
        loop {
            let next =
                if up { far.saturating_add(step).min(MOST_REPEATS) } else { far.saturating_sub(step).max(1) };
            if next == far {
                break;
            }
            near = far;
            far = next;
            step *= 2;
            if self.value_at(far).is_none_or(|v| (v < target) != up) {
                break;
            }
        }
        let (mut low, mut high) = (near.min(far), near.max(far));
        while high - low > 1 {
            let middle = low + (high - low) / 2;
            if self.value_at(middle).is_some_and(|v| v < target) {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.walk(low);
    }

    /// The numbers of repeats round `k`, nearest first, until two pass.
    fn walk(&mut self, k: u32) {
        let mut seen = BTreeSet::new();
        for away in 0..12i64 {
            for k in [i64::from(k) - away, i64::from(k) + 1 + away] {
                if let Ok(k) = u32::try_from(k) {
                    if (1..=MOST_REPEATS).contains(&k) && seen.insert(k) {
                        self.keep(k);
                    }
                }
            }
            if away >= 2 && self.found.len() >= 2 {
                break;
            }
        }
    }

    fn changes(&self, k: u32, bridge: Mm) -> Vec<Change> {
        // k repeats of opening and bridge, and one bridge less, between the borders.
        let closed = matches!(self.job.outline.shape, Shape::Band { .. });
        let pitch = if closed { self.span / f64::from(k) } else { (self.span + bridge.get()) / f64::from(k) };
        let mut changes = vec![Change::Pitch(Mm((pitch * 1000.0).round() / 1000.0))];
        if bridge != self.job.pattern.least_bridge() {
            changes.extend(super::change::bridges(self.job, bridge));
        }
        changes
    }

    fn tried(&mut self, changes: &[Change]) -> Option<Work> {
        if self.left == 0 {
            return None;
        }
        let work = try_out(self.job, changes);
        self.left = self.left.saturating_sub(work.as_ref().map_or(100, |w| w.piece.openings.len() + 100));
        work
    }

    fn value(&self, work: &Work) -> f64 {
        match self.wanted {
            Wish::Openings(_) => work.piece.openings.len() as f64,
            Wish::Hours(_) => super::minutes(work) / 60.0,
            Wish::Weight(_) => work.plan.weights.piece,
        }
    }

    fn value_at(&mut self, k: u32) -> Option<f64> {
        let work = self.tried(&self.changes(k, self.job.pattern.least_bridge()))?;
        Some(self.value(&work))
    }

    /// Keeps `k` repeats if they pass, with the bridge solved when it decides the weight.
    fn keep(&mut self, k: u32) {
        let usual = self.job.pattern.least_bridge();
        let bridges = match self.wanted {
            Wish::Weight(_) => self.bridges_for_weight(k),
            _ => vec![usual],
        };
        for bridge in bridges {
            let changes = self.changes(k, bridge);
            let Some(work) = self.tried(&changes) else { continue };
            let passes = work.verdicts.iter().all(|v| v.level < Level::Stop);
            if !passes {
                continue;
            }
            let value = self.value(&work);
            let pitch = work.piece.resolved.pitch;
            let says = format!(
                "{k} repeats across, pitch {} mm, {} {} mm: {} openings{}",
                plain(pitch.get(), 2),
                if self.job.pattern.bridge_to.is_some() { "bridges from" } else { "bridge" },
                plain(bridge.get(), 2),
                work.piece.openings.len(),
                match self.unit {
                    "openings" => String::new(),
                    unit => format!(", about {} {unit}", plain(value, digits(unit))),
                }
            );
            self.found.push(Solution {
                changes,
                repeats: k,
                pitch,
                bridge,
                openings: work.piece.openings.len(),
                value,
                says,
            });
            break;
        }
    }

    /// A thicker bridge is heavier: halved between the least that passes and what leaves no opening.
    fn bridges_for_weight(&mut self, k: u32) -> Vec<Mm> {
        let least = crate::checks::bridge_limit(self.job).mm + 2.0 * self.job.saw.clean_up.get();
        let (mut low, mut high) = (least, least.max(0.9 * self.span / f64::from(k)));
        for _ in 0..14 {
            let middle = (low + high) / 2.0;
            let heavy = match self.tried(&self.changes(k, Mm(middle))) {
                Some(work) => self.value(&work) > self.target,
                None => true,
            };
            if heavy {
                high = middle;
            } else {
                low = middle;
            }
        }
        let near = super::change::up(low);
        vec![near, super::change::up(least), self.job.pattern.least_bridge()]
    }
}
