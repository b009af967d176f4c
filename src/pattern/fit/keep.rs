//! Which cells are kept: those whose own angles let them lie along the border.
//!
//! The cells that are kept tile the field once they have been bent, so at every vertex on the border their angles share
//! out the angle of the border there. How far a cell's own angles are from that is discrete Gauss-Bonnet: the turn it
//! has to take up. Cells are dropped or taken, with all their images, while the sum of such costs falls.

use super::field::Domain;
use super::mesh::{Mesh, Placed};
use super::symmetry::Symmetry;
use crate::geom::{Point, Vec2};
use std::collections::BTreeSet;

/// The border's angle at a vertex is its turn within this part of a cell to each side.
const WINDOW: f64 = 0.42;
/// Most orbits taken or dropped; the sum has always come to rest before.
const MOST_FLIPS: usize = 4000;
/// The sum must fall by more than this: rounding does not choose.
const LEAST_GAIN: f64 = 1e-6;
/// What the costs weigh, found by eye and score. Turn of a cell per real corner that costs 1, degrees.
const TURN: f64 = 20.0;
/// A cell's angle at the border sharper than this costs, and this much more costs 1, degrees.
const SHARP: f64 = 48.0;
const SHARPER: f64 = 12.0;
/// Angle of the border above which it is a notch, degrees, and what a notch costs that only one cell holds.
const NOTCH: f64 = 225.0;
const NOTCH_ALONE: f64 = 1.5;
/// A vertex one cell's width off the border.
const OFF: f64 = 0.5;
/// A corner too few for a cell to be one.
const CORNERS: f64 = 25.0;
/// A cell that meets the border in a second place.
const TWICE: f64 = 3.0;
/// A vertex at which the kept cells only touch.
const PINCHED: f64 = 40.0;
/// Arcs of a cell that the border would swallow, beyond half of them.
const ARCS: f64 = 8.0;
/// A vertex flatter than this is no real corner: on the border, and inside, degrees.
const FLAT_ON_BORDER: f64 = 150.0;
const FLAT: f64 = 165.0;

/// What the border is like at a vertex's foot on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Foot {
    pub curve: usize,
    /// Distance, mm.
    pub far: f64,
    /// Inner angle of the field there, degrees: 180 along a straight border.
    pub angle: f64,
}

/// Cells of which more than this lies in the field never come to lie on the border: no foot is looked for.
const DEEP: f64 = 0.999;
/// How far such vertices are said to lie off the border, in cells.
const AWAY: f64 = 2.0;

/// The feet of all vertices of cells that may come to lie on the border.
pub(super) fn feet(mesh: &Mesh, field: &Domain) -> Vec<Foot> {
    let window = WINDOW * mesh.ell;
    mesh.rest
        .iter()
        .zip(&mesh.around)
        .map(|(&p, around)| {
            if around.iter().all(|(t, _)| mesh.tiles[*t].share > DEEP) {
                return Foot { curve: 0, far: AWAY * mesh.ell, angle: 180.0 };
            }
            let mut foot = Foot { curve: 0, far: f64::INFINITY, angle: 180.0 };
            let mut at = 0.0;
            for (c, curve) in field.curves.iter().enumerate() {
                let (s, far) = curve.nearest(p);
                if far < foot.far - 1e-9 {
                    (foot.curve, foot.far, at) = (c, far, s);
                }
            }
            foot.angle = 180.0 - field.curves[foot.curve].turning(at - window, at + window);
            foot
        })
        .collect()
}

/// The set of kept cells and what it costs.
pub(super) struct KeepSet<'a> {
    mesh: &'a Mesh,
    placed: &'a Placed<'a>,
    feet: &'a [Foot],
    pub kept: Vec<bool>,
}

