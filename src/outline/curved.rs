//! Teardrop, heart, marquise, cushion and crescent: a few arcs each, meeting smoothly everywhere but at their tips.
//!
//! Each is drawn round the middle of its size over all and fills it exactly. Where two arcs meet smoothly, both centres
//! and the meeting point lie on one line; that is the only rule used.

use crate::geom::{arc_about, Point, Ring, Vec2, Vertex};

/// How full the flanks of a teardrop and a heart are: 0 straight to the tip, 1 leaving the round part at its widest.
/// More makes a fat tip, less a pinched one; chosen by eye.
const FLANK_OF_DROP: f64 = 0.45;
const FLANK_OF_HEART: f64 = 0.4;
/// Radius of a heart's lobes over its width: more overlaps them into one hump, less cuts the notch to its foot.
const LOBE: f64 = 0.272;
/// How far a cushion's sides bow out, over the shorter size. More tends to a circle, less to a rectangle.
const BOW: f64 = 0.07;

/// A drop with its tip at the top. `None` unless it is taller than wide.
pub(super) fn teardrop(width: f64, height: f64) -> Option<Ring> {
    let r = width / 2.0;
    let middle = Point::new(0.0, r - height / 2.0);
    let tip = Point::new(0.0, height / 2.0);
    if r <= 0.0 || tip.y - middle.y <= r {
        return None;
    }
    let flank = Flank::new(middle, r, tip, FLANK_OF_DROP);
    let foot = Point::new(0.0, -height / 2.0);
    let mut right = arc_about(middle, r, foot, flank.leaves, true);
    right.extend(arc_about(flank.centre, flank.radius, flank.leaves, tip, true));
    Some(both_sides(&right, tip))
}

/// A heart with its tip at the foot. `None` when it is too flat for its lobes.
pub(super) fn heart(width: f64, height: f64) -> Option<Ring> {
    let r = LOBE * width;
    let lobe = Point::new(width / 2.0 - r, height / 2.0 - r);
    let tip = Point::new(0.0, -height / 2.0);
    let notch = Point::new(0.0, lobe.y + (r * r - lobe.x * lobe.x).max(0.0).sqrt());
    if r <= 0.0 || lobe.y - tip.y <= r {
        return None;
    }
    let flank = Flank::new(lobe, r, tip, FLANK_OF_HEART);
    let mut right = arc_about(flank.centre, flank.radius, tip, flank.leaves, true);
    right.extend(arc_about(lobe, r, flank.leaves, notch, true));
    Some(both_sides(&right, notch))
}

/// Two arcs that meet in tips at the ends of the longer size. A circle when the sizes are the same.
pub(super) fn marquise(width: f64, height: f64) -> Ring {
    let tall = height >= width;
    let (long, bulge) = if tall { (height / 2.0, width / height) } else { (width / 2.0, height / width) };
    let end = if tall { Point::new(0.0, long) } else { Point::new(-long, 0.0) };
    let start = Point::new(-end.x, -end.y);
    Ring::new(vec![Vertex { at: start, bulge }, Vertex { at: end, bulge }])
}

/// Four bowed sides with corners rounded to `corner_radius`. `None` when the corners are too round for the sides.
pub(super) fn cushion(width: f64, height: f64, corner_radius: f64) -> Option<Ring> {
    let (x, y) = (width / 2.0, height / 2.0);
    let bow = BOW * width.min(height);
    // A side of half length a that bows by b lies on a circle of radius (a^2 + b^2) / 2 b.
    let top_radius = (x * x + bow * bow) / (2.0 * bow);
    let right_radius = (y * y + bow * bow) / (2.0 * bow);
    let top = Point::new(0.0, y - top_radius);
    let right = Point::new(x - right_radius, 0.0);
    // The corner's circle touches both sides from within.
    let middle = meet(top, top_radius - corner_radius, right, right_radius - corner_radius)?;
    if middle.x < 0.0 || middle.y < 0.0 {
        return None;
    }
    let touch = |centre: Point, radius: f64| {
        centre + (middle - centre) * (radius / (middle - centre).hypot2().sqrt())
    };
    let on_right = touch(right, right_radius);
    let on_top = touch(top, top_radius);
    // One quarter, from the right to the top, then mirrored twice.
    let crown = Point::new(0.0, y);
    let mut quarter = arc_about(right, right_radius, Point::new(x, 0.0), on_right, true);
    if corner_radius > 0.0 {
        quarter.extend(arc_about(middle, corner_radius, on_right, on_top, true));
    }
    quarter.extend(arc_about(top, top_radius, on_top, crown, true));
    let mut half: Vec<Vertex> = mirrored(&quarter, crown, |p| Point::new(p.x, -p.y));
    half.extend(quarter);
    Some(both_sides(&half, crown))
}

