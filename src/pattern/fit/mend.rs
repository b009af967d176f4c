//! The worst cells dropped, or others taken beside them, in a few counted tries.

use super::bend::{bend, glance, Fit};
use super::judge::CellShape;
use super::keep::{orbits, KeepSet};
use super::loops::tidy;
use super::place::{FitRequest, Try};

/// Rounds of mending, and the worst cells tried in each; and while the piece is not good.
const MENDS: (usize, usize) = (3, 12);
const WORST: (usize, usize) = (3, 5);
/// The least a mend must better the score by.
const BETTER: f64 = 0.01;

/// Tries to drop the worst border cells, or to take or drop a neighbour of theirs, with all images. `looks`: kept sets that may
/// be looked at, and those of them that are for a piece that is not good.
pub(super) fn mend(
    ask: &FitRequest,
    t: &mut Try,
    fit: &mut Fit,
    own: &[CellShape],
    (looks, spare): (&mut usize, &mut usize),
) {
    let orbits = orbits(&t.group, t.mesh.tiles.len());
    let mut orbit_of = vec![0; t.mesh.tiles.len()];
    orbits.iter().enumerate().for_each(|(k, o)| o.iter().for_each(|&tile| orbit_of[tile] = k));
    for round in 0..MENDS.1 {
        let good = fit.is_good(ask);
        if good && round >= MENDS.0 {
            break;
        }
        let before = t.kept.clone();
        let Some(now) = glance(ask, t, own) else { return };
        let mut best: Option<(f64, Vec<bool>)> = None;
        for orbit in suspects(t, fit, &orbit_of, if good { WORST.0 } else { WORST.1 }) {
            let left = if *looks > 0 || good { &mut *looks } else { &mut *spare };
            if *left == 0 || ask.budget.is_spent() {
                break;
            }
            t.kept.clone_from(&before);
            orbits[orbit].iter().for_each(|&tile| t.kept[tile] ^= true);
            let mut set = KeepSet::of(&t.mesh, &t.placed, &t.feet, t.kept.clone());
            tidy(&mut set, &t.mesh);
            if set.kept != t.kept {
                continue;
            }
            *left -= 1;
            let Some(next) = glance(ask, t, own) else { continue };
            if next.judged.score < best.as_ref().map_or(now.judged.score - BETTER, |b| b.0) {
                best = Some((next.judged.score, t.kept.clone()));
            }
        }
        t.kept.clone_from(&before);
        let Some((_, kept)) = best else { break };
        t.kept = kept;
        match bend(ask, t, own) {
            Some(next) if next.judged.score < fit.judged.score - BETTER => *fit = next,
            _ => {
                t.kept = before;
                break;
            }
        }
    }
}

/// The orbits of the worst cells and of their neighbours.
fn suspects(t: &Try, fit: &Fit, orbit_of: &[usize], most: usize) -> Vec<usize> {
    let mut worst: Vec<usize> = (0..fit.faces.len()).collect();
    worst.sort_by(|&a, &b| fit.judged.costs[b].total_cmp(&fit.judged.costs[a]).then(a.cmp(&b)));
    let (mut seen, mut suspects) = (Vec::new(), Vec::new());
    for tile in worst.into_iter().map(|i| fit.faces[i].tile) {
        if seen.contains(&orbit_of[tile]) {
            continue;
        }
        seen.push(orbit_of[tile]);
        if seen.len() > most {
            break;
        }
        for near in [tile].into_iter().chain(t.mesh.tiles[tile].beside.iter().copied().flatten()) {
            if !suspects.contains(&orbit_of[near]) {
                suspects.push(orbit_of[near]);
            }
        }
    }
    suspects
}
