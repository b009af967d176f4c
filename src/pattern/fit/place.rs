//! The places of the pattern that are tried, in a fixed order, each with the cells that are kept there.

use super::budget::Budget;
use super::field::Domain;
use super::keep::{feet, orbits, Foot, KeepSet};
use super::loops::{loops, tidy};
use super::mesh::{Mesh, Placed, HARDLY};
use super::symmetry::{keeps_pattern, of_field, FieldSymmetry, Symmetry};
use super::tiling::{repeat_along, Tiling};
use crate::geom::{sin_cos_degrees, Point, Ring, Vec2};
use crate::pattern::Start;

/// Part of a cell that must lie in the field for it to be kept at first.
pub(super) const SHARE: f64 = 0.5;
/// Shifts tried along a mirror, in parts of the repeat that runs along it; and each way where there is no symmetry to keep.
const SHIFTS: usize = 6;
const EACH_WAY: usize = 4;
const CUT_EACH_WAY: usize = 6;
/// So many places are weighed of any piece.
const WEIGHED_LEAST: usize = 3;

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

    /// Length of the shortest repeat that runs along a direction, mm; the pitch where none does.
    fn repeat_along(&self, axis: Vec2) -> f64 {
        let (s, c) = sin_cos_degrees(self.turn);
        let own = Vec2::new(axis.x * c + axis.y * s, axis.y * c - axis.x * s);
        self.size * repeat_along(&self.tiling.repeat, own).unwrap_or(1.0)
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

/// Which places are tried: those that keep as much symmetry as any, or those that keep less.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Symmetric {
    Most,
    Less,
}

/// All places that keep as much symmetry as any, or all others, of so many cells in all; the best kept sets first.
pub(super) fn tries<'a>(ask: &FitRequest<'a>, symmetric: Symmetric, weighed: f64) -> Vec<Try<'a>> {
    let kept = of_field(ask.field, ask.middle);
    let most = ((weighed / ask.cells()) as usize).max(WEIGHED_LEAST);
    let mut tries: Vec<Try> = Vec::new();
    for place in places(ask, &kept, symmetric) {
        if tries.len() >= most || ask.budget.is_spent() && !tries.is_empty() {
            break;
        }
        tries.extend(Try::at(ask, place));
    }
    tries.sort_by(|a, b| a.each.total_cmp(&b.each));
    tries
}

/// A place of the pattern, the start it comes from, and the symmetries of the field that keep it.
pub(super) type Position<'a, 'k> = (Placed<'a>, usize, Vec<&'k FieldSymmetry>);

/// All places that keep as much symmetry as any, or all others.
pub(super) fn places<'a, 'k>(
    ask: &FitRequest<'a>,
    kept: &'k [FieldSymmetry],
    symmetric: Symmetric,
) -> Vec<Position<'a, 'k>> {
    let mut places = all_places(ask, kept);
    let most = places.iter().map(|p| p.2.len()).max().unwrap_or(0);
    if symmetric == Symmetric::Less {
        return cut_places(ask, kept).into_iter().filter(|p| p.2.len() < most).collect();
    }
    places.retain(|p| p.2.len() == most);
    if most == 1 && !ask.typed && ask.round.is_none() {
        let still = places[0].2.clone();
        places.extend(about_hole(ask).into_iter().map(|(placed, start)| (placed, start, still.clone())));
        places.extend(all_over(ask, EACH_WAY).into_iter().map(|placed| (placed, 0, still.clone())));
    }
    places
}

/// The places at which cells are cut: each start on the middle, those that keep one mirror shifted along it, and all over a repeat;
/// those that keep most of the symmetry first.
pub(super) fn cut_places<'a, 'k>(ask: &FitRequest<'a>, kept: &'k [FieldSymmetry]) -> Vec<Position<'a, 'k>> {
    let mut places = all_places(ask, kept);
    if !ask.typed {
        let shifted = |(placed, start, group): &Position<'a, 'k>| {
            let mirror = group.get(1).filter(|m| group.len() == 2 && kept.len() > 2 && m.by.is_mirror());
            let along = mirror.map(|m| along_mirror(ask, placed.origin, m)).unwrap_or_default();
            along.into_iter().map(|placed| (placed, *start, group.clone())).collect::<Vec<_>>()
        };
        let more: Vec<Position> = places.iter().flat_map(shifted).collect();
        places.extend(more);
        let still = places[0].2[..1].to_vec();
        places.extend(all_over(ask, CUT_EACH_WAY).into_iter().map(|placed| (placed, 0, still.clone())));
    }
    places.sort_by_key(|p| std::cmp::Reverse(p.2.len()));
    places
}

