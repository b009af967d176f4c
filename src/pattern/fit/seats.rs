//! Where each border vertex sits on the border: in order along it, as near as can be, and on its corners.

use super::curve::Curve;
use super::field::Domain;
use super::keep::{Foot, KeepSet};
use super::loops::Loop;
use super::mesh::{Mesh, Placed};
use super::symmetry::{AlongCurve, Symmetry};
use crate::geom::{Point, Vec2};

/// A vertex sits within so many cells of its foot, and twice as far on as that lies off. Less, and crowded vertices find no
/// seats; more costs time.
const WINDOW: f64 = 2.5;
/// Most comparisons for one loop: then fewer places are tried.
const MOST_WORK: f64 = 4e6;
/// What choosing a vertex for a corner weighs: distance along the border and from it (in cells, squared), and how far
/// its angles are from the corner's (1 for so many degrees, squared). Found by eye.
const ALONG: f64 = 1.2;
const OFF: f64 = 0.6;
const ANGLE: f64 = 60.0;
/// Added for a notch without a bridge, and for cells' angles below [`THIN`] degrees. Above [`NONE`] no vertex is taken.
const BARE: f64 = 6.0;
const CROWDED: f64 = 4.0;
const THIN: f64 = 40.0;
const NONE: f64 = 9.0;
const NOTCH: f64 = 225.0;

/// Arc lengths of border vertices on their curve.
#[derive(Debug, Clone)]
pub(super) struct Seats {
    /// Of every vertex; not a number away from the border.
    pub at: Vec<f64>,
    /// Held on a corner of the border.
    pub held: Vec<bool>,
    /// The curve of each border vertex.
    pub curve: Vec<Option<usize>>,
    /// Places compared to find them: what it cost.
    pub compared: usize,
}

impl Seats {
    pub(super) fn find(
        mesh: &Mesh,
        placed: &Placed,
        field: &Domain,
        set: &KeepSet,
        feet: &[Foot],
        loops: &[Loop],
        group: &[Symmetry],
    ) -> Seats {
        let n = mesh.rest.len();
        let mut seats =
            Seats { at: vec![f64::NAN; n], held: vec![false; n], curve: vec![None; n], compared: 0 };
        for line in loops {
            seats.along(mesh, &field.curves[line.curve], line);
        }
        seats.even(field, group);
        for line in loops {
            seats.hold_corners(mesh, placed, field, set, feet, line, group);
        }
        seats
    }

    /// The seats of one loop by dynamic programming: monotone, with the least sum of squared distances.
    fn along(&mut self, mesh: &Mesh, curve: &Curve, line: &Loop) {
        let n = line.vertices.len();
        let shift = |over: i64| Vec2::new(over as f64 * mesh.run, 0.0);
        let points: Vec<Point> = (0..n).map(|i| mesh.rest[line.vertices[i]] + shift(line.over[i])).collect();
        let feet: Vec<(f64, f64)> = points.iter().map(|p| curve.nearest(*p)).collect();
        let first = (0..n).min_by(|&a, &b| feet[a].1.total_cmp(&feet[b].1)).unwrap_or(0);
        let length = curve.length();
        // Every so manieth sample of the curve, from the one by the first vertex on.
        let window = WINDOW * mesh.ell;
        let share = (2.0 * window / length).min(1.0);
        let every = ((n * curve.samples.len()) as f64 * share / MOST_WORK).ceil().max(1.0) as usize;
        let all = curve.samples.len();
        let m = all / every;
        let step = length / all as f64 * every as f64;
        let start = (feet[first].0 / length * all as f64).round();
        let from = start * length / all as f64;
        let place = |j: usize| {
            let k = start as i64 + (j * every) as i64;
            let (round, k) = (k.div_euclid(all as i64), k.rem_euclid(all as i64));
            curve.samples[k as usize] + curve.period * round as f64
        };
        let places: Vec<Point> = (0..=m).map(place).collect();
        // Each vertex sits near its foot; on a closed line that is known up to once round.
        let foot = |k: usize| {
            let i = (first + k) % n;
            let s = feet[i].0 - from + if i < first && curve.period != Vec2::ZERO { length } else { 0.0 };
            match (curve.period == Vec2::ZERO, s.rem_euclid(length)) {
                (false, _) => s,
                (true, s) if 2 * k < n && s > 0.75 * length => s - length,
                (true, s) if 2 * k >= n && s < 0.25 * length => s + length,
                (true, s) => s,
            }
        };
        let near = |k: usize| {
            let reach = window + 2.0 * feet[(first + k) % n].1;
            let to = |s: f64| (s / step).clamp(0.0, m as f64) as usize;
            if k == 0 {
                (0, 0)
            } else {
                (to(foot(k) - reach), to(foot(k) + reach))
            }
        };
        // Once round, the points of a band lie a repeat farther on.
        let onto = |k: usize| {
            let i = (first + k) % n;
            points[i] + if i < first { curve.period } else { Vec2::ZERO }
        };
        let cost = |k: usize, j: usize| (places[j] - onto(k)).hypot2();
        self.compared += (0..n).map(|k| near(k).1 + 1 - near(k).0.min(near(k).1)).sum::<usize>();
        let anywhere = |k: usize| (0, if k == 0 { 0 } else { m });
        let chosen = monotone(n, near, cost).or_else(|| monotone(n, anywhere, cost)).unwrap_or_default();
        for (k, j) in chosen.into_iter().enumerate() {
            let i = (first + k) % n;
            let mut s = from + j as f64 * step;
            if i < first {
                s -= length;
            }
            let v = line.vertices[i];
            self.at[v] = s - over_length(curve, line.over[i]);
            self.curve[v] = Some(line.curve);
        }
    }

