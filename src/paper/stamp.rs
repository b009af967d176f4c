//! What is drawn alike at many places, kept once with the places: a page of a hundred thousand openings takes the room of
//! its places.

use super::mark::{Group, Mark};
use super::place::Placement;
use crate::geom::{Point, Rect, Vec2};
use crate::openings::Opening;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Openings of a shape that stands at fewer places are drawn one by one. Smaller makes stamps that save nothing.
const MANY: usize = 64;
/// Places lie in one row when they are no farther from its line than about this, mm; steps along it are compared as nearly.
const IN_LINE: f64 = 1e-4;

/// The marks that openings of one shape share, and where those openings lie.
#[derive(Debug, Clone)]
pub struct Stamp {
    /// Number of the copy from 1; 0 for what belongs to the page.
    pub copy: usize,
    /// About the origin, undermost first; they belong to no opening, and no words are among them.
    pub marks: Arc<[Mark]>,
    /// Row by row where places lie in rows.
    pub places: Vec<StampPlace>,
}

/// One place of a stamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StampPlace {
    /// Where the origin of its marks comes to lie.
    pub at: Point,
    /// Number of the opening there, from 1.
    pub opening: u32,
}

impl Stamp {
    /// The marks of one group, undermost first.
    pub fn of(&self, group: Group) -> impl Iterator<Item = &Mark> + Clone {
        self.marks.iter().filter(move |mark| mark.group == group)
    }

    /// Everything inked about the origin, pens included.
    pub fn bounds(&self) -> Rect {
        self.marks.iter().map(Mark::bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
    }

    /// Every mark at every place.
    pub fn each(&self) -> impl Iterator<Item = Mark> + '_ {
        self.places.iter().flat_map(|place| self.at(place))
    }

    /// The marks at one place.
    pub(super) fn at<'a>(&'a self, place: &'a StampPlace) -> impl Iterator<Item = Mark> + 'a {
        let by = place.at.to_vec2();
        self.marks.iter().cloned().map(move |mark| mark.shifted(by, self.copy).of(place.opening as usize))
    }

    /// The same marks at some of the places, moved and given to copy `k`.
    pub(super) fn moved(&self, places: &[StampPlace], by: Vec2, k: usize) -> Stamp {
        let places = places.iter().map(|place| StampPlace { at: place.at + by, ..*place }).collect();
        Stamp { copy: k, marks: self.marks.clone(), places }
    }
}

/// How often each shape occurs among openings.
pub(super) struct Times(BTreeMap<u32, usize>);

impl Times {
    pub(super) fn of(openings: &[Opening]) -> Times {
        let mut times = BTreeMap::new();
        openings.iter().filter_map(|o| o.shape).for_each(|shape| *times.entry(shape).or_default() += 1);
        Times(times)
    }

    /// Whether an opening has likes enough for a stamp.
    pub(super) fn are_many(&self, opening: &Opening) -> bool {
        opening.shape.and_then(|shape| self.0.get(&shape)).is_some_and(|times| *times >= MANY)
    }
}

/// The openings of a piece as stamps, and the marks of those that are alone of their shape. `marks_of` draws an opening laid
/// as `placed` has it.
pub(super) fn stamped(
    openings: &[Opening],
    placed: &Placement,
    marks_of: impl Fn(&Opening) -> Vec<Mark>,
) -> (Vec<Stamp>, Vec<Mark>) {
    let times = Times::of(openings);
    let mut stamps: BTreeMap<u32, Stamp> = BTreeMap::new();
    let mut alone = Vec::new();
    for o in openings {
        let Some(shape) = o.shape.filter(|_| times.are_many(o)) else {
            alone.extend(marks_of(o).into_iter().map(|mark| mark.of(o.n)));
            continue;
        };
        let at = placed.point(o.drill_at);
        let stamp = stamps.entry(shape).or_insert_with(|| {
            let marks = marks_of(o).into_iter().map(|mark| mark.shifted(-at.to_vec2(), 0)).collect();
            Stamp { copy: 0, marks, places: Vec::with_capacity(times.0[&shape]) }
        });
        stamp.places.push(StampPlace { at, opening: o.n as u32 });
    }
    let mut stamps: Vec<Stamp> = stamps.into_values().collect();
    stamps.iter_mut().for_each(|stamp| put_in_rows(&mut stamp.places));
    (stamps, alone)
}

/// Sorts places by rows that run from the first of them to its nearest.
fn put_in_rows(places: &mut [StampPlace]) {
    let Some((first, others)) = places.split_first() else { return };
    let whole = |v: f64| (v / IN_LINE).round() as i64;
    let steps = others.iter().map(|other| other.at - first.at);
    let Some(step) = steps.min_by_key(|step| whole(step.hypot2().sqrt())) else { return };
    let (from, along) = (first.at, step / step.hypot2().sqrt().max(IN_LINE));
    places.sort_by_cached_key(|place| {
        let off = place.at - from;
        (whole(along.cross(off)), whole(along.dot(off)))
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A turned lattice whose places come in no order.
    #[test]
    fn places_are_put_row_by_row() {
        let (s, c) = crate::geom::sin_cos_degrees(17.0);
        let turned = |x: f64, y: f64| Point::new(x * c - y * s, x * s + y * c);
        let mut places: Vec<StampPlace> = (0..12_u32)
            .map(|k| (k * 5) % 12)
            .map(|k| {
                let (column, row) = (f64::from(k % 4), f64::from(k / 4));
                StampPlace { at: turned(2.0 * column + row, 3.0 * row), opening: k + 1 }
            })
            .collect();
        put_in_rows(&mut places);
        for row in places.chunks(4) {
            let steps: Vec<Vec2> = row.windows(2).map(|two| two[1].at - two[0].at).collect();
            assert!(steps.iter().all(|step| (*step - steps[0]).hypot() < 1e-9), "{places:?}");
        }
    }
}
