//! Totals for all pieces, and the two sheets of a quote: the maker's with minutes, the buyer's without.

use super::built::Built;
use super::measured::Measured;
use super::metal::Weights;
use super::saw::{drill_size, Drilling, Sawing};
use super::sheet::Buying;
use super::solder::SolderStep;
use super::time::{blades, time, RateUsed, Spread, Time};
use crate::units::{plain, short, LengthUnit, MM_PER_INCH};

/// Millimetres in a foot.
const MM_PER_FOOT: f64 = 12.0 * MM_PER_INCH;

/// Totals for every single piece of the job (a pair counts two).
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Batch {
    /// How many; a pair is two.
    pub pieces: u32,
    /// Times a sheet or stack is sawn.
    pub runs: u32,
    /// Holes drilled and blades threaded, stacked sheets counted once.
    pub holes: usize,
    /// Times the blade is passed through a hole, stacked sheets counted once.
    pub threadings: usize,
    /// Line in all pieces, mm.
    pub length: f64,
    /// Of all pieces, with their range.
    pub minutes: Spread,
    /// To have ready, with their range.
    pub blades: Spread,
    /// Sheet, strip and wire cut from, g: the sum of the next three.
    pub metal_in: f64,
    /// The finished pieces, everything built on them included.
    pub metal_out: f64,
    /// Falls out or off in pieces, g.
    pub scrap: f64,
    /// Turned to dust, g.
    pub filings: f64,
    /// Of the finished pieces, the openwork.
    pub openwork: f64,
    /// Chips of solder.
    pub pallions: u32,
    /// Money as typed: metal cut from, work as a range.
    pub metal_price: Option<f64>,
    /// Minutes at the hour's price, with their range.
    pub work_price: Option<Spread>,
    /// One price for all pieces, rounded up: metal and the likely work, where both are typed.
    pub price: Option<f64>,
}

/// Totals.
pub(super) fn batch(
    bench: &Measured,
    saw: &Sawing,
    drills: &[Drilling],
    time: &Time,
    (weights, built): (&Weights, &Built),
    solder: &[SolderStep],
) -> Batch {
    let pieces = bench.pieces;
    let runs = bench.runs();
    let n = f64::from(pieces);
    let (metal_in, metal_out) = (built.taken() * n, built.finished() * n);
    let filings = (weights.filings * n).min((metal_in - metal_out).max(0.0));
    let minutes = time.whole.times(n);
    let metal_price = bench.job.sheet.price_per_gram.filter(|p| *p > 0.0).map(|p| p * metal_in);
    let work_price = bench.job.rates.per_hour.filter(|p| *p > 0.0).map(|p| minutes.times(p / 60.0));
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
        metal_out,
        scrap: metal_in - metal_out - filings,
        filings,
        openwork: weights.piece * n,
        pallions: solder.iter().fold(0u32, |sum, s| sum.saturating_add(s.pallions)).saturating_mul(pieces),
        metal_price,
        work_price,
        price: metal_price.zip(work_price).map(|(metal, work)| (metal + work.likely).ceil()),
    }
}

/// What a line of a quote is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum QuoteKind {
    /// Something known.
    Fact,
    /// The price of all.
    Price,
    /// Left open for the pen.
    Blank,
}

/// Where something is written in by hand.
const BLANK: &str = "________";

/// One line of a quote.
#[derive(Debug, Clone, PartialEq)]
pub struct QuoteLine {
    /// What it is for: decides how it is set.
    pub kind: QuoteKind,
    /// What it is.
    pub label: String,
    /// With its unit, or left open.
    pub value: String,
    /// How it was worked out.
    pub sum: Option<String>,
}

fn line(label: &str, value: impl Into<String>) -> QuoteLine {
    QuoteLine { kind: QuoteKind::Fact, label: label.into(), value: value.into(), sum: None }
}

