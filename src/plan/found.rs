//! What the plan itself finds: sheet that is too small, a week of work for one order, weight on an ear, a dome.

use super::bench::Bench;
use super::built::Built;
use super::quote::{hours, Batch};
use super::sheet::{Buying, TO_HOLD};
use crate::checks::{length, Check, Level, Quantity, Verdict};
use crate::trade::fits;
use crate::units::plain;

/// A working week at the bench, hours (estimate). More and it is no order for this week.
const WEEK: f64 = 40.0;
/// Heaviest earring that is worn all day without being felt, g (estimate, 5 to 8).
const ON_AN_EAR: f64 = 7.0;

/// The sheet in stock against the blanks.
pub(super) fn stock_fit(bench: &Bench, buying: &Buying) -> Verdict {
    let because = "blanks with 1 mm to saw them out by, 1 mm saw gaps, 5 mm to hold by: estimate";
    let told = |level, says: String| Verdict::told(Check::StockFit, level, says, because);
    let Some(stock) = &buying.stock else {
        return told(Level::Unchecked, "no sheet in stock is named".into());
    };
    let count = |n: u32| Quantity::Count(f64::from(n), "blanks");
    let mm = |value: f64| length(value, 1, bench.job.units);
    let (wide, high) = (mm(buying.blank.0), mm(buying.blank.1));
    match stock.sheets {
        0 => told(
            Level::Caution,
            format!(
                "the sheet in stock, {} × {}, does not hold one blank of {wide} × {high}",
                mm(stock.size.0),
                mm(stock.size.1)
            ),
        )
        .numbers(count(0), count(1)),
        1 if stock.spare < TO_HOLD => told(
            Level::Caution,
            format!(
                "the blanks leave {} of the sheet to hold by: drill and pierce before cutting apart",
                mm(stock.spare)
            ),
        )
        .numbers(Quantity::Length(stock.spare), Quantity::Length(TO_HOLD)),
        1 => told(Level::Good, format!("the sheet in stock holds the {} wanted", buying.count)),
        sheets => told(
            Level::Caution,
            format!(
                "the sheet in stock holds {} of {}: it takes {sheets} such sheets",
                stock.holds, buying.count
            ),
        )
        .numbers(count(stock.holds), count(buying.count)),
    }
}

/// How long all pieces take at drill, saw and file.
pub(super) fn hours_of_work(batch: &Batch) -> Verdict {
    let because = "rates of drilling and sawing are estimates until your own minutes are in them";
    let likely = batch.minutes.likely / 60.0;
    let level = if likely > WEEK { Level::Caution } else { Level::Good };
    let pieces = if batch.pieces == 1 { String::new() } else { format!(" for {} pieces", batch.pieces) };
    let long = if likely > WEEK { ": more than a working week at the bench" } else { "" };
    let says = format!("drill, saw and file: {}{pieces}{long}", hours(batch.minutes));
    Verdict::told(Check::Hours, level, says, because).numbers(Quantity::Time(likely), Quantity::Time(WEEK))
}

/// What one finished piece weighs.
pub(super) fn weight(bench: &Bench, built: &Built) -> Verdict {
    let grams = built.finished();
    let what = if built.is_more() { "the piece as built, stone and solder apart" } else { "the piece" };
    let says = format!("{what} weighs about {} g", plain(grams, 1));
    if !(bench.job.pair && super::hang::top_hole(bench).is_some()) {
        let mut good = Verdict::told(Check::Weight, Level::Good, says, "area, thickness and density");
        good.measured = Some(Quantity::Weight(grams));
        return good;
    }
    let heavy = grams > ON_AN_EAR;
    let (level, end) = match heavy {
        true => (Level::Caution, ": heavy on an ear; thinner sheet, larger openings or a smaller piece"),
        false => (Level::Good, ""),
    };
    Verdict::told(Check::Weight, level, format!("{says}{end}"), "up to about 7 g on an ear: estimate")
        .numbers(Quantity::Weight(grams), Quantity::Weight(ON_AN_EAR))
}

/// What doming does to the openings; nothing for a piece that stays flat.
pub(super) fn doming(bench: &Bench) -> Option<Verdict> {
    let domed = bench.piece.outline.domed.as_ref()?;
    let sums = fits::dome(domed.size.0.min(domed.size.1).get(), domed.height.get());
    let says = format!(
        "drawn as the flat to be domed. Pierced first, openings near the edge close up by up to about {} % and the bridges \
         there crowd and stretch; keep 2 mm solid round the edge, or dome first",
        plain(100.0 * sums.closes, 0)
    );
    Some(Verdict::told(Check::Doming, Level::Caution, says, "cap of a ball; how the metal moves: estimate"))
}
