//! Jump rings: wire to cut, and whether they go through the hole they hang from and round its wall.

use super::bench::Bench;
use super::hang::{top_hole, TopHole};
use super::parts::Part;
use crate::checks::{length, Check, Level, Quantity, Verdict};
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
    pub wire: f64,
    pub inside: f64,
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

    pub fn fits(&self) -> bool {
        self.goes_through() && self.goes_round()
    }
}

/// Each kind of ring of the job in the highest hole; `None` without a hole.
pub fn ring_fits(bench: &Bench) -> Option<Vec<RingFit>> {
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

pub(super) fn jump_rings(bench: &Bench) -> Vec<Part> {
    let known = ring_fits(bench).unwrap_or_default();
    let rings = bench.job.construction.jump_rings.iter().enumerate();
    rings.map(|(i, ring)| part(bench, ring, known.get(i))).collect()
}

fn part(bench: &Bench, ring: &JumpRing, fit: Option<&RingFit>) -> Part {
    let (wire, inside) = (ring.wire.get(), ring.inside.get());
    let length = fits::ring_cut(wire, inside);
    let ratio = inside / wire;
    let sum = format!(
        "π × ({} + {}) = {} of wire each; inside / wire = {}",
        plain(inside, 2),
        plain(wire, 2),
        plain(length, 2),
        plain(ratio, 2)
    );
    let source = "length at the middle of the wire; inside over wire: common practice";
    let mut part = Part::new("jump ring", ring.count, sum, source)
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

fn says(bench: &Bench, fit: &RingFit) -> String {
    let name = &fit.hole.name;
    let mm = |value: f64| length(value, 2, bench.job.units);
    match (fit.goes_through(), fit.goes_round()) {
        (false, _) => format!(
            "a ring of {} wire does not go through {name}: the hole is {}",
            mm(fit.wire),
            mm(fit.hole.diameter)
        ),
        (true, false) => format!(
            "a ring {} inside does not go round at {name}: the wall of {}, the sheet and {} of play need {}",
            mm(fit.inside),
            mm(fit.wall),
            mm(fits::RING_PLAY),
            mm(fit.need)
        ),
        (true, true) => format!(
            "fits {name}: wall {} + sheet {} + play {} = {} mm",
            plain(fit.wall, 2),
            plain(bench.thickness, 2),
            plain(fits::RING_PLAY, 2),
            plain(fit.need, 2)
        ),
    }
}

/// Rings that do not go in.
pub(super) fn verdict(bench: &Bench) -> Verdict {
    let because = "wire and wall against the hole, play 0.3 mm: estimate";
    let told = |level, says: String| Verdict::told(Check::RingFit, level, says, because);
    if bench.job.construction.jump_rings.is_empty() {
        return told(Level::Good, "no jump rings are asked for".into());
    }
    let Some(fits) = ring_fits(bench) else {
        return told(Level::Unchecked, "there is no hole the rings could hang from".into());
    };
    let wrong: Vec<&RingFit> = fits.iter().filter(|f| !f.fits()).collect();
    let Some(worst) = wrong.first() else {
        return told(Level::Good, "every jump ring goes through its hole and round its wall".into());
    };
    let verdict = told(Level::Caution, says(bench, worst)).count(wrong.len()).at(worst.hole.at);
    match worst.goes_through() {
        false => {
            verdict.numbers(Quantity::Length(worst.hole.diameter), Quantity::Length(worst.wire + THROUGH))
        }
        true => verdict.numbers(Quantity::Length(worst.inside), Quantity::Length(worst.need)),
    }
}
