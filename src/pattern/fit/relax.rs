//! Local/global shape matching: every cell pulls its vertices towards its own shape at its best size and turn, and each
//! vertex goes to the mean of what is asked of it; border vertices along the border only.
//!
//! After "Shape-Up: Shaping Discrete Geometry with Projections" (Bouaziz and others, 2012) with the similarity fit of
//! shape matching (from memory, believed Müller and others 2005). Two departures: a cell's size is pressed towards its share
//! of the field, and vertices deep inside are anchored to where the pattern has them, so that only the outer rows bend.

use super::field::Domain;
use super::keep::KeepSet;
use super::loops::Loop;
use super::mesh::{Mesh, Placed};
use super::seats::{nearest_turn, over_length, Seats};
use super::symmetry::Symmetry;
use crate::error::give_way;
use crate::geom::{Point, Vec2};

/// Outer rows that may bend freely. More bends deep into the middle, fewer bends the edge row too much.
pub(super) const ROWS: u32 = 2;
/// Vertices so many rows past [`ROWS`] stay exactly where the pattern has them: in pieces of [`LARGE`] rows or more, and in
/// smaller ones. More costs time and leaves fewer cells alike; fewer makes the last row that bends take up all of it.
const FROZEN: (u32, u32) = (1, 2);
const LARGE: u32 = 7;
/// Most rounds, and those after the mean over the symmetries.
pub(super) const ROUNDS: usize = 300;
const AFTER: usize = 120;
/// Rounds of a first look.
const GLANCE: usize = 110;
/// The mean over the symmetries that moves a vertex more than this wants settling again, mm.
const UNEVEN: f64 = 0.02;
/// A round that moves nothing farther than this is the last, mm; of a first look, in cells.
const STILL: f64 = 1e-4;
const NEARLY_STILL: f64 = 1e-3;
/// Part of the way to the mean in one round, and the round after which it falls as one over the round.
const STEP: f64 = 0.8;
const SLOWER: f64 = 90.0;
/// Rounds over which border vertices are brought from where the pattern has them to the border.
const BLEND: f64 = 50.0;
/// How fast a cell's pressure follows, a round; and the sizes it may ask for over its best.
const FOLLOWS: f64 = 0.12;
const SMALLEST: f64 = 0.6;
const LARGEST: f64 = 2.0;
/// Weight of the anchors: this times the square of one more than the rows past the free ones.
const ANCHOR: f64 = 0.6;
/// Least distance along the border between feet of bridges, and between other vertices, in cells.
const FEET: f64 = 0.16;
const APART: f64 = 0.05;
/// The outer rows are made this much smaller or larger at most, in area, to fill the field.
const ETA: (f64, f64) = (0.7, 1.4);

/// Where the vertices have come to lie.
#[derive(Debug, Clone)]
pub(super) struct Bent {
    pub at: Vec<Point>,
    /// Arc lengths of border vertices.
    pub seats: Seats,
}

/// A kept set made ready for bending.
pub(super) struct Relaxation<'a> {
    mesh: &'a Mesh,
    field: &'a Domain,
    loops: &'a [Loop],
    group: &'a [Symmetry],
    /// Rows from the border: 0 on it. Of every vertex, and from 1 of every cell.
    pub rows: Vec<u32>,
    pub cell_rows: Vec<u32>,
    /// The first row that stays.
    frozen: u32,
    /// Vertices deeper than this row are anchored.
    free: u32,
    /// No mirror keeps it from turning in its outline.
    is_free_to_turn: bool,
    cells: Vec<usize>,
    /// Of the cells that bend: first corner in the lists below, and one after the last.
    starts: Vec<usize>,
    corners: Vec<u32>,
    over: Vec<f64>,
    /// Rest shape about its own middle, and the sum of its squares.
    rest: Vec<Vec2>,
    spread: Vec<f64>,
    area: Vec<f64>,
    /// Vertices that move, inner and border.
    inner: Vec<usize>,
    border: Vec<usize>,
    weight: Vec<f64>,
    pub eta: f64,
}

