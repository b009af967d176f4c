//! What the plan itself finds: sheet that is too small, a week of work for one order, weight on an ear, a dome.

use super::bench::Bench;
use super::built::Built;
use super::quote::{hours, Batch};
use super::sheet::{Buying, TO_HOLD};
use crate::checks::{BenchFinding, Check, Level, Quantity, Verdict};
use crate::trade::fits;

/// A working week at the bench, hours (estimate). More and it is no order for this week.
const WEEK: f64 = 40.0;
/// Heaviest earring that is worn all day without being felt, g (estimate, 5 to 8).
const ON_AN_EAR: f64 = 7.0;

/// The sheet in stock against the blanks.
pub(super) fn stock_fit(buying: &Buying) -> Verdict {
    let verdict = |level: Level, found: BenchFinding| Verdict::new(Check::StockFit, level, found);
    let Some(stock) = &buying.stock else { return verdict(Level::Unchecked, BenchFinding::NoStock) };
    let count = |n: u32| Quantity::Count(f64::from(n), "blanks");
    let (holds, pieces, spare) = (stock.holds, buying.count, stock.spare);
    match stock.sheets {
        0 => {
            let found = BenchFinding::StockTooSmall { blank: buying.blank, stock: stock.size };
            verdict(Level::Caution, found).numbers(count(0), count(1))
        }
        1 if spare < TO_HOLD => verdict(Level::Caution, BenchFinding::LittleToHold { spare })
            .numbers(Quantity::Length(spare), Quantity::Length(TO_HOLD)),
        1 => verdict(Level::Good, BenchFinding::StockHolds { pieces }),
        sheets => verdict(Level::Caution, BenchFinding::StockHoldsSome { holds, pieces, sheets })
            .numbers(count(holds), count(pieces)),
    }
}

/// How long all pieces take at drill, saw and file.
pub(super) fn hours_of_work(batch: &Batch) -> Verdict {
    let likely = batch.minutes.likely / 60.0;
    let long = likely > WEEK;
    let level = if long { Level::Caution } else { Level::Good };
    let found = BenchFinding::Takes { hours: hours(batch.minutes), pieces: batch.pieces, long };
    Verdict::new(Check::Hours, level, found).numbers(Quantity::Time(likely), Quantity::Time(WEEK))
}

/// What one finished piece weighs.
pub(super) fn weight(bench: &Bench, built: &Built) -> Verdict {
    let grams = built.finished();
    let worn = bench.job.pair && super::hang::top_hole(bench).is_some();
    let heavy = worn && grams > ON_AN_EAR;
    let level = if heavy { Level::Caution } else { Level::Good };
    let found = BenchFinding::Weighs { grams, built: built.is_more(), worn, heavy };
    let mut verdict = Verdict::new(Check::Weight, level, found);
    verdict.measured = Some(Quantity::Weight(grams));
    verdict.limit = worn.then_some(Quantity::Weight(ON_AN_EAR));
    verdict
}

/// What doming does to the openings; nothing for a piece that stays flat.
pub(super) fn doming(bench: &Bench) -> Option<Verdict> {
    let domed = bench.piece.outline.domed.as_ref()?;
    let sums = fits::dome(domed.size.0.min(domed.size.1).get(), domed.height.get());
    let found = BenchFinding::Domed { closes: sums.closes };
    Some(Verdict::new(Check::Doming, Level::Caution, found))
}
