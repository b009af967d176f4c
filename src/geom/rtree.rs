//! An R-tree of bounding boxes: what lies near a place is found without looking at all of it.

use super::{box_distance2, Edge};
use kurbo::{Point, Rect};
use rstar::{PointDistance, RTreeObject, AABB};

/// An item and a box that holds it.
#[derive(Debug, Clone, Copy)]
pub struct Bounded<T> {
    /// What lies in the box.
    pub item: T,
    /// The box.
    pub bounds: Rect,
}

impl<T> RTreeObject for Bounded<T> {
    type Envelope = AABB<[f64; 2]>;
    fn envelope(&self) -> Self::Envelope {
        corners_of(self.bounds)
    }
}

impl PointDistance for Bounded<Edge> {
    fn distance_2(&self, p: &[f64; 2]) -> f64 {
        let p = Point::new(p[0], p[1]);
        (self.item.nearest(p) - p).hypot2()
    }
}

fn corners_of(b: Rect) -> AABB<[f64; 2]> {
    AABB::from_corners([b.x0, b.y0], [b.x1, b.y1])
}

/// Bounded items in a tree.
#[derive(Debug, Clone)]
pub struct RTree<T>(rstar::RTree<Bounded<T>>);

impl<T> RTree<T> {
    /// All of them in a tree.
    pub fn new(all: Vec<Bounded<T>>) -> Self {
        Self(rstar::RTree::bulk_load(all))
    }

    /// All of them, those that lie near each other mostly one after the other.
    pub fn iter(&self) -> impl Iterator<Item = &Bounded<T>> {
        self.0.iter()
    }

    /// Those whose box meets `bounds`.
    pub fn meeting(&self, bounds: Rect) -> impl Iterator<Item = &Bounded<T>> {
        self.0.locate_in_envelope_intersecting(corners_of(bounds))
    }

    /// Those whose box comes within `reach` of `bounds`.
    pub fn around(&self, bounds: Rect, reach: f64) -> impl Iterator<Item = &Bounded<T>> {
        let near = move |b: &&Bounded<T>| box_distance2(bounds, b.bounds) <= reach * reach;
        self.meeting(bounds.inflate(reach, reach)).filter(near)
    }
}

/// So few edges are looked at one by one when the nearest is asked for: larger is slower on long outlines, smaller makes the
/// tree's heap for a circle's two arcs (measured).
const FEW: usize = 24;

impl RTree<Edge> {
    /// The edge nearest to a point, with the distance squared.
    pub fn nearest(&self, p: Point) -> Option<(&Edge, f64)> {
        if self.0.size() <= FEW {
            let at = Rect::from_points(p, p);
            return self.iter().fold(None, |best, b| {
                let least = best.map_or(f64::INFINITY, |(_, far2)| far2);
                if box_distance2(at, b.bounds) >= least {
                    return best;
                }
                let far2 = b.distance_2(&[p.x, p.y]);
                if far2 < least {
                    Some((&b.item, far2))
                } else {
                    best
                }
            });
        }
        let (found, far2) = self.0.nearest_neighbor_iter_with_distance_2([p.x, p.y]).next()?;
        Some((&found.item, far2))
    }
}
