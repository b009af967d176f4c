//! `[wish]`: the pitch (and where a weight needs it the bridge) solved for a number of openings, hours or a weight.
//!
//! None of the three follows the pitch smoothly: whole openings come and go at the border. So pitches over the whole range
//! are looked at first, a few percent apart, then every pitch that can be typed round those that came nearest.

use super::tries::Tries;
use super::Change;
use crate::checks::{count, Level};
use crate::error::Error;
use crate::job::{Job, Shape, Wish};
use crate::openings::DRILL_CLEARANCE;
use crate::outline::Seam;
use crate::units::{plain, Mm};
use crate::work::{work as do_work, Work};
use std::collections::BTreeSet;

/// Work of one search, in units of about 20 us: one to two seconds. Larger finds more for pieces of thousands of
/// openings and keeps the person waiting.
const BUDGET: usize = 100_000;
/// From one pitch of the first look to the next. Larger passes over wishes that only a narrow range of pitches meets.
const COARSE: f64 = 1.02;
/// Pitches of the first look that are looked round more closely: three pass over one wish in two hundred (measured); more
/// keeps whoever wishes for what cannot be had waiting.
const CLOSER: usize = 6;
/// A pitch is typed to the hundredth of a millimetre.
const TYPED: f64 = 0.01;
/// As near to the wish as this share is as good as met.
const MET: f64 = 0.005;
/// What is further from the wish than this share of it does not come near it.
const NEAR: f64 = 0.5;
/// Openings and hours so many times too many or too few come no nearer further on: nothing is looked for there. Less passes
/// over what a whole row more or less brings; more tries what takes longest in vain.
const BEYOND: f64 = 2.5;
/// Halvings of the bridge for a weight: to about a hundredth of a millimetre.
const HALVINGS: usize = 9;

/// One way to come near a wish.
#[derive(Debug, Clone)]
pub struct Solution {
    /// What is set in the job.
    pub changes: Vec<Change>,
    /// About so many repeats between the borders.
    pub repeats: u32,
    /// Length of a repeat.
    pub pitch: Mm,
    /// The narrowest, as drawn.
    pub bridge: Mm,
    /// How many there are in one piece.
    pub openings: usize,
    /// What was wished for, as it comes out: openings, hours or grams.
    pub value: f64,
    /// Cautions it leaves.
    pub cautions: usize,
    /// The whole way in one sentence.
    pub says: String,
}

/// What came of a wish: the two nearest that pass the checks, nearest first.
#[derive(Debug, Clone)]
pub struct Wished {
    /// What was asked for, in `unit`.
    pub target: f64,
    /// "openings", "hours" or "g".
    pub unit: &'static str,
    /// At most two; none where nothing that can be sawn comes near.
    pub solutions: Vec<Solution>,
    /// How near it came, in one sentence.
    pub says: String,
    /// What was spent on trying, in units of about 20 us, counted: the same on every machine.
    pub spent: usize,
}

/// Solves a job's wish. `None` when it has none. Errors are those of `work`.
pub fn wish(job: &Job) -> Result<Option<Wished>, Error> {
    wish_while(job, &|| true)
}