fn with_sum(label: &str, value: impl Into<String>, sum: impl Into<String>) -> QuoteLine {
    QuoteLine { kind: QuoteKind::Fact, label: label.into(), value: value.into(), sum: Some(sum.into()) }
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

/// A price as it is written: whole units of whatever money was typed.
pub fn money(price: f64) -> String {
    plain(price, 0)
}

fn range(spread: Spread) -> String {
    format!("{} to {}, likely {}", money(spread.low), money(spread.high), money(spread.likely))
}

/// A rate as it is read: "12 mm² of cut a minute in sterling (estimate; copper 0.9 times)".
pub(super) fn rate(bench: &Measured, rate: &RateUsed) -> String {
    let whose = if rate.own { "your own" } else { "estimate" };
    let metal = &bench.job.sheet.metal.title;
    let factor =
        rate.metal.map_or(String::new(), |f| format!("; {} {} times", metal.to_lowercase(), short(f, 2)));
    format!("{} {} ({whose}{factor})", short(rate.value, 2), rate.unit)
}

/// The rates used, one line each.
pub(super) fn rate_lines(bench: &Measured, time: &Time) -> Vec<QuoteLine> {
    time.rates.iter().map(|r| line(&format!("rate: {}", r.what), rate(bench, r))).collect()
}

/// The maker's sheet.
pub(super) fn maker(
    bench: &Measured,
    saw: &Sawing,
    drills: &[Drilling],
    time: &Time,
    batch: &Batch,
    (buying, built): (&Buying, &Built),
) -> Vec<QuoteLine> {
    let (n, units) = (f64::from(batch.pieces), bench.job.units);
    let each = |total: f64| plain(total / n, 2);
    let mut lines = vec![
        line("pieces", pieces(bench)),
        line("holes to drill", batch.holes.to_string()),
        line("threadings", batch.threadings.to_string()),
        with_sum(
            "sawing",
            match units {
                LengthUnit::Mm => format!("{} m", plain(batch.length / 1000.0, 1)),
                LengthUnit::Inch => format!("{} ft", plain(batch.length / MM_PER_FOOT, 1)),
            },
            format!("{} × {}", batch.pieces, units.says(saw.length(), 1)),
        ),
        with_sum("sheet to cut from", format!("{} g", plain(buying.taken, 1)), sheet_sum(buying, units)),
    ];
    for share in built.shares.iter().skip(1) {
        let sum = format!("{} each: {}", plain(share.taken, 2), share.sum);
        lines.push(with_sum(share.part, format!("{} g", plain(share.taken * n, 1)), sum));
    }
    if built.is_more() {
        lines.push(line(
            "metal in, all of it",
            format!("{} g, {} g each", plain(batch.metal_in, 1), each(batch.metal_in)),
        ));
    }
    lines.extend([
        with_sum(
            "finished, everything built on it",
            format!("{} g, {} g each", plain(batch.metal_out, 1), each(batch.metal_out)),
            built.sum(),
        ),
        line(
            "scrap and filings",
            format!(
                "{} g, of which about {} g saw dust, which sells for less",
                plain(batch.scrap + batch.filings, 1),
                plain(batch.filings, 0)
            ),
        ),
        line("time at drill, saw and file, with handling", hours(batch.minutes)),
    ]);
    lines.extend(rate_lines(bench, time));
    lines.push(line(
        "blades to have ready",
        format!("about {}, {} to be safe", plain(batch.blades.likely.ceil(), 0), plain(batch.blades.high, 0)),
    ));
    let spare: Vec<String> =
        drills.iter().map(|d| format!("{} of {}", d.spares, drill_size(units, d.diameter))).collect();
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
            lines.push(line("work, at your hour", range(work)));
            if let Some(metal) = batch.metal_price {
                let all = work + Spread::exact(metal);
                lines.push(line("together, before findings, solder and shop's share", range(all)));
            }
        }
        None => lines.push(line("work", "type per_hour under [rates] to see it in money")),
    }
    lines.extend(stacking(bench, saw, time, batch));
    lines.extend(sending_out(bench, time, batch));
    lines
}

