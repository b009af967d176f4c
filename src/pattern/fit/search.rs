//! Few places for the pattern are tried, and the best looking one is taken.

use super::bend::{bend, exact, glance, Fit};
use super::cut::cut;
use super::judge::{CellShape, NEAR};
use super::mend::mend;
use super::place::{places, tries, FitRequest, Symmetric, Try};
use super::straight::straight;
use super::symmetry::of_field;
use super::{Effort, SUITS};

/// Places that are looked at after all have been weighed, those while none of them is near to good, and those that are
/// bent; and those, in cells of all of them, that are bent at most.
const LOOKED_AT: usize = 5;
const LOOKED_AT_MOST: usize = 16;
const BENT: usize = 3;
const BENT_CELLS: f64 = 2400.0;
/// Places that are looked at for a first good one: so many, and of so many cells in all; and in cells of all of them those that are
/// bent when none was good at a glance.
const GLANCED_AT: f64 = 10.0;
const GLANCED_CELLS: f64 = 1200.0;
const FIRST_BENT_CELLS: f64 = 450.0;
/// A score at a glance that bending may still make good.
const WITHIN_REACH: f64 = 1.6;
/// With more cells than this places are bent one after another until one is good, and none is mended: one row among many is hardly
/// seen.
const MANY: f64 = 1500.0;
/// Kept sets that are looked at in all while mending: a counted budget, so that the same job costs and gives the same. So
/// many for any piece, and so many cells more for one that is not good.
const LOOKS: usize = 24;
const SPARE_CELLS: f64 = 6000.0;
const SPARE: f64 = 80.0;
/// Places that are weighed have so many cells in all at most, for of many cells one row is hardly seen; and at first, of more cells
/// than [`SMALL`].
const WEIGHED: f64 = 6000.0;
const WEIGHED_FEW: f64 = 3000.0;
/// A score that needs no mending, in a piece of [`SMALL`] cells at most, and in larger ones, where one cell is less seen; and kept sets
/// that are looked at in those, in cells of all of them.
const FINE: f64 = 0.45;
const FINE_LARGE: f64 = 0.7;
const SMALL: f64 = 150.0;
const LOOKED_CELLS: f64 = 2000.0;

/// What fits are sought.
#[derive(Clone, Copy)]
pub(super) enum Sought {
    /// Right-angled cells cut by a rectangle's sides.
    Straight,
    /// Cells cut at the border, small ones grown together with a neighbour.
    Cut(Effort),
    /// Bent cells.
    Bent(Effort),
    /// Bent cells that keep less of the symmetry of outline and pattern than others may.
    Less(Effort),
}

impl Sought {
    /// The same at first effort.
    pub(super) fn first(self) -> Sought {
        match self {
            Sought::Straight => Sought::Straight,
            Sought::Cut(_) => Sought::Cut(Effort::First),
            Sought::Bent(_) => Sought::Bent(Effort::First),
            Sought::Less(_) => Sought::Less(Effort::First),
        }
    }
}

/// The best fits, best looking first; or the first that is good, if there is one.
pub(super) fn search(ask: &FitRequest, sought: Sought) -> Vec<Fit> {
    let own: Vec<CellShape> = ask.kinds.iter().map(|k| CellShape::at(k, ask.bridge / 2.0, NEAR)).collect();
    if own.iter().any(|l| l.radius <= 0.0) {
        return Vec::new();
    }
    match sought {
        Sought::Cut(effort) => cut(ask, &own, effort),
        Sought::Straight => straight(ask, &own).into_iter().filter(|fit| fit.is_good(ask)).collect(),
        Sought::Bent(Effort::First) => first(ask, &own, Symmetric::Most),
        Sought::Bent(Effort::Best) => best(ask, &own, Symmetric::Most),
        Sought::Less(Effort::First) => first(ask, &own, Symmetric::Less),
        Sought::Less(Effort::Best) => best(ask, &own, Symmetric::Less),
    }
}

/// The first place, in the order they are listed, that looks good after a glance; else the few that looked best then, bent.
fn first(ask: &FitRequest, own: &[CellShape], symmetric: Symmetric) -> Vec<Fit> {
    let kept = of_field(ask.field, ask.middle);
    let mut seen = Vec::new();
    let most = (GLANCED_CELLS / ask.cells()).clamp(2.0, GLANCED_AT) as usize;
    for t in places(ask, &kept, symmetric).into_iter().take(most).filter_map(|place| Try::at(ask, place)) {
        let Some(fit) = glance(ask, &t, own) else { continue };
        if fit.is_good(ask) {
            return vec![Fit { group: exact(t.group), ..fit }];
        }
        seen.push((fit.judged.score, t));
    }
    seen.retain(|(score, _)| *score <= WITHIN_REACH);
    bent(ask, seen, own, FIRST_BENT_CELLS)
        .into_iter()
        .map(|(t, fit)| Fit { group: exact(t.group), ..fit })
        .collect()
}

