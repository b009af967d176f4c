//! Which of several placements of the pattern looks best: whole openings in the middle, and an even row along the edge.

use super::{Opening, Piece};

/// Less than this between two evennesses (1 at best) is rounding, not looks.
const SAME: f64 = 1e-3;

/// How good a placement is.
pub(super) enum Score {
    /// Most whole openings, then fewest left solid, then the widest narrowest opening.
    Whole { whole: usize, solid: usize, narrowest: f64 },
    /// How even the edge row is, and how wide its narrowest opening beside the narrowest whole one.
    Even { even: f64, thinnest: f64 },
}

impl Score {
    /// Of openings and the count of repeats left solid; `ease`: by the edge row.
    pub(super) fn of(openings: &[Opening], solid: usize, ease: bool) -> Score {
        if ease {
            let row = EdgeRow::of(openings, solid);
            return Score::Even { even: row.even(), thinnest: row.thinnest };
        }
        Score::Whole {
            whole: openings.iter().filter(|o| !o.trimmed).count(),
            solid,
            narrowest: narrowest(openings.iter()),
        }
    }

    /// Nothing can beat it: every edge opening is as wide as a whole one and none is left solid.
    pub(super) fn is_perfect(&self) -> bool {
        matches!(self, Score::Even { even, .. } if *even >= 1.0 - SAME)
    }

    /// What beats this has no trimmed opening as narrow as this share of its narrowest whole one: no row is evener than its
    /// thinnest opening. Lower than [`Score::beats`] asks, so that rounding cannot tell; 0 where trimmed openings do not.
    pub(super) fn least_trimmed(&self) -> f64 {
        match self {
            Score::Even { even, thinnest } => (thinnest - 2.0 * SAME).max(*even).max(0.0),
            Score::Whole { .. } => 0.0,
        }
    }

    /// An edge row beats another only if it has no thinner openings: fewer repeats left solid do not make up for slivers.
    pub(super) fn beats(&self, other: &Score) -> bool {
        match (self, other) {
            (Score::Even { even, thinnest }, Score::Even { even: e, thinnest: t }) => {
                *even > e + SAME && *thinnest > t - SAME
            }
            (Score::Whole { whole, solid, narrowest }, Score::Whole { whole: w, solid: s, narrowest: n }) => {
                (whole, s, *narrowest) > (w, solid, n + 1e-6)
            }
            _ => false,
        }
    }
}

fn narrowest<'a>(openings: impl Iterator<Item = &'a Opening>) -> f64 {
    openings.map(|o| o.widest.get()).fold(f64::INFINITY, f64::min)
}

/// The row along the edge, measured against the whole openings.
struct EdgeRow {
    /// The narrowest trimmed opening beside the narrowest whole one, 1 at most.
    thinnest: f64,
    /// The largest whole opening beside the largest trimmed one (joined cells may be larger), 1 at most.
    largest: f64,
    /// Repeats left solid among those that are not whole.
    solid: f64,
}

impl EdgeRow {
    fn of(openings: &[Opening], solid: usize) -> EdgeRow {
        let (trimmed, whole): (Vec<&Opening>, Vec<&Opening>) = openings.iter().partition(|o| o.trimmed);
        let wide = narrowest(whole.iter().copied());
        let area = |list: &[&Opening]| list.iter().map(|o| o.area).fold(0.0, f64::max);
        let (none, edge) = (whole.is_empty(), area(&trimmed));
        EdgeRow {
            thinnest: if none { 0.0 } else { (narrowest(trimmed.iter().copied()) / wide).min(1.0) },
            largest: if none || edge <= 0.0 { 1.0 } else { (area(&whole) / edge).min(1.0) },
            solid: solid as f64 / (trimmed.len() + solid).max(1) as f64,
        }
    }

    /// 1 at best. A joined opening that is larger than any whole one stands out as much as one that is thinner.
    fn even(&self) -> f64 {
        self.thinnest * self.largest - self.solid
    }
}

impl Piece {
    /// How even the edge row looks, 1 at best; a piece with nothing trimmed or left solid is even.
    pub fn evenness(&self) -> f64 {
        EdgeRow::of(&self.openings, self.left_solid.len()).even()
    }
}
