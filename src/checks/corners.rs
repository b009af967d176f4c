//! What the saw meets in one opening: corners, necks and tongues of metal that stand into it.

use crate::geom::{Edge, Point, Ring};
use crate::openings::{corners_of, Opening};
use crate::trade::models::tightest_curve;
use crate::trade::Blade;
use std::f64::consts::SQRT_2;

/// Across the narrowest way in, mm, that a needle file wants (estimate).
pub(super) const NEEDLE_FILE: f64 = 1.5;
/// Corners of the waste sharper than this are finished with a file, degrees: sawn in from both sides the waste stays
/// more than a blade's width deep below it. Larger would send every triangle to the file.
pub(super) const FILE_BELOW: f64 = 35.0;
/// A bit split off by drawing in counts from this area, mm2; smaller ones are the ends of sharp corners.
const LOBE: f64 = 0.005;
/// Points along a line on which tongues are looked for; more finds the root of a tongue more exactly, at the square of
/// the cost.
const POINTS: usize = 96;

/// Tongues shorter than this are not looked for, mm. Smaller calls every ripple a tongue.
const LEAST_BAY: f64 = 1.0;
/// Necks are measured to this, mm.
const NECK_FINE: f64 = 0.01;

/// What sawing meets in a shape.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ShapeSawing {
    /// Drawn in by half the blade, nothing is left.
    pub closed: bool,
    /// Drawn in by half the blade, it falls apart: a bit that the blade cannot reach from the drill point.
    pub cut_off: Option<Point>,
    /// Drawn in by half the blade's diagonal, it falls apart: the blade passes the neck only straight.
    pub tight_neck: Option<Point>,
    /// The narrowest neck a needle file does not pass: how wide it is, mm, and the part beyond it.
    pub narrow_neck: Option<(f64, Point)>,
    /// Sharpest corner of the waste, degrees, and where.
    pub sharpest: Option<(f64, Point)>,
    /// Sharpest tip of metal pointing into the opening, degrees, and where.
    pub sharp_tip: Option<(f64, Point)>,
    /// Curves tighter than the blade saws in one go.
    pub tight_curves: usize,
    /// The worst tongue of metal standing into the opening.
    pub bay: Option<Bay>,
}

pub(super) fn sawing_of(opening: &Opening, blade: &Blade) -> ShapeSawing {
    let ring = &opening.ring;
    let corners = corners_of(ring);
    let sharpest_of = |side: f64| {
        let own = corners.iter().filter(|(_, turn)| turn * side > 0.0);
        own.map(|(i, turn)| (180.0 - turn.abs().to_degrees(), ring.vertex(*i).at))
            .min_by(|a, b| a.0.total_cmp(&b.0))
    };
    let (sharpest, sharp_tip) = (sharpest_of(1.0), sharpest_of(-1.0));
    let least = tightest_curve(blade);
    let tight_curves = ring
        .edges()
        .filter(|e| matches!(e, Edge::Arc { radius, .. } if *radius < least - 1e-3 && e.sweep() > 0.5))
        .count();
    let (half, turning) = (blade.thickness / 2.0, blade.diagonal() / 2.0);
    let simple = bulges_only_out(ring);
    let closed = opening.widest.get() <= blade.thickness;
    let (cut_off, tight_neck) = if closed || simple {
        (None, None)
    } else {
        (beyond_neck(ring, opening.drill_at, half), beyond_neck(ring, opening.drill_at, turning))
    };
    let narrow_neck = if closed || simple { None } else { narrowest_neck(ring, opening.drill_at) };
    let bay = if simple { None } else { worst_bay(ring, LEAST_BAY) };
    let tight_neck = if cut_off.is_some() { None } else { tight_neck };
    ShapeSawing { closed, cut_off, tight_neck, narrow_neck, sharpest, sharp_tip, tight_curves, bay }
}

