//! Turns and mirrors that keep a field, and those that keep a pattern laid on it as well.

use super::field::Domain;
use super::mesh::{Mesh, Placed};
use super::tiling::Key;
use crate::geom::{Isometry, Point};

/// Turns are looked for in these steps, degrees, and mirrors in half of them: enough for every pattern with whole
/// symmetry (3, 4 and 6-fold).
const STEP: usize = 15;
/// A line is kept when its points come to lie this near it, mm. Drawn outlines are seldom truer than a micrometre.
const KEPT: f64 = 1e-3;
/// Points of every edge that are looked at.
const LOOKS: usize = 4;

/// How a move carries the places along one curve: to which curve, whether backwards, and where its start comes to lie.
#[derive(Debug, Clone, Copy)]
pub(super) struct AlongCurve {
    pub curve: usize,
    pub sign: f64,
    pub start: f64,
}

/// A move that keeps the field, with what becomes of its curves.
#[derive(Debug, Clone)]
pub(super) struct FieldSymmetry {
    pub by: Isometry,
    pub curves: Vec<AlongCurve>,
    /// How far any point that was looked at comes to lie off its curve, mm.
    pub off: f64,
}

/// The moves that keep a field, standing still first. On a band: the mirrors across and along it, about `about`.
pub(super) fn of_field(field: &Domain, about: Point) -> Vec<FieldSymmetry> {
    let steps: Vec<usize> = match field.period {
        Some(_) => vec![0, 180],
        None => (0..360).step_by(STEP).collect(),
    };
    [false, true]
        .into_iter()
        .flat_map(|mirror| steps.iter().map(move |&d| Isometry::about(about, d as f64, mirror)))
        .filter_map(|by| curves_kept(field, by))
        .collect()
}

fn curves_kept(field: &Domain, by: Isometry) -> Option<FieldSymmetry> {
    let (mut curves, mut off) = (Vec::new(), 0.0_f64);
    for curve in &field.curves {
        let mut points = curve.edges().iter().flat_map(|e| {
            let looks = if e.length() > 1.0 { LOOKS } else { 1 };
            (0..looks).map(move |k| e.point(k as f64 / looks as f64))
        });
        let first = by.carry(curve.point(0.0));
        let onto = (0..field.curves.len()).find(|&c| {
            (field.curves[c].length() - curve.length()).abs() < KEPT
                && field.curves[c].nearest(first).1 < KEPT
        })?;
        let target = &field.curves[onto];
        let too_far = |p: Point| {
            let far = target.nearest(by.carry(p)).1;
            off = off.max(far);
            far > KEPT
        };
        if points.any(too_far) {
            return None;
        }
        // The sense by a little step from the first point.
        let start = target.nearest(first).0;
        let way = by
            .turned(curve.direction(1e-6))
            .dot(target.direction(start + if by.is_mirror() { -1e-6 } else { 1e-6 }));
        curves.push(AlongCurve { curve: onto, sign: way.signum(), start });
    }
    Some(FieldSymmetry { by, curves, off })
}

/// Whether a move sends every cell of the pattern onto a cell.
pub(super) fn keeps_pattern(placed: &Placed, by: &Isometry) -> bool {
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

/// What a move makes of the keys of a pattern: each class becomes another, and repeats become repeats.
struct Carried {
    classes: Vec<Key>,
    steps: [[i64; 2]; 2],
}

impl Carried {
    fn of(placed: &Placed, by: &Isometry) -> Option<Carried> {
        let tiling = placed.tiling;
        let image = |key: Key| tiling.key(placed.own(by.carry(placed.world(tiling.position(key)))));
        let classes: Vec<Key> = (0..tiling.classes()).map(|c| image((c, 0, 0))).collect::<Option<_>>()?;
        let (_, i, j) = *classes.first()?;
        let step = |key: Key| image(key).map(|(_, m, n)| [m - i, n - j]);
        Some(Carried { steps: [step((0, 1, 0))?, step((0, 0, 1))?], classes })
    }

    fn key(&self, (class, i, j): Key) -> Key {
        let (onto, m, n) = self.classes[class];
        let [a, b] = self.steps;
        (onto, m + i * a[0] + j * b[0], n + i * a[1] + j * b[1])
    }
}

/// A symmetry of field and pattern, by the mesh's own numbers.
#[derive(Debug, Clone)]
pub(super) struct Symmetry {
    pub kept: FieldSymmetry,
    /// Where each vertex goes, and how many repeats of a band farther on.
    pub vertices: Vec<(usize, i64)>,
    pub tiles: Vec<usize>,
}

impl Symmetry {
    /// `None` when the mesh lacks an image: a cell that barely lies in the field.
    pub(super) fn of(mesh: &Mesh, placed: &Placed, kept: &FieldSymmetry) -> Option<Symmetry> {
        let carried = Carried::of(placed, &kept.by)?;
        let vertices: Option<Vec<(usize, i64)>> = mesh
            .rest
            .iter()
            .zip(&mesh.key_of)
            .map(|(&p, &key)| mesh.vertex(placed, carried.key(key), kept.by.carry(p)))
            .collect();
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
