//! Bridges, and the graph of all of them.

use crate::geom::{ClosestPoints, Point, Vec2};
use crate::units::Mm;
use std::fmt;

/// Which edge a bridge runs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Opening by its number.
    Opening(usize),
    /// The outer edge (0 in JSON).
    Edge,
    /// Window by its place from 1 ("W1").
    Window(usize),
    /// Hole by its place from 1 ("H1").
    Hole(usize),
}

/// Bits of a packed side that hold its number: a thousand million openings.
const NUMBER_BITS: u32 = 30;

impl Side {
    /// The kind in the highest bits, then the number; in the order of sides.
    fn packed(self) -> u32 {
        let (kind, n) = match self {
            Side::Opening(n) => (0, n),
            Side::Edge => (1, 0),
            Side::Window(w) => (2, w),
            Side::Hole(h) => (3, h),
        };
        (kind << NUMBER_BITS) | n as u32
    }

    fn unpacked(packed: u32) -> Self {
        let n = (packed & ((1 << NUMBER_BITS) - 1)) as usize;
        match packed >> NUMBER_BITS {
            0 => Side::Opening(n),
            1 => Side::Edge,
            2 => Side::Window(n),
            _ => Side::Hole(n),
        }
    }

    /// As short as a table wants it: "12", "the edge", "W1", "H1".
    pub fn short(self) -> String {
        match self {
            Side::Opening(n) => n.to_string(),
            Side::Edge => "the edge".to_string(),
            other => other.to_string(),
        }
    }
}

impl fmt::Display for Side {
    /// As said on the bench: "opening 12", "the outer edge", "W1", "H1".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Side::Opening(n) => write!(f, "opening {n}"),
            Side::Edge => write!(f, "the outer edge"),
            Side::Window(w) => write!(f, "W{w}"),
            Side::Hole(h) => write!(f, "H{h}"),
        }
    }
}

/// Metal between two edges at its narrowest: the least distance, with its two witness points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bridge {
    /// What it runs between.
    pub between: [Side; 2],
    /// As drawn.
    pub width: Mm,
    /// After clean-up on each sawn side.
    pub finished: Mm,
    /// Witness points, one on each edge.
    pub at: [Point; 2],
}

impl Bridge {
    /// Halfway between the two edges.
    pub fn midpoint(&self) -> Point {
        self.at[0].midpoint(self.at[1])
    }

    /// The openings at its ends, by their numbers.
    pub fn openings(&self) -> impl Iterator<Item = usize> + '_ {
        self.between.iter().filter_map(|side| match side {
            Side::Opening(n) => Some(*n),
            _ => None,
        })
    }

    /// Both ends are openings.
    pub fn is_between_openings(&self) -> bool {
        matches!(self.between, [Side::Opening(_), Side::Opening(_)])
    }
}

/// All bridges of a piece, thinnest finished first. Those that differ only in place share what was measured: three million
/// of them take twelve bytes each.
#[derive(Debug, Clone, Default)]
pub struct BridgeGraph {
    bridges: Vec<Kept>,
    measures: Vec<Measures>,
    /// The measures that bridges have, in the order of the first of each.
    kinds: Vec<u32>,
    /// Start hole of every opening, in order of number.
    drilled: Vec<Point>,
}

/// A bridge as it is kept: its sides packed, and its place among the measures.
#[derive(Debug, Clone, Copy)]
struct Kept {
    between: [u32; 2],
    measures: u32,
}

/// What was measured, of one bridge or of many that are alike.
#[derive(Debug, Clone, Copy)]
struct Measures {
    gap: ClosestPoints,
    finished: f64,
    /// Its points are seen from the start hole of the first of the two openings; else they lie where they are.
    alike: bool,
    /// How many bridges have these measures, and the place of the first of them.
    times: u32,
    first: u32,
}

/// Two bridges of the same sides whose widths differ by less, mm, are one.
const SAME_WIDTH: f64 = 1e-6;

impl BridgeGraph {
    /// None yet, between openings drilled at these points, in order of number.
    pub(super) fn new(drilled: Vec<Point>) -> Self {
        Self {
            bridges: Vec::with_capacity(3 * drilled.len()),
            measures: Vec::new(),
            kinds: Vec::new(),
            drilled,
        }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.bridges.len()
    }

