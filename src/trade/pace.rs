//! How fast a hand works, and what minutes really taken teach about it.

use super::timed::Entry;
use crate::units::plain;

/// Minutes for each hole and threading, mm2 of cut a minute in sterling, minutes for each sharp corner, minutes of filing
/// for each opening, minutes of handling for each piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pace {
    /// Minutes: punch, drill, thread, unthread.
    pub per_hole: f64,
    /// mm2 of cut a minute in sterling; other metals by their factor.
    pub cut: f64,
    /// Minutes.
    pub corner: f64,
    /// Minutes.
    pub filing: f64,
    /// Minutes.
    pub handling: f64,
}

/// How far each estimated rate may be out, as a factor either way (two in three): larger widens the range printed.
pub const HOLE_FACTOR: f64 = 1.6;
/// The same for the pace of the saw.
pub const CUT_FACTOR: f64 = 1.8;
/// The same for the turning in corners.
pub const CORNER_FACTOR: f64 = 2.0;
/// The same job on another day, as a share (two in three).
pub const DAY: f64 = 0.18;
/// How far one estimate was off.
#[derive(Debug, Clone, PartialEq)]
pub struct Off {
    /// As the log calls it.
    pub job: String,
    /// Minutes.
    pub planned: f64,
    /// Minutes.
    pub taken: f64,
}

/// What the log teaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Learnt {
    /// The hand's own pace; `None` from an empty log. Filing is learnt only where it was timed, handling never.
    pub pace: Option<Pace>,
    /// Whether any job of the log had its filing timed apart.
    pub filing_timed: bool,
    /// The estimates that were made against what was taken, oldest first.
    pub off: Vec<Off>,
    /// Typical factor between estimate and minutes taken by the skill's rates, and by the learnt ones.
    pub before: f64,
    /// The same by the learnt rates; nearer to 1 where the log has taught something.
    pub after: f64,
}

/// Hole, cut and corner minutes of an entry at given rates.
fn shares(entry: &Entry, rates: [f64; 3]) -> [f64; 3] {
    let factor = super::metal(&entry.metal).map_or(1.0, |m| m.saw_factor);
    let [per_hole, cut, corner] = rates;
    [entry.holes * per_hole, entry.line * entry.thickness / (factor * cut), entry.corners * corner]
}

/// Minutes at drill and saw that the rates make of an entry.
pub fn predict(entry: &Entry, per_hole: f64, cut: f64, corner: f64) -> f64 {
    shares(entry, [per_hole, cut, corner]).iter().sum()
}

/// A learnt rate stays within this factor of the skill's (estimate). Larger lets a slip of the keys in the log through.
const WILDEST: f64 = 20.0;
/// Steps of the fit; it settles in well under ten.
const STEPS: usize = 60;

/// Refits the maker's own rates: the best balance between the minutes taken (each believed to 18 %) and the skill's
/// rates (each believed to its factor), in logarithms. Few jobs move the rates a little, many move them all the way.
pub fn refit(entries: &[Entry], usual: &Pace) -> Learnt {
    let from = [usual.per_hole, usual.cut, usual.corner];
    let belief = [HOLE_FACTOR, CUT_FACTOR, CORNER_FACTOR].map(|f| 1.0 / (libm::log(f) * libm::log(f)));
    // No hand is so many times quicker or slower than an estimate made for it: a log that says so is wrong.
    let believed = libm::log(WILDEST);
    let rates_at = |u: [f64; 3]| [0, 1, 2].map(|i| from[i] * libm::exp(u[i]));
    let cost = |u: [f64; 3]| -> f64 {
        let rates = rates_at(u);
        let data: f64 = entries
            .iter()
            .map(|e| {
                let off = libm::log(e.minutes / shares(e, rates).iter().sum::<f64>()) / DAY;
                off * off
            })
            .sum();
        data + (0..3).map(|i| u[i] * u[i] * belief[i]).sum::<f64>()
    };
    let mut u = [0.0; 3];
    let mut damping = 1e-3;
    let mut now = cost(u);
    for _ in 0..STEPS {
        let rates = rates_at(u);
        let mut left = [[0.0; 3]; 3];
        let mut right = [0.0; 3];
        for e in entries {
            let parts = shares(e, rates);
            let sum: f64 = parts.iter().sum();
            // A faster cut shortens the time, the other two lengthen it.
            let slope = [parts[0] / sum, -parts[1] / sum, parts[2] / sum];
            let off = libm::log(e.minutes / sum);
            for i in 0..3 {
                right[i] += slope[i] * off / (DAY * DAY);
                for j in 0..3 {
                    left[i][j] += slope[i] * slope[j] / (DAY * DAY);
                }
            }
        }
        for i in 0..3 {
            right[i] -= u[i] * belief[i];
            left[i][i] += belief[i] * (1.0 + damping);
        }
        let step = solve(left, right);
        let next = [0, 1, 2].map(|i| u[i] + step[i]);
        let then = cost(next);
        if then <= now {
            let done = now - then < 1e-12;
            (u, now) = (next, then);
            damping *= 0.3;
            if done {
                break;
            }
        } else {
            damping = damping.max(1e-3) * 10.0;
        }
    }
    let [per_hole, cut, corner] = rates_at(u.map(|x| x.clamp(-believed, believed)));
    let learnt = Pace {
        per_hole,
        cut,
        corner,
        filing: filing(entries, usual.filing).unwrap_or(usual.filing),
        ..*usual
    };
    Learnt {
        pace: (!entries.is_empty()).then_some(learnt),
        filing_timed: entries.iter().any(|e| e.filing.is_some() && e.holes > 0.0),
        off: entries
            .iter()
            .filter_map(|e| e.planned.map(|planned| Off { job: e.job.clone(), planned, taken: e.minutes }))
            .collect(),
        before: typical(entries, from),
        after: typical(entries, [per_hole, cut, corner]),
    }
}

