//! Turns and mirrors that keep a field, and those that keep a pattern laid on it as well.

use super::field::Field;
use super::mesh::{Mesh, Placed};
use super::tiling::Key;
use crate::geom::{sin_cos_degrees, Point, Vec2};

/// Turns are looked for in these steps, degrees, and mirrors in half of them: enough for every pattern with whole
/// symmetry (3, 4 and 6-fold).
const STEP: usize = 15;
/// A line is kept when its points come to lie this near it, mm. Drawn outlines are seldom truer than a micrometre.
const KEPT: f64 = 1e-3;
/// Points of every edge that are looked at.
const LOOKS: usize = 4;

/// A turn about a point, or a turn and a mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Move {
    about: Point,
    sin: f64,
    cos: f64,
    /// -1 for a mirror.
    side: f64,
}

impl Move {
    pub(super) fn is_mirror(&self) -> bool {
        self.side < 0.0
    }

    /// Along the mirror, for one.
    pub(super) fn axis(&self) -> Vec2 {
        // A point at angle b goes to `turn - b`: the mirror lies at half the turn.
        let half = libm::atan2(self.sin, self.cos) / 2.0;
        Vec2::new(libm::cos(half), libm::sin(half))
    }

    pub(super) fn carry(&self, p: Point) -> Point {
        self.about + self.turn(p - self.about)
    }

    pub(super) fn turn(&self, v: Vec2) -> Vec2 {
        let y = v.y * self.side;
        Vec2::new(v.x * self.cos - y * self.sin, v.x * self.sin + y * self.cos)
    }

    /// The move undone, on a direction.
    pub(super) fn turn_back(&self, v: Vec2) -> Vec2 {
        Vec2::new(v.x * self.cos + v.y * self.sin, (v.y * self.cos - v.x * self.sin) * self.side)
    }

    pub(super) fn back(&self, p: Point) -> Point {
        self.about + self.turn_back(p - self.about)
    }

    fn new(about: Point, degrees: usize, side: f64) -> Move {
        let (sin, cos) = sin_cos_degrees(degrees as f64);
        Move { about, sin, cos, side }
    }
}

/// How a move carries the places along one curve: to which curve, whether backwards, and where its start comes to lie.
#[derive(Debug, Clone, Copy)]
pub(super) struct Along {
    pub curve: usize,
    pub sign: f64,
    pub start: f64,
}

/// A move that keeps the field, with what becomes of its curves.
#[derive(Debug, Clone)]
pub(super) struct Kept {
    pub by: Move,
    pub curves: Vec<Along>,
}

/// The moves that keep a field, standing still first. On a band: the mirrors across and along it, about `about`.
pub(super) fn of_field(field: &Field, about: Point) -> Vec<Kept> {
    let steps: Vec<usize> = match field.period {
        Some(_) => vec![0, 180],
        None => (0..360).step_by(STEP).collect(),
    };
    [1.0, -1.0]
        .into_iter()
        .flat_map(|side| steps.iter().map(move |&d| Move::new(about, d, side)))
        .filter_map(|by| Some(Kept { by, curves: curves_kept(field, &by)? }))
        .collect()
}

fn curves_kept(field: &Field, by: &Move) -> Option<Vec<Along>> {
    let mut kept = Vec::new();
    for curve in &field.curves {
        let points = curve.edges().iter().flat_map(|e| {
            let looks = if e.length() > 1.0 { LOOKS } else { 1 };
            (0..looks).map(move |k| e.point(k as f64 / looks as f64))
        });
        let first = by.carry(curve.point(0.0));
        let onto = (0..field.curves.len()).find(|&c| {
            (field.curves[c].length() - curve.length()).abs() < KEPT
                && field.curves[c].nearest(first).1 < KEPT
        })?;
        let target = &field.curves[onto];
        if points.into_iter().any(|p| target.nearest(by.carry(p)).1 > KEPT) {
            return None;
        }
        // The sense by a little step from the first point.
        let start = target.nearest(first).0;
        let way = by
            .turn(curve.direction(1e-6))
            .dot(target.direction(start + if by.is_mirror() { -1e-6 } else { 1e-6 }));
        kept.push(Along { curve: onto, sign: way.signum(), start });
    }
    Some(kept)
}

/// Whether a move sends every cell of the pattern onto a cell.
pub(super) fn keeps_pattern(placed: &Placed, by: &Move) -> bool {
    let tiling = placed.tiling;
    tiling.shapes.iter().all(|shape| {
        let images: Option<Vec<Key>> = shape
            .iter()
            .map(|at| tiling.key(placed.own(by.carry(placed.world(tiling.position(at.key))))))
            .collect();
        let Some(mut images) = images else { return false };
        images.sort_unstable();
        tiling.shapes.iter().any(|other| {
            let mut keys: Vec<Key> = other.iter().map(|at| at.key).collect();
            keys.sort_unstable();
            if keys.len() != images.len() || keys[0].0 != images[0].0 {
                return false;
            }
            // Moved by whole repeats: the same step for all.
            keys.iter().any(|k| {
                let (di, dj) = (images[0].1 - k.1, images[0].2 - k.2);
                let mut moved: Vec<Key> = keys.iter().map(|k| (k.0, k.1 + di, k.2 + dj)).collect();
                moved.sort_unstable();
                k.0 == images[0].0 && moved == images
            })
        })
    })
}

/// A symmetry of field and pattern, by the mesh's own numbers.
#[derive(Debug, Clone)]
pub(super) struct Symmetry {
    pub kept: Kept,
    /// Where each vertex goes, and how many repeats of a band farther on.
    pub vertices: Vec<(usize, i64)>,
    pub tiles: Vec<usize>,
}

impl Symmetry {
    /// `None` when the mesh lacks an image: a cell that barely lies in the field.
    pub(super) fn of(mesh: &Mesh, placed: &Placed, kept: &Kept) -> Option<Symmetry> {
        let vertices: Option<Vec<(usize, i64)>> =
            mesh.rest.iter().map(|&p| mesh.vertex(placed, kept.by.carry(p))).collect();
        let vertices = vertices?;
        let tiles: Option<Vec<usize>> = mesh
            .tiles
            .iter()
            .map(|tile| {
                let mut images: Vec<usize> = tile.corners.iter().map(|(v, _)| vertices[*v].0).collect();
                images.sort_unstable();
                mesh.around[images[0]].iter().map(|(t, _)| *t).find(|&t| {
                    let mut own: Vec<usize> = mesh.tiles[t].corners.iter().map(|(v, _)| *v).collect();
                    own.sort_unstable();
                    own == images
                })
            })
            .collect();
        Some(Symmetry { kept: kept.clone(), vertices, tiles: tiles? })
    }
}
