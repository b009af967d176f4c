//! Minutes really taken, and what they teach. The log is plain text, one job a line, and may be edited by hand:
//!
//! ```text
//! minutes 240 | holes 60 | line 812 | thickness 0.9 | metal copper | corners 180 | filing 45 | planned 210 | job Reed lantern
//! ```
//!
//! `minutes` at drill and saw, `filing` apart if it was timed. Lines that cannot be read are reported and otherwise left
//! alone. Nothing here reads files or clocks: text in, rates out.

use super::bench::Bench;
use super::time::{skill_rates, CORNER_FACTOR, CUT_FACTOR, DAY, HOLE_FACTOR};
use super::Plan;
use crate::job::{Job, Rates, Skill};
use crate::openings::Piece;
use crate::trade;
use crate::units::{plain, short};
use std::collections::BTreeMap;

/// One timed job, or a few timed openings of one.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    pub job: String,
    pub metal: String,
    /// mm, of everything sawn together.
    pub thickness: f64,
    /// Holes drilled and threaded.
    pub holes: f64,
    /// mm of line.
    pub line: f64,
    pub corners: f64,
    /// Minutes at drill and saw.
    pub minutes: f64,
    /// Minutes of filing, where they were timed apart.
    pub filing: Option<f64>,
    /// What the plan had said for drill and saw.
    pub planned: Option<f64>,
}

/// A line of the log that could not be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadLine {
    /// From 1.
    pub line: usize,
    pub why: String,
}

/// How far one estimate was off.
#[derive(Debug, Clone, PartialEq)]
pub struct Off {
    pub job: String,
    pub planned: f64,
    pub taken: f64,
}

/// What the log teaches.
#[derive(Debug, Clone, PartialEq)]
pub struct Learnt {
    /// `per_hole`, `cut`, `corner` and, if filing was timed, `filing`; ready for `Settings`.
    pub rates: Rates,
    /// The estimates that were made against what was taken, oldest first.
    pub off: Vec<Off>,
    /// Typical factor between estimate and minutes taken by the skill's rates, and by the learnt ones.
    pub before: f64,
    pub after: f64,
}

/// The entry for a job just done: one whole piece, or `openings` timed openings of it.
pub fn entry(
    job: &Job,
    piece: &Piece,
    plan: &Plan,
    openings: Option<u32>,
    minutes: f64,
    filing: Option<f64>,
) -> Entry {
    let bench = Bench::found(job, piece);
    let stack = f64::from(bench.stack());
    let count = piece.openings.len() as f64;
    let (holes, line, corners, planned) = match openings.filter(|_| count > 0.0) {
        Some(n) => {
            let share = f64::from(n) / count;
            let inside: usize = piece.openings.iter().map(|o| o.corners).sum();
            (f64::from(n), plan.saw.openings * share, inside as f64 * share, None)
        }
        None => {
            let planned = (plan.time.drilling + plan.time.sawing + plan.time.corners) * stack;
            (plan.saw.threadings as f64, plan.saw.length(), plan.saw.corners as f64, Some(planned))
        }
    };
    Entry {
        job: job.title.clone(),
        metal: job.sheet.metal.name.clone(),
        thickness: bench.thickness * stack,
        holes,
        line,
        corners,
        minutes,
        filing,
        planned,
    }
}

/// The entry as its line of the log, without a line end.
pub fn write(entry: &Entry) -> String {
    let mut fields = vec![
        format!("minutes {}", short(entry.minutes, 2)),
        format!("holes {}", short(entry.holes, 2)),
        format!("line {}", short(entry.line, 2)),
        format!("thickness {}", short(entry.thickness, 3)),
        format!("metal {}", entry.metal),
        format!("corners {}", short(entry.corners, 2)),
    ];
    if let Some(filing) = entry.filing {
        fields.push(format!("filing {}", short(filing, 2)));
    }
    if let Some(planned) = entry.planned {
        fields.push(format!("planned {}", short(planned, 2)));
    }
    let title: String = entry.job.chars().map(|c| if c == '|' || c.is_control() { ' ' } else { c }).collect();
    fields.push(format!("job {}", title.trim()));
    fields.join(" | ")
}

/// Reads a log: what can be read, and what cannot with its line. Empty lines and lines that begin with # are skipped.
pub fn read(text: &str) -> (Vec<Entry>, Vec<BadLine>) {
    let mut entries = Vec::new();
    let mut bad = Vec::new();
    for (i, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        match read_line(line) {
            Ok(entry) => entries.push(entry),
            Err(why) => bad.push(BadLine { line: i + 1, why }),
        }
    }
    (entries, bad)
}

