//! Things kept by the boxes about them, so that those near a place are found without looking at all.

use super::{boxes_apart2, Edge};
use kurbo::{Point, Rect};
use rstar::{PointDistance, RTree, RTreeObject, AABB};

/// Something and the box it lies in.
#[derive(Debug, Clone, Copy)]
pub struct Boxed<T> {
    pub of: T,
    pub bounds: Rect,
}

impl<T> RTreeObject for Boxed<T> {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        corners_of(self.bounds)
    }
}

impl PointDistance for Boxed<Edge> {
    fn distance_2(&self, p: &[f64; 2]) -> f64 {
        let p = Point::new(p[0], p[1]);
        (self.of.nearest(p) - p).hypot2()
    }
}

fn corners_of(b: Rect) -> AABB<[f64; 2]> {
    AABB::from_corners([b.x0, b.y0], [b.x1, b.y1])
}

/// Boxed things in a tree.
#[derive(Debug, Clone)]
pub struct Boxes<T>(RTree<Boxed<T>>);

impl<T> Boxes<T> {
    pub fn new(all: Vec<Boxed<T>>) -> Self {
        Self(RTree::bulk_load(all))
    }

    /// All of them, those that lie near each other mostly one after the other.
    pub fn iter(&self) -> impl Iterator<Item = &Boxed<T>> {
        self.0.iter()
    }

    /// Those whose box meets `bounds`.
    pub fn meeting(&self, bounds: Rect) -> impl Iterator<Item = &Boxed<T>> {
        self.0.locate_in_envelope_intersecting(corners_of(bounds))
    }

    /// Those whose box comes within `reach` of `bounds`.
    pub fn around(&self, bounds: Rect, reach: f64) -> impl Iterator<Item = &Boxed<T>> {
        let near = move |b: &&Boxed<T>| boxes_apart2(bounds, b.bounds) <= reach * reach;
        self.meeting(bounds.inflate(reach, reach)).filter(near)
    }
}

impl Boxes<Edge> {
    /// The edge nearest to a point, with the distance squared.
    pub fn nearest(&self, p: Point) -> Option<(&Edge, f64)> {
        let (boxed, far2) = self.0.nearest_neighbor_iter_with_distance_2([p.x, p.y]).next()?;
        Some((&boxed.of, far2))
    }
}
