//! The bridge graph: every place where the metal narrows between two edges, measured.
//!
//! A bridge is where a disc held between two edges, touching both at their least distance, touches nothing else. So
//! openings that face each other share a bridge; openings that only meet corner to corner across a joint do not.

use super::{Bridge, BridgeGraph, Side};
use crate::geom::{boxes_apart2, Boundary, Gap, Rect, Ring};
use crate::job::Job;
use crate::openings::Piece;
use crate::units::Mm;
use rstar::{RTree, RTreeObject, AABB};

/// Neighbours are looked for this many bridges away; further ones count only for openings with none so near.
/// Larger only costs time (with its square); smaller would miss wide bridges beside narrow ones.
const REACH: f64 = 1.6;
/// A disc touches a third edge when it comes within this of it, mm.
const TOUCH: f64 = 1e-6;

/// An opening in the tree, or its image on the other side of a band's seam.
struct Near<'a> {
    opening: usize,
    /// 0 for the opening itself, 1 and -1 for its images.
    image: i8,
    ring: std::borrow::Cow<'a, Ring>,
    bounds: Rect,
}

impl RTreeObject for Near<'_> {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        around(self.bounds, 0.0)
    }
}

fn around(b: Rect, reach: f64) -> AABB<[f64; 2]> {
    AABB::from_corners([b.x0 - reach, b.y0 - reach], [b.x1 + reach, b.y1 + reach])
}

/// The outer edge, a window or a hole, with what clean-up takes off its side, mm.
struct Fixed {
    side: Side,
    ring: Ring,
    line: Boundary,
    reach: f64,
    clean_up: f64,
    /// The outer edge as measured, when it was: finished widths run to it.
    found: Option<Boundary>,
}

/// What a gap runs between.
#[derive(Clone, Copy, PartialEq)]
enum End {
    Opening(usize, i8),
    Fixed(usize),
}

struct Field<'a> {
    tree: RTree<Near<'a>>,
    fixed: Vec<Fixed>,
    clean_up: f64,
}

/// Measures every bridge of a piece, thinnest finished first. Every opening has at least one.
pub fn graph(job: &Job, piece: &Piece) -> BridgeGraph {
    let clean_up = job.saw.clean_up.get();
    let reach =
        (REACH * job.pattern.most_bridge().get()).max(1.25 * (job.limits.bridge.get() + 2.0 * clean_up));
    let field = Field { tree: tree_of(piece, reach), fixed: fixed_edges(job, piece, reach), clean_up };
    let mut bridges = Vec::with_capacity(piece.openings.len() * 3);
    for i in 0..piece.openings.len() {
        field.bridges_of(i, piece, reach, &mut bridges);
    }
    for (a, first) in field.fixed.iter().enumerate() {
        for (b, second) in field.fixed.iter().enumerate().skip(a + 1) {
            let gap = first.ring.gap(&second.ring);
            if field.is_neck(&gap, [End::Fixed(a), End::Fixed(b)]) {
                let finished = gap.width - first.clean_up - second.clean_up;
                bridges.push(bridge([first.side, second.side], gap, finished));
            }
        }
    }
    bridges.sort_by(|a, b| {
        let key = |b: &Bridge| (b.finished.get() * 1e6).round() as i64;
        key(a).cmp(&key(b)).then(a.between.cmp(&b.between))
    });
    // Two openings that are each other's nearest would name their bridge twice.
    bridges.dedup_by(|a, b| a.between == b.between && (a.width - b.width).get().abs() < TOUCH);
    BridgeGraph { bridges }
}

fn tree_of(piece: &Piece, reach: f64) -> RTree<Near<'_>> {
    use std::borrow::Cow;
    let mut all = Vec::with_capacity(piece.openings.len());
    let seam = piece.outline.seam.map(|seam| (seam, seam.part_edges(&piece.outline.edge).0));
    for (opening, o) in piece.openings.iter().enumerate() {
        all.push(Near { opening, image: 0, bounds: o.ring.bounds(), ring: Cow::Borrowed(&o.ring) });
        for (seam, (end, onwards)) in seam.iter().flat_map(|(s, ends)| ends.iter().map(move |e| (s, e))) {
            let bounds = o.ring.bounds();
            let near = boxes_apart2(bounds, end.bounds()) <= 4.0 * reach * reach;
            if near && o.ring.edges().any(|e| e.gap(end).width <= 2.0 * reach) {
                let ring = seam.carry(&o.ring, *onwards);
                let image = if *onwards { 1 } else { -1 };
                all.push(Near { opening, image, bounds: ring.bounds(), ring: Cow::Owned(ring) });
            }
        }
    }
    RTree::bulk_load(all)
}

fn fixed_edges(job: &Job, piece: &Piece, reach: f64) -> Vec<Fixed> {
    let outline = &piece.outline;
    let clean_up = job.saw.clean_up.get();
    let fixed = |side, ring: Ring, reach: f64, clean_up| {
        let line = Boundary::of_ring(&ring);
        Fixed { side, ring, line, reach, clean_up, found: None }
    };
    let mut edge = fixed(Side::Edge, outline.edge.clone(), reach.max(1.5 * outline.border.get()), clean_up);
    if let Some(seam) = outline.seam {
        // The two ends are no edge: they meet.
        edge.line = Boundary::of_edges(seam.part_edges(&outline.edge).1);
    }
    if let Some(found) = &outline.found {
        edge.found = Some(Boundary::of_ring(found));
        edge.clean_up = 0.0;
    }
    let mut all = vec![edge];
    for (w, window) in outline.windows.iter().enumerate() {
        let reach = reach.max(1.5 * window.border.get());
        all.push(fixed(Side::Window(w + 1), window.ring.clone(), reach, clean_up));
    }
    for (h, hole) in outline.holes.iter().enumerate() {
        let ring = Ring::circle(hole.at, hole.diameter.get() / 2.0);
        all.push(fixed(Side::Hole(h + 1), ring, reach, 0.0));
    }
    all
}

