//! A repeat pattern mapped into rounds by a conformal map (log-polar): rows become rings, openings grow outwards in step.

use super::{turned, Growth, GrowthAsk, LISTED};
use crate::catalogue::{find, Pattern};
use crate::geom::{LogPolar, Point, Ring, Vec2};
use crate::units::limits::{ROUND, UNLIKE};
use std::f64::consts::{PI, TAU};

/// Rounds stop at this part of the radius at the latest; farther in nothing can be sawn.
const HUB: f64 = 0.02;

/// What is bent and how far round. mm, radians.
#[derive(Debug, Clone)]
pub struct Rounds<'a> {
    /// The repeat that is bent.
    pub pattern: &'a Pattern,
    /// The repeat that runs round, in whole first and second repeats; it is laid level before bending.
    pub along: (i64, i64),
    /// Rings reach from `inner` to `outer` from the middle.
    pub inner: f64,
    /// The same, at the border.
    pub outer: f64,
    /// The whole round, or the angle of a cone's blank: then cells over both its ends are given at either end.
    pub sweep: f64,
    /// How many repeats make the round.
    pub count: u32,
    /// Cells are kept whole down to this area, mm2.
    pub smallest: f64,
}

/// Bends a pattern: (x, y) in repeats goes to the angle sweep x / count and the radius outer exp(sweep y / count), so
/// that the local size grows as the radius. The middle of the sweep points up; the pattern's right is clockwise. Sides
/// become arcs within the twentieth of a micrometre.
pub fn growing_rounds(ask: &Rounds) -> Vec<Ring> {
    let pattern = ask.pattern;
    let along = pattern.repeat_of(ask.along.0, ask.along.1);
    let length = along.hypot2().sqrt();
    let level = Vec2::new(along.x / length, -along.y / length);
    let laid = |v: Vec2| Vec2::new(v.x * level.x - v.y * level.y, v.x * level.y + v.y * level.x) / length;
    let [a, b] = pattern.repeat.map(laid);
    // The repeat from row to row: with `along` it makes all the others.
    let (m, n) = ask.along;
    // m s + n t = 1 makes (-t, s) the partner of (m, n).
    let (s, t) = partner(m, n);
    let up = a * -t as f64 + b * s as f64;
    let up = if up.y < 0.0 { -up } else { up };
    let count = f64::from(ask.count);
    let step = ask.sweep / count;
    let closed = ask.sweep > TAU - 1e-9;
    let depth = libm::log(ask.inner / ask.outer) / step;
    let shapes: Vec<Ring> =
        pattern.shapes.iter().map(|s| s.ring.map(|p| laid(p.to_vec2()).to_point())).collect();
    // The top of the first shape comes to lie on the rim.
    let top = shapes.first().map_or(0.0, |r| r.bounds().y1);
    // All round, its middle points up; on a blank it begins at the end, so that at least this row is whole there.
    let middle =
        shapes.first().map_or(0.0, |r| if closed { r.centroid().x - count / 2.0 } else { r.bounds().x0 });
    let map = LogPolar { centre: Point::ORIGIN, radius: ask.outer, unit: 1.0 / step, side: 1.0 };
    let mut rings = Vec::new();
    for shape in &shapes {
        let own = shape.bounds();
        // Rows from just above the rim down to the hub.
        let low = ((depth - (own.y1 - top)) / up.y).floor() as i64;
        let high = ((0.0 - (own.y0 - top)) / up.y).ceil() as i64;
        for row in low..=high {
            let lift = up * row as f64;
            // Start each row so that the first cell begins within the first repeat.
            let start = -(own.center().x + lift.x - middle).floor();
            let over = if closed { 0 } else { 2 };
            for k in -over..i64::from(ask.count) + over {
                let shift = Vec2::new(lift.x + start + k as f64 - middle, lift.y - top);
                let cell = shape.translated(shift);
                let bounds = cell.bounds();
                let beside = !closed && (bounds.x1 <= 1e-9 || bounds.x0 >= count - 1e-9);
                if bounds.y0 >= -1e-9 || bounds.y1 <= depth || beside {
                    continue;
                }
                let size = ask.outer * step * libm::exp(step * bounds.center().y);
                if shape.area() * size * size < ask.smallest {
                    continue;
                }
                rings.push(map.ring(&cell.translated(Vec2::new(-count / 2.0, 0.0))));
            }
        }
    }
    rings
}