/// All places that are tried, each with what it keeps of the field's symmetries.
pub(super) fn all_places<'a, 'k>(ask: &FitRequest<'a>, kept: &'k [FieldSymmetry]) -> Vec<Position<'a, 'k>> {
    listed(ask, kept)
        .into_iter()
        .map(|(placed, start)| {
            let group = kept.iter().filter(|k| keeps_pattern(&placed, &k.by)).collect();
            (placed, start, group)
        })
        .collect()
}

/// Each start on the middle of the field's longest hole, so that a kept place or a window that lies anywhere takes the place of whole
/// cells.
fn about_hole<'a>(ask: &FitRequest<'a>) -> Vec<(Placed<'a>, usize)> {
    let holes = ask.field.curves.iter().skip(1).filter(|c| c.period == Vec2::ZERO);
    let Some(hole) = holes.max_by(|a, b| a.length().total_cmp(&b.length())) else { return Vec::new() };
    let sum = hole.samples.iter().fold(Vec2::ZERO, |sum, p| sum + p.to_vec2());
    let middle = sum / hole.samples.len().max(1) as f64;
    let base = ask.placed(Vec2::ZERO);
    let starts = ask.starts.iter().enumerate();
    starts.map(|(k, start)| (ask.placed(middle - base.world(start.at).to_vec2()), k)).collect()
}

/// Shifts of the first start all over a repeat: for fields that share no symmetry with the pattern.
fn all_over<'a>(ask: &FitRequest<'a>, each_way: usize) -> Vec<Placed<'a>> {
    let base = ask.placed(Vec2::ZERO);
    let from = ask.middle.to_vec2() - base.world(ask.starts[0].at).to_vec2();
    let steps = (1..each_way * each_way).map(|k| (k % each_way, k / each_way));
    let part = |k: usize| k as f64 / each_way as f64;
    steps.map(|(i, j)| ask.placed(from + base.step(1, 0) * part(i) + base.step(0, 1) * part(j))).collect()
}

impl<'a> Try<'a> {
    /// The pattern in one place with the cells to keep; `None` where they cannot be laid along the border.
    pub(super) fn at(ask: &FitRequest, place: Position<'a, '_>) -> Option<Try<'a>> {
        let mut t = Try::of(ask, place, (HARDLY, SHARE));
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

    /// The pattern in one place: the cells that lie in the field by more than the first share, those kept that do by more than
    /// the second.
    pub(super) fn of(
        ask: &FitRequest,
        (placed, start, group): Position<'a, '_>,
        (hardly, share): (f64, f64),
    ) -> Try<'a> {
        let mesh = Mesh::new(&placed, ask.field, hardly);
        ask.budget.spend_more(mesh.rest.len());
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
fn listed<'a>(ask: &FitRequest<'a>, kept: &[FieldSymmetry]) -> Vec<(Placed<'a>, usize)> {
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
        for (k, start) in ask.starts.iter().enumerate() {
            if keeps_pattern(&placed(origin(start)), &mirror.by) {
                places.extend(along_mirror(ask, origin(start), mirror).into_iter().map(|placed| (placed, k)));
            }
        }
    }
    places
}

/// Shifts of a place along a mirror, all over the repeat that runs along it.
fn along_mirror<'a>(ask: &FitRequest<'a>, origin: Vec2, mirror: &FieldSymmetry) -> Vec<Placed<'a>> {
    let axis = mirror.by.axis();
    let long = ask.repeat_along(axis);
    (1..SHIFTS).map(|i| ask.placed(origin + axis * (long * i as f64 / SHIFTS as f64))).collect()
}