    /// Seats averaged over the symmetries.
    pub(super) fn even(&mut self, field: &Domain, group: &[Symmetry]) {
        let before = self.at.clone();
        for v in 0..before.len() {
            let Some(c) = self.curve[v] else { continue };
            let length = field.curves[c].length();
            let apart: f64 = group
                .iter()
                .map(|g| {
                    nearest_turn(came_from(&g.kept.curves[c], before[g.vertices[v].0]) - before[v], length)
                })
                .sum();
            self.at[v] = before[v] + apart / group.len() as f64;
        }
    }

    /// Gives each corner of a curve the vertex that suits it best, the sharpest first, with all its images.
    #[allow(clippy::too_many_arguments)]
    fn hold_corners(
        &mut self,
        mesh: &Mesh,
        placed: &Placed,
        field: &Domain,
        set: &KeepSet,
        feet: &[Foot],
        line: &Loop,
        group: &[Symmetry],
    ) {
        let curve = &field.curves[line.curve];
        let length = curve.length();
        let mut bends = curve.bends(placed.size);
        // To the thousandth of a degree, so that images come in the order they lie in.
        bends.sort_by_key(|b| (-(b.turn.abs() * 1e3).round() as i64, (b.at * 1e6) as i64));
        let mut done: Vec<f64> = Vec::new();
        for bend in bends {
            let same = |s: f64, t: f64| nearest_turn(s - t, length).abs() < 1e-2;
            if done.iter().any(|s| same(*s, bend.at)) {
                continue;
            }
            let image = |g: &Symmetry, s: f64| goes_to(&g.kept.curves[line.curve], s);
            let here = |g: &&Symmetry| {
                g.kept.curves[line.curve].curve == line.curve && same(image(g, bend.at), bend.at)
            };
            let stays: Vec<&Symmetry> = group.iter().filter(here).collect();
            let alpha = 180.0 - bend.turn;
            let cost = |v: usize| {
                let cells = set.degree(v).0;
                let theta: f64 = mesh.around[v]
                    .iter()
                    .filter(|(t, _)| set.kept[*t])
                    .map(|&(t, i)| mesh.line(placed, t)[i].angle)
                    .sum();
                let along = nearest_turn(self.at[v] - bend.at, length) / mesh.ell;
                let mut cost = ALONG * along * along
                    + ((theta - alpha) / ANGLE).powi(2)
                    + OFF * (feet[v].far / mesh.ell).powi(2);
                if alpha > NOTCH && cells == 1 {
                    cost += BARE;
                }
                if alpha / (cells as f64) < THIN {
                    cost += CROWDED;
                }
                cost
            };
            let may = |v: &usize| !self.held[*v] && stays.iter().all(|g| g.vertices[*v].0 == *v);
            let best = line
                .vertices
                .iter()
                .copied()
                .filter(may)
                .map(|v| (cost(v), v))
                .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            if let Some((_, v)) = best.filter(|(cost, _)| *cost <= NONE) {
                let before = self.clone();
                for g in group {
                    let w = g.vertices[v].0;
                    let place = image(g, bend.at);
                    let own = if g.kept.curves[line.curve].curve == line.curve {
                        length
                    } else {
                        field.curves[g.kept.curves[line.curve].curve].length()
                    };
                    self.at[w] += nearest_turn(place - self.at[w], own);
                    self.held[w] = true;
                }
                if !self.in_order(curve, line) {
                    *self = before;
                }
            }
            done.extend(group.iter().map(|g| image(g, bend.at)));
        }
    }

