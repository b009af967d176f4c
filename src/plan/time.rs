//! Minutes and blades. Nobody has published measured rates for piercing by hand: these are estimates with wide ranges,
//! to be replaced by the maker's own.

use super::measured::Measured;
use super::saw::Sawing;
use crate::job::Skill;
use crate::trade::pace::{Pace, CORNER_FACTOR, CUT_FACTOR, DAY, HOLE_FACTOR};
use std::ops::Add;

/// A figure with its range: low and high bound about two jobs in three.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub struct Spread {
    /// The low end.
    pub low: f64,
    /// The middle estimate.
    pub likely: f64,
    /// The high end.
    pub high: f64,
}

impl Spread {
    /// One figure without a range.
    pub fn exact(value: f64) -> Self {
        Self { low: value, likely: value, high: value }
    }

    /// A figure that may be `factor` times too high or too low.
    pub fn within(likely: f64, factor: f64) -> Self {
        Self { low: likely / factor, likely, high: likely * factor }
    }

    /// All three figures so many times as large.
    pub fn times(self, by: f64) -> Self {
        Self { low: self.low * by, likely: self.likely * by, high: self.high * by }
    }
}

impl Add for Spread {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { low: self.low + other.low, likely: self.likely + other.likely, high: self.high + other.high }
    }
}

/// A rate the minutes were worked out with.
#[derive(Debug, Clone, PartialEq)]
pub struct RateUsed {
    /// What it is a rate of, for people.
    pub what: &'static str,
    /// In `unit`.
    pub value: f64,
    /// "min", "mm of line a minute", "mm2 of cut a minute in sterling".
    pub unit: &'static str,
    /// How many times as fast this metal goes, where the rate is for sterling.
    pub metal: Option<f64>,
    /// The maker's own (typed or learnt), not an estimate by skill.
    pub own: bool,
}

/// Minutes for one piece, its share of a stack counted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Time {
    /// Punch, drill, thread and unthread.
    pub drilling: f64,
    /// Along the line.
    pub sawing: f64,
    /// Turning the blade in sharp corners.
    pub corners: f64,
    /// All openings.
    pub filing: f64,
    /// Sticking on, marking out and cleaning one piece.
    pub handling: f64,
    /// Drill and saw.
    pub saw: Spread,
    /// Everything above. Soldering, setting and polishing are not in it.
    pub whole: Spread,
    /// What the figures were worked out with.
    pub rates: Vec<RateUsed>,
}

/// Estimates (nobody has published such rates): a practised hand at 45 s an opening (punch 5, drill 12, thread 20, unthread 8), 12 mm2 a
/// minute and 4 s a corner; a first piece at about half the pace.
pub fn skill_rates(skill: Skill) -> Pace {
    match skill {
        Skill::First => Pace { per_hole: 1.5, cut: 6.0, corner: 8.0 / 60.0, filing: 1.2, handling: 10.0 },
        Skill::Practised => {
            Pace { per_hole: 0.75, cut: 12.0, corner: 4.0 / 60.0, filing: 0.8, handling: 6.0 }
        }
        Skill::FineWork => Pace { per_hole: 0.75, cut: 14.0, corner: 4.0 / 60.0, filing: 0.6, handling: 6.0 },
    }
}

/// What a rate of cutting is counted in.
const CUT_UNIT: &str = "mm² of cut a minute in sterling";
/// A typed sawing pace from fast to slow, against the pace typed (20 and 8 mm a minute round 12).
const FAST: f64 = 12.0 / 20.0;
const SLOW: f64 = 12.0 / 8.0;

