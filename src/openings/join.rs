//! `at_border = "join"`: a cell the border leaves too small to pierce is opened together with a neighbour.

use super::taken::{bridge_of, pierceable};
use super::{LeftSolid, Opening};
use crate::geom::{boolean, box_distance2, BooleanOp, Boundary, Rect, Region, Ring};
use crate::job::Job;
use crate::outline::Outline;
use crate::pattern::Laid;

/// Two cells share an edge when they have at least this much of it in common, mm.
const SHARED: f64 = 1e-3;
/// An opening must nowhere be narrower than this part of its widest circle between two wider places: narrower looks like
/// a keyhole, and wants another file than the rest.
const NECK: f64 = 0.9;
/// Depths at which an opening is looked at for a neck. Fewer would miss a tail that hardly widens; more costs time.
const STEPS: usize = 60;
/// The field is looked at this far about the cells, mm: any width does.
const ABOUT: f64 = 1.0;

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
    let raw = |c: usize| laid.kinds[laid.cells[c].kind].translated(laid.cells[c].at);
    let mut boxes: Vec<(usize, Rect)> = Vec::new();
    for (c, _) in openings.iter() {
        boxes.push((*c, raw(*c).bounds()));
    }
    boxes.sort_by_key(|(c, _)| *c);
    boxes.dedup_by_key(|(c, _)| *c);

    // Cells that grow together, by the opened cell they are joined to.
    let mut groups: Vec<(usize, Vec<(usize, LeftSolid)>)> = Vec::new();
    let mut alone = Vec::new();
    for (c, left) in small.drain(..) {
        if boxes.binary_search_by_key(&c, |(c, _)| *c).is_ok() {
            alone.push((c, left)); // Another part of it is open by itself.
            continue;
        }
        let ring = raw(c);
        let bounds = ring.bounds();
        let touches = |(_, b): &&(usize, Rect)| box_distance2(*b, bounds) < SHARED * SHARED;
        let near: Vec<&(usize, Rect)> = boxes.iter().filter(touches).collect();
        let field = field_about(outline, near.iter().fold(bounds, |all, (_, b)| all.union(*b)));
        let inside = within(&ring, &field);
        let mut best: Option<(f64, usize)> = None;
        for &&(other, _) in &near {
            let shared = shared_edge(&inside, &within(&raw(other), &field));
            if shared > SHARED && best.is_none_or(|(s, _)| shared > s + SHARED) {
                best = Some((shared, other));
            }
        }
        match best {
            None => alone.push((c, left)),
            Some((_, to)) => match groups.iter_mut().find(|(g, _)| *g == to) {
                Some((_, with)) => with.push((c, left)),
                None => groups.push((to, vec![(c, left)])),
            },
        }
    }
    for (to, with) in groups {
        let bridge = bridge_of(job, laid, &laid.cells[to]);
        let cells: Vec<Ring> = with.iter().map(|(c, _)| *c).chain([to]).map(raw).collect();
        let over_all = cells.iter().map(Ring::bounds).reduce(|a, b| a.union(b)).unwrap_or_default();
        let field = field_about(outline, over_all);
        let opening = joined(job, &field, bridge, &cells);
        let missed = |(c, _): &(usize, LeftSolid)| {
            opening.as_ref().is_none_or(|o| !takes_most(&o.ring, &raw(*c), bridge, &field))
        };
        let (out, taken): (Vec<_>, Vec<_>) = with.into_iter().partition(missed);
        if let (Some(opening), false) = (opening, taken.is_empty()) {
            openings.retain(|(c, _)| *c != to);
            openings.push((to, opening));
        }
        alone.extend(out.into_iter().map(|(c, left)| {
            let reason = format!("{}, and it cannot be joined to its neighbour", left.reason);
            (c, LeftSolid { reason, ..left })
        }));
    }
    *small = alone;
}

/// What of the field lies about some cells: cutting them to it costs no more than they need.
fn field_about(outline: &Outline, cells: Rect) -> Vec<Region> {
    let about = cells.inflate(ABOUT, ABOUT);
    let near = |hole: &&Ring| box_distance2(hole.bounds(), about) == 0.0;
    let part = |r: &Region| Region::new(r.outer().clone(), r.holes().iter().filter(near).cloned().collect());
    let field: Vec<Region> = outline.field.iter().map(part).collect();
    boolean(&field, BooleanOp::Intersection, &[Region::new(Ring::rectangle(about), Vec::new())])
}

fn within(cell: &Ring, field: &[Region]) -> Vec<Region> {
    boolean(&[Region::new(cell.clone(), Vec::new())], BooleanOp::Intersection, field)
}

/// Length of edge that two cells cut to the field have in common, mm: half of what joining them saves.
fn shared_edge(a: &[Region], b: &[Region]) -> f64 {
    let round = |regions: &[Region]| regions.iter().map(|r| r.outer().perimeter()).sum::<f64>();
    (round(a) + round(b) - round(&boolean(a, BooleanOp::Union, b))) / 2.0
}

