//! How good a bent piece looks: every border cell beside the pattern's own.

use super::faces::Face;
use super::field::area;
use crate::geom::{Point, Ring};
use std::cmp::Ordering;
use std::collections::BinaryHeap;

/// Chords stay this near a cell's arcs, over the root of its area. Larger would misjudge arcs, smaller costs time.
const CHORD: f64 = 5e-3;
/// How near the widest circle is found, over the root of the area.
const NEAR: f64 = 4e-3;
/// Nor finer than this over the cell's length, and after so many squares: a counted budget.
const FINEST: f64 = 1e-3;
const MOST_HALVED: usize = 2000;
/// Weights of the differences from the pattern's own cell, found by eye: widest circle (and how much more a smaller one
/// costs), roundness, area, convexity, sharpness.
const WIDE: f64 = 2.0;
const NARROWER: f64 = 1.5;
const ROUND: f64 = 1.2;
const CONVEX: f64 = 48.0;
const SHARP: f64 = 6e-4;
/// Angles from here on cost nothing, degrees.
const SHARPEST: f64 = 38.0;
/// The worst cell beside the mean of all.
const WORST: f64 = 0.5;
/// Openings narrower than this beside the pattern's own, or wider, cost the whole piece.
const TOO_NARROW: f64 = 0.62;
const TOO_WIDE: f64 = 1.4;
const NARROW_COST: f64 = 2.0;
const WIDE_COST: f64 = 1.5;
/// A cell that crosses itself.
const CROSSED: f64 = 5.0;
/// An opening too small to pierce, over how much it lacks.
const UNPIERCED: f64 = 6.0;

/// What is looked at on one cell. mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Look {
    /// Radius of the widest circle in the opening.
    pub radius: f64,
    /// Area of the opening.
    pub area: f64,
    /// Area of the cell over that of its hull.
    pub convexity: f64,
    /// Least inner angle, degrees.
    pub sharpest: f64,
}

impl Look {
    /// Of a cell's ring from which `off` is taken all round.
    pub(super) fn at(ring: &Ring, off: f64) -> Look {
        let whole = ring.area().abs();
        let points = ring.flatten(CHORD * whole.sqrt().max(1e-3));
        let n = points.len();
        if n < 3 {
            return Look { radius: 0.0, area: 0.0, convexity: 1.0, sharpest: 0.0 };
        }
        let (mut round, mut corners) = (0.0, 0.0);
        for i in 0..n {
            let (a, b, c) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
            let (u, v) = (b - a, c - b);
            let turn = libm::atan2(u.cross(v), u.dot(v));
            round += v.hypot();
            // Sharp where the corner points out, rounded where it points in.
            corners += if turn > 0.0 { libm::tan(turn.min(3.0) / 2.0) } else { turn / 2.0 };
        }
        let edges: Vec<_> = ring.edges().collect();
        let m = edges.len();
        let sharpest = (0..m)
            .map(|i| {
                let (into, out) = (edges[(i + m - 1) % m].direction(1.0), edges[i].direction(0.0));
                180.0 - libm::atan2(into.cross(out), into.dot(out)).to_degrees()
            })
            .fold(180.0, f64::min);
        let hull = area(&hull(&points)).max(1e-9);
        Look {
            radius: widest(&points, NEAR * whole.sqrt()) - off,
            area: (whole - round * off + corners * off * off).max(0.0),
            convexity: (whole / hull).min(1.0),
            sharpest,
        }
    }

    /// How far a cell looks from the pattern's own, 0 for the same.
    fn cost(&self, own: &Look) -> f64 {
        let least = 1e-3 * own.radius;
        let rho = libm::log(self.radius.max(least) / own.radius);
        let size = libm::log(self.area.max(1e-3 * own.area) / own.area);
        let psi = (2.0 * rho - size).min(0.0);
        let hollow = (self.convexity - own.convexity).min(0.0);
        let sharp = (SHARPEST.min(own.sharpest) - self.sharpest).max(0.0);
        WIDE * rho * rho * if rho < 0.0 { NARROWER } else { 1.0 }
            + ROUND * psi * psi
            + size * size
            + CONVEX * hollow * hollow
            + SHARP * sharp * sharp
    }
}

/// How good a piece looks.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    /// 0 for a border that looks like the middle, more than 1.2 for one that does not suit.
    pub score: f64,
    /// Cost of each face.
    pub costs: Vec<f64>,
    /// Widest circle over the pattern's own, of each face.
    pub rho: Vec<f64>,
    pub looks: Vec<Look>,
    pub crossed: usize,
}