impl<'a> Relaxation<'a> {
    pub(super) fn new(
        mesh: &'a Mesh,
        placed: &Placed,
        field: &'a Domain,
        set: &KeepSet,
        loops: &'a [Loop],
        group: &'a [Symmetry],
    ) -> Relaxation<'a> {
        let (rows, cell_rows) = depths(mesh, set, loops);
        let kept: Vec<usize> = (0..mesh.tiles.len()).filter(|&t| set.kept[t]).collect();
        let own = |t: usize| placed.tiling.areas[mesh.tiles[t].shape] * placed.size * placed.size;
        let outer: f64 = kept.iter().filter(|&&t| cell_rows[t] <= ROWS).map(|&t| own(t)).sum();
        let deep: f64 = kept.iter().filter(|&&t| cell_rows[t] > ROWS).map(|&t| own(t)).sum();
        let eta = ((field.area - deep) / outer).clamp(ETA.0, ETA.1);
        let deepest = kept.iter().map(|&t| cell_rows[t]).filter(|r| *r < u32::MAX).max().unwrap_or(0);
        let frozen = ROWS + if deepest >= LARGE { FROZEN.0 } else { FROZEN.1 };
        // Nothing else keeps a small piece without a mirror from turning round in its outline: its innermost row is anchored.
        let mirrored = group.iter().any(|g| g.kept.by.is_mirror());
        let innermost = rows.iter().copied().filter(|r| *r < u32::MAX).max().unwrap_or(0);
        let free = if mirrored { ROWS } else { ROWS.min(innermost.saturating_sub(1)) };
        let bends = |t: &usize| mesh.tiles[*t].corners.iter().any(|(v, _)| rows[*v] < frozen);
        let mut relaxation = Relaxation {
            mesh,
            field,
            loops,
            group,
            cells: kept.into_iter().filter(bends).collect(),
            starts: vec![0],
            corners: Vec::new(),
            over: Vec::new(),
            rest: Vec::new(),
            spread: Vec::new(),
            area: Vec::new(),
            inner: Vec::new(),
            border: loops.iter().flat_map(|l| l.vertices.iter().copied()).collect(),
            weight: vec![0.0; mesh.rest.len()],
            rows,
            cell_rows,
            frozen,
            free,
            is_free_to_turn: !mirrored,
            eta,
        };
        relaxation.fill();
        relaxation
    }

    fn fill(&mut self) {
        for &t in &self.cells {
            let corners = &self.mesh.tiles[t].corners;
            let at = |&(v, k): &(usize, i64)| self.mesh.rest[v] + Vec2::new(k as f64 * self.mesh.run, 0.0);
            let points: Vec<Point> = corners.iter().map(at).collect();
            let middle = mean(&points);
            self.spread.push(points.iter().map(|p| (*p - middle).hypot2()).sum());
            self.area.push(super::field::area(&points));
            self.rest.extend(points.iter().map(|p| *p - middle));
            self.corners.extend(corners.iter().map(|(v, _)| *v as u32));
            self.over.extend(corners.iter().map(|(_, k)| *k as f64 * self.mesh.run));
            self.starts.push(self.corners.len());
        }
        let mut seen = vec![false; self.mesh.rest.len()];
        for &v in &self.corners {
            self.weight[v as usize] += 1.0;
            seen[v as usize] = true;
        }
        self.inner =
            (0..seen.len()).filter(|&v| seen[v] && (1..self.frozen).contains(&self.rows[v])).collect();
    }

    /// Bends the cells nearly: enough to tell which of several kept sets looks best.
    pub(super) fn glance(&self, start: &Bent, press: &[f64]) -> Bent {
        self.run(start.clone(), press, GLANCE, true, NEARLY_STILL * self.mesh.ell)
    }

    /// Bends the cells. `press` weighs each tile's share of the area, 1 for its own.
    pub(super) fn settle(&self, start: &Bent, press: &[f64]) -> Bent {
        let mut bent = self.run(start.clone(), press, ROUNDS, true, STILL);
        if self.even(&mut bent) > UNEVEN {
            bent = self.run(bent, press, AFTER, false, STILL);
            self.even(&mut bent);
        }
        bent
    }

    /// Bends cells that have been bent on to other shares of the area.
    pub(super) fn settle_on(&self, bent: &Bent, press: &[f64]) -> Bent {
        let mut bent = self.run(bent.clone(), press, AFTER, false, STILL);
        self.even(&mut bent);
        bent
    }

    /// `fresh`: from where the pattern has the vertices; else from where they are. `still`: moves less than this are none, mm.
    fn run(&self, mut bent: Bent, press: &[f64], rounds: usize, fresh: bool, still: f64) -> Bent {
        let n = self.mesh.rest.len();
        let mut sums = vec![Vec2::ZERO; n];
        let mut factors = vec![1.0; self.cells.len()];
        let wanted: Vec<f64> = self
            .cells
            .iter()
            .zip(&self.area)
            .map(|(&t, area)| area * press[t] * if self.cell_rows[t] <= ROWS { self.eta } else { 1.0 })
            .collect();
        self.part_seats(&mut bent.seats, 200);
        let mut along = vec![Vec2::ZERO; n];
        // What the cells have turned by together is taken back: the turn that was typed is kept.
        let mut back = Vec2::new(1.0, 0.0);
        for round in 0..rounds {
            give_way();
            let blend = if fresh { ((round as f64 + 1.0) / BLEND).min(1.0) } else { 1.0 };
            for &v in &self.border {
                let curve = &self.field.curves[bent.seats.curve[v].unwrap_or(0)];
                let (on, direction) = curve.frame(bent.seats.at[v]);
                along[v] = direction;
                bent.at[v] = self.mesh.rest[v] + (on - self.mesh.rest[v]) * blend;
            }
            sums.iter_mut().for_each(|s| *s = Vec2::ZERO);
            let mut turns = Vec2::ZERO;
            for c in 0..self.cells.len() {
                turns += self.pull(c, &bent.at, wanted[c], &mut factors[c], back, &mut sums);
            }
            let all = turns.hypot2().sqrt();
            if self.is_free_to_turn && all > 0.0 {
                back = Vec2::new(turns.x / all, -turns.y / all);
            }
            let step = STEP * (SLOWER / (round as f64 + 1.0)).min(1.0);
            let mut moved = 0.0_f64;
            for &v in &self.inner {
                let k = self.weight[v];
                let mut goal = sums[v] / k;
                if self.rows[v] > self.free {
                    let hold = ANCHOR * f64::from(self.rows[v] - self.free + 1).powi(2);
                    goal = (goal + self.mesh.rest[v].to_vec2() * hold) / (1.0 + hold);
                }
                let by = (goal - bent.at[v].to_vec2()) * step;
                moved = moved.max(by.hypot2());
                bent.at[v] += by;
            }
            for &v in self.border.iter().filter(|&&v| !bent.seats.held[v]) {
                let goal = sums[v] / self.weight[v];
                let by = (goal - bent.at[v].to_vec2()).dot(along[v]) * step;
                let by = by.clamp(-0.25 * self.mesh.ell, 0.25 * self.mesh.ell);
                moved = moved.max(by * by);
                bent.seats.at[v] += by;
            }
            self.part_seats(&mut bent.seats, 2);
            if blend >= 1.0 && moved < still * still {
                break;
            }
        }
        self.part_seats(&mut bent.seats, 200);
        self.set_border(&mut bent);
        bent
    }

    fn set_border(&self, bent: &mut Bent) {
        for &v in &self.border {
            bent.at[v] = self.field.curves[bent.seats.curve[v].unwrap_or(0)].point(bent.seats.at[v]);
        }
    }

    /// Adds what one cell, turned by `back`, asks of its vertices; how it has turned, as a unit vector.
    fn pull(
        &self,
        c: usize,
        at: &[Point],
        wanted: f64,
        factor: &mut f64,
        back: Vec2,
        sums: &mut [Vec2],
    ) -> Vec2 {
        let (from, to) = (self.starts[c], self.starts[c + 1]);
        let place = |i: usize| at[self.corners[i] as usize].to_vec2() + Vec2::new(self.over[i], 0.0);
        let n = (to - from) as f64;
        let (mut middle, mut twice) = (Vec2::ZERO, 0.0);
        let mut last = place(to - 1);
        for i in from..to {
            let p = place(i);
            middle += p;
            twice += last.cross(p);
            last = p;
        }
        middle /= n;
        let (mut re, mut im) = (0.0, 0.0);
        for i in from..to {
            let (q, p) = (self.rest[i], place(i) - middle);
            re += q.dot(p);
            im += q.cross(p);
        }
        let long = (re * re + im * im).sqrt();
        let size = long / self.spread[c];
        let area = (twice / 2.0).max(0.05 * wanted);
        let ratio = wanted / area;
        *factor += FOLLOWS * ((ratio * ratio).min(16.0) - *factor);
        let scale = (size * *factor).clamp(SMALLEST, LARGEST);
        let turn = if long > 0.0 { Vec2::new(re / long, im / long) } else { Vec2::new(1.0, 0.0) };
        let (cos, sin) =
            ((turn.x * back.x - turn.y * back.y) * scale, (turn.x * back.y + turn.y * back.x) * scale);
        for i in from..to {
            let q = self.rest[i];
            let goal = middle + Vec2::new(q.x * cos - q.y * sin, q.x * sin + q.y * cos);
            sums[self.corners[i] as usize] += goal - Vec2::new(self.over[i], 0.0);
        }
        turn
    }

    /// Pushes border vertices apart that sit too near each other, both as far.
    fn part_seats(&self, seats: &mut Seats, rounds: usize) {
        let mut push: Vec<f64> = Vec::new();
        for line in self.loops {
            let curve = &self.field.curves[line.curve];
            let length = curve.length();
            let n = line.vertices.len();
            if n < 2 {
                continue;
            }
            let feet = FEET * self.mesh.ell;
            let fits = (length / n as f64 * 0.8).min(feet);
            let least = |i: usize, j: usize| {
                if line.foot[i] && line.foot[j] {
                    fits
                } else {
                    (APART * self.mesh.ell).min(fits)
                }
            };
            for _ in 0..rounds {
                let mut any = false;
                for i in 0..n {
                    let j = (i + 1) % n;
                    let (v, w) = (line.vertices[i], line.vertices[j]);
                    let on = if j == 0 { length } else { 0.0 };
                    let gap = seats.at[w] + over_length(curve, line.over[j]) + on
                        - seats.at[v]
                        - over_length(curve, line.over[i]);
                    // Seats of a closed loop are known up to once round.
                    let gap = if mesh_closed(curve) { nearest_turn(gap, length) } else { gap };
                    let short = least(i, j) - gap;
                    if short > 1e-12 {
                        if !any {
                            push.clear();
                            push.resize(n, 0.0);
                            any = true;
                        }
                        let (a, b) = match (seats.held[v], seats.held[w]) {
                            (false, false) => (0.5, 0.5),
                            (false, true) => (1.0, 0.0),
                            (true, false) => (0.0, 1.0),
                            (true, true) => (0.0, 0.0),
                        };
                        push[i] -= short * a;
                        push[j] += short * b;
                    }
                }
                if !any {
                    break;
                }
                for (&v, by) in line.vertices.iter().zip(&push) {
                    seats.at[v] += by;
                }
            }
        }
    }

    /// The mean over the symmetries; how far it moved anything, mm.
    pub(super) fn even(&self, bent: &mut Bent) -> f64 {
        if self.group.len() < 2 {
            return 0.0;
        }
        let before = bent.clone();
        bent.seats.even(self.field, self.group);
        self.set_border(bent);
        let share = 1.0 / self.group.len() as f64;
        for &v in &self.inner {
            let sum = self.group.iter().fold(Vec2::ZERO, |sum, g| {
                let (w, k) = g.vertices[v];
                sum + g.kept.by.back(before.at[w] + Vec2::new(k as f64 * self.mesh.run, 0.0)).to_vec2()
            });
            bent.at[v] = (sum * share).to_point();
        }
        self.inner
            .iter()
            .chain(&self.border)
            .map(|&v| (bent.at[v] - before.at[v]).hypot2().sqrt())
            .fold(0.0, f64::max)
    }
}

