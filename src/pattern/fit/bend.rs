//! A kept set bent onto its field, and judged.

use super::budget::IN_FULL;
use super::faces::{faces, Face};
use super::judge::{judge, CellShape, Demands, Judged, GLANCED, NEAR};
use super::keep::KeepSet;
use super::likeness::{distortion, shape_weight};
use super::loops::loops;
use super::place::{FitRequest, Try};
use super::relax::{Bent, Relaxation};
use super::seats::Seats;
use super::symmetry::Symmetry;
use super::SUITS;
use crate::geom::{Isometry, Vec2};

/// Seats compared cost as much as bending a vertex (measured).
const COMPARED: usize = 400;
/// How often the cells' shares of the area are weighed anew by how wide they came out, and how often at most while the
/// piece is not good; how strongly, and how far.
const REWEIGHED: usize = 2;
const REWEIGHED_MOST: usize = 4;
const REWEIGH: f64 = -0.8;
const SHARES: (f64, f64) = (0.6, 2.2);
/// Cells narrower than this many times what the drill wants get still more of the area.
const LACKING: f64 = 1.03;
/// A symmetry of the field is exact when no point of its lines comes to lie farther off than this, mm: images of its openings
/// then keep the border's width.
pub(super) const EXACT: f64 = 1e-5;

/// A pattern bent onto its field.
#[derive(Debug, Clone)]
pub(super) struct Fit {
    pub faces: Vec<Face>,
    pub judged: Judged,
    pub start: usize,
    pub origin: Vec2,
    pub order: usize,
    /// The exact symmetries, each with the image of every tile.
    pub group: Vec<(Isometry, Vec<usize>)>,
    /// Where the border cuts cells in place of bending them: how many were grown together with a neighbour.
    pub joined: Option<usize>,
}

impl Fit {
    /// Whether it may be shown as it is.
    pub(super) fn is_good(&self, ask: &FitRequest) -> bool {
        let narrowest = self.judged.looks.iter().map(|l| 2.0 * l.radius).fold(f64::INFINITY, f64::min);
        self.judged.score <= SUITS && self.judged.crossed + self.judged.parted == 0 && narrowest >= ask.least
    }
}

/// The symmetries that are exact, each with the image of every tile.
pub(super) fn exact(group: Vec<Symmetry>) -> Vec<(Isometry, Vec<usize>)> {
    if group.iter().any(|g| g.kept.off > EXACT) {
        return Vec::new();
    }
    group.into_iter().map(|g| (g.kept.by, g.tiles)).collect()
}

/// A kept set with its vertices on the border, at rest, for what is to be done with it; `None` where its edge has no line.
fn seated(ask: &FitRequest, t: &Try, then: impl FnOnce(&KeepSet, &Relaxation, &Bent) -> Fit) -> Option<Fit> {
    let set = KeepSet::of(&t.mesh, &t.placed, &t.feet, t.kept.clone());
    let lines = loops(&set, &t.mesh, ask.field, &t.feet)?;
    let seats = Seats::find(&t.mesh, &t.placed, ask.field, &set, &t.feet, &lines, &t.group);
    ask.budget.spend_more(seats.compared / COMPARED);
    let relaxation = Relaxation::new(&t.mesh, &t.placed, ask.field, &set, &lines, &t.group);
    Some(then(&set, &relaxation, &Bent { at: t.mesh.rest.clone(), seats }))
}

/// Bends a kept set onto the field nearly, and judges it.
pub(super) fn glance(ask: &FitRequest, t: &Try, own: &[CellShape]) -> Option<Fit> {
    ask.budget.spend(1, t.mesh.rest.len());
    seated(ask, t, |set, relaxation, start| {
        let bent = relaxation.glance(start, &vec![1.0; t.mesh.tiles.len()]);
        judged(ask, t, set, own, &bent, GLANCED)
    })
}

/// Bends a kept set onto the field and judges it.
pub(super) fn bend(ask: &FitRequest, t: &Try, own: &[CellShape]) -> Option<Fit> {
    ask.budget.spend(IN_FULL, t.mesh.rest.len());
    seated(ask, t, |set, relaxation, start| {
        let mut press = vec![1.0; t.mesh.tiles.len()];
        let mut bent = relaxation.settle(start, &press);
        let mut best = judged(ask, t, set, own, &bent, NEAR);
        let mut last = best.clone();
        for k in 0..REWEIGHED_MOST {
            if k >= REWEIGHED && best.is_good(ask) {
                break;
            }
            reweigh(&mut press, &last, relaxation, ask.least);
            bent = relaxation.settle_on(&bent, &press);
            last = judged(ask, t, set, own, &bent, NEAR);
            let better = last.judged.score < best.judged.score;
            if better || last.is_good(ask) && !best.is_good(ask) {
                best = last.clone();
            }
            if !better {
                break;
            }
        }
        best
    })
}

/// Gives cells that came out narrow more of the area.
fn reweigh(press: &mut [f64], fit: &Fit, relaxation: &Relaxation, least: f64) {
    for (k, face) in fit.faces.iter().enumerate() {
        let (rho, across) = (fit.judged.rho[k], 2.0 * fit.judged.looks[k].radius);
        // Those the drill does not go into ask for more than the look of them does.
        let lacks = (LACKING * least / across.max(0.05 * least)).max(1.0);
        press[face.tile] *= libm::pow(rho.max(0.05), REWEIGH) * lacks * lacks;
    }
    let bending: Vec<usize> =
        fit.faces.iter().map(|f| f.tile).filter(|&t| relaxation.cell_rows[t] <= super::relax::ROWS).collect();
    let mean = bending.iter().map(|&t| press[t]).sum::<f64>() / bending.len().max(1) as f64;
    for face in &fit.faces {
        let p = &mut press[face.tile];
        *p = if relaxation.cell_rows[face.tile] <= super::relax::ROWS {
            (*p / mean).clamp(SHARES.0, SHARES.1)
        } else {
            1.0
        };
    }
}

pub(super) fn judged(
    ask: &FitRequest,
    t: &Try,
    set: &KeepSet,
    own: &[CellShape],
    bent: &Bent,
    near: f64,
) -> Fit {
    let faces = faces(&t.mesh, &t.placed, ask.field, set, bent, &t.first);
    let weight = shape_weight(own);
    let mut judged = judge(
        &faces,
        &Demands { own, off: ask.bridge / 2.0, least: ask.least, near, cost: CellShape::cost },
        |tile| set.at_border(tile),
        |tile| distortion(&t.mesh, tile, bent, weight),
        |tile| t.first[tile],
    );
    if near <= NEAR {
        judged.part(&faces, ask.bridge / 2.0, |tile| t.first[tile]);
    }
    Fit {
        faces,
        judged,
        start: t.start,
        origin: t.placed.origin,
        order: t.group.len(),
        group: Vec::new(),
        joined: None,
    }
}
