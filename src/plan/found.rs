//! What the plan itself finds: sheet that is too small, more than a week of work, weight on an ear, a dome.

use super::built::Built;
use super::measured::Measured;
use super::time::{Spread, Time};
use crate::checks::{BenchFinding, Check, Level, Quantity, Verdict};
use crate::trade::fits;

/// A working week at the bench, hours (estimate). A piece that takes longer is no piece for this week.
const WEEK: f64 = 40.0;
/// Heaviest earring that is worn all day without being felt, g (estimate, 5 to 8).
const ON_AN_EAR: f64 = 7.0;

/// How long one piece takes at drill, saw and file, and all of them.
pub(super) fn hours(time: &Time, pieces: u32) -> Verdict {
    let one = time.whole.times(1.0 / 60.0);
    let all = one.times(f64::from(pieces));
    let (level, found, told) = if one.likely > WEEK {
        let Spread { low, likely, high } = one;
        (Level::Caution, BenchFinding::LongWork { low, likely, high, week: WEEK }, likely)
    } else if all.likely > WEEK {
        let Spread { low, likely, high } = all;
        (Level::Caution, BenchFinding::LongOrder { pieces, low, likely, high, week: WEEK }, likely)
    } else {
        (Level::Good, BenchFinding::Takes { hours: one.likely, pieces, all: all.likely }, all.likely)
    };
    Verdict::new(Check::Hours, level, found).numbers(Quantity::Time(told), Quantity::Time(WEEK))
}

/// What one finished piece weighs.
pub(super) fn weight(bench: &Measured, built: &Built) -> Verdict {
    let grams = built.finished();
    let on_an_ear = bench.job.pair && super::hang::top_hole(bench).is_some();
    if on_an_ear && grams > ON_AN_EAR {
        let found = BenchFinding::HeavyOnEar { grams, limit: ON_AN_EAR };
        let verdict = Verdict::new(Check::Weight, Level::Caution, found);
        return verdict.numbers(Quantity::Weight(grams), Quantity::Weight(ON_AN_EAR));
    }
    let mut good = Verdict::new(Check::Weight, Level::Good, BenchFinding::Weighs { grams });
    good.measured = Some(Quantity::Weight(grams));
    good
}

/// What doming does to the openings; nothing for a piece that stays flat.
pub(super) fn doming(bench: &Measured) -> Option<Verdict> {
    let domed = bench.piece.outline.domed.as_ref()?;
    let sums = fits::dome(domed.size.0.min(domed.size.1).get(), domed.height.get());
    let found = BenchFinding::Domed { closes: sums.closes, stretch: sums.stretch };
    Some(Verdict::new(Check::Doming, Level::Caution, found))
}