/// No corner and no curve of the opening points inwards, so that it has neither necks nor tongues.
fn bulges_only_out(ring: &Ring) -> bool {
    let edges: Vec<Edge> = ring.edges().collect();
    let n = edges.len();
    (0..n).all(|i| {
        let (before, after) = (edges[(i + n - 1) % n].direction(1.0), edges[i].direction(0.0));
        ring.vertex(i).bulge >= 0.0 && before.cross(after) >= -1e-6
    })
}

/// Openings this blade cannot saw from their start hole: too narrow for it, or with a neck it does not pass.
pub fn out_of_reach<'a>(openings: &'a [Opening], blade: &Blade) -> Vec<&'a Opening> {
    let unsawn = |o: &&Opening| {
        o.widest.get() <= blade.thickness
            || (!bulges_only_out(&o.ring)
                && beyond_neck(&o.ring, o.drill_at, blade.thickness / 2.0).is_some())
    };
    openings.iter().filter(unsawn).collect()
}

/// A bit of the opening, drawn in by `by`, that has lost touch with the drill point.
fn beyond_neck(ring: &Ring, drill_at: Point, by: f64) -> Option<Point> {
    let bits = ring.shrink(by);
    let home = bits.iter().position(|b| b.contains(drill_at));
    bits.iter()
        .enumerate()
        .filter(|(i, b)| home != Some(*i) && b.area() > LOBE)
        .max_by(|a, b| a.1.area().total_cmp(&b.1.area()))
        .map(|(_, b)| b.centroid())
}

/// The narrowest neck of a ring that a needle file does not pass, by halving from a start hole at `home`: how wide it is,
/// mm, and the middle of the part beyond it.
pub fn narrowest_neck(ring: &Ring, home: Point) -> Option<(f64, Point)> {
    let mut beyond = beyond_neck(ring, home, NEEDLE_FILE / 2.0)?;
    let (mut passes, mut parts) = (0.0, NEEDLE_FILE / 2.0);
    while parts - passes > NECK_FINE / 2.0 {
        let middle = (passes + parts) / 2.0;
        match beyond_neck(ring, home, middle) {
            Some(at) => (parts, beyond) = (middle, at),
            None => passes = middle,
        }
    }
    Some((2.0 * parts, beyond))
}

/// Metal that stands into an opening, held at one end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bay {
    /// From the root to the tip, mm as drawn.
    pub length: f64,
    /// Across the root, mm as drawn.
    pub width: f64,
    /// The two ends of the neck it stands on.
    pub root: [Point; 2],
    /// Its farthest point from there.
    pub tip: Point,
}

