//! The bent cells as rings: inner sides straight or arcs through three points, border sides the border's own line.

use super::field::Domain;
use super::keep::KeepSet;
use super::mesh::{Mesh, Placed};
use super::relax::Bent;
use super::seats::over_length;
use super::tiling::Node;
use crate::geom::{Point, Ring, Vec2, Vertex};

/// Arcs of cells that cross themselves are flattened to these parts of their rise, one after another.
const FLATTER: [f64; 3] = [0.6, 0.3, 0.0];
/// Bulges smaller than this are straight.
const STRAIGHT: f64 = 1e-9;

/// Vertices nearer than this are one, mm.
const TOGETHER: f64 = 1e-7;

/// One bent cell.
#[derive(Debug, Clone)]
pub(super) struct Face {
    pub tile: usize,
    /// The pattern's cell it is made from, and where that stands.
    pub shape: usize,
    pub at: Vec2,
    pub ring: Ring,
    /// It lies exactly as the pattern has it.
    pub whole: bool,
    /// It crosses itself or has turned inside out.
    pub crosses: bool,
}

/// All faces of a bent set, in the order of their tiles; a face that crosses itself has had its arcs flattened, in its
/// neighbours as well. `first`: the first image of every tile, which is looked at for all.
pub(super) fn faces(
    mesh: &Mesh,
    placed: &Placed,
    field: &Domain,
    set: &KeepSet,
    bent: &Bent,
    first: &[usize],
) -> Vec<Face> {
    let mut rises = vec![1.0; mesh.rest.len()];
    let face = |t: usize, rises: &[f64]| {
        let tile = &mesh.tiles[t];
        // A neighbour that lies as the pattern has it may still lose the rise of an arc they share.
        let whole = tile
            .corners
            .iter()
            .all(|(v, _)| bent.at[*v] == mesh.rest[*v] && bent.seats.curve[*v].is_none() && rises[*v] == 1.0);
        let (shape, at) = (tile.shape, placed.step(tile.step[0], tile.step[1]) + placed.origin);
        let own = || placed.kinds[shape].translated(at);
        if whole {
            return Face { tile: t, shape, at, ring: own(), whole, crosses: false };
        }
        // A face that has run together to a point is as bad as one that crosses itself.
        match ring(mesh, placed, field, set, bent, t, rises) {
            Some(ring) => Face { tile: t, shape, at, ring, whole, crosses: false },
            None => Face { tile: t, shape, at, ring: own(), whole, crosses: true },
        }
    };
    let crosses = |faces: &[Face], k: usize| {
        let Face { ring, tile, whole, crosses, .. } = &faces[k];
        match faces.binary_search_by_key(&first[*tile], |f| f.tile) {
            Ok(image) if image < k => faces[image].crosses,
            _ if *whole => false,
            _ => *crosses || ring.area() <= 0.0 || ring.self_intersection().is_some(),
        }
    };
    let kept: Vec<usize> = (0..mesh.tiles.len()).filter(|&t| set.kept[t]).collect();
    let mut faces: Vec<Face> = kept.iter().map(|&t| face(t, &rises)).collect();
    for k in 0..faces.len() {
        faces[k].crosses = crosses(&faces, k);
    }
    for part in FLATTER {
        let mut changed = vec![false; mesh.tiles.len()];
        for f in faces.iter().filter(|f| f.crosses) {
            for (at, (v, _)) in mesh.line(placed, f.tile).iter().zip(&mesh.tiles[f.tile].corners) {
                if at.node == Node::Rise && rises[*v] > part {
                    rises[*v] = part;
                    mesh.around[*v].iter().for_each(|(t, _)| changed[*t] = true);
                }
            }
        }
        for k in (0..faces.len()).filter(|&k| changed[kept[k]]) {
            faces[k] = face(kept[k], &rises);
            faces[k].crosses = crosses(&faces, k);
        }
    }
    faces
}

fn ring(
    mesh: &Mesh,
    placed: &Placed,
    field: &Domain,
    set: &KeepSet,
    bent: &Bent,
    t: usize,
    rises: &[f64],
) -> Option<Ring> {
    let tile = &mesh.tiles[t];
    let line = mesh.line(placed, t);
    let n = tile.corners.len();
    let at = |i: usize| {
        let (v, k) = tile.corners[i % n];
        bent.at[v] + Vec2::new(k as f64 * mesh.run, 0.0)
    };
    let border: Vec<bool> = (0..n).map(|i| set.is_border(t, i)).collect();
    // Start where a run of border sides starts, or at a corner that is not the middle of an arc.
    let start = (0..n)
        .find(|&i| border[i] && !border[(i + n - 1) % n])
        .or_else(|| (0..n).find(|&i| line[i].node != Node::Rise))
        .unwrap_or(0);
    let mut corners = Vec::new();
    let mut k = 0;
    while k < n {
        let i = (start + k) % n;
        if border[i] {
            let mut last = k;
            while last < n && border[(start + last) % n] {
                last += 1;
            }
            let seat = |i: usize| {
                let (v, over) = tile.corners[i % n];
                let c = bent.seats.curve[v].unwrap_or(0);
                (c, bent.seats.at[v] + over_length(&field.curves[c], over))
            };
            let ((c, from), (_, mut to)) = (seat(i), seat(start + last));
            let length = field.curves[c].length();
            if field.curves[c].period == Vec2::ZERO {
                to = from + (to - from).rem_euclid(length);
            }
            corners.extend(field.curves[c].between(from, to));
            k = last;
        } else if line[(i + 1) % n].node == Node::Rise {
            let rise = rises[tile.corners[(i + 1) % n].0];
            let bulge = through(at(i), at(i + 1), at(i + 2)) * rise;
            corners.push(Vertex { at: at(i), bulge: if bulge.abs() < STRAIGHT { 0.0 } else { bulge } });
            k += 2;
        } else {
            corners.push(Vertex { at: at(i), bulge: 0.0 });
            k += 1;
        }
    }
    // Sides that lay outside a rectangle have run together on its side.
    corners.dedup_by(|b, a| a.bulge == 0.0 && (b.at - a.at).hypot2() < TOGETHER * TOGETHER);
    // Nothing of a face that has lost its places is drawn.
    let finite = |v: &Vertex| v.at.is_finite() && v.bulge.is_finite();
    corners.iter().all(finite).then(|| Ring::if_any(corners)).flatten()
}

/// The bulge of the arc from `a` through `m` to `b`: its angle is twice what is left of a half turn at `m`.
fn through(a: Point, m: Point, b: Point) -> f64 {
    let (u, v) = (a - m, b - m);
    let angle = libm::atan2(u.cross(v), u.dot(v));
    // On an arc that bulges to the right, `b` is seen from `m` to the right of `a`.
    let half = (std::f64::consts::PI - angle.abs()) / 2.0;
    -libm::tan(half).min(1.0) * angle.signum() * if angle == 0.0 { 0.0 } else { 1.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Edge;

    #[test]
    fn an_arc_through_three_points_passes_them() {
        for (a, m, b) in [
            ((0.0, 0.0), (1.0, -0.5), (2.0, 0.0)),
            ((0.0, 0.0), (1.0, 0.5), (2.0, 0.0)),
            ((1.0, 1.0), (0.2, 0.9), (-0.5, 0.1)),
        ] {
            let (a, m, b) = (Point::from(a), Point::from(m), Point::from(b));
            let arc = Edge::between(a, through(a, m, b), b);
            assert!((arc.nearest(m) - m).hypot2().sqrt() < 1e-9, "{arc:?}");
        }
    }
}
