//! Rosettes: circles through one point, petals, rays, brick rounds and diamonds in rings.

use super::{polar, turned, Growth, GrowthAsk, LISTED};
use crate::geom::{Point, Ring, Vertex};
use crate::units::limits::{RINGS, RING_OPENINGS};
use std::f64::consts::{PI, TAU};

/// Length of an opening of the brick rounds over the width of its ring. 1 would be squares.
const BRICK: f64 = 1.6;
/// Radius of the round opening in the middle of the brick rounds over the width of a ring.
const CORE: f64 = 0.6;
/// Length of a petal over the room from petal to petal half way along it. Larger makes needles, smaller buttons.
const PETAL: f64 = 2.2;
/// Longest petal over its distance from the middle to its outer tip; more would run the petals together at the hub.
const LONGEST: f64 = 0.75;
/// Most rings of petals.
const PETAL_RINGS: u32 = 8;

/// Angle of the `k`th of `fold` rays, one pointing up.
fn ray(k: u32, fold: u32) -> f64 {
    PI / 2.0 + TAU * f64::from(k) / f64::from(fold)
}

/// Cells between `fold` equal circles of radius `radius` through the middle (`fold` even): in each ring every cell is
/// bounded by four arcs of 360 / fold degrees. The petals between neighbouring circles at the hub are not among them.
pub fn circle_rosette(fold: u32, radius: f64) -> Vec<Ring> {
    let half = PI / f64::from(fold);
    let bulge = libm::tan(half / 2.0);
    let out = |j: u32| 2.0 * radius * libm::cos(half * f64::from(j));
    let mut rings = Vec::new();
    for m in 1..fold / 2 {
        for k in 0..fold {
            let at = ray(k, fold) + half * f64::from(m);
            let corner = |r: f64, turn: f64, bulge: f64| Vertex { at: polar(r, at + turn), bulge };
            rings.push(Ring::new(vec![
                corner(out(m + 1).max(0.0), 0.0, -bulge),
                corner(out(m), -half, bulge),
                corner(out(m - 1), 0.0, bulge),
                corner(out(m), half, -bulge),
            ]));
        }
    }
    rings
}

pub(super) fn circles(ask: &GrowthAsk) -> Result<Growth, String> {
    let radius = ask.radius() + ask.bridge / 2.0;
    let fold = ask.fold(radius / 2.0, true, 6, RING_OPENINGS);
    let notes = vec![format!("{fold} circles through the middle")];
    Ok(Growth {
        cells: turned(circle_rosette(fold, radius / 2.0), ask.turn),
        order: fold,
        notes,
        ..Growth::default()
    })
}

/// A ring's part between two radii, `half` to either side of `at` (radians).
pub fn sector(inner: f64, outer: f64, at: f64, half: f64) -> Ring {
    let bulge = libm::tan(half / 2.0);
    let corner = |r: f64, turn: f64, bulge: f64| Vertex { at: polar(r, at + turn), bulge };
    Ring::new(vec![
        corner(inner, -half, 0.0),
        corner(outer, -half, bulge),
        corner(outer, half, 0.0),
        corner(inner, half, -bulge),
    ])
}

pub(super) fn rays(ask: &GrowthAsk) -> Result<Growth, String> {
    let radius = ask.radius() + ask.bridge / 2.0;
    let fold = ask.fold(radius, false, 5, RING_OPENINGS);
    let half = PI / f64::from(fold);
    // As wide as high: every ring is smaller than the next by the angle of one opening.
    let ratio = libm::exp(-2.0 * half);
    let mut rings = Vec::new();
    let mut outer = radius;
    for row in 0..RINGS {
        let inner = outer * ratio;
        if 2.0 * outer * half - ask.bridge < (LISTED * ask.least).max(0.01 * radius) {
            break;
        }
        let shift = if row % 2 == 0 { 0.0 } else { half };
        rings.extend((0..fold).map(|k| sector(inner, outer, ray(k, fold) + shift, half)));
        outer = inner;
    }
    Ok(Growth { cells: turned(rings, ask.turn), order: fold, ..Growth::default() })
}

pub(super) fn bricks(ask: &GrowthAsk) -> Result<Growth, String> {
    let radius = ask.radius() + ask.bridge / 2.0;
    let count = (radius / ask.pitch - CORE).round().max(1.0);
    ask.not_too_many(PI * count * count / BRICK)?;
    let width = radius / (count + CORE);
    let mut rings = vec![Ring::circle(Point::ORIGIN, CORE * width)];
    for row in 0..count as u32 {
        let inner = (CORE + f64::from(row)) * width;
        let outer = inner + width;
        let fold = ((PI * (inner + outer)) / (BRICK * width)).round().max(3.0) as u32;
        let half = PI / f64::from(fold);
        // Openings and bridges stand at the top by turns.
        let shift = if row % 2 == 0 { 0.0 } else { half };
        rings.extend((0..fold).map(|k| sector(inner, outer, ray(k, fold) + shift, half)));
    }
    Ok(Growth { cells: turned(rings, ask.turn), order: 1, ..Growth::default() })
}

