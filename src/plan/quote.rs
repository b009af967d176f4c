//! Totals for all pieces, and the two pages of a quote: the maker's with minutes, the buyer's without.

use super::bench::Bench;
use super::metal::{Buying, Weights};
use super::saw::{Drill, Sawing};
use super::solder::SolderStep;
use super::time::{blades, time, Spread, Time};
use crate::units::{plain, short};

/// Totals for every single piece of the job (a pair counts two).
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Batch {
    pub pieces: u32,
    /// Times a sheet or stack is sawn.
    pub runs: u32,
    /// Holes drilled and blades threaded, stacked sheets counted once.
    pub holes: usize,
    pub threadings: usize,
    /// Line in all pieces, mm.
    pub length: f64,
    pub minutes: Spread,
    pub blades: Spread,
    /// g.
    pub metal_in: f64,
    pub metal_out: f64,
    pub scrap: f64,
    pub filings: f64,
    pub pallions: u32,
    /// Money as typed: metal in, work as a range.
    pub metal_price: Option<f64>,
    pub work_price: Option<Spread>,
}

/// Totals.
pub fn batch(
    bench: &Bench,
    saw: &Sawing,
    drills: &[Drill],
    time: &Time,
    weights: &Weights,
    solder: &[SolderStep],
) -> Batch {
    let pieces = bench.pieces;
    let runs = pieces.div_ceil(bench.stack());
    let n = f64::from(pieces);
    let metal_in = weights.blank * n;
    let minutes = time.whole.times(n);
    let start_holes: usize = drills.iter().map(|d| d.holes).sum();
    Batch {
        pieces,
        runs,
        holes: start_holes * runs as usize,
        threadings: saw.threadings * runs as usize,
        length: saw.length() * n,
        minutes,
        blades: blades(bench, saw, pieces),
        metal_in,
        metal_out: weights.piece * n,
        scrap: weights.scrap * n,
        filings: weights.filings * n,
        pallions: solder.iter().fold(0u32, |sum, s| sum.saturating_add(s.pallions)).saturating_mul(pieces),
        metal_price: bench.job.sheet.price_per_gram.filter(|p| *p > 0.0).map(|p| p * metal_in),
        work_price: bench.job.rates.per_hour.filter(|p| *p > 0.0).map(|p| minutes.times(p / 60.0)),
    }
}

/// One line of a quote.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    pub label: String,
    pub value: String,
    pub sum: Option<String>,
}

fn line(label: &str, value: impl Into<String>) -> Line {
    Line { label: label.into(), value: value.into(), sum: None }
}

fn with_sum(label: &str, value: impl Into<String>, sum: impl Into<String>) -> Line {
    Line { label: label.into(), value: value.into(), sum: Some(sum.into()) }
}

/// "4 to 7 h, likely 5 h": hours to the half below ten, whole above, minutes when short.
pub fn hours(minutes: Spread) -> String {
    let (unit, per, places) = match minutes.likely {
        m if m < 90.0 => ("min", 1.0, 0),
        m if m < 600.0 => ("h", 60.0, 1),
        _ => ("h", 60.0, 0),
    };
    let show = |m: f64| plain(m / per, places);
    if minutes.low == minutes.high {
        format!("about {} {unit}", show(minutes.likely))
    } else {
        format!("{} to {} {unit}, likely {}", show(minutes.low), show(minutes.high), show(minutes.likely))
    }
}

fn money(spread: Spread) -> String {
    format!("{} to {}, likely {}", plain(spread.low, 0), plain(spread.high, 0), plain(spread.likely, 0))
}

/// The rates used, one line each.
pub fn rate_lines(time: &Time) -> Vec<Line> {
    time.rates
        .iter()
        .map(|r| {
            let whose = if r.own { "your own" } else { "common practice" };
            line(&format!("rate: {}", r.what), format!("{} {} ({whose})", short(r.value, 2), r.unit))
        })
        .collect()
}

