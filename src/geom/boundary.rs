//! Long lines with many edges (an outer edge, a field) kept in a tree, so that asking costs little.

use super::gap::contains;
use super::{boxes_apart2, Edge, Gap, Region, Ring};
use kurbo::{Point, Rect};
use rstar::{PointDistance, RTree, RTreeObject, AABB};

#[derive(Debug, Clone)]
struct Boxed {
    edge: Edge,
    bounds: Rect,
}

impl RTreeObject for Boxed {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        AABB::from_corners([self.bounds.x0, self.bounds.y0], [self.bounds.x1, self.bounds.y1])
    }
}

impl PointDistance for Boxed {
    fn distance_2(&self, p: &[f64; 2]) -> f64 {
        let p = Point::new(p[0], p[1]);
        (self.edge.nearest(p) - p).hypot2()
    }
}

/// All the edges of some regions, ready to be asked for distances.
#[derive(Debug, Clone)]
pub struct Boundary {
    tree: RTree<Boxed>,
    rings: Vec<Closed>,
}

/// A region's outer edge, with its box, and its holes.
#[derive(Debug, Clone)]
struct Closed {
    bounds: Rect,
    outer: Vec<Edge>,
    holes: Vec<Vec<Edge>>,
}

impl Boundary {
    pub fn new(regions: &[Region]) -> Self {
        let edges = |ring: &Ring| ring.edges().collect::<Vec<_>>();
        let closed = |r: &Region| Closed {
            bounds: r.outer.bounds(),
            outer: edges(&r.outer),
            holes: r.holes.iter().map(edges).collect(),
        };
        let rings: Vec<Closed> = regions.iter().map(closed).collect();
        let boxed = rings
            .iter()
            .flat_map(|r| std::iter::once(&r.outer).chain(&r.holes).flatten())
            .map(|edge| Boxed { edge: *edge, bounds: edge.bounds() })
            .collect();
        Self { tree: RTree::bulk_load(boxed), rings }
    }

    /// Some edges by themselves: they enclose nothing.
    pub fn of_edges(edges: Vec<Edge>) -> Self {
        let boxed = edges.into_iter().map(|edge| Boxed { edge, bounds: edge.bounds() }).collect();
        Self { tree: RTree::bulk_load(boxed), rings: Vec::new() }
    }

    pub fn of_ring(ring: &Ring) -> Self {
        Self::new(&[Region { outer: ring.clone(), holes: Vec::new() }])
    }

    /// Distance from `p` to the nearest edge, mm; infinite when there is none.
    pub fn distance(&self, p: Point) -> f64 {
        self.tree
            .nearest_neighbor_iter_with_distance_2([p.x, p.y])
            .next()
            .map_or(f64::INFINITY, |(_, d2)| d2.sqrt())
    }

    /// The point of the lines nearest to `p`; `None` when there are no lines.
    pub fn nearest(&self, p: Point) -> Option<Point> {
        self.tree.nearest_neighbor([p.x, p.y]).map(|boxed| boxed.edge.nearest(p))
    }

    /// Whether `p` lies inside one of the regions.
    pub fn contains(&self, p: Point) -> bool {
        let within = |edges: &[Edge]| contains(edges.iter().copied(), p);
        self.rings
            .iter()
            .any(|r| r.bounds.contains(p) && within(&r.outer) && !r.holes.iter().any(|h| within(h)))
    }

    /// Whether `ring` crosses or touches one of the lines, or has one inside it.
    pub fn meets(&self, ring: &Ring) -> bool {
        let bounds = ring.bounds();
        let envelope = AABB::from_corners([bounds.x0, bounds.y0], [bounds.x1, bounds.y1]);
        self.tree.locate_in_envelope_intersecting(envelope).any(|far| {
            ring.contains(far.edge.from())
                || ring
                    .edges()
                    .any(|e| boxes_apart2(e.bounds(), far.bounds) == 0.0 && e.gap(&far.edge).width == 0.0)
        })
    }

    /// Least distance from `ring` to the lines, if it is less than `reach`.
    pub fn gap(&self, ring: &Ring, reach: f64) -> Option<Gap> {
        let bounds = ring.bounds();
        let near = bounds.inflate(reach, reach);
        let envelope = AABB::from_corners([near.x0, near.y0], [near.x1, near.y1]);
        let mut best: Option<Gap> = None;
        let edges: Vec<(Edge, Rect)> = ring.edges().map(|e| (e, e.bounds())).collect();
        for far in self.tree.locate_in_envelope_intersecting(envelope) {
            for (edge, b) in &edges {
                let limit = best.map_or(reach, |g| g.width);
                if boxes_apart2(*b, far.bounds) <= limit * limit {
                    let gap = edge.gap(&far.edge);
                    if gap.width < limit {
                        best = Some(gap);
                    }
                }
            }
        }
        best
    }
}
