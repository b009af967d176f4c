//! Horns: places where two border lines run together at a sharp angle, as at the ends of a crescent. No cell of a pattern goes into
//! their ends, so that the field ends in a bridge across each, and what lies beyond is a drop of its own or stays solid.

use super::curve::Curve;
use super::field::{Domain, Horn};
use crate::geom::{inscribed_circle, Edge, Point, Region, Ring, Vertex};

/// A corner of the field sharper than this is a horn's, degrees. Larger would cut off corners that a cell fills well; smaller would
/// press cells into points.
const HORN: f64 = 52.0;
/// The sides of a horn are looked at so far from its tip, beside how far the circle lies in it that tells where it is cut.
const ALONG: f64 = 1.5;
/// The circle must touch both sides as near as this, mm.
const TOUCHES: f64 = 1e-3;
/// The ends of a drop are rounded by this part of its widest circle. By eye: larger would make a disc of it.
const ROUNDED: f64 = 0.45;
/// A drop narrower than this beside the pattern's own narrowest opening stays solid, for it would look like a mishap.
const SMALL: f64 = 0.62;

/// How horns are cut, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct HornCut {
    /// About how wide a horn is where it is cut.
    pub width: f64,
    pub bridge: f64,
    /// Least diameter of a drop.
    pub least: f64,
    /// Radius of the pattern's own narrowest opening.
    pub own: f64,
}

/// A field whose outer line ends in a bridge across each of its horns; `None` where it has none.
pub(super) fn without_horns(field: &Domain, asked: &HornCut) -> Option<Domain> {
    let curve = field.curves.first().filter(|_| field.period.is_none())?;
    let length = curve.length();
    let round = asked.width / 2.0;
    let middles: Vec<Point> =
        field.region.outer().shrink(round).iter().flat_map(Ring::vertices).map(|v| v.at).collect();
    let mut cuts: Vec<(f64, f64, Horn)> = Vec::new();
    for bend in curve.bends(asked.width).iter().filter(|bend| bend.turn > 180.0 - HORN) {
        let tip = curve.point(bend.at);
        let far = |p: &Point| (*p - tip).hypot2();
        let Some(middle) = middles.iter().copied().min_by(|a, b| far(a).total_cmp(&far(b))) else { continue };
        let reach = ALONG * far(&middle).sqrt();
        let from = touches(curve, (bend.at - reach, bend.at), middle, round);
        let to = touches(curve, (bend.at, bend.at + reach), middle, round);
        if let Some((from, to)) = from.zip(to) {
            let mut end = curve.between(from, to);
            end.push(Vertex { at: curve.point(to), bulge: 0.0 });
            cuts.push((from, to, Horn { tip, drop: drop_in(&Ring::new(end), asked) }));
        }
    }
    let first = cuts.first()?.0;
    let mut line = Vec::new();
    for (k, (_, to, _)) in cuts.iter().enumerate() {
        let until = cuts.get(k + 1).map_or(first + length, |next| next.0);
        if until <= *to {
            return None; // Two horns that run into each other.
        }
        line.extend(curve.between(*to, until));
        line.push(Vertex { at: curve.point(until), bulge: 0.0 });
    }
    let outer = Ring::if_any(line).filter(|ring| ring.area() > 0.0 && ring.self_intersection().is_none())?;
    let holes = field.region.holes().to_vec();
    if holes.iter().any(|hole| !outer.contains(hole.first())) {
        return None;
    }
    let mut cut = Domain::of(&Region::new(outer, holes));
    cut.horns = cuts.into_iter().map(|(.., horn)| horn).collect();
    Some(cut)
}

/// Where a stretch of a line comes nearest to the middle of a circle that touches it.
fn touches(curve: &Curve, (from, to): (f64, f64), middle: Point, radius: f64) -> Option<f64> {
    let vertices = curve.between(from, to);
    let ends = vertices.iter().skip(1).map(|v| v.at).chain([curve.point(to)]);
    let nearest = vertices
        .iter()
        .zip(ends)
        .map(|(v, end)| Edge::between(v.at, v.bulge, end).nearest(middle))
        .min_by(|a, b| (*a - middle).hypot2().total_cmp(&(*b - middle).hypot2()))?;
    let near = ((nearest - middle).hypot2().sqrt() - radius).abs() < TOUCHES;
    let (at, off) = curve.nearest(nearest);
    // The stretch may begin before the line's own start.
    let at = from + (at - from).rem_euclid(curve.length());
    (near && off < TOUCHES && at < to).then_some(at)
}

/// The drop that the end of a horn takes: as large as can be, its ends rounded.
fn drop_in(end: &Ring, asked: &HornCut) -> Option<Ring> {
    let half = asked.bridge / 2.0;
    let widest = inscribed_circle(end).radius - half;
    if 2.0 * widest < asked.least || widest < SMALL * asked.own {
        return None;
    }
    let rounded = half + ROUNDED * widest;
    let [inner] = &end.shrink(rounded)[..] else { return None };
    Some(inner.grow(rounded))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;

    const ASKED: HornCut = HornCut { width: 4.0, bridge: 1.0, least: 1.2, own: 1.4 };

    #[test]
    fn a_wedge_ends_in_a_bridge_with_a_drop_beyond() {
        let wedge = Ring::polygon([(0.0, 0.0), (30.0, -6.0), (30.0, 6.0)].map(Point::from));
        let field = Domain::of(&Region::new(wedge, Vec::new()));
        let cut = without_horns(&field, &ASKED).unwrap();
        assert_eq!(cut.horns.len(), 1);
        assert_eq!(cut.curves[0].edges().len(), 4);
        // The circle of 2 mm touches both sides of the wedge where its line is cut.
        let half = libm::atan2(6.0, 30.0);
        let at = 2.0 / libm::sin(half) * libm::cos(half).powi(2);
        assert!((cut.bounds.x0 - at).abs() < 1e-6, "{}", cut.bounds.x0);
        let drop = cut.horns[0].drop.as_ref().unwrap();
        let opening = drop.shrink(0.5);
        assert_eq!(opening.len(), 1);
        assert!(2.0 * inscribed_circle(&opening[0]).radius >= ASKED.least);
        assert!((drop.bounds().x1 - at).abs() < 1e-6);
    }

    #[test]
    fn a_square_and_a_disc_have_no_horns() {
        for ring in [Ring::rectangle(Rect::new(0.0, 0.0, 30.0, 20.0)), Ring::circle(Point::ORIGIN, 15.0)] {
            assert!(without_horns(&Domain::of(&Region::new(ring, Vec::new())), &ASKED).is_none());
        }
    }
}
