//! How the piece falls: its balance point, the line straight down from the hole, and how far to move the hole.

use super::measured::Measured;
use super::strips::rim_line;
use crate::checks::{BenchFinding, Check, Level, Quantity, Verdict};
use crate::geom::{Point, Vec2};

/// A tilt that shows when worn, degrees (estimate). Larger lets a crooked piece pass; smaller argues with the file.
const TILT: f64 = 2.0;
/// Holes this near to one height count as a pair of holes, mm.
const LEVEL: f64 = 0.5;

/// A hole something may hang from.
#[derive(Debug, Clone, PartialEq)]
pub struct TopHole {
    /// "H1", as on paper.
    pub label: String,
    /// The maker's name for it, else its label.
    pub name: String,
    /// Its middle, mm from the outline's middle.
    pub at: Point,
    /// mm.
    pub diameter: f64,
}

impl TopHole {
    /// Inside a sentence: "H1", "the bail hole".
    pub fn called(&self) -> String {
        match self.name.as_str() {
            label if label == self.label => label.to_string(),
            name => format!("the {name}"),
        }
    }
}

/// How the piece hangs.
#[derive(Debug, Clone, PartialEq)]
pub struct Hang {
    /// Balance point of plate, rim and back (a stone and its bezel left out), mm from the outline's middle.
    pub balance: Point,
    /// Hole it hangs from, if it has one.
    pub hole: Option<TopHole>,
    /// Sideways from the balance point to the hole, mm; the hole moves by minus this.
    pub aside: f64,
    /// Height of the hole over the balance point, mm.
    pub above: f64,
    /// Degrees it turns before it is at rest, anticlockwise positive.
    pub tilt: f64,
    /// Two holes at one height: it hangs from both, and lies straight while the balance point is between them.
    pub two: bool,
}

impl Hang {
    /// How far it tilts from that hole, and where to move it.
    pub(super) fn tilts(&self, hole: &TopHole) -> BenchFinding {
        BenchFinding::Tilts { from: hole.called(), tilt: self.tilt, aside: self.aside }
    }
}

/// The highest hole; `None` without holes.
pub(super) fn top_hole(bench: &Measured) -> Option<TopHole> {
    let holes = &bench.piece.outline.holes;
    let hole = holes.iter().reduce(|best, h| if h.at.y > best.at.y { h } else { best })?;
    let name = if hole.has_name() { hole.name.clone() } else { hole.label.clone() };
    Some(TopHole { label: hole.label.clone(), name, at: hole.at, diameter: hole.diameter.get() })
}

/// Balance point of everything soldered together: plate, rim and back. A stone and its bezel are left out: the stone's
/// weight is not known.
pub(super) fn balance(bench: &Measured) -> Point {
    let mut mass = bench.edge_area;
    let mut moment: Vec2 = bench.edge_balance.to_vec2() * bench.edge_area;
    let mut add = |area: f64, at: Point| {
        mass += area;
        moment += at.to_vec2() * area;
    };
    for opening in &bench.piece.openings {
        add(-opening.area, opening.centroid);
    }
    for cut_out in &bench.cut_outs {
        add(-cut_out.outer().area(), cut_out.outer().centroid());
        cut_out.holes().iter().for_each(|left| add(left.area().abs(), left.centroid()));
    }
    // Rim and back as so much sheet of the plate's thickness.
    if let (Some(rim), Some(line)) = (bench.job.construction.rim, rim_line(bench)) {
        let across = rim.thickness.get() * rim.height.get() / bench.thickness;
        for edge in line.edges() {
            // Arcs in short chords: their weight lies along the curve.
            let pieces = match edge {
                crate::geom::Edge::Line { .. } => 1,
                crate::geom::Edge::Arc { .. } => 32,
            };
            for k in 0..pieces {
                let middle = edge.point((f64::from(k) + 0.5) / f64::from(pieces));
                add(edge.length() / f64::from(pieces) * across, middle);
            }
        }
    }
    if let Some(back) = bench.job.construction.back {
        add(bench.base.area() * back.thickness.get() / bench.thickness, bench.base.centroid());
    }
    if mass > 0.0 {
        (moment / mass).to_point()
    } else {
        bench.edge_balance
    }
}

/// How the piece hangs, and what to say about it.
pub(super) fn hang(bench: &Measured) -> (Hang, Verdict) {
    let balance = balance(bench);
    let hole = top_hole(bench);
    let twin = hole.as_ref().and_then(|top| {
        bench.piece.outline.holes.iter().find(|h| {
            h.at != top.at && (h.at.y - top.at.y).abs() <= LEVEL && h.diameter.get() == top.diameter
        })
    });
    let bent = bench.piece.outline.seam.is_some();
    let (at, two) = match (&hole, twin) {
        (Some(top), Some(twin)) => (top.at.midpoint(twin.at), true),
        (Some(top), None) => (top.at, false),
        (None, _) => (balance, false),
    };
    let (aside, above) = (at.x - balance.x, at.y - balance.y);
    let tilt = if hole.is_some() { libm::atan2(aside, above).to_degrees() } else { 0.0 };
    let hang = Hang { balance, hole, aside, above, tilt, two };
    let verdict = if bent {
        verdict(Level::Unchecked, BenchFinding::BentRound)
    } else {
        say(&hang, twin.map(|h| h.at))
    };
    (hang, verdict)
}

fn verdict(level: Level, found: BenchFinding) -> Verdict {
    Verdict::new(Check::Hang, level, found)
}

fn say(hang: &Hang, twin: Option<Point>) -> Verdict {
    let balance = hang.balance;
    let Some(hole) = &hang.hole else {
        return verdict(Level::Good, BenchFinding::NoHangHole { balance });
    };
    let numbers = |told: Verdict, measured: f64, limit: f64| {
        told.numbers(Quantity::Length(measured), Quantity::Length(limit)).at(hole.at)
    };
    if let Some(twin) = twin {
        let between = (hole.at.x.min(twin.x)..=hole.at.x.max(twin.x)).contains(&balance.x);
        let told = match between {
            true => verdict(Level::Good, BenchFinding::HangsBetween),
            false => verdict(Level::Caution, BenchFinding::HangsOutside { balance }),
        };
        return numbers(told, hang.aside.abs(), (hole.at.x - twin.x).abs() / 2.0);
    }
    let from = hole.called();
    if hang.above <= 0.0 {
        let told = verdict(Level::Caution, BenchFinding::TurnsOver { from, balance });
        return numbers(told, hang.above, 0.0);
    }
    let limit = hang.above * libm::tan(TILT.to_radians());
    let told = if hang.aside.abs() > limit + crate::units::JUST_PASSED {
        verdict(Level::Caution, hang.tilts(hole))
    } else {
        verdict(Level::Good, BenchFinding::HangsStraight { from })
    };
    numbers(told, hang.aside.abs(), limit)
}