fn mesh_closed(curve: &super::curve::Curve) -> bool {
    curve.period == Vec2::ZERO
}

fn mean(points: &[Point]) -> Point {
    (points.iter().fold(Vec2::ZERO, |s, p| s + p.to_vec2()) / points.len() as f64).to_point()
}

/// Rows from the border of every vertex (0 on it) and of every kept cell (1 at it).
fn depths(mesh: &Mesh, set: &KeepSet, loops: &[Loop]) -> (Vec<u32>, Vec<u32>) {
    let mut rows = vec![u32::MAX; mesh.rest.len()];
    let mut cells = vec![u32::MAX; mesh.tiles.len()];
    let mut front: Vec<usize> = loops.iter().flat_map(|l| l.vertices.iter().copied()).collect();
    front.iter().for_each(|&v| rows[v] = 0);
    let mut deep = 0;
    while !front.is_empty() {
        deep += 1;
        let mut next = Vec::new();
        for v in front {
            for &(t, _) in &mesh.around[v] {
                if set.kept[t] && cells[t] == u32::MAX {
                    cells[t] = deep;
                    for &(w, _) in &mesh.tiles[t].corners {
                        if rows[w] == u32::MAX {
                            rows[w] = deep;
                            next.push(w);
                        }
                    }
                }
            }
        }
        front = next;
    }
    (rows, cells)
}