    /// There are none.
    pub fn is_empty(&self) -> bool {
        self.bridges.is_empty()
    }

    /// Each in turn, thinnest finished first.
    pub fn bridges(&self) -> impl ExactSizeIterator<Item = Bridge> + DoubleEndedIterator + Clone + '_ {
        self.bridges.iter().map(|kept| self.bridge(kept))
    }

    /// Those that differ only in place told once: the first of them, and how many there are. Thinnest finished first.
    pub fn kinds(&self) -> impl Iterator<Item = (Bridge, usize)> + Clone + '_ {
        self.kinds.iter().map(|kind| {
            let Measures { times, first, .. } = self.measures[*kind as usize];
            (self.bridge(&self.bridges[first as usize]), times as usize)
        })
    }

    fn bridge(&self, kept: &Kept) -> Bridge {
        let Measures { gap, finished, alike, .. } = self.measures[kept.measures as usize];
        let from = match Side::unpacked(kept.between[0]) {
            Side::Opening(n) if alike => self.drilled[n - 1].to_vec2(),
            _ => Vec2::ZERO,
        };
        let [a, b] = kept.between;
        Bridge {
            between: [Side::unpacked(a), Side::unpacked(b)],
            width: Mm(gap.distance),
            finished: Mm(finished),
            at: gap.translated(from).at,
        }
    }

    /// Adds one as measured.
    pub(super) fn add(&mut self, between: [Side; 2], gap: ClosestPoints, finished: f64) {
        let measures = self.measured(gap, finished, false);
        self.bridges.push(Kept { between: between.map(Side::packed), measures });
    }

    /// Keeps the measures of bridges that are alike, seen from the first opening's start hole.
    pub(super) fn share(&mut self, gap: ClosestPoints, finished: f64) -> u32 {
        self.measured(gap, finished, true)
    }

    /// Adds those of one opening to others by the places of their measures.
    pub(super) fn add_alike(&mut self, opening: usize, others: impl Iterator<Item = (usize, u32)>) {
        let first = Side::Opening(opening).packed();
        let from = self.bridges.len();
        let kept = |(other, measures)| Kept { between: [first, Side::Opening(other).packed()], measures };
        self.bridges.extend(others.map(kept));
        // What comes nearly in order is sorted quickly.
        self.bridges[from..].sort_unstable_by_key(|kept| kept.between[1]);
    }

    fn measured(&mut self, gap: ClosestPoints, finished: f64, alike: bool) -> u32 {
        self.measures.push(Measures { gap, finished, alike, times: 0, first: 0 });
        self.measures.len() as u32 - 1
    }

    /// Puts them in order, each once.
    pub(super) fn settled(mut self) -> Self {
        let rounded = |m: &Measures| (m.finished * 1e6).round() as i64;
        let finished: Vec<i64> = self.measures.iter().map(rounded).collect();
        self.bridges.sort_by_key(|kept| (finished[kept.measures as usize], kept.between));
        // Two openings that are each other's nearest would name their bridge twice.
        let width = |kept: &Kept| self.measures[kept.measures as usize].gap.distance;
        self.bridges.dedup_by(|a, b| a.between == b.between && (width(a) - width(b)).abs() < SAME_WIDTH);
        for (place, kept) in (0..).zip(&self.bridges) {
            let measures = &mut self.measures[kept.measures as usize];
            if measures.times == 0 {
                measures.first = place;
                self.kinds.push(kept.measures);
            }
            measures.times += 1;
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The order of packed sides is the order of sides.
    #[test]
    fn a_side_is_packed_and_unpacked() {
        let sides = [
            Side::Opening(1),
            Side::Opening(1_000_000),
            Side::Edge,
            Side::Window(1),
            Side::Window(400),
            Side::Hole(3),
        ];
        for two in sides.windows(2) {
            assert_eq!(Side::unpacked(two[0].packed()), two[0]);
            assert!(two[0].packed() < two[1].packed() && two[0] < two[1], "{two:?}");
        }
    }
}
