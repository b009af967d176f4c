//! Bricks and other right-angled cells in a rectangle: their lines run straight to its sides, and nothing is bent.

use super::bend::{exact, judged, Fit};
use super::field::Domain;
use super::judge::{CellShape, NEAR};
use super::keep::KeepSet;
use super::loops::{loops, Loop};
use super::mesh::{Placed, HARDLY};
use super::place::{all_places, FitRequest, Position, Try};
use super::relax::Bent;
use super::seats::Seats;
use super::snap::is_rectangle;
use super::symmetry::of_field;
use crate::geom::{Point, Vec2};

/// Less of a cell than this is none, part of its area.
const NONE: f64 = 1e-3;
/// Sides are upright or level when they are this near to it, in mm.
const LEVEL: f64 = 1e-6;
/// A course that ends in a piece of a brick looks right, as long as that is no shorter than high: its widest circle over a whole
/// one's, and the score of such pieces at most, for nothing is bent. By eye.
const CUT: f64 = 0.8;
const CUT_SCORE: f64 = 0.6;
/// Shifts along the courses, in parts of the longest cell: thirds and halves of bricks.
const SHIFTS: usize = 6;

/// The best looking place, its cells cut where the rectangle's sides run through them; `None` where field or pattern is
/// not right-angled.
pub(super) fn straight(ask: &FitRequest, own: &[CellShape]) -> Option<Fit> {
    let level = ask.kinds.iter().flat_map(|k| k.edges()).all(|e| {
        let along = e.to() - e.from();
        e.sweep() == 0.0 && (along.x.abs() < LEVEL || along.y.abs() < LEVEL)
    });
    if !level || !is_rectangle(ask.field) {
        return None;
    }
    let kept = of_field(ask.field, ask.middle);
    let mut places = all_places(ask, &kept);
    let mirrored = places.iter().any(|(_, _, group)| group.iter().any(|g| g.by.is_mirror()));
    if !mirrored && !ask.typed {
        places.extend(moved_along(ask, &places));
    }
    places
        .into_iter()
        .map(|place| Try::of(ask, place, (HARDLY, NONE)))
        .filter_map(|t| cut(ask, &t, own).map(|fit| Fit { group: exact(t.group), ..fit }))
        .min_by_key(|fit| ((fit.judged.score * 1e6).round() as i64, std::cmp::Reverse(fit.order)))
}

/// Places moved along the courses, for patterns without a mirror.
fn moved_along<'a, 'k>(ask: &FitRequest<'a>, places: &[Position<'a, 'k>]) -> Vec<Position<'a, 'k>> {
    let courses = ask.kinds.iter().map(|k| k.bounds().width()).fold(0.0, f64::max);
    let by = |k: usize| Vec2::new(courses * k as f64 / SHIFTS as f64, 0.0);
    let moved = |(placed, start, group): &Position<'a, 'k>, k: usize| {
        (Placed { origin: placed.origin + by(k), ..placed.clone() }, *start, group[..1].to_vec())
    };
    places.iter().flat_map(|place| (1..SHIFTS).map(move |k| moved(place, k))).collect()
}

/// Vertices beyond the sides brought back onto them.
fn cut(ask: &FitRequest, t: &Try, own: &[CellShape]) -> Option<Fit> {
    let set = KeepSet::of(&t.mesh, &t.placed, &t.feet, t.kept.clone());
    let lines = loops(&set, &t.mesh, ask.field, &t.feet)?;
    let b = ask.field.bounds;
    let onto = |p: &Point| Point::new(p.x.clamp(b.x0, b.x1), p.y.clamp(b.y0, b.y1));
    let at: Vec<Point> = t.mesh.rest.iter().map(onto).collect();
    let seats = seats(ask.field, &lines, &at);
    let mut fit = judged(ask, t, &set, own, &Bent { at, seats }, NEAR);
    let narrowest = fit.judged.rho.iter().copied().fold(f64::INFINITY, f64::min);
    if narrowest >= CUT && fit.judged.crossed + fit.judged.parted == 0 {
        fit.judged.score = fit.judged.score.min(CUT_SCORE);
    }
    Some(fit)
}

fn seats(field: &Domain, lines: &[Loop], at: &[Point]) -> Seats {
    let n = at.len();
    let mut seats = Seats { at: vec![f64::NAN; n], held: vec![false; n], curve: vec![None; n], compared: 0 };
    for (v, line) in lines.iter().flat_map(|l| l.vertices.iter().map(move |v| (*v, l))) {
        seats.at[v] = field.curves[line.curve].nearest(at[v]).0;
        seats.curve[v] = Some(line.curve);
    }
    seats
}