    /// Whether the held vertices of a loop come in the order of their corners.
    fn in_order(&self, curve: &Curve, line: &Loop) -> bool {
        let held: Vec<f64> = line
            .vertices
            .iter()
            .zip(&line.over)
            .filter(|(v, _)| self.held[**v])
            .map(|(v, over)| self.at[*v] + over_length(curve, *over))
            .collect();
        let back = held.windows(2).filter(|w| w[1] <= w[0]).count();
        let round = held.last().zip(held.first()).is_some_and(|(l, f)| *l >= f + curve.length());
        back == 0 && !round
            || held.len() < 2
            || back == 1 && {
                // Once past the curve's own start.
                let turned: f64 = held.windows(2).map(|w| (w[1] - w[0]).rem_euclid(curve.length())).sum();
                turned < curve.length()
            }
    }
}

/// For each of `n` in turn one of its `near` places (first to last), none before the one of the one before, so that the sum of
/// `cost` is least; `None` if there is no such choice.
fn monotone(
    n: usize,
    near: impl Fn(usize) -> (usize, usize),
    cost: impl Fn(usize, usize) -> f64,
) -> Option<Vec<usize>> {
    let mut sums: (usize, Vec<f64>) = (0, vec![0.0]);
    let mut back: Vec<(usize, Vec<u32>)> = Vec::with_capacity(n);
    for k in 0..n {
        let (low, high) = near(k);
        let (mut next, mut came) = (Vec::with_capacity(high - low + 1), Vec::with_capacity(high - low + 1));
        let (mut least, mut at, mut seen) = (f64::INFINITY, sums.0, 0);
        for j in low..=high {
            while seen < sums.1.len() && sums.0 + seen <= j {
                if sums.1[seen] < least {
                    (least, at) = (sums.1[seen], sums.0 + seen);
                }
                seen += 1;
            }
            came.push(at as u32);
            next.push(least + cost(k, j));
        }
        back.push((low, came));
        sums = (low, next);
    }
    let least = (0..sums.1.len()).min_by(|&a, &b| sums.1[a].total_cmp(&sums.1[b]))?;
    if sums.1[least].is_infinite() {
        return None;
    }
    let mut chosen = vec![0; n];
    let mut j = sums.0 + least;
    for k in (0..n).rev() {
        chosen[k] = j;
        j = back[k].1[j - back[k].0] as usize;
    }
    Some(chosen)
}

/// The arc length by which a vertex some repeats of a band farther on lies farther along its edge.
pub(super) fn over_length(curve: &Curve, over: i64) -> f64 {
    if over == 0 {
        return 0.0;
    }
    over as f64 * curve.length() * curve.period.x.signum()
}

pub(super) fn goes_to(along: &AlongCurve, s: f64) -> f64 {
    along.start + along.sign * s
}

pub(super) fn came_from(along: &AlongCurve, s: f64) -> f64 {
    along.sign * (s - along.start)
}

/// A difference of places, taken the short way round.
pub(super) fn nearest_turn(d: f64, length: f64) -> f64 {
    d - (d / length).round() * length
}