impl<'a> KeepSet<'a> {
    /// The cells that lie in the field by more than half, improved.
    pub(super) fn find(
        mesh: &'a Mesh,
        placed: &'a Placed<'a>,
        feet: &'a [Foot],
        group: &[Symmetry],
        share: f64,
    ) -> KeepSet<'a> {
        let kept = mesh.tiles.iter().map(|t| t.share > share).collect();
        let mut set = KeepSet { mesh, placed, feet, kept };
        set.improve(group);
        set
    }

    pub(super) fn of(
        mesh: &'a Mesh,
        placed: &'a Placed<'a>,
        feet: &'a [Foot],
        kept: Vec<bool>,
    ) -> KeepSet<'a> {
        KeepSet { mesh, placed, feet, kept }
    }

    /// Takes or drops the orbit that betters the sum most, until none does.
    fn improve(&mut self, group: &[Symmetry]) {
        let orbits = orbits(group, self.mesh.tiles.len());
        let mut orbit_of = vec![0; self.mesh.tiles.len()];
        orbits.iter().enumerate().for_each(|(k, o)| o.iter().for_each(|&t| orbit_of[t] = k));
        let mut gains: Vec<f64> = orbits.iter().map(|orbit| self.gain(orbit)).collect();
        for _ in 0..MOST_FLIPS {
            let mut best: Option<(f64, usize)> = None;
            for (k, &gain) in gains.iter().enumerate() {
                if gain > best.map_or(LEAST_GAIN, |(g, _)| g + LEAST_GAIN) {
                    best = Some((gain, k));
                }
            }
            let Some((_, k)) = best else { break };
            orbits[k].iter().for_each(|&t| self.kept[t] ^= true);
            // Only cells near by gain otherwise than before.
            let (_, near) = self.touched(&orbits[k]);
            let (_, farther) = self.touched(&near.into_iter().collect::<Vec<_>>());
            let stale: BTreeSet<usize> = farther.into_iter().map(|t| orbit_of[t]).collect();
            stale.into_iter().for_each(|k| gains[k] = self.gain(&orbits[k]));
        }
    }

    /// Drops the cell that lies nearest to the middle of every hole of the field, with its images, where it is still kept: holes
    /// no larger than a cell may lie on several, each of them more than half in the field.
    pub(super) fn make_holes(&mut self, field: &Domain, group: &[Symmetry]) {
        let mean = |points: &mut dyn Iterator<Item = Point>| {
            let (sum, n) = points.fold((Vec2::ZERO, 0.0), |(sum, n), p| (sum + p.to_vec2(), n + 1.0));
            (sum / n).to_point()
        };
        let tiles = &self.mesh.tiles;
        let middle = |t: usize| mean(&mut tiles[t].corners.iter().map(|(v, _)| self.mesh.rest[*v]));
        let orbits = orbits(group, tiles.len());
        for curve in field.curves.iter().skip(1).filter(|c| c.period == Vec2::ZERO) {
            let hole = mean(&mut curve.samples.iter().copied());
            // To the nanometre, so that of two as near the first is taken everywhere.
            let far = |t: usize| ((middle(t) - hole).hypot2().sqrt() * 1e6).round() as i64;
            if let Some(nearest) = (0..tiles.len()).min_by_key(|&t| far(t)) {
                let orbit = orbits.iter().find(|o| o.contains(&nearest));
                orbit.into_iter().flatten().for_each(|&t| self.kept[t] = false);
            }
        }
    }

    /// Whether a cell lies at the edge of the kept ones, and the border leaves a choice.
    fn may_flip(&self, t: usize) -> bool {
        let tile = &self.mesh.tiles[t];
        (0.02..0.98).contains(&tile.share)
            && tile.beside.iter().any(|b| b.is_none_or(|b| self.kept[b] != self.kept[t]))
    }

    /// By how much the sum falls when some cells are taken that were dropped, or dropped that were kept; 0 for cells that
    /// may not be.
    fn gain(&mut self, orbit: &[usize]) -> f64 {
        if !self.may_flip(orbit[0]) {
            return 0.0;
        }
        let (vertices, cells) = self.touched(orbit);
        let before = self.sum_over(&vertices, &cells);
        orbit.iter().for_each(|&t| self.kept[t] ^= true);
        let after = self.sum_over(&vertices, &cells);
        orbit.iter().for_each(|&t| self.kept[t] ^= true);
        before - after
    }

    /// The vertices of some cells, and all cells at those.
    fn touched(&self, cells: &[usize]) -> (BTreeSet<usize>, BTreeSet<usize>) {
        let corners = cells.iter().flat_map(|&t| &self.mesh.tiles[t].corners);
        let vertices: BTreeSet<usize> = corners.map(|(v, _)| *v).collect();
        let cells = vertices.iter().flat_map(|&v| &self.mesh.around[v]).map(|(t, _)| *t).collect();
        (vertices, cells)
    }

    /// The whole sum, and the number of cells at the border.
    pub(super) fn sum(&self) -> (f64, usize) {
        let vertices = (0..self.mesh.rest.len()).collect();
        let cells: BTreeSet<usize> = (0..self.mesh.tiles.len()).collect();
        (self.sum_over(&vertices, &cells), cells.iter().filter(|&&t| self.at_border(t)).count())
    }

    fn sum_over(&self, vertices: &BTreeSet<usize>, cells: &BTreeSet<usize>) -> f64 {
        vertices.iter().map(|&v| self.at_vertex(v)).sum::<f64>()
            + cells.iter().map(|&t| self.of_cell(t)).sum::<f64>()
    }

    /// Whether a side of a kept cell lies on the border.
    pub(super) fn is_border(&self, tile: usize, side: usize) -> bool {
        self.mesh.tiles[tile].beside[side].is_none_or(|other| !self.kept[other])
    }

    /// Kept cells at a vertex, and sides of theirs on the border there (two at most unless it is pinched).
    pub(super) fn degree(&self, v: usize) -> (usize, usize) {
        let (mut cells, mut sides) = (0, 0);
        for &(t, i) in &self.mesh.around[v] {
            if self.kept[t] {
                let n = self.mesh.tiles[t].corners.len();
                cells += 1;
                sides += usize::from(self.is_border(t, i)) + usize::from(self.is_border(t, (i + n - 1) % n));
            }
        }
        (cells, sides)
    }

    pub(super) fn at_border(&self, tile: usize) -> bool {
        self.kept[tile] && self.mesh.tiles[tile].corners.iter().any(|(v, _)| self.degree(*v).1 > 0)
    }

    fn at_vertex(&self, v: usize) -> f64 {
        let (cells, sides) = self.degree(v);
        if sides == 0 {
            return 0.0;
        }
        let foot = &self.feet[v];
        let angle = foot.angle / cells as f64;
        let mut cost = OFF * (foot.far / self.mesh.ell).powi(2);
        if angle < SHARP {
            cost += ((SHARP - angle) / SHARPER).powi(2);
        }
        if foot.angle > NOTCH && cells == 1 {
            cost += NOTCH_ALONE;
        }
        if sides > 2 {
            cost += PINCHED;
        }
        cost
    }

    fn of_cell(&self, t: usize) -> f64 {
        let tile = &self.mesh.tiles[t];
        if !self.kept[t] {
            return 4.0 * tile.share * tile.share;
        }
        let mut cost = 4.0 * (1.0 - tile.share) * (1.0 - tile.share);
        let line = self.mesh.line(self.placed, t);
        let (mut turn, mut real, mut meets) = (0.0, 0, false);
        for (at, (v, _)) in line.iter().zip(&tile.corners) {
            let (cells, sides) = self.degree(*v);
            if sides > 0 {
                meets = true;
                let angle = self.feet[*v].angle / cells as f64;
                turn += angle - at.angle;
                real += usize::from(angle < FLAT_ON_BORDER);
            } else {
                real += usize::from(at.angle < FLAT);
            }
        }
        if !meets {
            return cost;
        }
        cost += (turn / (TURN * real.max(1) as f64)).powi(2);
        let arcs = self.mesh.has_arcs(self.placed, t);
        let wanted = if arcs { 2 } else { 3 };
        cost += CORNERS * wanted.max(real).abs_diff(real) as f64;
        let n = tile.corners.len();
        let border: Vec<bool> = (0..n).map(|i| self.is_border(t, i)).collect();
        let runs = (0..n).filter(|&i| border[i] && !border[(i + n - 1) % n]).count();
        cost += TWICE * runs.saturating_sub(1) as f64;
        if arcs {
            let is_rise = |i: usize| line[i].node == super::tiling::Node::Rise;
            let swallowed = (0..n).filter(|&i| is_rise(i) && border[i]).count() as f64;
            let sides = (0..n).filter(|&i| is_rise(i)).count() as f64;
            cost += ARCS * (swallowed - sides / 2.0).max(0.0);
        }
        cost
    }
}

/// The cells sorted into sets of images.
pub(super) fn orbits(group: &[Symmetry], tiles: usize) -> Vec<Vec<usize>> {
    let mut seen = vec![false; tiles];
    let mut orbits = Vec::new();
    for t in 0..tiles {
        if !seen[t] {
            let mut orbit: Vec<usize> = group.iter().map(|g| g.tiles[t]).chain([t]).collect();
            orbit.sort_unstable();
            orbit.dedup();
            orbit.iter().for_each(|&t| seen[t] = true);
            orbits.push(orbit);
        }
    }
    orbits
}