fn read_line(line: &str) -> Result<Entry, String> {
    let fields: BTreeMap<String, &str> = line
        .split('|')
        .filter_map(|field| field.trim().split_once(char::is_whitespace))
        .map(|(key, value)| (key.to_ascii_lowercase(), value.trim()))
        .collect();
    let number = |key: &str| -> Result<Option<f64>, String> {
        let Some(text) = fields.get(key) else { return Ok(None) };
        match text.replace(',', ".").parse::<f64>() {
            Ok(n) if n.is_finite() && (0.0..=1e7).contains(&n) => Ok(Some(n)),
            _ => Err(format!("{key} \"{text}\" is no number")),
        }
    };
    let minutes = number("minutes")?.filter(|m| *m > 0.0).ok_or("minutes are missing")?;
    let (holes, line) = (number("holes")?.unwrap_or(0.0), number("line")?.unwrap_or(0.0));
    if holes + line <= 0.0 {
        return Err("neither holes nor line: nothing was sawn".into());
    }
    let metal = fields.get("metal").map_or("sterling-silver", |m| m).to_string();
    if trade::metal(&metal).is_none() {
        return Err(format!("metal \"{metal}\" is not known"));
    }
    Ok(Entry {
        job: fields.get("job").map_or(String::new(), |j| j.to_string()),
        metal,
        thickness: number("thickness")?.filter(|t| *t > 0.0).unwrap_or(0.8),
        holes,
        line,
        corners: number("corners")?.unwrap_or(0.0),
        minutes,
        filing: number("filing")?.filter(|f| *f > 0.0),
        planned: number("planned")?.filter(|p| *p > 0.0),
    })
}

/// Hole, cut and corner minutes of an entry at given rates.
fn shares(entry: &Entry, rates: [f64; 3]) -> [f64; 3] {
    let factor = trade::metal(&entry.metal).map_or(1.0, |m| m.saw_factor);
    let [per_hole, cut, corner] = rates;
    [entry.holes * per_hole, entry.line * entry.thickness / (factor * cut), entry.corners * corner]
}

/// Minutes at drill and saw that the rates make of an entry.
pub fn predict(entry: &Entry, per_hole: f64, cut: f64, corner: f64) -> f64 {
    shares(entry, [per_hole, cut, corner]).iter().sum()
}

/// Steps of the fit; it settles in well under ten.
const STEPS: usize = 60;

/// Refits the maker's own rates: the best balance between the minutes taken (each believed to 18 %) and the skill's
/// rates (each believed to its factor), in logarithms. Few jobs move the rates a little, many move them all the way.
pub fn refit(entries: &[Entry], skill: Skill) -> Learnt {
    let usual = skill_rates(skill);
    let from = [usual.per_hole, usual.cut, usual.corner];
    let belief = [HOLE_FACTOR, CUT_FACTOR, CORNER_FACTOR].map(|f| 1.0 / (libm::log(f) * libm::log(f)));
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
    let [per_hole, cut, corner] = rates_at(u);
    let learnt = !entries.is_empty();
    let rates = Rates {
        per_hole: learnt.then_some(per_hole),
        cut: learnt.then_some(cut),
        corner: learnt.then_some(corner),
        filing: filing(entries, usual.filing),
        ..Rates::default()
    };
    Learnt {
        rates,
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
    Some(usual * libm::exp(sum * weight / (timed.len() as f64 * weight + belief)))
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
    let rates = &learnt.rates;
    if let (Some(per_hole), Some(cut), Some(corner)) = (rates.per_hole, rates.cut, rates.corner) {
        lines.push(format!(
            "your rates: {} min for each hole and threading, {} mm² of cut a minute in sterling, {} s for each sharp corner",
            plain(per_hole, 2),
            plain(cut, 1),
            plain(corner * 60.0, 1)
        ));
        lines.push(format!(
            "they fit your jobs to about {} %, common practice to about {} %; trust the minutes, not the single rates",
            plain(100.0 * (learnt.after - 1.0), 0),
            plain(100.0 * (learnt.before - 1.0), 0)
        ));
    }
    if let Some(filing) = rates.filing {
        lines.push(format!("filing: {} min for each opening", plain(filing, 2)));
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

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
    fn a_line_comes_back_as_it_went_and_bad_lines_survive() {
        let mut entry = job(60.0, 812.5, 180.0, 240.0);
        entry.filing = Some(45.0);
        entry.job = "Reed | lantern".into();
        let text = format!(
            "# my log\n\nnonsense\n{}\nminutes NaN | holes 3\nminutes 5 | holes 2 | metal tin",
            write(&entry)
        );
        let (read, bad) = read(&text);
        entry.job = "Reed   lantern".into();
        assert_eq!(read, vec![entry]);
        assert_eq!(bad.iter().map(|b| b.line).collect::<Vec<_>>(), [3, 5, 6]);
    }

    #[test]
    fn a_slow_hand_is_learnt_and_no_jobs_teach_nothing() {
        let truth = |e: &Entry| predict(e, 1.4, 7.0, 0.12);
        let mut jobs =
            vec![job(40.0, 500.0, 160.0, 0.0), job(12.0, 300.0, 0.0, 0.0), job(90.0, 700.0, 500.0, 0.0)];
        for e in &mut jobs {
            e.minutes = truth(e);
        }
        let learnt = refit(&jobs, Skill::Practised);
        assert!(learnt.before > 1.5 && learnt.after < 1.10, "{} {}", learnt.before, learnt.after);
        // A job of another kind is foretold within a day's mood.
        let other = job(5.0, 900.0, 20.0, 0.0);
        let r = learnt.rates;
        let told = predict(&other, r.per_hole.unwrap_or(0.0), r.cut.unwrap_or(1.0), r.corner.unwrap_or(0.0));
        assert!((told / truth(&other) - 1.0).abs() < 0.18, "{told} {}", truth(&other));
        assert_eq!(refit(&[], Skill::First).rates, Rates::default());
    }
}
