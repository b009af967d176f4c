//! The lines along which the kept cells meet the border.

use super::field::Domain;
use super::keep::{Foot, KeepSet};
use super::mesh::Mesh;

/// A closed chain of border vertices with the kept cells on its left, one for each curve of the field.
#[derive(Debug, Clone)]
pub(super) struct Loop {
    pub curve: usize,
    pub vertices: Vec<usize>,
    /// How many repeats of a band farther on each vertex lies than where the mesh has it.
    pub over: Vec<i64>,
    /// Whether an inner side (a bridge) ends at the vertex.
    pub foot: Vec<bool>,
}

/// Takes away what cannot be bent onto the field: parts that hang together only at a vertex, and all but the largest.
pub(super) fn tidy(set: &mut KeepSet, mesh: &Mesh) {
    loop {
        let mut doomed = Vec::new();
        for v in 0..mesh.rest.len() {
            if set.degree(v).1 > 2 {
                let kept = || mesh.around[v].iter().map(|(t, _)| *t).filter(|&t| set.kept[t]);
                let least = kept().map(|t| mesh.tiles[t].share).fold(f64::INFINITY, f64::min);
                doomed.extend(kept().filter(|&t| mesh.tiles[t].share <= least + 1e-6));
            }
        }
        if doomed.is_empty() {
            break;
        }
        doomed.into_iter().for_each(|t| set.kept[t] = false);
    }
    let mut part = vec![usize::MAX; mesh.tiles.len()];
    let mut sizes: Vec<f64> = Vec::new();
    for start in 0..mesh.tiles.len() {
        if !set.kept[start] || part[start] != usize::MAX {
            continue;
        }
        let (mut stack, mut size) = (vec![start], 0.0);
        part[start] = sizes.len();
        while let Some(t) = stack.pop() {
            size += mesh.tiles[t].share;
            for b in mesh.tiles[t].beside.iter().flatten() {
                if set.kept[*b] && part[*b] == usize::MAX {
                    part[*b] = sizes.len();
                    stack.push(*b);
                }
            }
        }
        sizes.push(size);
    }
    let largest = (0..sizes.len()).max_by(|&a, &b| sizes[a].total_cmp(&sizes[b]).then(b.cmp(&a)));
    for (kept, part) in set.kept.iter_mut().zip(part) {
        *kept &= Some(part) == largest;
    }
}

/// The border loops, in the order of the field's curves; `None` unless each curve has exactly one.
pub(super) fn loops(set: &KeepSet, mesh: &Mesh, field: &Domain, feet: &[Foot]) -> Option<Vec<Loop>> {
    // The border side that leaves each vertex.
    let mut leaving: Vec<Option<(usize, usize)>> = vec![None; mesh.rest.len()];
    let mut sides = 0;
    for (t, tile) in mesh.tiles.iter().enumerate().filter(|(t, _)| set.kept[*t]) {
        for i in 0..tile.corners.len() {
            if set.is_border(t, i) {
                let from = &mut leaving[tile.corners[i].0];
                if from.is_some() {
                    return None;
                }
                *from = Some((t, i));
                sides += 1;
            }
        }
    }
    let mut found: Vec<Option<Loop>> = vec![None; field.curves.len()];
    let mut seen = vec![false; mesh.rest.len()];
    let mut walked = 0;
    for start in 0..mesh.rest.len() {
        if leaving[start].is_none() || seen[start] {
            continue;
        }
        let (mut v, mut off) = (start, 0);
        let mut line = Loop { curve: 0, vertices: Vec::new(), over: Vec::new(), foot: Vec::new() };
        while !seen[v] {
            seen[v] = true;
            let (t, i) = leaving[v]?;
            line.vertices.push(v);
            line.over.push(off);
            line.foot.push(set.degree(v).0 > 1);
            let corners = &mesh.tiles[t].corners;
            let ((_, j), (next, k)) = (corners[i], corners[(i + 1) % corners.len()]);
            off += k - j;
            v = next;
            walked += 1;
        }
        if v != start {
            return None;
        }
        let votes = |c: usize| line.vertices.iter().filter(|&&v| feet[v].curve == c).count();
        line.curve = (0..field.curves.len()).max_by_key(|&c| (votes(c), std::cmp::Reverse(c)))?;
        let place = &mut found[line.curve];
        if place.is_some() || line.vertices.len() < if mesh.run > 0.0 { 1 } else { 3 } {
            return None;
        }
        *place = Some(line);
    }
    if walked != sides {
        return None;
    }
    found.into_iter().collect()
}
