//! Where along a line the openings of a row may stand: whole counts between the line's corners, or once round.

use crate::geom::sin_cos_degrees;
use crate::geom::Vec2;
use crate::geom::{Edge, Point};
use crate::outline::Track;
use crate::pattern::fit::curve::Curve;

/// A line is its own mirror image when no place of the image lies farther from it than this, mm.
const MIRRORED: f64 = 1e-6;
/// Places of a line whose image is looked at.
const LOOKED: usize = 97;
/// Halvings when a step is looked for that gives a count.
const HALVINGS: usize = 60;

/// Nodes that a line is parted by, and whether openings stand on them or half a step beside.
#[derive(Debug, Clone)]
pub(super) struct Arrangement {
    /// From where, and how far on to the next node, mm along the line.
    sides: Vec<(f64, f64)>,
    on_nodes: bool,
}

/// An arrangement with a whole count of steps on each side.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct StationPlan {
    sides: Vec<(f64, f64)>,
    counts: Vec<usize>,
    on_nodes: bool,
}

impl Arrangement {
    /// Those worth trying, the best looking first: an opening on each corner, none on any, then once round from the
    /// line's axis with an opening or a gap on it.
    pub(super) fn all(curve: &Curve, track: &Track, step: f64) -> Vec<Arrangement> {
        let length = curve.length();
        if track.open.is_some() {
            // The ends meet at the seam: it runs through a gap.
            return vec![Arrangement { sides: vec![(0.0, length)], on_nodes: false }];
        }
        let mut all = Vec::new();
        let nodes: Vec<f64> = curve.bends(step).iter().map(|bend| bend.at).collect();
        if !nodes.is_empty() {
            let n = nodes.len();
            let next = |i: usize| if i + 1 < n { nodes[i + 1] } else { nodes[0] + length };
            let sides: Vec<(f64, f64)> = (0..n).map(|i| (nodes[i], next(i) - nodes[i])).collect();
            all.extend([true, false].map(|on_nodes| Arrangement { sides: sides.clone(), on_nodes }));
        }
        let sides = vec![(start(curve, track), length)];
        all.extend([true, false].map(|on_nodes| Arrangement { sides: sides.clone(), on_nodes }));
        all
    }

    /// So many steps on each side as `rounded` makes of its length over `step`, at least one.
    pub(super) fn by_step(&self, step: f64, rounded: fn(f64) -> f64) -> StationPlan {
        let count = |(_, length): &(f64, f64)| rounded(length / step + 1e-9).max(1.0) as usize;
        StationPlan {
            counts: self.sides.iter().map(count).collect(),
            sides: self.sides.clone(),
            on_nodes: self.on_nodes,
        }
    }

    /// A count shared out so that sides of one length have as many; `None` where it cannot be.
    pub(super) fn by_count(&self, count: u32) -> Option<StationPlan> {
        let total = |plan: &StationPlan| plan.counts.iter().sum::<usize>();
        let length: f64 = self.sides.iter().map(|s| s.1).sum();
        let count = count as usize;
        let (mut many, mut few) = (length / (4 * count.max(1)) as f64, 2.0 * length);
        for _ in 0..HALVINGS {
            let step = (many + few) / 2.0;
            let plan = self.by_step(step, f64::round);
            match total(&plan).cmp(&count) {
                std::cmp::Ordering::Equal => return Some(plan),
                std::cmp::Ordering::Greater => many = step,
                std::cmp::Ordering::Less => few = step,
            }
        }
        None
    }
}

impl StationPlan {
    /// Places along the line, in order.
    pub(super) fn stations(&self, curve: &Curve) -> Vec<f64> {
        let length = curve.length();
        let shift = if self.on_nodes { 0.0 } else { 0.5 };
        let mut all = Vec::new();
        for ((from, long), count) in self.sides.iter().zip(&self.counts) {
            let step = long / *count as f64;
            all.extend((0..*count).map(|k| (from + (k as f64 + shift) * step).rem_euclid(length)));
        }
        all
    }

    /// The middle of the gap after each station: on a corner that no opening stands on.
    pub(super) fn gaps(&self) -> Vec<f64> {
        let shift = if self.on_nodes { 0.5 } else { 1.0 };
        let mut all = Vec::new();
        for ((from, long), count) in self.sides.iter().zip(&self.counts) {
            let step = long / *count as f64;
            all.extend((0..*count).map(|k| from + (k as f64 + shift) * step));
        }
        all
    }

    /// Least and largest step, mm.
    pub(super) fn step(&self) -> (f64, f64) {
        let steps = self.sides.iter().zip(&self.counts).map(|((_, long), count)| long / *count as f64);
        steps.fold((f64::INFINITY, 0.0), |(low, high), step| (low.min(step), high.max(step)))
    }
}

/// Where the line crosses its axis, at the top or at the right, mm along it: the upright one if the line is mirrored in it, else
/// the level one; without an axis its topmost crossing with the upright through its middle.
fn start(curve: &Curve, track: &Track) -> f64 {
    let axes = [90.0, 0.0, 90.0 + track.turn, track.turn];
    let turn = axes.into_iter().find(|turn| is_mirrored(curve, track.centre, *turn)).unwrap_or(90.0);
    let (s, c) = sin_cos_degrees(turn);
    let out = Vec2::new(c, s);
    let ray = Edge::Line { from: track.centre, to: track.centre + out * (2.0 * curve.length()) };
    let crossings = curve.edges().iter().flat_map(|edge| edge.crossings(&ray));
    let far = |p: &Point| (*p - track.centre).dot(out);
    let first = crossings.max_by(|a, b| far(a).total_cmp(&far(b)));
    first.map_or(0.0, |p| curve.nearest(p).0)
}

fn is_mirrored(curve: &Curve, centre: Point, turn: f64) -> bool {
    let (s, c) = sin_cos_degrees(turn);
    let axis = Vec2::new(c, s);
    (0..LOOKED).all(|k| {
        let p = curve.point(curve.length() * k as f64 / LOOKED as f64);
        let v = p - centre;
        let image = centre + axis * (2.0 * v.dot(axis)) - v;
        curve.nearest(image).1 < MIRRORED
    })
}
