//! The places of the pattern that are tried, in a fixed order, each with the cells that are kept there.

use super::budget::Budget;
use super::field::Domain;
use super::keep::{feet, orbits, Foot, KeepSet};
use super::loops::{loops, tidy};
use super::mesh::{Mesh, Placed};
use super::symmetry::{keeps_pattern, of_field, FieldSymmetry, Symmetry};
use super::tiling::Tiling;
use crate::geom::{Point, Ring, Vec2};
use crate::pattern::Start;

/// Part of a cell that must lie in the field for it to be kept at first.
pub(super) const SHARE: f64 = 0.5;
/// Shifts tried along a mirror, in parts of the repeat that runs along it; and each way where there is no symmetry to keep.
const SHIFTS: usize = 6;
const EACH_WAY: usize = 4;

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
    pub budget: &'a Budget,
}

impl<'a> FitRequest<'a> {
    /// How many cells the field holds, about.
    pub(super) fn cells(&self) -> f64 {
        self.field.area / (self.tiling.mean_area() * self.size * self.size)
    }

    /// The pattern laid with its own origin at a place.
    fn placed(&self, origin: Vec2) -> Placed<'a> {
        let FitRequest { tiling, kinds, size, turn, round, .. } = *self;
        Placed { tiling, kinds, size, turn, origin, round }
    }
}

/// One place of the pattern with its kept cells.
pub(super) struct Try<'a> {
    pub placed: Placed<'a>,
    pub mesh: Mesh,
    pub group: Vec<Symmetry>,
    /// The first image of every tile.
    pub first: Vec<usize>,
    pub feet: Vec<Foot>,
    pub kept: Vec<bool>,
    pub start: usize,
    /// Cost of the kept set, whole and for each border cell.
    #[cfg_attr(not(test), allow(dead_code))]
    pub sum: f64,
    pub each: f64,
}

/// All places that keep as much symmetry as any, the best kept sets first.
pub(super) fn tries<'a>(ask: &FitRequest<'a>) -> Vec<Try<'a>> {
    let kept = of_field(ask.field, ask.middle);
    let mut tries: Vec<Try> =
        symmetric_places(ask, &kept).into_iter().filter_map(|place| Try::at(ask, place)).collect();
    tries.sort_by(|a, b| a.each.total_cmp(&b.each));
    tries
}

/// A place of the pattern, the start it comes from, and the symmetries of the field that keep it.
pub(super) type Position<'a, 'k> = (Placed<'a>, usize, Vec<&'k FieldSymmetry>);

/// All places that keep as much symmetry as any.
pub(super) fn symmetric_places<'a, 'k>(
    ask: &FitRequest<'a>,
    kept: &'k [FieldSymmetry],
) -> Vec<Position<'a, 'k>> {
    let mut places = all_places(ask, kept);
    let most = places.iter().map(|p| p.2.len()).max().unwrap_or(0);
    places.retain(|p| p.2.len() == most);
    if most == 1 && !ask.typed && ask.round.is_none() {
        let still = places[0].2.clone();
        places.extend(all_over(ask).into_iter().map(|placed| (placed, 0, still.clone())));
    }
    places
}

/// All places that are tried, each with what it keeps of the field's symmetries.
pub(super) fn all_places<'a, 'k>(ask: &FitRequest<'a>, kept: &'k [FieldSymmetry]) -> Vec<Position<'a, 'k>> {
    places(ask, kept)
        .into_iter()
        .map(|(placed, start)| {
            let group = kept.iter().filter(|k| keeps_pattern(&placed, &k.by)).collect();
            (placed, start, group)
        })
        .collect()
}

/// Shifts of the first start all over a repeat: for fields that share no symmetry with the pattern.
fn all_over<'a>(ask: &FitRequest<'a>) -> Vec<Placed<'a>> {
    let base = ask.placed(Vec2::ZERO);
    let from = ask.middle.to_vec2() - base.world(ask.starts[0].at).to_vec2();
    let steps = (1..EACH_WAY * EACH_WAY).map(|k| (k % EACH_WAY, k / EACH_WAY));
    let part = |k: usize| k as f64 / EACH_WAY as f64;
    steps.map(|(i, j)| ask.placed(from + base.step(1, 0) * part(i) + base.step(0, 1) * part(j))).collect()
}

impl<'a> Try<'a> {
    /// The pattern in one place with the cells to keep; `None` where they cannot be laid along the border.
    pub(super) fn at(ask: &FitRequest, place: Position<'a, '_>) -> Option<Try<'a>> {
        let mut t = Try::of(ask, place, SHARE);
        let (kept, sum, edge) = {
            let mut set = KeepSet::find(&t.mesh, &t.placed, &t.feet, &t.group, SHARE);
            tidy(&mut set, &t.mesh);
            if loops(&set, &t.mesh, ask.field, &t.feet).is_none() {
                set.make_holes(ask.field, &t.group);
                tidy(&mut set, &t.mesh);
                loops(&set, &t.mesh, ask.field, &t.feet)?;
            }
            let (sum, edge) = set.sum();
            (set.kept, sum, edge)
        };
        (t.kept, t.sum, t.each) = (kept, sum, sum / edge.max(1) as f64);
        Some(t)
    }

    /// The pattern in one place with all cells that lie in the field by more than a share.
    pub(super) fn of(ask: &FitRequest, (placed, start, group): Position<'a, '_>, share: f64) -> Try<'a> {
        let mesh = Mesh::new(&placed, ask.field);
        let group: Vec<Symmetry> =
            group.into_iter().filter_map(|k| Symmetry::of(&mesh, &placed, k)).collect();
        let feet = feet(&mesh, ask.field);
        let orbits = orbits(&group, mesh.tiles.len());
        let mut first = vec![0; mesh.tiles.len()];
        orbits.iter().for_each(|orbit| orbit.iter().for_each(|&t| first[t] = orbit[0]));
        let kept = mesh.tiles.iter().map(|t| t.share > share).collect();
        Try { placed, mesh, group, first, feet, kept, start, sum: 0.0, each: 0.0 }
    }
}

/// The places of the pattern to try: each of its centres on the middle, and shifted where the field leaves it free.
fn places<'a>(ask: &FitRequest<'a>, kept: &[FieldSymmetry]) -> Vec<(Placed<'a>, usize)> {
    let placed = |origin: Vec2| ask.placed(origin);
    let base = placed(Vec2::ZERO);
    let origin = |start: &Start| ask.middle.to_vec2() - base.world(start.at).to_vec2();
    let mut places: Vec<(Placed, usize)> =
        ask.starts.iter().enumerate().map(|(k, start)| (placed(origin(start)), k)).collect();
    if ask.typed {
        return places;
    }
    if let [_, mirror] = kept
        && mirror.by.is_mirror()
    {
        let axis = mirror.by.axis();
        let long = repeat_along(&base, axis).unwrap_or(ask.size);
        for (k, start) in ask.starts.iter().enumerate() {
            if keeps_pattern(&placed(origin(start)), &mirror.by) {
                let shifts = (1..SHIFTS).map(|i| axis * (long * i as f64 / SHIFTS as f64));
                places.extend(shifts.map(|by| (placed(origin(start) + by), k)));
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
