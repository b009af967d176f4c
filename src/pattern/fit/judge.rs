//! How good a bent piece looks: every border cell beside the pattern's own.

use super::faces::Face;
use super::field::area;
use crate::geom::{inscribed_within, Point, Ring};

/// Chords stay this near a cell's arcs, over the root of its area. Larger would misjudge arcs, smaller costs time.
const CHORD: f64 = 5e-3;
/// How near the widest circle is found, over the root of the area: at last, and at a glance; nor finer than `FINEST` over
/// the cell's length. Larger would misjudge cells, smaller costs time, most on cells that have all but vanished.
pub(super) const NEAR: f64 = 2e-3;
pub(super) const GLANCED: f64 = 1.2e-2;
const FINEST: f64 = 1e-3;
/// Weights of the differences from the pattern's own cell, found by eye: widest circle (and how much more a smaller one
/// costs), roundness, area, convexity, sharpness.
const WIDE: f64 = 2.0;
const NARROWER: f64 = 1.5;
const ROUND: f64 = 1.2;
const CONVEX: f64 = 48.0;
const SHARP: f64 = 6e-4;
/// The same where the border cuts: tips that run out on it are usual.
const SHARP_CUT: f64 = 1e-4;
/// Less of a cell's area than this is a crumb where the border cuts.
const CRUMB: f64 = 0.5;
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
pub(super) struct CellShape {
    /// Radius of the widest circle in the opening.
    pub radius: f64,
    /// Area of the opening.
    pub area: f64,
    /// Area of the cell over that of its hull.
    pub convexity: f64,
    /// Least inner angle, degrees.
    pub sharpest: f64,
}