/// Whole numbers s, t with m s + n t the greatest common part of m and n (Euclid).
fn partner(m: i64, n: i64) -> (i64, i64) {
    if n == 0 {
        return (m.signum(), 0);
    }
    let (s, t) = partner(n, m.rem_euclid(n));
    (t, s - m.div_euclid(n) * t)
}

fn rounds_of(ask: &GrowthAsk, pattern: &Pattern, along: (i64, i64)) -> Result<Growth, String> {
    let (centre, sweep) = ask.blank.unwrap_or((Point::ORIGIN, TAU));
    let points = ask.field.iter().flat_map(|r| r.outer().flatten(1e-4)).map(|p| (p - centre).hypot2().sqrt());
    let (near, far) = points.fold((f64::INFINITY, 0.0), |(a, b): (f64, f64), r| (a.min(r), b.max(r)));
    let far = if far > 0.0 { far } else { ask.reach() };
    let outer = far + ask.bridge / 2.0;
    let inner = if ask.blank.is_some() { near - ask.bridge / 2.0 } else { 0.0 };
    let count =
        ask.settings.fold.unwrap_or_else(|| (sweep * outer / ask.pitch).round().clamp(0.0, 1e6) as u32);
    if !(ROUND.least..=ROUND.most).contains(&f64::from(count)) {
        return Err(format!(
            "a pitch of {} puts {count} repeats round the border; {}: {}",
            ask.units.says(ask.pitch, 2),
            ROUND.range(ask.units),
            ROUND.why
        ));
    }
    let across = LISTED * ask.least + ask.bridge;
    let step = sweep / f64::from(count);
    let hub = inner.max(outer * HUB);
    // Area of a cell where the repeat that runs round is 1 long; nearer to the middle than `from` none can be pierced.
    let cell =
        pattern.repeat_area() / pattern.repeat_of(along.0, along.1).hypot2() / pattern.shapes.len() as f64;
    let from = hub.max((PI / 4.0 / cell).sqrt() * (ask.least + ask.bridge) / step).min(outer);
    let cells = f64::from(count) * libm::log(outer / from) / step / cell;
    match ask.settings.fold {
        Some(fold) if cells > UNLIKE.most => {
            // Twice as many round the border are four times as many in all.
            let would_do = (f64::from(fold) * (UNLIKE.most / cells).sqrt() * 0.99).floor();
            return Err(format!(
                "a fold of {fold} makes about {cells:.0} openings here, no two alike; the most is {}, {}: a fold of {would_do} \
                 would do",
                UNLIKE.most, UNLIKE.why
            ));
        }
        _ => ask.not_too_many(cells)?,
    }
    let rings = growing_rounds(&Rounds {
        pattern,
        along,
        inner: hub,
        outer,
        sweep,
        count,
        smallest: PI / 4.0 * across * across,
    });
    let order = if ask.blank.is_some() { 1 } else { count };
    // The middle of a blank lies towards the middle of the piece.
    let turn = match ask.blank {
        Some((centre, _)) => libm::atan2(-centre.y, -centre.x).to_degrees() - 90.0,
        None => ask.turn,
    };
    let mut cells = turned(rings, turn);
    for ring in &mut cells {
        *ring = ring.translated(centre.to_vec2());
    }
    Ok(Growth { cells, order, repeats: vec![count], ..Growth::default() })
}

pub(super) fn grow(ask: &GrowthAsk, pattern: &str) -> Result<Growth, String> {
    let pattern = find(pattern).ok_or_else(|| format!("the pattern file \"{pattern}\" is missing"))?;
    // Stand it as its file draws it, on the repeat that is level there.
    let along = level(&pattern);
    rounds_of(ask, &pattern, along)
}

/// Diamonds are squares on their corners: the repeat that runs round is the square's diagonal.
pub(super) fn grow_diamonds(ask: &GrowthAsk) -> Result<Growth, String> {
    let pattern = find("square").ok_or("the pattern file \"square\" is missing")?;
    rounds_of(ask, &pattern, (1, -1))
}

/// The shortest repeat that is level as the file draws the pattern; the first repeat if none is.
fn level(pattern: &Pattern) -> (i64, i64) {
    let mut best: Option<((i64, i64), f64)> = None;
    for m in -4..=4 {
        for n in -4..=4 {
            let v = pattern.repeat_of(m, n);
            let off = (libm::atan2(v.y, v.x).to_degrees() + pattern.upright).abs();
            if (m, n) != (0, 0) && off < 1e-6 && best.is_none_or(|(_, length)| v.hypot2().sqrt() < length) {
                best = Some(((m, n), v.hypot2().sqrt()));
            }
        }
    }
    best.map_or((1, 0), |(mn, _)| mn)
}
