//! Jump rings: wire to cut, and whether they go through the hole they hang from and round its wall.

use super::hang::{top_hole, TopHole};
use super::measured::Measured;
use super::part::{Part, PartName};
use crate::checks::{BenchFinding, Check, Level, Quantity, Verdict};
use crate::job::JumpRing;
use crate::trade::fits;
use crate::units::plain;

/// Wire needs so much more than itself of a hole to be threaded through it, mm (estimate).
const THROUGH: f64 = 0.1;
/// Inside over wire under which a ring is stiff to open and tight on a bail (common practice).
const STIFF: f64 = 3.0;

/// How one ring goes into its hole. Lengths mm.
#[derive(Debug, Clone, PartialEq)]
pub struct RingFit {
    /// Thickness of the wire.
    pub wire: f64,
    /// Inside diameter.
    pub inside: f64,
    /// The hole it is to go through.
    pub hole: TopHole,
    /// Metal between the hole and the outer edge.
    pub wall: f64,
    /// What the ring has to hold: wall, sheet and play.
    pub need: f64,
}

impl RingFit {
    fn goes_through(&self) -> bool {
        self.wire + THROUGH <= self.hole.diameter + 1e-9
    }

    fn goes_round(&self) -> bool {
        self.inside + 1e-9 >= self.need
    }

    /// Whether it goes through the hole and closes round the wall.
    pub fn fits(&self) -> bool {
        self.goes_through() && self.goes_round()
    }
}

/// Each kind of ring of the job in the highest hole; `None` without a hole.
pub fn ring_fits(bench: &Measured) -> Option<Vec<RingFit>> {
    let hole = top_hole(bench)?;
    let outline = &bench.piece.outline;
    let edge = outline.found.as_ref().unwrap_or(&outline.edge);
    let wall = edge.signed_distance(hole.at) - hole.diameter / 2.0;
    let need = wall + bench.thickness + fits::RING_PLAY;
    let fit = |ring: &JumpRing| RingFit {
        wire: ring.wire.get(),
        inside: ring.inside.get(),
        hole: hole.clone(),
        wall,
        need,
    };
    Some(bench.job.construction.jump_rings.iter().map(fit).collect())
}

pub(super) fn jump_rings(bench: &Measured) -> Vec<Part> {
    let known = ring_fits(bench).unwrap_or_default();
    let rings = bench.job.construction.jump_rings.iter().enumerate();
    rings.map(|(i, ring)| part(bench, ring, known.get(i))).collect()
}

fn part(bench: &Measured, ring: &JumpRing, fit: Option<&RingFit>) -> Part {
    let (wire, inside) = (ring.wire.get(), ring.inside.get());
    let length = fits::ring_cut(wire, inside);
    let ratio = inside / wire;
    let sum = format!(
        "π × ({} + {}) = {} of wire each; inside / wire = {}",
        bench.number(inside),
        bench.number(wire),
        bench.number(length),
        plain(ratio, 2)
    );
    let source = "length at the middle of the wire; inside over wire: common practice";
    let mut part = Part::new(PartName::JumpRing, ring.count, sum, source)
        .size("length_mm", "wire for each", length)
        .size("wire_mm", "wire", wire)
        .size("inside_mm", "inside", inside)
        .size("inside_over_wire", "inside / wire", ratio);
    if ratio < STIFF {
        part = part.note("inside / wire under 3: stiff to open and close, and tight on a bail");
    }
    match fit {
        Some(fit) => part.note(says(bench, fit)),
        None => part,
    }
}

/// What is amiss with a ring, if anything.
fn amiss(fit: &RingFit) -> Option<BenchFinding> {
    let hole = fit.hole.called();
    match (fit.goes_through(), fit.goes_round()) {
        (false, _) => Some(BenchFinding::RingTooThick { wire: fit.wire, hole, across: fit.hole.diameter }),
        (true, false) => {
            Some(BenchFinding::RingTooSmall { inside: fit.inside, hole, wall: fit.wall, need: fit.need })
        }
        (true, true) => None,
    }
}

fn says(bench: &Measured, fit: &RingFit) -> String {
    match amiss(fit) {
        Some(found) => Verdict::new(Check::RingFit, Level::Caution, found).says(bench.job.units),
        None => format!(
            "fits {}: wall {} + sheet {} + play {} = {}",
            fit.hole.called(),
            bench.number(fit.wall),
            bench.number(bench.thickness),
            bench.number(fits::RING_PLAY),
            bench.mm(fit.need)
        ),
    }
}

/// Rings that do not go in.
pub(super) fn verdict(bench: &Measured) -> Verdict {
    let told = |level, found| Verdict::new(Check::RingFit, level, found);
    if bench.job.construction.jump_rings.is_empty() {
        return told(Level::Good, BenchFinding::NoRings);
    }
    let Some(fits) = ring_fits(bench) else { return told(Level::Unchecked, BenchFinding::NoHoleForRings) };
    let wrong: Vec<(&RingFit, BenchFinding)> = fits.iter().filter_map(|f| Some((f, amiss(f)?))).collect();
    let places = wrong.len();
    match (wrong.into_iter().next(), fits.first()) {
        (Some((worst, found)), _) => {
            let (measured, limit) = match worst.goes_through() {
                false => (worst.hole.diameter, worst.wire + THROUGH),
                true => (worst.inside, worst.need),
            };
            let (measured, limit) = (Quantity::Length(measured), Quantity::Length(limit));
            told(Level::Caution, found).count(places).numbers(measured, limit).at(worst.hole.at)
        }
        (None, Some(f)) => {
            let (wire, inside, hole) = (f.wire, f.inside, f.hole.called());
            told(Level::Good, BenchFinding::RingsFit { wire, inside, hole })
        }
        (None, None) => told(Level::Good, BenchFinding::NoRings),
    }
}