/// A moon, `thick` at its middle, its horns at the far end of the shorter size: to the right when it is taller than
/// wide, up when it is wider than tall. `None` when the sizes leave no moon.
pub(super) fn crescent(width: f64, height: f64, thick: f64) -> Option<Ring> {
    if width > height {
        return Some(crescent(height, width, thick)?.rotated(90.0));
    }
    if !(thick > 0.0 && thick < width && width < height) {
        return None;
    }
    let half = height / 2.0;
    // Outside: a circle across the whole height, or, for a moon under half a circle, one through the three ends.
    let (outer, horn) = if width >= half {
        let outer = width - half;
        (half, (half * half - outer * outer).sqrt())
    } else {
        ((half * half + width * width) / (2.0 * width), half)
    };
    let back = Point::new(-width / 2.0, 0.0);
    let middle = Point::new(back.x + outer, 0.0);
    let tip = Point::new(width / 2.0, horn);
    let foot = Point::new(tip.x, -horn);
    // Inside: through both horns and the point `thick` in from the back.
    let deep = width - thick;
    let inner = (horn * horn + deep * deep) / (2.0 * deep);
    let hollow = Point::new(back.x + thick, 0.0);
    let inside = Point::new(hollow.x + inner, 0.0);
    let mut corners = arc_about(middle, outer, tip, back, true);
    corners.extend(arc_about(middle, outer, back, foot, true));
    corners.extend(arc_about(inside, inner, foot, hollow, false));
    corners.extend(arc_about(inside, inner, hollow, tip, false));
    Some(Ring::new(corners))
}

/// The arc that runs from a round part to a tip: where it leaves the round smoothly, its centre and radius.
struct Flank {
    leaves: Point,
    centre: Point,
    radius: f64,
}

impl Flank {
    /// From the circle (`middle`, `r`), on its right, to `tip` outside it. `full` from 0 (straight) to 1 (leaving the
    /// circle at its rightmost point); 0 itself is left out, since a straight flank has no centre.
    fn new(middle: Point, r: f64, tip: Point, full: f64) -> Flank {
        let v = tip - middle;
        let far = v.hypot2().sqrt();
        // Direction of the straight tangent's touching point, and of the rightmost point, from `v`.
        let straight = libm::acos(r / far);
        let widest = libm::acos(v.x / far);
        let angle = straight + (widest - straight) * full;
        // Turned from `v` towards the right of the circle, whichever side of it the tip is.
        let turn = if v.y > 0.0 { -angle } else { angle };
        let (s, c) = (libm::sin(turn), libm::cos(turn));
        let out = Vec2::new(v.x * c - v.y * s, v.x * s + v.y * c) / far;
        // Centre at middle + (r - R) out, as far from the tip as R.
        let along = v.dot(out);
        let radius = (far * far - 2.0 * r * along + r * r) / (2.0 * (r - along));
        Flank { leaves: middle + out * r, centre: middle + out * (r - radius), radius }
    }
}

/// Where two circles meet, the point to the upper right.
fn meet(a: Point, ra: f64, b: Point, rb: f64) -> Option<Point> {
    let between = b - a;
    let d = between.hypot2().sqrt();
    let along = (d * d + ra * ra - rb * rb) / (2.0 * d);
    let off2 = ra * ra - along * along;
    if d <= 0.0 || ra < 0.0 || rb < 0.0 || off2 < 0.0 {
        return None;
    }
    let u = between / d;
    let side = Vec2::new(-u.y, u.x) * off2.sqrt();
    let (p, q) = (a + u * along + side, a + u * along - side);
    Some(if p.x + p.y >= q.x + q.y { p } else { q })
}

/// A ring from its right half, which runs anticlockwise from the foot to `end`, both on the middle line.
fn both_sides(right: &[Vertex], end: Point) -> Ring {
    let mut corners = right.to_vec();
    corners.extend(mirrored(right, end, |p| Point::new(-p.x, p.y)));
    Ring::new(corners)
}

/// The mirror image of a run of corners up to `end`, run backwards from `end`'s image so that it goes on the same way
/// round.
fn mirrored(run: &[Vertex], end: Point, mirror: impl Fn(Point) -> Point) -> Vec<Vertex> {
    let ends = run.iter().skip(1).map(|c| c.at).chain(std::iter::once(end));
    let mut back: Vec<Vertex> =
        run.iter().zip(ends).map(|(c, to)| Vertex { at: mirror(to), bulge: c.bulge }).collect();
    back.reverse();
    back
}
