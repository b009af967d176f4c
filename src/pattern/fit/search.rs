//! Few places for the pattern are tried, in a fixed order, and the best looking one is taken.

use super::faces::{faces, Face};
use super::field::Domain;
use super::judge::{judge, CellShape, Demands, Distortion, Judged};
use super::keep::{feet, orbits, Foot, KeepSet};
use super::loops::{loops, tidy};
use super::mesh::{Mesh, Placed};
use super::relax::{Bent, Relaxation};
use super::seats::Seats;
use super::symmetry::{keeps_pattern, of_field, FieldSymmetry, Symmetry};
use super::tiling::Tiling;
use super::{Effort, SUITS};
use crate::geom::{Isometry, Point, Ring, Vec2};
use crate::pattern::Start;

/// Places that are looked at after all have been weighed, and those that are bent.
const LOOKED_AT: usize = 5;
const BENT: usize = 3;
/// With more cells than this only one place is looked at and none is mended: one row among many is hardly seen.
const MANY: f64 = 1500.0;
/// Kept sets that are looked at in all while mending: a counted budget, so that the same job costs and gives the same.
const LOOKS: usize = 24;
/// Rounds of mending, and the worst cells tried in each.
const MENDS: usize = 3;
const WORST: usize = 3;
/// A score that needs no mending, and the least a mend must better it by.
const FINE: f64 = 0.45;
const BETTER: f64 = 0.01;
/// How often the cells' shares of the area are weighed anew by how wide they came out, how strongly, and how far.
const REWEIGHED: usize = 2;
const REWEIGH: f64 = -0.8;
const SHARES: (f64, f64) = (0.6, 2.2);
/// Part of a cell that must lie in the field for it to be kept at first.
const SHARE: f64 = 0.5;
/// What a border cell's distance from its own shape weighs in patterns that are known by their shapes: those of several
/// sizes, this much apart; and those of one with hollow cells, less convex than this, whose border cells lose a hollow to
/// the border and are still known by the others. Found by eye.
const MOTIF: f64 = 5.0;
const HOLLOWED: f64 = 3.0;
const APART: f64 = 1.1;
const HOLLOW: f64 = 0.92;
/// A symmetry of the field is exact when no point of its lines comes to lie farther off than this, mm: images of its openings
/// then keep the border's width.
const EXACT: f64 = 1e-5;
/// Shifts tried along a mirror, in parts of the repeat that runs along it.
const SHIFTS: usize = 6;

/// What is asked for.
pub(super) struct FitRequest<'a> {
    pub field: &'a Domain,
    pub tiling: &'a Tiling,
    /// The cells' rings at their size and turn.
    pub kinds: &'a [Ring],
    pub size: f64,
    pub turn: f64,
    /// The points of the pattern that may come to lie on `middle`, in shortest repeats.
    pub starts: &'a [Start],
    pub middle: Point,
    /// The maker said which point of the pattern lies in the middle.
    pub typed: bool,
    pub bridge: f64,
    /// Least diameter that can be pierced.
    pub least: f64,
    /// The whole repeats a band begins again after, and their length.
    pub round: Option<([i64; 2], f64)>,
}

impl FitRequest<'_> {
    /// How many cells the field holds, about.
    fn cells(&self) -> f64 {
        self.field.area / (self.tiling.mean_area() * self.size * self.size)
    }
}

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
}

impl Fit {
    /// Whether it may be shown as it is.
    fn is_good(&self, ask: &FitRequest) -> bool {
        let narrowest = self.judged.looks.iter().map(|l| 2.0 * l.radius).fold(f64::INFINITY, f64::min);
        self.judged.score <= SUITS && self.judged.crossed == 0 && narrowest >= ask.least
    }
}

/// One place of the pattern with its kept cells.
struct Try<'a> {
    placed: Placed<'a>,
    mesh: Mesh,
    group: Vec<Symmetry>,
    /// The first image of every tile.
    first: Vec<usize>,
    feet: Vec<Foot>,
    kept: Vec<bool>,
    start: usize,
    /// Cost of the kept set, whole and for each border cell.
    #[cfg_attr(not(test), allow(dead_code))]
    sum: f64,
    each: f64,
}

