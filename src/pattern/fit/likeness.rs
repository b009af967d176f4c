//! How like its own shape a bent cell is.

use super::judge::{CellShape, Distortion};
use super::mesh::Mesh;
use super::relax::Bent;
use crate::geom::{Point, Vec2};

/// What a border cell's distance from its own shape weighs in patterns that are known by their shapes: those of several
/// sizes, this much apart; and those of one with hollow cells, less convex than this, whose border cells lose a hollow to
/// the border and are still known by the others. Found by eye.
pub(super) const MOTIF: f64 = 5.0;
const HOLLOWED: f64 = 3.0;
const APART: f64 = 1.1;
const HOLLOW: f64 = 0.92;

/// What the shapes of cells weigh in a pattern, and not only their order.
pub(super) fn shape_weight(own: &[CellShape]) -> f64 {
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
pub(super) fn distortion(mesh: &Mesh, tile: usize, bent: &Bent, weight: f64) -> Distortion {
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
    Distortion { unlike: weight * far, stretched: (even + odd) / (even - odd).abs().max(1e-3) }
}