impl CellShape {
    /// Of a cell's ring from which `off` is taken all round, its widest circle found as `near`.
    pub(super) fn at(ring: &Ring, off: f64, near: f64) -> CellShape {
        let whole = ring.area().abs();
        let points = ring.flatten(CHORD * whole.sqrt().max(1e-3));
        let n = points.len();
        if n < 3 {
            return CellShape { radius: 0.0, area: 0.0, convexity: 1.0, sharpest: 0.0 };
        }
        let (mut round, mut corners) = (0.0, 0.0);
        for i in 0..n {
            let (a, b, c) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
            let (u, v) = (b - a, c - b);
            let turn = libm::atan2(u.cross(v), u.dot(v));
            round += v.hypot2().sqrt();
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
        let bounds = ring.bounds();
        let near = (near * whole.sqrt()).max(FINEST * bounds.width().max(bounds.height()));
        CellShape {
            radius: inscribed_within(ring, near).radius.max(0.0) - off,
            area: (whole - round * off + corners * off * off).max(0.0),
            convexity: (whole / hull).min(1.0),
            sharpest,
        }
    }

    /// How far a cell that the border cuts looks from a piece of the pattern's own, 0 for one: its lines run on under the border,
    /// so that a shorter one costs nothing until it is a crumb, but one with a knee does.
    pub(super) fn cut_cost(&self, own: &CellShape) -> f64 {
        let least = 1e-3 * own.radius;
        let rho = libm::log(self.radius.max(least) / own.radius);
        let size = self.area.max(1e-3 * own.area) / own.area;
        let size = libm::log(if size < 1.0 { (size / CRUMB).min(1.0) } else { size });
        let hollow = (self.convexity - own.convexity).min(0.0);
        let sharp = (SHARPEST.min(own.sharpest) - self.sharpest).max(0.0);
        WIDE * rho * rho * if rho < 0.0 { NARROWER } else { 1.0 }
            + size * size
            + CONVEX * hollow * hollow
            + SHARP_CUT * sharp * sharp
    }

    /// How far a cell looks from the pattern's own, 0 for the same.
    pub(super) fn cost(&self, own: &CellShape) -> f64 {
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
    pub looks: Vec<CellShape>,
    pub crossed: usize,
    /// Cells whose opening comes out in parts or not at all; looked for at last only.
    pub parted: usize,
    /// Standard deviation over mean of the border openings' areas, each over its own cell's.
    pub spread: f64,
    /// Least inner angle of a border cell, degrees.
    pub sharpest: f64,
    /// Most that a cell is stretched one way over the other.
    pub stretched: f64,
}

/// How a bent cell's vertices lie beside its own.
#[derive(Debug, Clone, Copy)]
pub(super) struct Distortion {
    /// What it costs that its shape is another.
    pub unlike: f64,
    /// Ratio of the singular values of the linear map nearest to it: 1 for a similar cell.
    pub stretched: f64,
}

/// What is asked of every cell of a piece.
pub(super) struct Demands<'a> {
    /// The pattern's own cells, by shape.
    pub own: &'a [CellShape],
    /// Half a bridge, mm.
    pub off: f64,
    /// Diameter that can be pierced, mm.
    pub least: f64,
    /// How near widest circles are found, over the root of a cell's area.
    pub near: f64,
    /// What a cell costs beside the pattern's own.
    pub cost: fn(&CellShape, &CellShape) -> f64,
}

/// Judges all faces. Of a tile: whether it lies at the `border`, how it is `bent`, and the `first` of its images, which is
/// looked at for all.
pub(super) fn judge(
    faces: &[Face],
    asked: &Demands,
    border: impl Fn(usize) -> bool,
    bent: impl Fn(usize) -> Distortion,
    first: impl Fn(usize) -> usize,
) -> Judged {
    let Demands { own, off, least, near, cost } = *asked;
    let mut looks: Vec<CellShape> = Vec::with_capacity(faces.len());
    for face in faces {
        let seen =
            faces.binary_search_by_key(&first(face.tile), |f| f.tile).ok().filter(|&k| k < looks.len());
        looks.push(match seen {
            Some(k) => looks[k],
            None if face.whole => own[face.shape],
            None => CellShape::at(&face.ring, off, near),
        });
    }
    let of = |i: usize| &own[faces[i].shape];
    let mut stretched = 1.0_f64;
    let costs: Vec<f64> = (0..faces.len())
        .map(|i| {
            if faces[i].whole {
                return 0.0;
            }
            let bend = bent(faces[i].tile);
            stretched = stretched.max(bend.stretched);
            cost(&looks[i], of(i)) + bend.unlike
        })
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
    let areas: Vec<f64> = edge.iter().map(|&i| looks[i].area / of(i).area.max(1e-9)).collect();
    let (count, sum) = (areas.len().max(1) as f64, areas.iter().sum::<f64>());
    let deviation = areas.iter().map(|a| (a - sum / count).powi(2)).sum::<f64>() / count;
    let spread = deviation.sqrt() / (sum / count).max(1e-9);
    let sharpest = edge.iter().map(|&i| looks[i].sharpest).fold(180.0, f64::min);
    Judged { score, costs, rho, looks, crossed, parted: 0, spread, sharpest, stretched }
}

impl Judged {
    /// Looks for cells that a bridge parts: those bent, the `first` of their images.
    pub(super) fn part(&mut self, faces: &[Face], off: f64, first: impl Fn(usize) -> usize) {
        let parted =
            |f: &&Face| !f.whole && !f.crosses && first(f.tile) == f.tile && f.ring.shrink(off).len() != 1;
        self.parted = faces.iter().filter(parted).count();
        self.score += CROSSED * self.parted as f64;
    }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Rect;

    #[test]
    fn a_brick_by_itself() {
        let look = CellShape::at(&Ring::rectangle(Rect::new(0.0, 0.0, 6.0, 3.0)), 0.5, NEAR);
        assert!((look.radius - 1.0).abs() < 0.02 && (look.area - 10.0).abs() < 1e-9, "{look:?}");
        assert!((look.convexity - 1.0).abs() < 1e-9 && (look.sharpest - 90.0).abs() < 1e-9, "{look:?}");
        assert_eq!(look.cost(&look), 0.0);
    }
}