/// The best fits, best looking first; or the first that is good, if there is one.
pub(super) fn search(ask: &FitRequest, effort: Effort) -> Vec<Fit> {
    let own: Vec<CellShape> = ask.kinds.iter().map(|k| CellShape::at(k, ask.bridge / 2.0)).collect();
    if own.iter().any(|l| l.radius <= 0.0) {
        return Vec::new();
    }
    if effort == Effort::First
        && let Some(fit) = first_good(ask, &own)
    {
        return vec![fit];
    }
    let many = ask.cells() > MANY;
    let mut seen: Vec<(f64, Try)> = tries(ask)
        .into_iter()
        .take(if many { 1 } else { LOOKED_AT })
        .filter_map(|t| glance(ask, &t, &own).map(|fit| (fit.judged.score, t)))
        .collect();
    seen.sort_by(|a, b| a.0.total_cmp(&b.0));
    let bent = seen.into_iter().take(BENT).filter_map(|(_, t)| bend(ask, &t, &own).map(|fit| (t, fit)));
    let mut fits: Vec<(Try, Fit)> = bent.collect();
    fits.sort_by(|a, b| a.1.judged.score.total_cmp(&b.1.judged.score));
    if let Some((t, fit)) = fits.first_mut().filter(|(_, fit)| !many && fit.judged.score > FINE) {
        mend(ask, t, fit, &own);
    }
    fits.into_iter().map(|(t, fit)| Fit { group: exact(t.group), ..fit }).collect()
}

/// The first place, in the order they are listed, that looks good after a glance.
fn first_good(ask: &FitRequest, own: &[CellShape]) -> Option<Fit> {
    let kept = of_field(ask.field, ask.middle);
    symmetric_places(ask, &kept)
        .into_iter()
        .filter_map(|place| Try::at(ask, place))
        .filter_map(|t| glance(ask, &t, own).map(|fit| (t, fit)))
        .find(|(_, fit)| fit.is_good(ask))
        .map(|(t, fit)| Fit { group: exact(t.group), ..fit })
}

fn exact(group: Vec<Symmetry>) -> Vec<(Isometry, Vec<usize>)> {
    if group.iter().any(|g| g.kept.off > EXACT) {
        return Vec::new();
    }
    group.into_iter().map(|g| (g.kept.by, g.tiles)).collect()
}

/// All places that keep as much symmetry as any, the best kept sets first.
fn tries<'a>(ask: &'a FitRequest) -> Vec<Try<'a>> {
    let kept = of_field(ask.field, ask.middle);
    let mut tries: Vec<Try> =
        symmetric_places(ask, &kept).into_iter().filter_map(|place| Try::at(ask, place)).collect();
    tries.sort_by(|a, b| a.each.total_cmp(&b.each));
    tries
}

/// A place of the pattern, the start it comes from, and the symmetries of the field that keep it.
type Positions<'a, 'k> = (Placed<'a>, usize, Vec<&'k FieldSymmetry>);

/// All places that keep as much symmetry as any.
fn symmetric_places<'a, 'k>(ask: &'a FitRequest, kept: &'k [FieldSymmetry]) -> Vec<Positions<'a, 'k>> {
    let mut places: Vec<Positions> = places(ask, kept)
        .into_iter()
        .map(|(placed, start)| {
            let group = kept.iter().filter(|k| keeps_pattern(&placed, &k.by)).collect();
            (placed, start, group)
        })
        .collect();
    let most = places.iter().map(|p| p.2.len()).max().unwrap_or(0);
    places.retain(|p| p.2.len() == most);
    places
}

impl<'a> Try<'a> {
    /// The pattern in one place with the cells to keep; `None` where they cannot be laid along the border.
    fn at(ask: &FitRequest, (placed, start, group): Positions<'a, '_>) -> Option<Try<'a>> {
        let mesh = Mesh::new(&placed, ask.field);
        let group: Vec<Symmetry> =
            group.into_iter().filter_map(|k| Symmetry::of(&mesh, &placed, k)).collect();
        let feet = feet(&mesh, ask.field);
        let orbits = orbits(&group, mesh.tiles.len());
        let mut first = vec![0; mesh.tiles.len()];
        orbits.iter().for_each(|orbit| orbit.iter().for_each(|&t| first[t] = orbit[0]));
        let (kept, sum, edge) = {
            let mut set = KeepSet::find(&mesh, &placed, &feet, &group, SHARE);
            tidy(&mut set, &mesh);
            if loops(&set, &mesh, ask.field, &feet).is_none() {
                set.make_holes(ask.field, &group);
                tidy(&mut set, &mesh);
                loops(&set, &mesh, ask.field, &feet)?;
            }
            let (sum, edge) = set.sum();
            (set.kept, sum, edge)
        };
        Some(Try { placed, mesh, group, first, feet, kept, start, sum, each: sum / edge.max(1) as f64 })
    }
}