/// The maker's page.
pub fn maker(
    bench: &Bench,
    saw: &Sawing,
    drills: &[Drill],
    time: &Time,
    batch: &Batch,
    buying: &Buying,
) -> Vec<Line> {
    let each = |total: f64| plain(total / f64::from(batch.pieces), 2);
    let mut lines = vec![
        line("pieces", pieces(bench)),
        line("holes to drill", batch.holes.to_string()),
        line("threadings", batch.threadings.to_string()),
        with_sum(
            "sawing",
            format!("{} m", plain(batch.length / 1000.0, 1)),
            format!("{} × {} mm", batch.pieces, plain(saw.length(), 1)),
        ),
        with_sum(
            "metal in",
            format!("{} g", plain(batch.metal_in, 1)),
            format!("{} each, {}", each(batch.metal_in), buying.notes.first().cloned().unwrap_or_default()),
        ),
        line("finished", format!("{} g, {} g each", plain(batch.metal_out, 1), each(batch.metal_out))),
        line(
            "scrap and filings",
            format!(
                "{} g, of which about {} g saw dust, which sells for less",
                plain(batch.scrap + batch.filings, 1),
                plain(batch.filings, 0)
            ),
        ),
        line("time at drill, saw and file, with handling", hours(batch.minutes)),
    ];
    lines.extend(rate_lines(time));
    lines.push(line(
        "blades to have ready",
        format!("about {}, {} to be safe", plain(batch.blades.likely.ceil(), 0), plain(batch.blades.high, 0)),
    ));
    let spare: Vec<String> =
        drills.iter().map(|d| format!("{} of {} mm", d.spares, short(d.diameter, 3))).collect();
    if !spare.is_empty() {
        lines.push(line("drills to have ready", spare.join(", ")));
    }
    if batch.pallions > 0 {
        lines.push(line("pallions of solder", batch.pallions.to_string()));
    }
    match batch.metal_price {
        Some(price) => lines.push(line("metal, at the price typed (date it: ________)", plain(price, 2))),
        None => lines.push(line("metal price", "type price_per_gram, and date it")),
    }
    match batch.work_price {
        Some(work) => {
            lines.push(line("work, at your hour", money(work)));
            if let Some(metal) = batch.metal_price {
                let all = work + Spread::exact(metal);
                lines.push(line("together, before findings, solder and shop's share", money(all)));
            }
        }
        None => lines.push(line("work", "type per_hour under [rates] to see it in money")),
    }
    lines.extend(stacking(bench, saw, time, batch));
    lines.extend(sending_out(bench, time, batch));
    lines
}

/// What stacking two sheets would save, where nothing is stacked yet.
fn stacking(bench: &Bench, saw: &Sawing, time_now: &Time, batch: &Batch) -> Option<Line> {
    if bench.pieces < 2 || bench.stack() > 1 {
        return None;
    }
    let mut job = bench.job.clone();
    job.saw.stack = 2;
    let stacked = Bench { job: &job, ..bench.clone() };
    let saved = (time_now.whole.likely - time(&stacked, saw).whole.likely) * f64::from(bench.pieces);
    let teeth = saw.teeth * 2.0;
    let turned = if bench.job.pair {
        "; turn one sheet over, good faces both outside, for a left and a right"
    } else {
        ""
    };
    Some(line(
        "stacking two sheets",
        format!(
            "halves holes and threadings ({} instead of {}), not filing: saves {}; {} teeth in the stack{turned}",
            saw.threadings * bench.pieces.div_ceil(2) as usize,
            batch.threadings,
            hours(Spread::exact(saved)),
            plain(teeth, 1)
        ),
    ))
}

/// What sending the sawing out would save and leave.
fn sending_out(bench: &Bench, time: &Time, batch: &Batch) -> Option<Line> {
    if bench.piece.openings.is_empty() {
        return None;
    }
    let saved = time.drilling + time.sawing + time.corners;
    let worth = match bench.job.rates.per_hour.filter(|p| *p > 0.0) {
        Some(hour) => format!(
            ": {} of work each; it pays from the number of pieces where its setting-up charge ÷ ({} − its price each) is reached",
            plain(saved / 60.0 * hour, 2),
            plain(saved / 60.0 * hour, 2)
        ),
        None => String::new(),
    };
    Some(line(
        "sending the sawing out",
        format!(
            "saves {} a piece, {} in all{worth}. Cleaning the edges, fixing, soldering and finish stay at the bench",
            hours(Spread::exact(saved)),
            hours(Spread::exact(saved * f64::from(batch.pieces)))
        ),
    ))
}

fn pieces(bench: &Bench) -> String {
    match (bench.job.pair, bench.pieces) {
        (true, 2) => "1 pair, 2 pieces".into(),
        (true, n) => format!("{} pairs, {n} pieces", n / 2),
        (false, 1) => "1 piece".into(),
        (false, n) => format!("{n} pieces"),
    }
}

/// The buyer's page: no minutes of the bench on it.
pub fn buyer(bench: &Bench, weights: &Weights, batch: &Batch) -> Vec<Line> {
    let metal = &bench.job.sheet.metal;
    let mut lines = vec![
        line("what", bench.job.title.clone()),
        line("how many", pieces(bench)),
        line("metal", format!("{}, {} mm, pierced by hand", metal.title, plain(bench.thickness, 2))),
        line("size over all", format!("{} × {} mm", plain(bench.size.0, 1), plain(bench.size.1, 1))),
        line("openings in each", bench.piece.openings.len().to_string()),
        line("finished plate", format!("about {} g each", plain(weights.piece, 1))),
    ];
    if bench.job.pair {
        lines.push(line(
            "a pair",
            format!("about {} g; left and right the same by plan", plain(2.0 * weights.piece, 1)),
        ));
    }
    match (batch.work_price, batch.metal_price) {
        (Some(work), Some(metal)) => {
            let all = work + Spread::exact(metal);
            lines.push(line("price, before findings and shop's share", money(all)));
            if batch.pieces > 1 {
                lines.push(line("each", money(all.times(1.0 / f64::from(batch.pieces)))));
            }
        }
        _ => lines.push(line("price", "________")),
    }
    lines.push(line("good until, at today's metal price", "________"));
    lines
}