/// The same, given up before the next try once nobody waits for it: what comes of it then is worth nothing.
pub fn wish_while(job: &Job, awaited: &dyn Fn() -> bool) -> Result<Option<Wished>, Error> {
    let Some(wanted) = job.wish else { return Ok(None) };
    let (target, unit) = match wanted {
        Wish::Openings(n) => (f64::from(n), "openings"),
        Wish::Hours(h) => (h, "hours"),
        Wish::Weight(g) => (g, "g"),
    };
    let first = do_work(job)?;
    let tries = Tries::new(job, &first, BUDGET);
    let mut solver = Solver {
        job,
        wanted,
        target,
        unit,
        tries,
        awaited,
        span: span(job, &first),
        looked_at: BTreeSet::new(),
        found: Vec::new(),
    };
    let now = solver.value(&first);
    solver.solve(first.piece.resolved.pitch.get(), now);
    let spent = solver.tries.spent;
    let mut solutions = solver.found;
    // As good as met is met: then the fewest cautions, then the nearest, then the pitch nearest the job's own.
    let own = first.piece.resolved.pitch.get();
    let away = |s: &Solution| (s.value - target).abs() / target.max(1e-9);
    solutions.retain(|s| away(s) <= NEAR);
    let rank = |s: &Solution| {
        let away = away(s);
        (away > MET, if away > MET { 0 } else { s.cautions }, away, (s.pitch.get() / own).ln().abs())
    };
    solutions.sort_by(|a, b| rank(a).partial_cmp(&rank(b)).unwrap_or(std::cmp::Ordering::Equal));
    solutions.dedup_by(|a, b| a.changes == b.changes);
    solutions.truncate(2);
    let wished = format!("{} {unit}", plain(target, digits(unit)));
    let says = match &solutions[..] {
        [] => format!("no pitch that passes the checks comes near {wished}"),
        all => {
            let each: Vec<&str> = all.iter().map(|s| s.says.as_str()).collect();
            format!("nearest to {wished}: {}", each.join("; or "))
        }
    };
    Ok(Some(Wished { target, unit, solutions, says, spent }))
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
    tries: Tries,
    awaited: &'a dyn Fn() -> bool,
    span: f64,
    /// Pitches that were tried, in hundredths of a millimetre.
    looked_at: BTreeSet<i64>,
    /// What passes the checks.
    found: Vec<Solution>,
}