/// Diamonds with sides `side` in rings round the middle; together an even shape of `fold` (even) sides of 2 `side`.
pub fn diamond_rosette(fold: u32, side: f64) -> Vec<Ring> {
    let half = PI / f64::from(fold);
    let out = |j: u32| side * libm::sin(half * f64::from(j)) / libm::sin(half);
    let mut rings = Vec::new();
    for m in 1..fold / 2 {
        for k in 0..fold {
            let at = ray(k, fold) + half * f64::from(m - 1);
            rings.push(Ring::polygon([
                polar(out(m - 1), at),
                polar(out(m), at - half),
                polar(out(m + 1), at),
                polar(out(m), at + half),
            ]));
        }
    }
    rings
}

pub(super) fn diamonds(ask: &GrowthAsk) -> Result<Growth, String> {
    let radius = ask.radius() + ask.bridge / 2.0;
    // The outer corners lie side / sin(180 / fold) from the middle.
    let by_pitch = (PI / libm::asin((ask.pitch / radius).min(0.5))).round() as u32;
    let fold = ask.settings.fold.unwrap_or(by_pitch).clamp(6, RING_OPENINGS);
    let fold = fold + fold % 2;
    let side = radius * libm::sin(PI / f64::from(fold));
    Ok(Growth { cells: turned(diamond_rosette(fold, side), ask.turn), order: fold, ..Growth::default() })
}

/// A petal along +x from `inner` to `outer`, `width` across at its middle.
pub fn petal(inner: f64, outer: f64, width: f64) -> Ring {
    let bulge = width / (outer - inner);
    Ring::new(vec![Vertex::new(inner, 0.0, bulge), Vertex::new(outer, 0.0, bulge)])
}

/// Metal between two such petals whose middles are 2 `half` (radians) apart.
pub fn petal_gap(inner: f64, outer: f64, width: f64, half: f64) -> f64 {
    let (length, deep) = (outer - inner, width / 2.0);
    let radius = (length * length / 4.0 + deep * deep) / (2.0 * deep);
    let (s, c) = (libm::sin(half), libm::cos(half));
    // Nearest to the ray between them is the arc, or its inner tip when the arc turns away before.
    if libm::asin((length / (2.0 * radius)).min(1.0)) > half {
        2.0 * (0.5 * (inner + outer) * s + (radius - deep) * c - radius)
    } else {
        2.0 * inner * s
    }
}

pub(super) fn petals(ask: &GrowthAsk) -> Result<Growth, String> {
    let radius = ask.radius();
    let fold = ask.fold(0.75 * radius, false, 5, RING_OPENINGS);
    let half = PI / f64::from(fold);
    // Length l = PETAL times the room at the middle of the petal, 2 half (outer - l / 2).
    let part = (2.0 * PETAL * half / (1.0 + PETAL * half)).min(LONGEST);
    let mut rings: Vec<Ring> = Vec::new();
    let mut outer = radius;
    for row in 0..PETAL_RINGS {
        let inner = outer * (1.0 - part);
        let width = widest_petal(inner, outer, half, ask.bridge);
        if width < 0.01 * radius {
            break;
        }
        let shift = if row % 2 == 0 { 0.0 } else { half };
        let one = petal(inner, outer, width);
        rings.extend((0..fold).map(|k| one.rotated((ray(k, fold) + shift).to_degrees())));
        // One ring past the last that can be pierced, to be named as left out.
        if width < ask.least {
            break;
        }
        // The next ring's tips reach up between these petals as far as the bridge allows.
        outer = nested(&one, inner, half, part, ask.bridge);
    }
    if rings.is_empty() {
        return Err(format!(
            "{fold} petals leave no room for a bridge of {}: make the pitch larger",
            ask.units.says(ask.bridge, 2)
        ));
    }
    Ok(Growth { cells: turned(rings, ask.turn), motif: true, order: fold, ..Growth::default() })
}

/// As wide as leaves the bridge between neighbours; 0 if nothing does.
fn widest_petal(inner: f64, outer: f64, half: f64, bridge: f64) -> f64 {
    let (mut low, mut high) = (0.0, outer - inner);
    for _ in 0..60 {
        let width = 0.5 * (low + high);
        if petal_gap(inner, outer, width, half) >= bridge {
            low = width;
        } else {
            high = width;
        }
    }
    low
}

/// How far out the petals of the next ring may reach when they stand between those of this one.
fn nested(one: &Ring, inner: f64, half: f64, part: f64, bridge: f64) -> f64 {
    let clear = |outer: f64| {
        let from = outer * (1.0 - part);
        let width = widest_petal(from, outer, half, bridge);
        if width <= 0.0 {
            return true;
        }
        let next = petal(from, outer, width).rotated(half.to_degrees());
        next.closest(one).distance >= bridge
    };
    let (mut low, mut high) = (0.5 * inner, inner / (1.0 - part));
    for _ in 0..40 {
        let outer = 0.5 * (low + high);
        if clear(outer) {
            low = outer;
        } else {
            high = outer;
        }
    }
    low
}