/// Minutes of filing an opening, from the entries that timed it.
fn filing(entries: &[Entry], usual: f64) -> Option<f64> {
    let weight = 1.0 / (DAY * DAY);
    let belief = 1.0 / (libm::log(CUT_FACTOR) * libm::log(CUT_FACTOR));
    let timed: Vec<f64> = entries
        .iter()
        .filter(|e| e.holes > 0.0)
        .filter_map(|e| e.filing.map(|f| libm::log(f / e.holes / usual)))
        .collect();
    if timed.is_empty() {
        return None;
    }
    let sum: f64 = timed.iter().sum();
    let by = sum * weight / (timed.len() as f64 * weight + belief);
    Some(usual * libm::exp(by.clamp(-libm::log(WILDEST), libm::log(WILDEST))))
}

/// Middle factor between minutes taken and predicted, 1 or more.
fn typical(entries: &[Entry], rates: [f64; 3]) -> f64 {
    let mut factors: Vec<f64> = entries
        .iter()
        .map(|e| libm::exp(libm::log(e.minutes / shares(e, rates).iter().sum::<f64>()).abs()))
        .collect();
    factors.sort_by(f64::total_cmp);
    factors.get(factors.len() / 2).copied().unwrap_or(1.0)
}

/// Three equations by elimination; the beliefs keep the sums well away from zero.
fn solve(mut left: [[f64; 3]; 3], mut right: [f64; 3]) -> [f64; 3] {
    for i in 0..3 {
        for j in i + 1..3 {
            let by = left[j][i] / left[i][i];
            let row = left[i];
            for (cell, above) in left[j].iter_mut().zip(row) {
                *cell -= by * above;
            }
            right[j] -= by * right[i];
        }
    }
    let mut out = [0.0; 3];
    for i in (0..3).rev() {
        let known: f64 = (i + 1..3).map(|j| left[i][j] * out[j]).sum();
        out[i] = (right[i] - known) / left[i][i];
    }
    out
}

/// What the log taught, in plain lines.
pub fn report(learnt: &Learnt) -> Vec<String> {
    let mut lines: Vec<String> = learnt
        .off
        .iter()
        .map(|off| {
            let share = 100.0 * (off.taken / off.planned - 1.0);
            let way = if share >= 0.0 { "longer" } else { "shorter" };
            format!(
                "{}: planned {} min, took {}: {} % {way}",
                if off.job.is_empty() { "a job" } else { &off.job },
                plain(off.planned, 0),
                plain(off.taken, 0),
                plain(share.abs(), 0)
            )
        })
        .collect();
    if let Some(Pace { per_hole, cut, corner, .. }) = learnt.pace {
        lines.push(format!(
            "your rates: {} min for each hole and threading, {} mm² of cut a minute in sterling, {} s for each sharp corner",
            plain(per_hole, 2),
            plain(cut, 1),
            plain(corner * 60.0, 1)
        ));
        lines.push(format!(
            "they fit your jobs to about {} %, the estimate for your skill to about {} %; trust the minutes, not the single rates",
            plain(100.0 * (learnt.after - 1.0), 0),
            plain(100.0 * (learnt.before - 1.0), 0)
        ));
    }
    if let Some(pace) = learnt.pace.filter(|_| learnt.filing_timed) {
        lines.push(format!("filing: {} min for each opening", plain(pace.filing, 2)));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    const USUAL: Pace = Pace { per_hole: 0.75, cut: 12.0, corner: 4.0 / 60.0, filing: 0.8, handling: 6.0 };

    fn job(holes: f64, line: f64, corners: f64, minutes: f64) -> Entry {
        Entry {
            job: "trial".into(),
            metal: "sterling-silver".into(),
            thickness: 0.8,
            holes,
            line,
            corners,
            minutes,
            filing: None,
            planned: None,
        }
    }

    #[test]
    fn a_slow_hand_is_learnt_and_no_jobs_teach_nothing() {
        let truth = |e: &Entry| predict(e, 1.4, 7.0, 0.12);
        let mut jobs =
            vec![job(40.0, 500.0, 160.0, 0.0), job(12.0, 300.0, 0.0, 0.0), job(90.0, 700.0, 500.0, 0.0)];
        for e in &mut jobs {
            e.minutes = truth(e);
        }
        let learnt = refit(&jobs, &USUAL);
        assert!(learnt.before > 1.5 && learnt.after < 1.10, "{} {}", learnt.before, learnt.after);
        // A job of another kind is foretold within a day's mood.
        let other = job(5.0, 900.0, 20.0, 0.0);
        let pace = learnt.pace.unwrap_or(USUAL);
        let told = predict(&other, pace.per_hole, pace.cut, pace.corner);
        assert!((told / truth(&other) - 1.0).abs() < 0.18, "{told} {}", truth(&other));
        assert_eq!(refit(&[], &USUAL).pace, None);
    }

    #[test]
    fn wild_minutes_move_no_rate_out_of_reason() {
        let wild = [job(1.0, 0.0, 0.0, 1e5), job(1e6, 1e7, 1e7, 0.1)];
        for log in [&wild[..1], &wild[1..], &wild[..]] {
            let pace = refit(log, &USUAL).pace.unwrap_or(USUAL);
            for (now, usual) in
                [(pace.per_hole, USUAL.per_hole), (pace.cut, USUAL.cut), (pace.corner, USUAL.corner)]
            {
                assert!((1.0 / 20.1..=20.1).contains(&(now / usual)), "{pace:?}");
            }
        }
    }
}