/// The best looking; of pieces of more than [`SMALL`] cells with all places weighed and all sets looked at only where few give nothing
/// good.
fn best(ask: &FitRequest, own: &[CellShape], symmetric: Symmetric) -> Vec<Fit> {
    let cells = ask.cells();
    if cells > SMALL && cells <= MANY {
        let fits = best_of(ask, own, symmetric, (WEIGHED_FEW, (LOOKED_CELLS / cells) as usize));
        if ask.budget.is_spent() || fits.iter().any(|fit| fit.is_good(ask)) {
            return fits;
        }
    }
    best_of(ask, own, symmetric, (WEIGHED, LOOKS))
}

/// `weighed`: places, in cells of all of them; `looks`: sets that are looked at while mending.
fn best_of(
    ask: &FitRequest,
    own: &[CellShape],
    symmetric: Symmetric,
    (weighed, mut looks): (f64, usize),
) -> Vec<Fit> {
    let cells = ask.cells();
    let mut fits: Vec<(Try, Fit)> = Vec::new();
    if cells > MANY {
        let kept = of_field(ask.field, ask.middle);
        let laid = places(ask, &kept, symmetric).into_iter().filter_map(|place| Try::at(ask, place));
        for t in laid.take(BENT) {
            fits.extend(bend(ask, &t, own).map(|fit| (t, fit)));
            if fits.iter().any(|(_, fit)| fit.is_good(ask)) || ask.budget.is_spent() && !fits.is_empty() {
                break;
            }
        }
    } else {
        let mut tries = tries(ask, symmetric, weighed).into_iter();
        let mut seen: Vec<(f64, Try)> = Vec::new();
        for most in [LOOKED_AT, LOOKED_AT_MOST] {
            if seen.iter().any(|(score, _)| *score <= SUITS) || ask.budget.is_spent() && !seen.is_empty() {
                break;
            }
            let more = tries.by_ref().take(most - seen.len().min(most));
            seen.extend(more.filter_map(|t| glance(ask, &t, own).map(|fit| (fit.judged.score, t))));
        }
        fits = bent(ask, seen, own, BENT_CELLS);
        let fine = if cells <= SMALL { FINE } else { FINE_LARGE };
        let mut spare = (SPARE_CELLS / cells).min(SPARE) as usize;
        for (t, fit) in &mut fits {
            if ask.budget.is_spent() {
                break;
            }
            if fit.judged.score > fine || !fit.is_good(ask) {
                mend(ask, t, fit, own, (&mut looks, &mut spare));
            }
            if fit.is_good(ask) {
                break;
            }
        }
    }
    sort(ask, &mut fits);
    fits.into_iter().map(|(t, fit)| Fit { group: exact(t.group), ..fit }).collect()
}

/// Those that looked best, bent, the best looking first: of so many cells in all; of large pieces until one is good.
fn bent<'a>(
    ask: &FitRequest,
    mut seen: Vec<(f64, Try<'a>)>,
    own: &[CellShape],
    cells: f64,
) -> Vec<(Try<'a>, Fit)> {
    seen.sort_by(|a, b| a.0.total_cmp(&b.0));
    let most = ((cells / ask.cells()) as usize).clamp(1, BENT);
    let mut fits: Vec<(Try, Fit)> = Vec::new();
    for (_, t) in seen.into_iter().take(most) {
        if ask.budget.is_spent() && !fits.is_empty() {
            break;
        }
        fits.extend(bend(ask, &t, own).map(|fit| (t, fit)));
        if ask.cells() > SMALL && fits.iter().any(|(_, fit)| fit.is_good(ask)) {
            break;
        }
    }
    sort(ask, &mut fits);
    fits
}

/// The good ones first, and then by their looks.
fn sort(ask: &FitRequest, fits: &mut [(Try, Fit)]) {
    fits.sort_by(|(_, a), (_, b)| {
        b.is_good(ask).cmp(&a.is_good(ask)).then(a.judged.score.total_cmp(&b.judged.score))
    });
}

#[cfg(test)]
#[path = "tests.rs"]
mod tests;
