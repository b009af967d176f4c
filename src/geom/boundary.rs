//! Long lines with many edges (an outer edge, a field) kept in a tree, so that asking costs little.

use super::distance::contains;
use super::{box_distance2, Bounded, ClosestPoints, Edge, RTree, Region, Ring};
use kurbo::{Point, Rect};

/// A box is clear of a line that passes it at more than this, mm: far over rounding. Larger only asks more exactly more often.
const CLEAR: f64 = 1e-3;

/// All the edges of some regions, ready to be asked for distances.
#[derive(Debug, Clone)]
pub struct Boundary {
    tree: RTree<Edge>,
    rings: Vec<RegionEdges>,
}

/// A region's lines, each with its box.
#[derive(Debug, Clone)]
struct RegionEdges {
    outer: Bounded<Vec<Edge>>,
    holes: Vec<Bounded<Vec<Edge>>>,
}

fn bounded(edge: &Edge) -> Bounded<Edge> {
    Bounded { item: *edge, bounds: edge.bounds() }
}

impl Boundary {
    /// The edges of all lines of some regions.
    pub fn new(regions: &[Region]) -> Self {
        let edges = |ring: &Ring| Bounded { item: ring.edges().collect(), bounds: ring.bounds() };
        let closed = |r: &Region| RegionEdges {
            outer: edges(r.outer()),
            holes: r.holes().iter().map(edges).collect(),
        };
        let rings: Vec<RegionEdges> = regions.iter().map(closed).collect();
        let edges = rings
            .iter()
            .flat_map(|r| std::iter::once(&r.outer).chain(&r.holes))
            .flat_map(|line| &line.item)
            .map(bounded)
            .collect();
        Self { tree: RTree::new(edges), rings }
    }

    /// Some edges by themselves: they enclose nothing.
    pub fn of_edges(edges: Vec<Edge>) -> Self {
        Self { tree: RTree::new(edges.iter().map(bounded).collect()), rings: Vec::new() }
    }

    /// The edges of one ring, which encloses what lies in it.
    pub fn of_ring(ring: &Ring) -> Self {
        Self::new(&[Region::new(ring.clone(), Vec::new())])
    }

    /// Distance from `p` to the nearest edge, mm; infinite when there is none.
    pub fn distance(&self, p: Point) -> f64 {
        self.tree.nearest(p).map_or(f64::INFINITY, |(_, far2)| far2.sqrt())
    }

    /// The same, looked for no farther than `most` mm: `most` where there is none so near.
    pub fn distance_within(&self, p: Point, most: f64) -> f64 {
        let at = Rect::from_points(p, p);
        self.tree.meeting(at.inflate(most, most)).fold(most, |least, edge| {
            let near = box_distance2(at, edge.bounds) < least * least;
            if near {
                least.min((edge.item.nearest(p) - p).hypot2().sqrt())
            } else {
                least
            }
        })
    }

    /// The point of the lines nearest to `p`; `None` when there are no lines.
    pub fn nearest(&self, p: Point) -> Option<Point> {
        self.tree.nearest(p).map(|(edge, _)| edge.nearest(p))
    }

    /// Whether `p` lies inside one of the regions.
    pub fn contains(&self, p: Point) -> bool {
        let within =
            |line: &Bounded<Vec<Edge>>| line.bounds.contains(p) && contains(line.item.iter().copied(), p);
        self.rings.iter().any(|r| within(&r.outer) && !r.holes.iter().any(within))
    }

    /// Whether `ring` crosses or touches one of the lines, or has one inside it.
    pub fn meets(&self, ring: &Ring) -> bool {
        let bounds = ring.bounds();
        // Most rings that are asked about lie well beside every line.
        if self.is_clear(bounds) {
            return false;
        }
        self.tree.meeting(bounds).any(|far| {
            ring.contains(far.item.from())
                || ring.edges().any(|e| {
                    box_distance2(e.bounds(), far.bounds) == 0.0 && e.closest(&far.item).distance == 0.0
                })
        })
    }

    /// Whether the circle round a box lies clear of the lines.
    pub(super) fn is_clear(&self, bounds: Rect) -> bool {
        self.distance(bounds.center()) > bounds.size().to_vec2().hypot2().sqrt() / 2.0 + CLEAR
    }

    /// Least distance from `ring` to the lines, if it is less than `reach`.
    pub fn closest(&self, ring: &Ring, reach: f64) -> Option<ClosestPoints> {
        let mut facing = self.tree.around(ring.bounds(), reach).peekable();
        facing.peek()?;
        let mut best: Option<ClosestPoints> = None;
        let edges: Vec<Bounded<Edge>> = ring.bounded_edges().collect();
        for far in facing {
            for Bounded { item: edge, bounds: b } in &edges {
                let limit = best.map_or(reach, |g| g.distance);
                if box_distance2(*b, far.bounds) <= limit * limit {
                    let gap = edge.closest(&far.item);
                    if gap.distance < limit {
                        best = Some(gap);
                    }
                }
            }
        }
        best
    }
}