/// The places of the pattern to try: each of its centres on the middle, and shifted where the field leaves it free.
fn places<'a>(ask: &'a FitRequest, kept: &[FieldSymmetry]) -> Vec<(Placed<'a>, usize)> {
    let placed = |origin: Vec2| Placed {
        tiling: ask.tiling,
        kinds: ask.kinds,
        size: ask.size,
        turn: ask.turn,
        origin,
        round: ask.round,
    };
    let base = placed(Vec2::ZERO);
    let origin = |start: &Start| ask.middle.to_vec2() - base.world(start.at).to_vec2();
    let mut places: Vec<(Placed, usize)> =
        ask.starts.iter().enumerate().map(|(k, start)| (placed(origin(start)), k)).collect();
    if ask.typed {
        return places;
    }
    if let [_, mirror] = kept {
        if mirror.by.is_mirror() {
            let axis = mirror.by.axis();
            let long = repeat_along(&base, axis).unwrap_or(ask.size);
            for (k, start) in ask.starts.iter().enumerate() {
                if keeps_pattern(&placed(origin(start)), &mirror.by) {
                    let shifts = (1..SHIFTS).map(|i| axis * (long * i as f64 / SHIFTS as f64));
                    places.extend(shifts.map(|by| (placed(origin(start) + by), k)));
                }
            }
        }
    } else if let [_] = kept {
        let (a, b) = (base.step(1, 0), base.step(0, 1));
        for (i, j) in (0..3).flat_map(|i| (0..3).map(move |j| (f64::from(i), f64::from(j)))) {
            if (i, j) != (0.0, 0.0) {
                places.push((placed(origin(&ask.starts[0]) + a * (i / 3.0) + b * (j / 3.0)), 0));
            }
        }
    }
    places
}

/// Length of the shortest repeat that runs along a direction.
fn repeat_along(placed: &Placed, axis: Vec2) -> Option<f64> {
    let around = -4..=4;
    around
        .clone()
        .flat_map(|i| around.clone().map(move |j| placed.step(i, j)))
        .filter(|v| v.hypot2() > 0.0 && v.cross(axis).abs() < 1e-6 * v.hypot2().sqrt())
        .map(|v| v.hypot2().sqrt())
        .min_by(f64::total_cmp)
}

/// Bends a kept set onto the field nearly, and judges it.
fn glance(ask: &FitRequest, t: &Try, own: &[CellShape]) -> Option<Fit> {
    let set = KeepSet::of(&t.mesh, &t.placed, &t.feet, t.kept.clone());
    let lines = loops(&set, &t.mesh, ask.field, &t.feet)?;
    let seats = Seats::find(&t.mesh, &t.placed, ask.field, &set, &t.feet, &lines, &t.group);
    let relaxation = Relaxation::new(&t.mesh, &t.placed, ask.field, &set, &lines, &t.group);
    let start = Bent { at: t.mesh.rest.clone(), seats };
    Some(judged(ask, t, &set, own, &relaxation.glance(&start, &vec![1.0; t.mesh.tiles.len()])))
}

/// Bends a kept set onto the field and judges it.
fn bend(ask: &FitRequest, t: &Try, own: &[CellShape]) -> Option<Fit> {
    let set = KeepSet::of(&t.mesh, &t.placed, &t.feet, t.kept.clone());
    let lines = loops(&set, &t.mesh, ask.field, &t.feet)?;
    let seats = Seats::find(&t.mesh, &t.placed, ask.field, &set, &t.feet, &lines, &t.group);
    let relaxation = Relaxation::new(&t.mesh, &t.placed, ask.field, &set, &lines, &t.group);
    let start = Bent { at: t.mesh.rest.clone(), seats };
    let mut press = vec![1.0; t.mesh.tiles.len()];
    let mut bent = relaxation.settle(&start, &press);
    let mut best = judged(ask, t, &set, own, &bent);
    for _ in 0..REWEIGHED {
        reweigh(&mut press, &best, &relaxation);
        bent = relaxation.settle_on(&bent, &press);
        let next = judged(ask, t, &set, own, &bent);
        if next.judged.score < best.judged.score {
            best = next;
        } else {
            break;
        }
    }
    Some(best)
}

/// Gives cells that came out narrow more of the area.
fn reweigh(press: &mut [f64], fit: &Fit, relaxation: &Relaxation) {
    for (face, rho) in fit.faces.iter().zip(&fit.judged.rho) {
        press[face.tile] *= libm::pow(rho.max(0.05), REWEIGH);
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

fn judged(ask: &FitRequest, t: &Try, set: &KeepSet, own: &[CellShape], bent: &Bent) -> Fit {
    let faces = faces(&t.mesh, &t.placed, ask.field, set, bent, &t.first);
    let weight = shape_weight(own);
    let judged = judge(
        &faces,
        &Demands { own, off: ask.bridge / 2.0, least: ask.least },
        |tile| set.at_border(tile),
        |tile| {
            let (far, stretched) = distance(&t.mesh, tile, bent);
            Distortion { unlike: weight * far, stretched }
        },
        |tile| t.first[tile],
    );
    Fit { faces, judged, start: t.start, origin: t.placed.origin, order: t.group.len(), group: Vec::new() }
}

/// What the shapes of cells weigh in a pattern, and not only their order.
fn shape_weight(own: &[CellShape]) -> f64 {
    let (low, high) =
        own.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), o| (l.min(o.radius), h.max(o.radius)));
    let hollow = own.iter().any(|o| o.convexity < HOLLOW);
    match (high > APART * low, hollow) {
        (true, _) => MOTIF,
        (false, true) => HOLLOWED,
        (false, false) => 0.0,
    }
}

