//! `at_border = "join"`: a cell the border leaves too small to pierce is opened together with a neighbour.

use super::open::{bridge_of, pierceable};
use super::{LeftSolid, Opening};
use crate::geom::{boxes_apart2, cut, Boundary, Cut, Rect, Region, Ring};
use crate::job::Job;
use crate::outline::Outline;
use crate::pattern::Laid;

/// Two cells share an edge when they have at least this much of it in common, mm.
const SHARED: f64 = 1e-3;

/// Joins each small cell to the opened neighbour it shares most edge with. What could not be joined stays in `small`.
pub(super) fn join_small(
    job: &Job,
    outline: &Outline,
    laid: &Laid,
    openings: &mut Vec<(usize, Opening)>,
    small: &mut Vec<(usize, LeftSolid)>,
) {
    if laid.motif {
        return; // Motifs share no edges.
    }
    let raw = |c: usize| laid.kinds[laid.cells[c].kind].shifted(laid.cells[c].at);
    let mut boxes: Vec<(usize, Rect)> = Vec::new();
    for (c, _) in openings.iter() {
        boxes.push((*c, raw(*c).bounds()));
    }
    boxes.sort_by_key(|(c, _)| *c);
    boxes.dedup_by_key(|(c, _)| *c);

    // Cells that grow together, by the opened cell they are joined to.
    let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
    let mut alone = Vec::new();
    for (c, left) in small.drain(..) {
        let ring = raw(c);
        let bounds = ring.bounds();
        let near = boxes.iter().filter(|(_, b)| boxes_apart2(*b, bounds) < SHARED * SHARED);
        let mut best: Option<(f64, usize)> = None;
        for &(other, _) in near {
            let shared = shared_edge(&ring, &raw(other), outline);
            if shared > SHARED && best.is_none_or(|(s, _)| shared > s + SHARED) {
                best = Some((shared, other));
            }
        }
        match best {
            None => alone.push((c, left)),
            Some((_, to)) => match groups.iter_mut().find(|(g, _)| *g == to) {
                Some((_, with)) => with.push(c),
                None => groups.push((to, vec![c])),
            },
        }
    }
    for (to, with) in groups {
        let cells: Vec<Ring> = with.iter().chain([&to]).map(|&c| raw(c)).collect();
        match joined(job, outline, bridge_of(job, laid, &laid.cells[to]), &cells) {
            Some(opening) => {
                openings.retain(|(c, _)| *c != to);
                openings.push((to, opening));
            }
            None => alone.extend(with.into_iter().map(|c| {
                let reason = "too small to pierce, and it cannot be joined to its neighbour".to_string();
                (c, LeftSolid { at: raw(c).middle(), reason })
            })),
        }
    }
    *small = alone;
}

/// Length of edge two cells have in common inside the field's outer line, mm: half of what joining them saves.
fn shared_edge(a: &Ring, b: &Ring, outline: &Outline) -> f64 {
    let region = |r: &Ring| vec![Region::new(r.clone(), Vec::new())];
    let round = |regions: &[Region]| regions.iter().map(|r| r.outer.length()).sum::<f64>();
    let (a, b) = (cut(&region(a), Cut::Within, &outline.field), cut(&region(b), Cut::Within, &outline.field));
    (round(&a) + round(&b) - round(&cut(&a, Cut::Join, &b))) / 2.0
}

/// The opening of several cells taken as one, if it comes out as one that can be pierced.
fn joined(job: &Job, outline: &Outline, bridge: f64, cells: &[Ring]) -> Option<Opening> {
    let regions: Vec<Region> = cells.iter().map(|r| Region::new(r.clone(), Vec::new())).collect();
    let mut whole = cut(&regions, Cut::Join, &[]).into_iter();
    let (first, more) = (whole.next()?, whole.next());
    if more.is_some() || !first.holes.is_empty() {
        return None;
    }
    let drawn: Vec<Region> =
        first.outer.shrink(bridge / 2.0).into_iter().map(|r| Region::new(r, Vec::new())).collect();
    let mut bits = cut(&drawn, Cut::Within, &outline.field).into_iter();
    let (bit, more) = (bits.next()?, bits.next());
    if more.is_some() || !bit.holes.is_empty() {
        return None;
    }
    let mut rings = bit.outer.rounded(job.pattern.corner_radius.get()).into_iter();
    let (ring, more) = (rings.next()?, rings.next());
    let opening = Opening::of(ring, true);
    let clear = Boundary::new(outline.field.clone()).contains(opening.drill_at);
    (more.is_none() && clear && opening.widest.get() >= pierceable(job)).then_some(opening)
}