/// Which sheet the plates are cut from.
fn sheet_sum(buying: &Buying, units: LengthUnit) -> String {
    match buying.stock.as_ref().filter(|stock| stock.sheets > 0) {
        Some(stock) => format!(
            "of the stock, {}: what {} take, {} to hold by",
            units.size(stock.size, 1),
            match buying.count {
                1 => format!("1 blank of {}", units.size(buying.blank, 1)),
                n => format!("{n} blanks of {}", units.size(buying.blank, 1)),
            },
            units.says(super::sheet::TO_HOLD, 0)
        ),
        None => buying.sum(units),
    }
}

/// What stacking two sheets would save, where nothing is stacked yet.
fn stacking(bench: &Measured, saw: &Sawing, time_now: &Time, batch: &Batch) -> Option<QuoteLine> {
    if bench.pieces < 2 || bench.stack() > 1 {
        return None;
    }
    let mut job = bench.job.clone();
    job.saw.stack = 2;
    let stacked = Measured { job: &job, ..bench.clone() };
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
fn sending_out(bench: &Measured, time: &Time, batch: &Batch) -> Option<QuoteLine> {
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

/// "3 pairs, 6 pieces", "1 piece".
pub(super) fn pieces(bench: &Measured) -> String {
    match (bench.job.pair, bench.pieces) {
        (true, 2) => "1 pair, 2 pieces".into(),
        (true, n) => format!("{} pairs, {n} pieces", n / 2),
        (false, 1) => "1 piece".into(),
        (false, n) => format!("{n} pieces"),
    }
}

/// "31.00 mm across", "20.00 × 39.00 mm": the finished piece, lugs and rim included.
pub(super) fn over_all(bench: &Measured, (width, height): (f64, f64)) -> String {
    match bench.across {
        Some(_) if (width - height).abs() < 0.005 => format!("{} across", bench.mm(width)),
        _ => bench.job.units.size((width, height), 2),
    }
}

/// The buyer's sheet: no minutes of the bench and no costs on it; one price, or a line to write it on.
pub(super) fn buyer(bench: &Measured, built: &Built, batch: &Batch) -> Vec<QuoteLine> {
    let metal = &bench.job.sheet.metal;
    let mut lines = vec![
        line("what", bench.job.title.clone()),
        line("how many", pieces(bench)),
        line("metal", format!("{}, {}, pierced by hand", metal.title, bench.mm(bench.thickness))),
        line("overall size", format!("about {}", over_all(bench, built.size))),
        line("openings in each", bench.piece.openings.len().to_string()),
        line("weight", format!("about {} g each", plain(built.finished(), 1))),
    ];
    if built.is_more() {
        let parts: Vec<&str> = built.shares.iter().skip(1).map(|s| s.part).collect();
        lines.push(line("with", parts.join(", ")));
    }
    if bench.job.pair {
        lines.push(line(
            "weight of a pair",
            format!("about {} g; left and right the same by plan", plain(2.0 * built.finished(), 1)),
        ));
    }
    let price = |kind, label: &str, share: f64| {
        let value = batch.price.map_or(BLANK.to_string(), |all| money((all * share).ceil()));
        QuoteLine { kind, ..line(label, value) }
    };
    lines.push(price(QuoteKind::Price, if bench.pieces > 1 { "price of all" } else { "price" }, 1.0));
    let part = if batch.price.is_some() { QuoteKind::Fact } else { QuoteKind::Blank };
    if bench.job.pair && bench.pieces > 2 {
        lines.push(price(part, "a pair", 2.0 / f64::from(bench.pieces)));
    } else if bench.pieces > 1 && !bench.job.pair {
        lines.push(price(part, "each", 1.0 / f64::from(bench.pieces)));
    }
    lines.push(QuoteLine { kind: QuoteKind::Blank, ..line("good until, at today's metal price", BLANK) });
    lines
}