/// Judges all faces. `own`: the pattern's own cells by shape; `shape` and `border` of each face, and what it costs that
/// it is `unlike` its own; `least`: diameter that
/// can be pierced.
pub(super) fn judge(
    faces: &[Face],
    own: &[Look],
    shape: impl Fn(usize) -> usize,
    border: impl Fn(usize) -> bool,
    unlike: impl Fn(usize) -> f64,
    off: f64,
    least: f64,
) -> Judged {
    let looks: Vec<Look> =
        faces.iter().map(|f| if f.whole { own[shape(f.tile)] } else { Look::at(&f.ring, off) }).collect();
    let of = |i: usize| &own[shape(faces[i].tile)];
    let costs: Vec<f64> = (0..faces.len())
        .map(|i| if faces[i].whole { 0.0 } else { looks[i].cost(of(i)) + unlike(faces[i].tile) })
        .collect();
    let rho: Vec<f64> = (0..faces.len()).map(|i| looks[i].radius.max(0.0) / of(i).radius).collect();
    let edge: Vec<usize> = (0..faces.len()).filter(|&i| border(faces[i].tile)).collect();
    let mean = edge.iter().map(|&i| costs[i]).sum::<f64>() / edge.len().max(1) as f64;
    let worst = edge.iter().map(|&i| costs[i]).fold(0.0, f64::max);
    let (low, high) = rho.iter().fold((f64::INFINITY, 0.0_f64), |(l, h), &r| (l.min(r), h.max(r)));
    let crossed = faces.iter().filter(|f| f.crosses).count();
    let narrowest = looks.iter().map(|l| 2.0 * l.radius).fold(f64::INFINITY, f64::min);
    let score = mean
        + WORST * worst.sqrt()
        + NARROW_COST * libm::log(TOO_NARROW / low.max(1e-3)).max(0.0)
        + WIDE_COST * libm::log(high / TOO_WIDE).max(0.0)
        + CROSSED * crossed as f64
        + UNPIERCED * (1.0 - narrowest / least).max(0.0);
    Judged { score, costs, rho, looks, crossed }
}

fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let chain = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while chain.len() > 1 {
                let (a, b) = (chain[chain.len() - 2], chain[chain.len() - 1]);
                if (b - a).cross(p - b) > 0.0 {
                    break;
                }
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut all = chain(&mut sorted.iter().copied());
    all.extend(chain(&mut sorted.iter().rev().copied()));
    all
}

/// Radius of the widest circle in a polygon, to within `near`: squares that may hold a better middle are halved.
fn widest(points: &[Point], near: f64) -> f64 {
    let depth = |p: Point| {
        let (mut least, mut odd) = (f64::INFINITY, false);
        let mut a = points[points.len() - 1];
        for &b in points {
            let along = b - a;
            let t = ((p - a).dot(along) / along.hypot2().max(1e-18)).clamp(0.0, 1.0);
            least = least.min((a + along * t - p).hypot2());
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * along.x {
                odd = !odd;
            }
            a = b;
        }
        if odd {
            least.sqrt()
        } else {
            -least.sqrt()
        }
    };
    struct Square {
        promise: f64,
        at: Point,
        half: f64,
    }
    impl PartialEq for Square {
        fn eq(&self, other: &Self) -> bool {
            self.cmp(other) == Ordering::Equal
        }
    }
    impl Eq for Square {}
    impl PartialOrd for Square {
        fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
            Some(self.cmp(other))
        }
    }
    impl Ord for Square {
        fn cmp(&self, other: &Self) -> Ordering {
            self.promise.total_cmp(&other.promise)
        }
    }
    let (mut low, mut high) = (points[0], points[0]);
    let mut middle = crate::geom::Vec2::ZERO;
    for p in points {
        low = Point::new(low.x.min(p.x), low.y.min(p.y));
        high = Point::new(high.x.max(p.x), high.y.max(p.y));
        middle += p.to_vec2();
    }
    let mut best = depth((middle / points.len() as f64).to_point());
    let (wide, narrow) = ((high.x - low.x).max(high.y - low.y), (high.x - low.x).min(high.y - low.y));
    // Cells that have all but vanished are not searched for their last hair.
    let near = near.max(FINEST * wide);
    let half = (narrow / 2.0).max(near);
    let mut heap = BinaryHeap::new();
    let count = |long: f64| ((long / (2.0 * half)) - 1e-9).ceil().max(1.0) as usize;
    let (across, up) = (count(high.x - low.x), count(high.y - low.y));
    if across.max(up) > 200 {
        return 0.0;
    }
    for i in 0..across {
        for j in 0..up {
            let at = low + crate::geom::Vec2::new((2 * i + 1) as f64, (2 * j + 1) as f64) * half;
            let d = depth(at);
            best = best.max(d);
            heap.push(Square { promise: d + half * std::f64::consts::SQRT_2, at, half });
        }
    }
    let mut halved = 0;
    while let Some(square) = heap.pop() {
        halved += 1;
        if square.promise <= best + near || halved > MOST_HALVED {
            break;
        }
        let half = square.half / 2.0;
        for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
            let at = square.at + crate::geom::Vec2::new(x, y) * half;
            let d = depth(at);
            best = best.max(d);
            let promise = d + half * std::f64::consts::SQRT_2;
            if promise > best + near {
                heap.push(Square { promise, at, half });
            }
        }
    }
    best.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;

    #[test]
    fn a_brick_by_itself() {
        let look = Look::at(&Ring::rectangle(Rect::new(0.0, 0.0, 6.0, 3.0)), 0.5);
        assert!((look.radius - 1.0).abs() < 0.02 && (look.area - 10.0).abs() < 1e-9, "{look:?}");
        assert!((look.convexity - 1.0).abs() < 1e-9 && (look.sharpest - 90.0).abs() < 1e-9, "{look:?}");
        assert_eq!(look.cost(&look), 0.0);
    }
}