/// The minutes of one piece.
pub(super) fn time(bench: &Measured, saw: &Sawing) -> Time {
    let (job, own) = (bench.job, &bench.job.rates);
    let by_skill = skill_rates(job.skill);
    let factor = job.sheet.metal.saw_factor;
    let holes = saw.threadings as f64 * bench.runs_each();
    let openings = bench.piece.openings.len() as f64;

    let mut rates = Vec::new();
    let mut rate = |what, typed: Option<f64>, usual: f64, unit| {
        let value = typed.unwrap_or(usual);
        let metal = (unit == CUT_UNIT && (factor - 1.0).abs() > 1e-9).then_some(factor);
        rates.push(RateUsed { what, value, unit, metal, own: typed.is_some() });
        value
    };
    let per_hole = rate("each hole and threading", own.per_hole, by_skill.per_hole, "min");
    // Estimated parts: minutes and the factor each may be out by. Typed parts stand as they are.
    let mut guessed: Vec<(f64, f64)> = Vec::new();
    let mut typed = Spread::default();
    let drilling = holes * per_hole;
    match own.per_hole {
        Some(_) => typed = typed + Spread::exact(drilling),
        None => guessed.push((drilling, HOLE_FACTOR)),
    }
    let (sawing, corners) = match own.saw {
        Some(pace) => {
            // The pace is for one sheet: a stack takes as much longer as it is thicker, and is shared as widely.
            let minutes = saw.length() / rate("sawing", Some(pace), pace, "mm of line a minute");
            typed = typed + Spread { low: minutes * FAST, likely: minutes, high: minutes * SLOW };
            (minutes, 0.0)
        }
        None => {
            let cut = rate("sawing", own.cut, by_skill.cut, CUT_UNIT);
            let corner = rate("each sharp corner", own.corner, by_skill.corner, "min");
            let minutes = saw.length() * bench.thickness / (cut * factor);
            let turning = saw.corners as f64 * corner * bench.runs_each();
            guessed.push((minutes, CUT_FACTOR));
            guessed.push((turning, CORNER_FACTOR));
            (minutes, turning)
        }
    };
    let filing = openings * rate("filing each opening", own.filing, by_skill.filing, "min");
    let handling = rate("handling each piece", own.handling, by_skill.handling, "min");

    let counted = Spread::exact(own.filing.map_or(0.0, |_| filing) + own.handling.map_or(0.0, |_| handling));
    let not_counted = own.filing.map_or(filing, |_| 0.0) + own.handling.map_or(handling, |_| 0.0);
    let saw_minutes = typed + combined(&guessed);
    let whole = saw_minutes + counted + Spread::within(not_counted, HOLE_FACTOR);
    Time { drilling, sawing, corners, filing, handling, saw: saw_minutes, whole, rates }
}

/// The sum of parts that are each out by a factor of their own, independently, and of a day's mood.
fn combined(parts: &[(f64, f64)]) -> Spread {
    let sum: f64 = parts.iter().map(|(minutes, _)| minutes).sum();
    if sum <= 0.0 {
        return Spread::default();
    }
    let spread: f64 = parts
        .iter()
        .map(|(minutes, factor)| {
            let share = minutes / sum * libm::log(*factor);
            share * share
        })
        .sum();
    Spread::within(sum, libm::exp(libm::sqrt(spread + DAY * DAY)))
}

/// Blades spoil (break or go dull) once in so many mm2 of cut, in sterling, by a practised hand (estimate). Larger and
/// the maker runs out.
const CUT_PER_BLADE: f64 = 90.0;
/// A threading wears a blade like this many mm2 of cut: twisting and clamping break more than sawing (estimate).
const THREADING: f64 = 8.0;
/// How sure the figure is: as if two blades had been counted.
const COUNTED: f64 = 2.0;

/// Blades to have ready for `pieces` single pieces: mean, and the counts that one job in ten stays under and over
/// (spoilt blades as chance events whose rate is itself uncertain: negative binomial).
pub(super) fn blades(bench: &Measured, saw: &Sawing, pieces: u32) -> Spread {
    let runs = f64::from(pieces.max(1).div_ceil(bench.stack().min(pieces.max(1))));
    let cut = saw.length() * bench.thickness * f64::from(pieces.max(1)) / bench.job.sheet.metal.saw_factor;
    let wear = cut + THREADING * saw.threadings as f64 * runs;
    let hand = match bench.job.skill {
        Skill::First => 0.6,
        Skill::Practised => 1.0,
        Skill::FineWork => 1.2,
    };
    blades_for(wear, CUT_PER_BLADE * hand)
}

/// Blades for `wear` mm2 when one lasts `per_blade` mm2 on average.
pub fn blades_for(wear: f64, per_blade: f64) -> Spread {
    let scale = COUNTED * per_blade;
    let stay = scale / (scale + wear);
    let mut chance = libm::pow(stay, COUNTED);
    let mut sum = chance;
    let mut count = 0.0;
    let mut low = None;
    while sum < 0.9 && count < 1e7 {
        if low.is_none() && sum >= 0.1 {
            low = Some(count);
        }
        chance *= (count + COUNTED) / (count + 1.0) * (1.0 - stay);
        count += 1.0;
        sum += chance;
    }
    // One blade is in the frame, however short the line.
    let likely = (wear / per_blade).max(1.0);
    Spread { low: low.unwrap_or(count).clamp(1.0, likely), likely, high: count.max(likely.ceil()) }
}