/// Whether an opening takes at least half of what the field leaves of a cell drawn in: rounding the corners of a narrow
/// joined opening may lose the small cell again.
fn takes_most(opening: &Ring, cell: &Ring, bridge: f64, field: &[Region]) -> bool {
    let drawn: Vec<Region> =
        cell.shrink(bridge / 2.0).into_iter().map(|r| Region::new(r, Vec::new())).collect();
    let left = boolean(&drawn, BooleanOp::Intersection, field);
    let taken = boolean(&left, BooleanOp::Intersection, &[Region::new(opening.clone(), Vec::new())]);
    let area = |regions: &[Region]| regions.iter().map(Region::area).sum::<f64>();
    area(&taken) >= 0.5 * area(&left)
}

/// Whether an opening narrows to less than [`NECK`] of its widest circle and widens again: drawn in by half of that or
/// less it then falls apart.
fn has_neck(ring: &Ring, widest: f64) -> bool {
    (1..=STEPS).any(|k| ring.shrink(NECK * widest / 2.0 * k as f64 / STEPS as f64).len() > 1)
}

/// The opening of several cells taken as one, if it comes out as one that can be pierced.
fn joined(job: &Job, field: &[Region], bridge: f64, cells: &[Ring]) -> Option<Opening> {
    let regions: Vec<Region> = cells.iter().map(|r| Region::new(r.clone(), Vec::new())).collect();
    let mut whole = boolean(&regions, BooleanOp::Union, &[]).into_iter();
    let (first, more) = (whole.next()?, whole.next());
    if more.is_some() || !first.holes().is_empty() {
        return None;
    }
    let drawn: Vec<Region> =
        first.outer().shrink(bridge / 2.0).into_iter().map(|r| Region::new(r, Vec::new())).collect();
    let mut bits = boolean(&drawn, BooleanOp::Intersection, field).into_iter();
    let (bit, more) = (bits.next()?, bits.next());
    if more.is_some() || !bit.holes().is_empty() {
        return None;
    }
    let mut rings = bit.outer().rounded(job.pattern.corner_radius.get()).into_iter();
    let (ring, more) = (rings.next()?, rings.next());
    let opening = Opening::of(ring, true);
    let clear = Boundary::new(field).contains(opening.drill_at);
    let smooth = more.is_none() && !has_neck(&opening.ring, opening.widest.get());
    (smooth && clear && opening.widest.get() >= pierceable(job)).then_some(opening)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::{inscribed_circle, Point, Vertex};

    fn necked(ring: &Ring) -> bool {
        has_neck(ring, 2.0 * inscribed_circle(ring).radius)
    }

    #[test]
    fn a_neck_is_narrower_than_what_lies_on_both_sides() {
        // Two squares of 4 mm with a passage between them, from one nearly closed to one as wide as they.
        let passage = |width: f64| {
            let h = width / 2.0;
            let right = [(1.0, -h), (1.0, -2.0), (5.0, -2.0), (5.0, 2.0), (1.0, 2.0), (1.0, h)];
            let left = right.iter().map(|(x, y)| (-x, -y));
            Ring::polygon(right.into_iter().chain(left).map(Point::from))
        };
        for width in [0.2, 1.0, 2.0, 3.0, 3.5] {
            assert!(necked(&passage(width)), "{width}");
        }
        assert!(!necked(&passage(3.7)));
        // A tail that only narrows is none, nor is a slot, a crescent or a brick.
        let tail = Ring::polygon([(0.0, -2.0), (9.0, 0.0), (0.0, 2.0), (-2.0, 0.0)].map(Point::from));
        let slot = Ring::new(vec![
            Vertex::new(0.0, -1.0, 0.0),
            Vertex::new(8.0, -1.0, 1.0),
            Vertex::new(8.0, 1.0, 0.0),
            Vertex::new(0.0, 1.0, 1.0),
        ]);
        let crescent = Ring::new(vec![Vertex::new(-4.0, 0.0, 0.9), Vertex::new(4.0, 0.0, -0.3)]);
        for (name, ring) in [("tail", tail), ("slot", slot), ("crescent", crescent)] {
            assert!(!necked(&ring), "{name}");
        }
        // A tadpole: a thin tail that ends in a little head.
        let tadpole = Ring::polygon(
            [
                (-2.0, -2.0),
                (2.0, -2.0),
                (2.0, -0.3),
                (6.0, -0.3),
                (6.0, -0.6),
                (7.2, -0.6),
                (7.2, 0.6),
                (6.0, 0.6),
                (6.0, 0.3),
                (2.0, 0.3),
                (2.0, 2.0),
                (-2.0, 2.0),
            ]
            .map(Point::from),
        );
        assert!(necked(&tadpole));
    }
}
