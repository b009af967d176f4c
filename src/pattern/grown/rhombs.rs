//! Rhombs from a de Bruijn multigrid (crossed sets of parallel lines): every crossing becomes a diamond whose sides stand square to the two
//! lines (N. G. de Bruijn's multigrid, 1981; from memory).

use super::{turned, Growth, GrowthAsk};
use crate::geom::{Point, Ring, Vec2};
use std::f64::consts::{PI, TAU};

/// A diamond with sides 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rhomb {
    /// Anticlockwise.
    pub corners: [Point; 4],
    /// Which two directions its sides have, the lower first.
    pub sides: (u32, u32),
}

/// The diamonds of `fold` sets of lines that come within `reach` (in sides) of the middle. `offset` shifts every set
/// alike: 1/2 gives a star of 2 `fold` points in the middle, and no three lines ever meet; 1/5 with five sets the
/// five-pointed middle of wide and narrow diamonds.
pub fn crossed_lines(fold: u32, offset: f64, reach: f64) -> Vec<Rhomb> {
    let turn = if fold % 2 == 1 { TAU } else { PI } / f64::from(fold);
    let sides: Vec<Vec2> = (0..fold)
        .map(|j| Vec2::new(libm::cos(turn * f64::from(j)), libm::sin(turn * f64::from(j))))
        .collect();
    // Lines x . side + offset = whole. A diamond lies at about fold / 2 times its crossing.
    let wide = (reach + 0.7 * f64::from(fold) + 2.0) * 2.0 / f64::from(fold);
    let lines = wide.ceil() as i64 + 1;
    // What the ground round the middle of the lines is sent to.
    let middle = sides.iter().fold(Vec2::ZERO, |sum, &side| sum + side * offset.ceil());
    let mut rhombs = Vec::new();
    for (r, &u) in sides.iter().enumerate() {
        for (s, &v) in sides.iter().enumerate().skip(r + 1) {
            let whole = u.cross(v);
            for a in -lines..=lines {
                for b in -lines..=lines {
                    let (p, q) = (a as f64 - offset, b as f64 - offset);
                    let at = Vec2::new(p * v.y - q * u.y, q * u.x - p * v.x) / whole;
                    if at.hypot2() > wide * wide {
                        continue;
                    }
                    let mut corner = u * a as f64 + v * b as f64 - middle;
                    for (j, &side) in sides.iter().enumerate() {
                        if j != r && j != s {
                            corner += side * (at.dot(side) + offset).ceil();
                        }
                    }
                    let (first, second) = if whole > 0.0 { (u, v) } else { (v, u) };
                    let corner = corner.to_point();
                    let corners = [corner, corner + first, corner + first + second, corner + second];
                    let inner = corners.iter().map(|c| c.to_vec2().hypot2()).fold(f64::INFINITY, f64::min);
                    if inner <= reach * reach {
                        rhombs.push(Rhomb { corners, sides: (r as u32, s as u32) });
                    }
                }
            }
        }
    }
    rhombs
}

/// `fold` sets, or as many as the settings say (7 by default).
pub(super) fn grow(ask: &GrowthAsk, fold: Option<u32>, offset: f64) -> Result<Growth, String> {
    let fold = fold.unwrap_or_else(|| ask.settings.fold.unwrap_or(7).clamp(3, 15));
    let reach = ask.reach() / ask.pitch + 1.0;
    ask.not_too_many(PI * reach * reach / 0.5)?;
    let rings = crossed_lines(fold, offset, reach)
        .into_iter()
        .map(|r| Ring::polygon(r.corners.map(|c| Point::new(c.x * ask.pitch, c.y * ask.pitch))));
    let order = if offset == 0.5 { 2 * fold } else { fold };
    // A point of the star stands upright.
    Ok(Growth { cells: turned(rings, ask.turn + 90.0), order, ..Growth::default() })
}