fn bridge(between: [Side; 2], gap: Gap, finished: f64) -> Bridge {
    Bridge { between, width: Mm(gap.width), finished: Mm(finished), at: gap.at }
}

impl Field<'_> {
    /// The bridges opening `i` shares with openings of a higher number and with fixed edges; its nearest neighbour
    /// when nothing is within reach.
    fn bridges_of(&self, i: usize, piece: &Piece, reach: f64, bridges: &mut Vec<Bridge>) {
        let opening = &piece.openings[i];
        let bounds = opening.ring.bounds();
        let mut least = f64::INFINITY;
        for near in self.tree.locate_in_envelope_intersecting(around(bounds, reach)) {
            if near.opening == i || boxes_apart2(bounds, near.bounds) > reach * reach {
                continue;
            }
            let first = (near.image == 0 && near.opening > i) || near.image == 1;
            if !first && least <= reach {
                continue;
            }
            let Some(gap) = opening.ring.gap_within(bounds, &near.ring, near.bounds, reach) else { continue };
            least = least.min(gap.width);
            if first && self.is_neck(&gap, [End::Opening(i, 0), End::Opening(near.opening, near.image)]) {
                let between = [Side::Opening(opening.n), Side::Opening(piece.openings[near.opening].n)];
                bridges.push(bridge(between, gap, gap.width - 2.0 * self.clean_up));
            }
        }
        for (f, fixed) in self.fixed.iter().enumerate() {
            let Some(gap) = fixed.line.gap(&opening.ring, fixed.reach) else { continue };
            least = least.min(gap.width);
            if self.is_neck(&gap, [End::Opening(i, 0), End::Fixed(f)]) {
                bridges.push(self.to_fixed(i, piece, fixed, gap));
            }
        }
        // Nothing so near, or only the edge, whose bridges are looked for further out: the nearest of all counts.
        if least > reach {
            bridges.extend(self.nearest(i, piece));
        }
    }

    fn to_fixed(&self, i: usize, piece: &Piece, fixed: &Fixed, gap: Gap) -> Bridge {
        let opening = &piece.openings[i];
        let to = match &fixed.found {
            Some(found) => found.gap(&opening.ring, gap.width + 10.0).map_or(gap.width, |g| g.width),
            None => gap.width - fixed.clean_up,
        };
        let turned = Gap { width: gap.width, at: [gap.at[1], gap.at[0]] };
        bridge([fixed.side, Side::Opening(opening.n)], turned, to - self.clean_up)
    }

    /// The one bridge of an opening that has nothing near: to whatever is nearest, looked for ever further out.
    fn nearest(&self, i: usize, piece: &Piece) -> Option<Bridge> {
        let opening = &piece.openings[i];
        let bounds = opening.ring.bounds();
        let far = piece.outline.size.0.get() + piece.outline.size.1.get();
        let mut reach = 4.0 * piece.outline.border.get().max(1.0);
        while reach < 4.0 * far {
            let others = self
                .tree
                .locate_in_envelope_intersecting(around(bounds, reach))
                .filter(|n| n.opening != i)
                .map(|n| (opening.ring.gap(&n.ring), n))
                .min_by(|a, b| a.0.width.total_cmp(&b.0.width));
            let fixed = self
                .fixed
                .iter()
                .filter_map(|f| f.line.gap(&opening.ring, reach).map(|g| (g, f)))
                .min_by(|a, b| a.0.width.total_cmp(&b.0.width));
            let nearer =
                others.as_ref().is_some_and(|(g, _)| fixed.as_ref().is_none_or(|(f, _)| g.width < f.width));
            match (others, fixed) {
                (Some((gap, near)), _) if nearer && gap.width <= reach => {
                    let numbers = (opening.n, piece.openings[near.opening].n);
                    let (gap, (a, b)) = if numbers.0 < numbers.1 {
                        (gap, numbers)
                    } else {
                        (Gap { width: gap.width, at: [gap.at[1], gap.at[0]] }, (numbers.1, numbers.0))
                    };
                    let between = [Side::Opening(a), Side::Opening(b)];
                    return Some(bridge(between, gap, gap.width - 2.0 * self.clean_up));
                }
                (_, Some((gap, fixed))) if gap.width <= reach => {
                    return Some(self.to_fixed(i, piece, fixed, gap))
                }
                _ => reach *= 2.0,
            }
        }
        None
    }

    /// Whether the disc between the two ends of a gap touches nothing else.
    fn is_neck(&self, gap: &Gap, ends: [End; 2]) -> bool {
        let middle = gap.at[0].midpoint(gap.at[1]);
        let radius = gap.width / 2.0 + TOUCH;
        let disc = Rect::from_center_size(middle, (2.0 * radius, 2.0 * radius));
        let opening = self.tree.locate_in_envelope_intersecting(around(disc, 0.0)).any(|n| {
            !ends.contains(&End::Opening(n.opening, n.image))
                && ((n.ring.nearest(middle) - middle).hypot() < radius || n.ring.contains(middle))
        });
        let fixed = || {
            (0..self.fixed.len())
                .any(|f| !ends.contains(&End::Fixed(f)) && self.fixed[f].line.distance(middle) < radius)
        };
        !opening && !fixed()
    }
}
