//! A pattern stretched a little along the sides of a rectangle, so that whole or half repeats fill it.

use super::field::Domain;
use super::tiling::{repeat_along, ALONG, AROUND};
use crate::catalogue::{Pattern, PatternShape};
use crate::geom::{sin_cos_degrees, Edge, Point, Vec2};

/// Most that it is made longer or shorter one way. More shows beside the pitch that was asked for; less leaves out
/// rectangles of few rows. As for an eased edge row, a little more.
const MOST: f64 = 0.1;
/// Most ways that are tried.
const TRIED: usize = 6;
/// A line lies on a side of its box when it is this near, mm.
const ON: f64 = 1e-6;
/// Part of every side of a field's box that must be straight for it to be a rectangle, its corners rounded perhaps.
const STRAIGHT: f64 = 0.6;

/// A stretched pattern, and by how much along x and y.
pub(super) struct Snapped {
    pub pattern: Pattern,
    pub by: [f64; 2],
}

/// Parts of the sides of a field's box along which its outer line runs: left, right, lower, upper.
fn sides(field: &Domain) -> [f64; 4] {
    let b = field.bounds;
    let mut sides = [0.0; 4];
    for edge in field.curves.iter().take(1).flat_map(|c| c.edges()) {
        let Edge::Line { from, to } = *edge else { continue };
        let on = |a: f64, c: f64, at: f64| (a - at).abs() < ON && (c - at).abs() < ON;
        for (k, x) in [b.x0, b.x1].into_iter().enumerate() {
            if on(from.x, to.x, x) {
                sides[k] += (to.y - from.y).abs() / b.height();
            }
        }
        for (k, y) in [b.y0, b.y1].into_iter().enumerate() {
            if on(from.y, to.y, y) {
                sides[2 + k] += (to.x - from.x).abs() / b.width();
            }
        }
    }
    sides
}

/// Whether the field is a rectangle and nothing else.
pub(super) fn is_rectangle(field: &Domain) -> bool {
    field.period.is_none() && field.curves.len() == 1 && sides(field).iter().all(|s| *s > 1.0 - ON)
}

/// The ways of stretching a pattern so that it fills a rectangle, the least first; none where the field is none, or the
/// pattern has arcs, which would be arcs no more.
pub(super) fn snapped(pattern: &Pattern, field: &Domain, size: f64, turn: f64) -> Vec<Snapped> {
    let arcs = pattern.shapes.iter().any(|s| s.ring.vertices().any(|v| v.bulge != 0.0));
    if arcs || field.period.is_some() || sides(field).iter().any(|s| *s < STRAIGHT) {
        return Vec::new();
    }
    let (s, c) = sin_cos_degrees(turn);
    let along = [Vec2::new(c, -s), Vec2::new(s, c)];
    let stretches = |k: usize| -> Vec<f64> {
        let long = [field.bounds.width(), field.bounds.height()][k];
        let units = [repeat_along(&pattern.repeat, along[k]).map(|r| r / 2.0), step_along(pattern, along[k])];
        let mut by: Vec<f64> = units
            .into_iter()
            .flatten()
            .map(|unit| long / (unit * size))
            .flat_map(|count| [count.floor(), count.ceil()].map(|n| (n, count / n)))
            .filter(|(n, by)| *n >= 1.0 && (by - 1.0).abs() <= MOST)
            .map(|(_, by)| by)
            .collect();
        by.sort_by(|a, b| (a - 1.0).abs().total_cmp(&(b - 1.0).abs()));
        by.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        if by.is_empty() {
            vec![1.0]
        } else {
            by
        }
    };
    let ups = stretches(1);
    let mut all: Vec<[f64; 2]> =
        stretches(0).into_iter().flat_map(|x| ups.iter().map(move |y| [x, *y])).collect();
    let much = |by: &[f64; 2]| by.iter().map(|b| (b - 1.0).abs()).sum::<f64>();
    all.sort_by(|a, b| much(a).total_cmp(&much(b)));
    all.truncate(TRIED);
    all.into_iter().map(|by| Snapped { pattern: stretched(pattern, along, by), by }).collect()
}

/// The least step from one row of repeats to the next, across the rows that a direction crosses, in shortest repeats.
fn step_along(pattern: &Pattern, along: Vec2) -> Option<f64> {
    repeat_along(&pattern.repeat, Vec2::new(-along.y, along.x))?;
    (-AROUND..=AROUND)
        .flat_map(|m| (-AROUND..=AROUND).map(move |n| pattern.repeat_of(m, n).dot(along)))
        .filter(|far| *far > ALONG)
        .min_by(f64::total_cmp)
}

fn stretched(pattern: &Pattern, along: [Vec2; 2], by: [f64; 2]) -> Pattern {
    let moved = |v: Vec2| along[0] * (v.dot(along[0]) * by[0]) + along[1] * (v.dot(along[1]) * by[1]);
    let point = |p: Point| moved(p.to_vec2()).to_point();
    let mut pattern = pattern.clone();
    pattern.repeat = pattern.repeat.map(moved);
    for PatternShape { ring, .. } in &mut pattern.shapes {
        *ring = ring.map(point);
    }
    pattern.centres.iter_mut().for_each(|c| c.at = point(c.at));
    pattern
}
