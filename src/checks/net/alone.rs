//! Parts of the metal that a single border walls in: they hang on one neck.

use super::{clean_up, Alone, Net};
use crate::checks::Side;
use crate::geom::{ClosestPoints, Point, Ring, Vertex};
use crate::job::Job;
use crate::openings::Piece;
use crate::units::Mm;

/// Every part of the graph that has no way to the border, with the neck that holds it. A part whose wall is not found
/// (metal that falls out) is left to `loose-metal`.
pub(super) fn alone(job: &Job, piece: &Piece, net: &Net) -> Vec<Alone> {
    let mut part = vec![usize::MAX; net.joints.len()];
    let mut parts: Vec<Vec<usize>> = Vec::new();
    for start in 0..net.joints.len() {
        if part[start] != usize::MAX || net.joints[start].to_border.is_some() {
            continue;
        }
        let mut members = vec![start];
        part[start] = parts.len();
        let mut k = 0;
        while k < members.len() {
            for &s in &net.joints[members[k]].spans {
                for other in net.spans[s].joints {
                    if part[other] == usize::MAX {
                        part[other] = parts.len();
                        members.push(other);
                    }
                }
            }
            k += 1;
        }
        parts.push(members);
    }
    let mut all: Vec<Alone> = parts.iter().filter_map(|members| held(job, piece, net, members)).collect();
    all.sort_by(|a, b| a.finished.get().total_cmp(&b.finished.get()).then(a.inside.cmp(&b.inside)));
    all
}

fn held(job: &Job, piece: &Piece, net: &Net, members: &[usize]) -> Option<Alone> {
    let mut sides: Vec<Side> = members.iter().flat_map(|&j| net.joints[j].between.iter().copied()).collect();
    sides.sort();
    sides.dedup();
    let inside = net.joints[*members.first()?].at;
    let necks = sides.iter().filter_map(|&side| Some((side, neck(ring_of(piece, side)?, inside)?)));
    let (wall, gap) = necks.min_by(|a, b| a.1.distance.total_cmp(&b.1.distance))?;
    let finished = Mm(gap.distance - 2.0 * clean_up(job, piece, wall));
    let carries = sides.into_iter().filter(|s| *s != wall).collect();
    Some(Alone { inside: wall, width: Mm(gap.distance), finished, at: gap.at, carries })
}

fn ring_of(piece: &Piece, side: Side) -> Option<&Ring> {
    match side {
        Side::Opening(n) => piece.openings.get(n.checked_sub(1)?).map(|o| &o.ring),
        Side::Window(w) => piece.outline.windows.get(w.checked_sub(1)?).map(|w| &w.ring),
        Side::Edge | Side::Hole(_) => None,
    }
}

/// The shortest way across the metal from a ring to itself that shuts a point off.
fn neck(ring: &Ring, inside: Point) -> Option<ClosestPoints> {
    let n = ring.vertices.len();
    let mut gaps: Vec<(usize, usize, ClosestPoints)> = Vec::new();
    for i in 0..n {
        for j in i + 1..n {
            let gap = ring.edge(i).closest(&ring.edge(j));
            if gap.distance > 1e-6 {
                gaps.push((i, j, gap));
            }
        }
    }
    gaps.sort_by(|a, b| a.2.distance.total_cmp(&b.2.distance));
    let shuts = |(i, j, gap): &(usize, usize, ClosestPoints)| {
        let [p, q] = gap.at;
        let in_metal = [0.02, 0.25, 0.5, 0.75, 0.98].iter().all(|t| !ring.contains(p.lerp(q, *t)));
        // From p along the ring to q and straight back; curves as their chords will do to tell in from out, but for
        // the two that are cut, whose rest is a chord as well.
        let corner = |at: Point| Vertex { at, bulge: 0.0 };
        let between: Vec<Vertex> = std::iter::once(corner(p))
            .chain((i + 1..=*j).map(|k| ring.vertices[k]).map(|c| Vertex { at: c.at, bulge: c.bulge }))
            .chain([corner(q)])
            .collect();
        let mut pocket = Ring::new(between);
        let last = pocket.vertices.len() - 2;
        pocket.vertices[last].bulge = 0.0;
        let rest: Vec<Vertex> = std::iter::once(corner(q))
            .chain((j + 1..n).chain(0..=*i).map(|k| ring.vertices[k]))
            .chain([corner(p)])
            .collect();
        let mut other = Ring::new(rest);
        let last = other.vertices.len() - 2;
        other.vertices[last].bulge = 0.0;
        let (a, b) = (pocket.contains(inside), other.contains(inside));
        let smaller_a = pocket.area().abs() <= other.area().abs();
        in_metal && if smaller_a { a } else { b }
    };
    gaps.into_iter().find(shuts).map(|(_, _, gap)| gap)
}
