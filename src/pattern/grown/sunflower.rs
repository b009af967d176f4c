//! Seeds on the spiral of a sunflower head, each with the ground nearest to it.

use super::lloyd::{grade_at, relaxed, Lloyd, CELL};
use super::{polar, Growth, GrowthAsk};
use crate::geom::{Point, Rect};
use std::f64::consts::PI;

/// Turn from one seed to the next: pi (3 - sqrt 5), 137.508 degrees (published; Vogel 1979 gives 137.5).
pub(super) const GOLDEN_TURN: f64 = 2.399_963_229_728_653;
/// Lloyd iterations for the edge row when cells are eased along the border; a few are enough to even one row.
const EDGE_ITERATIONS: u32 = 12;
/// Seeds nearer to the border than this many pitches are moved when easing.
const EDGE_ROW: f64 = 1.2;

/// Seeds out to `reach`, the pitch `size(r)` times `pitch`: so many lie within r as cells of that pitch fit there.
fn seeds(pitch: f64, reach: f64, size: impl Fn(f64) -> f64) -> Vec<Point> {
    let mut points = Vec::new();
    // One step is one more seed: r dr = cell area / (2 pi).
    let mut square = 0.0;
    let share = |r: f64| {
        let local = pitch * size(r);
        CELL * local * local / PI
    };
    for n in 1u32.. {
        let here = share(libm::sqrt(square));
        let middle = libm::sqrt(square + 0.5 * here);
        let step = share(middle);
        let r = libm::sqrt(square + 0.5 * step);
        if r > reach {
            break;
        }
        points.push(polar(r, GOLDEN_TURN * f64::from(n)));
        square += step;
    }
    points
}

pub(super) fn grow(ask: &GrowthAsk) -> Result<Growth, String> {
    let room = 2.0 * ask.pitch * (1.0 + ask.settings.grade.clamp(0.0, 2.0));
    let reach = ask.reach() + room;
    let finest = (1.0 + ask.settings.grade.clamp(-0.7, 0.0)) * ask.pitch;
    ask.not_too_many(PI * reach * reach / (CELL * finest * finest))?;
    let size = grade_at(ask);
    let mut points = seeds(ask.pitch, reach, |r| size(Point::new(r, 0.0)));
    let follow = ask.ease && !ask.field.is_empty();
    let (s, c) = crate::geom::sin_cos_degrees(ask.turn);
    for p in &mut points {
        *p = Point::new(p.x * c - p.y * s, p.x * s + p.y * c);
    }
    let mut still = points.len();
    if follow {
        // Those in the field only, the edge row last so that it alone is evened.
        let depth = |p: &Point| {
            let depths = ask.field.iter().map(|r| {
                r.holes().iter().map(|h| -h.signed_distance(*p)).fold(r.outer().signed_distance(*p), f64::min)
            });
            depths.fold(f64::NEG_INFINITY, f64::max)
        };
        let row = EDGE_ROW * ask.pitch;
        let depths: Vec<(Point, f64)> = points.iter().map(|p| (*p, depth(p))).collect();
        let inner: Vec<Point> = depths.iter().filter(|d| d.1 >= row).map(|d| d.0).collect();
        still = inner.len();
        points = inner;
        // A seed all but on the border would have half a cell: it gives its place to its neighbours.
        points.extend(depths.iter().filter(|d| d.1 < row && d.1 > 0.15 * ask.pitch).map(|d| d.0));
    }
    let bounds = Rect::new(-reach, -reach, reach, reach);
    let even = |_: Point| 1.0;
    let relaxation = Lloyd {
        field: if follow { ask.field } else { &[] },
        bounds,
        pitch: ask.pitch,
        beyond: ask.bridge / 2.0,
        iterations: if follow { EDGE_ITERATIONS } else { 0 },
        weight: &even,
    };
    let (cells, _) = relaxed(&relaxation, points, still);
    Ok(Growth { cells, order: 1, ..Growth::default() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_turn_and_the_count() {
        assert!((GOLDEN_TURN - PI * (3.0 - 5f64.sqrt())).abs() < 1e-15);
        // r = c sqrt(n - 1/2) with pi c^2 = one cell.
        let points = seeds(1.0, 20.0, |_| 1.0);
        let c = (CELL / PI).sqrt();
        for (k, p) in points.iter().enumerate() {
            assert!((p.to_vec2().hypot2().sqrt() - c * (k as f64 + 0.5).sqrt()).abs() < 1e-9);
        }
    }
}