/// The tongue of metal standing into an anticlockwise ring that is longest for its width, among those at least `least`
/// mm long. Looked for between points along the line: its width is within their spacing of the true least one.
pub fn worst_bay(ring: &Ring, least: f64) -> Option<Bay> {
    let points = spread(ring);
    let n = points.len();
    // Twice around, so that a stretch may pass the start: distance along, and twice the area swept from the origin.
    let mut along = Vec::with_capacity(2 * n + 1);
    let mut swept = Vec::with_capacity(2 * n + 1);
    along.push(0.0);
    swept.push(0.0);
    let origin = points.first()?.to_vec2();
    // A tongue closed off at its root leaves a shorter line that still goes round all of the ring, so round its hull too.
    // The least it can shorten it by is that of a tongue as long as half its root is wide.
    let shorter = |line: f64| line - hull_length(&points) < 2.0 * (SQRT_2 - 1.0) * least;
    let line: f64 = (0..n).map(|i| (points[(i + 1) % n] - points[i]).hypot2().sqrt()).sum();
    if shorter(line) {
        return None;
    }
    for i in 0..2 * n {
        let (a, b) = (points[i % n], points[(i + 1) % n]);
        along.push(along[i] + (b - a).hypot2().sqrt());
        swept.push(swept[i] + (a.to_vec2() - origin).cross(b.to_vec2() - origin));
    }
    let mut found: Vec<(f64, usize, usize)> = Vec::new();
    for i in 0..n {
        for j in i + 2..i + n - 1 {
            let (p, q) = (points[i], points[j % n]);
            let half = (along[j] - along[i]) / 2.0;
            let width = (q - p).hypot2().sqrt();
            // As long as two straight flanks from the root to a tip would be.
            let length2 = half * half - width * width / 4.0;
            if length2 < least * least || width < 1e-6 {
                continue;
            }
            let area = swept[j] - swept[i] + (q.to_vec2() - origin).cross(p.to_vec2() - origin);
            let slender = length2 / (width * width);
            if area < 0.0 && slender > 0.25 {
                found.push((slender, i, j));
            }
        }
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    found.into_iter().find_map(|(_, i, j)| {
        let (p, q) = (points[i], points[j % n]);
        // The root must lie in metal all the way.
        let clear = [0.1, 0.5, 0.9].iter().all(|t| !ring.contains(p.lerp(q, *t)));
        let middle = p.midpoint(q);
        let tip = (i..=j)
            .map(|k| points[k % n])
            .max_by(|a, b| (*a - middle).hypot2().total_cmp(&(*b - middle).hypot2()))?;
        let bay =
            Bay { length: (tip - middle).hypot2().sqrt(), width: (q - p).hypot2().sqrt(), root: [p, q], tip };
        (clear && bay.length >= least).then_some(bay)
    })
}

/// Distance round the convex hull of points (Andrew's monotone chain).
fn hull_length(points: &[Point]) -> f64 {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let mut hull: Vec<Point> = Vec::with_capacity(2 * sorted.len());
    let mut chain = |points: &mut dyn Iterator<Item = &Point>| {
        let start = hull.len();
        for &p in points {
            while hull.len() >= start + 2 && {
                let (a, b) = (hull[hull.len() - 2], hull[hull.len() - 1]);
                (b - a).cross(p - b) <= 0.0
            } {
                hull.pop();
            }
            hull.push(p);
        }
        hull.pop();
    };
    chain(&mut sorted.iter());
    chain(&mut sorted.iter().rev());
    let n = hull.len();
    (0..n).map(|i| (hull[(i + 1) % n] - hull[i]).hypot2().sqrt()).sum()
}

/// Corners and points between them, about [`POINTS`] in all.
fn spread(ring: &Ring) -> Vec<Point> {
    let step = ring.perimeter() / POINTS as f64;
    let mut points = Vec::with_capacity(2 * POINTS);
    let mut since = f64::INFINITY;
    for edge in ring.edges() {
        let length = edge.length();
        let pieces = (length / step).ceil().max(1.0) as usize;
        // Corners are kept; of curves made of many short arcs only as many as are wanted.
        if since >= step / 2.0 || pieces > 1 {
            points.push(edge.from());
            since = 0.0;
        }
        points.extend((1..pieces).map(|k| edge.point(k as f64 / pieces as f64)));
        since += length / pieces as f64;
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tongue_is_found_with_its_root() {
        // A 10 x 6 opening with a tongue 1 wide and 4 long standing in from the foot.
        let ring = Ring::polygon(
            [
                (0.0, 0.0),
                (4.5, 0.0),
                (4.5, 4.0),
                (5.5, 4.0),
                (5.5, 0.0),
                (10.0, 0.0),
                (10.0, 6.0),
                (0.0, 6.0),
            ]
            .map(Point::from),
        );
        let bay = worst_bay(&ring, 1.0).expect("a tongue");
        assert!((bay.width - 1.0).abs() < 0.1 && (bay.length - 4.0).abs() < 0.2, "{bay:?}");
        assert!((bay.tip.y - 4.0).abs() < 1e-9);
        let square = Ring::polygon([(0.0, 0.0), (6.0, 0.0), (6.0, 6.0), (0.0, 6.0)].map(Point::from));
        assert_eq!(worst_bay(&square, 1.0), None);
    }
}