impl Solver<'_> {
    /// From the job's own pitch and what was wished for as it comes out with that.
    fn solve(&mut self, own: f64, now: f64) {
        let least = self.job.saw.drill.get() + DRILL_CLEARANCE;
        // Openings go with the square of the pitch, hours with a little less; weight hardly follows it.
        let power = match self.wanted {
            Wish::Openings(_) => 0.5,
            Wish::Hours(_) => 0.6,
            Wish::Weight(_) => 0.0,
        };
        let likely = own * libm::pow(now.max(1e-3) / self.target.max(1e-3), power);
        let start = likely.clamp(least.min(own), self.span.max(own));
        let steps = |from: f64, to: f64, by: f64| {
            std::iter::successors(Some(from), move |p| Some(p * by))
                .take_while(move |p| *p <= to && *p >= least)
        };
        // From the likeliest pitch outwards, so that most searches end soon and a budget that runs out has looked there.
        let up: Vec<f64> = steps(start, self.span.max(own), COARSE).collect();
        let down: Vec<f64> = steps(start / COARSE, start, 1.0 / COARSE).collect();
        let mut seen: Vec<FirstLook> = Vec::new();
        let mut gone = [false; 2];
        for i in 0..up.len().max(down.len()) {
            for (way, gone) in [&up, &down].into_iter().zip(&mut gone) {
                let Some(pitch) = way.get(i).filter(|_| !*gone).map(|pitch| typed(*pitch)) else { continue };
                if !self.looked_at.insert(hundredths(pitch)) {
                    continue;
                }
                if let Some((value, passes)) = self.keep(pitch, None) {
                    if self.is_met(value) {
                        return;
                    }
                    seen.push(FirstLook { pitch, value, passes });
                    *gone = power > 0.0 && (value > BEYOND * self.target || value * BEYOND < self.target);
                }
            }
        }
        let target = self.target;
        seen.sort_by(|a, b| (a.value - target).abs().total_cmp(&(b.value - target).abs()));
        // The nearest of all may pass the checks a little further on; those that pass may come nearer.
        let nearest = seen.iter().take(CLOSER).map(|s| s.pitch);
        let passing = seen.iter().filter(|s| s.passes).take(CLOSER).map(|s| s.pitch);
        let middles: Vec<f64> = passing.chain(nearest).collect();
        for middle in middles {
            let room = (middle * (COARSE - 1.0) / TYPED).ceil() as i64;
            for k in 1..=room {
                for k in [k, -k] {
                    let pitch = typed(middle + k as f64 * TYPED);
                    // Neighbours of the first look are looked round in part by each other.
                    let value = self.looked_at.insert(hundredths(pitch)).then(|| self.keep(pitch, None));
                    if value.flatten().is_some_and(|(v, _)| self.is_met(v)) {
                        return;
                    }
                }
            }
        }
        if matches!(self.wanted, Wish::Weight(_)) {
            for s in seen.iter().take(CLOSER) {
                self.by_bridge(s.pitch, s.value);
            }
        }
    }

    /// Met by something that passes the checks without a caution.
    fn is_met(&self, value: f64) -> bool {
        let near = |v: f64| (v - self.target).abs() <= MET * self.target;
        near(value) && self.found.iter().any(|s| s.cautions == 0 && near(s.value))
    }

    fn value(&self, work: &Work) -> f64 {
        match self.wanted {
            Wish::Openings(_) => work.piece.openings.len() as f64,
            Wish::Hours(_) => super::minutes(work) / 60.0,
            Wish::Weight(_) => work.plan.built.finished(),
        }
    }

    /// A thicker bridge is heavier: halved between the least that passes and what leaves no opening.
    fn by_bridge(&mut self, pitch: f64, now: f64) {
        let own = self.job.pattern.least_bridge().get();
        let least = crate::checks::bridge_limit(self.job).mm + 2.0 * self.job.saw.clean_up.get();
        let (mut low, mut high) = match now < self.target {
            true => (own, 0.9 * pitch),
            false => (least.min(own), own),
        };
        for _ in 0..HALVINGS {
            let bridge = typed((low + high) / 2.0);
            match self.keep(pitch, Some(Mm(bridge))) {
                Some((value, _)) if value < self.target => low = bridge,
                _ => high = bridge,
            }
        }
    }

    /// Tries a pitch and keeps it if it passes the checks. What was wished for as it comes out, and whether it passes; `None`
    /// if the job cannot be used so.
    fn keep(&mut self, pitch: f64, bridge: Option<Mm>) -> Option<(f64, bool)> {
        let mut changes = vec![Change::Pitch(Mm(pitch))];
        changes.extend(bridge.into_iter().flat_map(|b| super::change::bridges(self.job, b)));
        if !(self.awaited)() {
            return None;
        }
        let work = self.tries.once(&changes)?;
        let value = self.value(&work);
        if work.verdicts.iter().any(|v| v.level == Level::Stop) {
            return Some((value, false));
        }
        let bridge = bridge.unwrap_or(self.job.pattern.least_bridge());
        let pitch = work.piece.resolved.pitch;
        let closed = matches!(self.job.outline.shape, Shape::Band { .. });
        let repeats = (self.span + if closed { 0.0 } else { bridge.get() }) / pitch.get();
        let mm = |mm: Mm| self.job.units.says(mm.get(), 2);
        let says = format!(
            "pitch {}, {} {}: {}{}",
            mm(pitch),
            if self.job.pattern.bridge_to.is_some() { "bridges from" } else { "bridge" },
            mm(bridge),
            count(work.piece.openings.len(), "opening"),
            match self.unit {
                "openings" => String::new(),
                unit => format!(", about {} {unit}", plain(value, digits(unit))),
            }
        );
        let cautions = work.verdicts.iter().filter(|v| v.level == Level::Caution).count();
        let (openings, repeats) = (work.piece.openings.len(), repeats.round() as u32);
        self.found.push(Solution { changes, repeats, pitch, bridge, openings, value, cautions, says });
        Some((value, true))
    }
}

/// A pitch of the first look.
struct FirstLook {
    pitch: f64,
    value: f64,
    passes: bool,
}

/// To the hundredth of a millimetre.
fn typed(mm: f64) -> f64 {
    hundredths(mm) as f64 * TYPED
}

fn hundredths(mm: f64) -> i64 {
    (mm / TYPED).round() as i64
}