/// How far a bent cell is from its own shape at its best place, turn and size: the part of its vertices' spread (squares)
/// that this leaves, 0 for the same shape (Procrustes distance). And how much the linear map nearest to it stretches one
/// way over the other.
fn distance(mesh: &Mesh, tile: usize, bent: &Bent) -> (f64, f64) {
    let at = |from: &[Point]| -> Vec<Vec2> {
        let corners = &mesh.tiles[tile].corners;
        let points: Vec<Vec2> =
            corners.iter().map(|(v, k)| from[*v].to_vec2() + Vec2::new(*k as f64 * mesh.run, 0.0)).collect();
        let middle = points.iter().fold(Vec2::ZERO, |s, p| s + *p) / points.len() as f64;
        points.into_iter().map(|p| p - middle).collect()
    };
    let (rest, now) = (at(&mesh.rest), at(&bent.at));
    // Sums of products: of the rest shape with itself, and of the present with the rest.
    let (mut xx, mut xy, mut yy, mut all) = (0.0, 0.0, 0.0, 0.0);
    let (mut px, mut py) = (Vec2::ZERO, Vec2::ZERO);
    for (q, p) in rest.iter().zip(&now) {
        (xx, xy, yy) = (xx + q.x * q.x, xy + q.x * q.y, yy + q.y * q.y);
        px += *p * q.x;
        py += *p * q.y;
        all += p.hypot2();
    }
    let (re, im) = (px.x + py.y, px.y - py.x);
    let far = (1.0 - (re * re + im * im) / ((xx + yy) * all).max(1e-12)).max(0.0);
    let det = (xx * yy - xy * xy).max(1e-12);
    let (u, v) = ((px * yy - py * xy) / det, (py * xx - px * xy) / det);
    let (even, odd) = (Vec2::new(u.x + v.y, u.y - v.x), Vec2::new(u.x - v.y, u.y + v.x));
    let (even, odd) = (even.hypot2().sqrt(), odd.hypot2().sqrt());
    (far, (even + odd) / (even - odd).abs().max(1e-3))
}

/// Tries to drop the worst border cells, or to take or drop a neighbour of theirs, with all images.
fn mend(ask: &FitRequest, t: &mut Try, fit: &mut Fit, own: &[CellShape]) {
    let mut looks = LOOKS;
    let orbits = orbits(&t.group, t.mesh.tiles.len());
    let mut orbit_of = vec![0; t.mesh.tiles.len()];
    orbits.iter().enumerate().for_each(|(k, o)| o.iter().for_each(|&tile| orbit_of[tile] = k));
    for _ in 0..MENDS {
        let before = t.kept.clone();
        let Some(now) = glance(ask, t, own) else { return };
        let mut best: Option<(f64, Vec<bool>)> = None;
        for orbit in suspects(t, fit, &orbit_of) {
            if looks == 0 {
                break;
            }
            t.kept.clone_from(&before);
            orbits[orbit].iter().for_each(|&tile| t.kept[tile] ^= true);
            let mut set = KeepSet::of(&t.mesh, &t.placed, &t.feet, t.kept.clone());
            tidy(&mut set, &t.mesh);
            if set.kept != t.kept {
                continue;
            }
            looks -= 1;
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
fn suspects(t: &Try, fit: &Fit, orbit_of: &[usize]) -> Vec<usize> {
    let mut worst: Vec<usize> = (0..fit.faces.len()).collect();
    worst.sort_by(|&a, &b| fit.judged.costs[b].total_cmp(&fit.judged.costs[a]).then(a.cmp(&b)));
    let (mut seen, mut suspects) = (Vec::new(), Vec::new());
    for tile in worst.into_iter().map(|i| fit.faces[i].tile) {
        if seen.contains(&orbit_of[tile]) {
            continue;
        }
        seen.push(orbit_of[tile]);
        if seen.len() > WORST {
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

#[cfg(test)]
#[path = "tests.rs"]
mod tests;
