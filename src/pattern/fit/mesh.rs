//! The cells of a pattern, laid in one place over a field, and which of them meet.

use super::field::{area, Domain};
use super::tiling::{At, Key, Node, Tiling};
use crate::geom::{sin_cos_degrees, Point, Rect, Ring, Vec2};
use std::collections::BTreeMap;

/// Cells with less of them in the field than this share are left out where cells are bent.
pub(super) const HARDLY: f64 = 0.01;
/// Cells are made smaller by this part before their share is taken, so that sides that lie on the border count once.
const WITHIN: f64 = 1e-7;

/// A pattern at its size, turn and place, mm.
#[derive(Debug, Clone)]
pub(super) struct Placed<'a> {
    pub tiling: &'a Tiling,
    /// The cells' rings at their size and turn.
    pub kinds: &'a [Ring],
    pub size: f64,
    pub turn: f64,
    /// Where the pattern's own origin lies.
    pub origin: Vec2,
    /// The whole repeats that the field begins again after, and their length along x (on a band).
    pub round: Option<([i64; 2], f64)>,
}

impl Placed<'_> {
    pub(super) fn world(&self, p: Point) -> Point {
        let (s, c) = sin_cos_degrees(self.turn);
        (Vec2::new(p.x * c - p.y * s, p.x * s + p.y * c) * self.size + self.origin).to_point()
    }

    pub(super) fn own(&self, p: Point) -> Point {
        let (s, c) = sin_cos_degrees(self.turn);
        let v = (p - self.origin).to_vec2() / self.size;
        Point::new(v.x * c + v.y * s, v.y * c - v.x * s)
    }

    pub(super) fn step(&self, i: i64, j: i64) -> Vec2 {
        let [a, b] = self.tiling.repeat;
        let at = |p: Point| self.world(p).to_vec2();
        at((a * i as f64 + b * j as f64).to_point()) - at(Point::ORIGIN)
    }

    /// A vertex moved back into the first repeat of a band, and by how many repeats.
    fn reduced(&self, (class, i, j): Key, at: Point) -> (Key, i64) {
        let Some(([m, n], run)) = self.round else { return ((class, i, j), 0) };
        let k = (at.x / run + 0.5 + 1e-6).floor() as i64;
        ((class, i - k * m, j - k * n), k)
    }
}

/// One cell of the mesh.
#[derive(Debug, Clone)]
pub(super) struct Tile {
    pub shape: usize,
    /// The whole repeats it stands at.
    pub step: [i64; 2],
    /// Vertices, anticlockwise, as [`Tiling::shapes`] lists them, each with how many repeats of the band farther on.
    pub corners: Vec<(usize, i64)>,
    /// The part of it that lies in the field, 0 to 1.
    pub share: f64,
    /// The neighbour along each side, from corner `i` to the next.
    pub beside: Vec<Option<usize>>,
}

#[derive(Debug, Clone)]
pub(super) struct Mesh {
    pub rest: Vec<Point>,
    pub tiles: Vec<Tile>,
    /// The tiles round each vertex, each with its corner there.
    pub around: Vec<Vec<(usize, usize)>>,
    keys: BTreeMap<Key, usize>,
    /// The key of each vertex.
    pub key_of: Vec<Key>,
    /// Side of a square as large as the mean cell, mm.
    pub ell: f64,
    /// Length of a band's repeat, mm; 0 elsewhere.
    pub run: f64,
}

impl Mesh {
    /// All cells of which more than the share `hardly` lies in the field.
    pub(super) fn new(placed: &Placed, field: &Domain, hardly: f64) -> Mesh {
        let run = placed.round.map_or(0.0, |(_, run)| run);
        let ell = placed.size * placed.tiling.mean_area().sqrt();
        let mut mesh = Mesh {
            rest: Vec::new(),
            tiles: Vec::new(),
            around: Vec::new(),
            keys: BTreeMap::new(),
            key_of: Vec::new(),
            ell,
            run,
        };
        for (shape, kind) in placed.kinds.iter().enumerate() {
            let flat = kind.flatten(ell * 2e-3);
            let (bounds, middle) = (kind.bounds(), kind.centroid());
            let reach = flat.iter().map(|p| (*p - middle).hypot2().sqrt()).fold(0.0, f64::max);
            for [i, j] in steps(placed, bounds, field.bounds) {
                let by = placed.step(i, j) + placed.origin;
                let at = middle + by;
                if placed.round.is_some() && !(-0.5 - 1e-6..0.5 - 1e-6).contains(&(at.x / run)) {
                    continue;
                }
                let depth = field.depth(at);
                let share = if depth >= reach {
                    1.0
                } else if depth <= -reach {
                    0.0
                } else {
                    let line: Vec<Point> = flat.iter().map(|p| at + (*p - middle) * (1.0 - WITHIN)).collect();
                    (field.shared(&line) / area(&line)).clamp(0.0, 1.0)
                };
                if share > hardly {
                    mesh.add(placed, shape, [i, j], share);
                }
            }
        }
        mesh.join();
        mesh
    }

    fn add(&mut self, placed: &Placed, shape: usize, step: [i64; 2], share: f64) {
        let corners: Vec<(usize, i64)> = placed.tiling.shapes[shape]
            .iter()
            .map(|at| {
                let (class, i, j) = at.key;
                let key = (class, i + step[0], j + step[1]);
                let place = placed.world(placed.tiling.position(key));
                let (key, k) = placed.reduced(key, place);
                let id = *self.keys.entry(key).or_insert_with(|| {
                    self.key_of.push(key);
                    self.rest.push(place - Vec2::new(k as f64 * self.run, 0.0));
                    self.rest.len() - 1
                });
                (id, k)
            })
            .collect();
        let beside = vec![None; corners.len()];
        self.tiles.push(Tile { shape, step, corners, share, beside });
    }

    /// Finds the neighbours.
    fn join(&mut self) {
        self.around = vec![Vec::new(); self.rest.len()];
        let mut sides: BTreeMap<(usize, usize, i64), (usize, usize)> = BTreeMap::new();
        for (t, tile) in self.tiles.iter().enumerate() {
            let n = tile.corners.len();
            for i in 0..n {
                let ((a, j), (b, k)) = (tile.corners[i], tile.corners[(i + 1) % n]);
                self.around[a].push((t, i));
                sides.insert((a, b, k - j), (t, i));
            }
        }
        for (&(a, b, over), &(t, i)) in &sides {
            if let Some(&(other, _)) = sides.get(&(b, a, -over)) {
                self.tiles[t].beside[i] = Some(other);
            }
        }
    }

    /// The vertex of a key, which lies at a point, with how many repeats of a band farther on.
    pub(super) fn vertex(&self, placed: &Placed, key: Key, at: Point) -> Option<(usize, i64)> {
        let (key, k) = placed.reduced(key, at);
        self.keys.get(&key).map(|&id| (id, k))
    }

    pub(super) fn line<'a>(&self, placed: &'a Placed, tile: usize) -> &'a [At] {
        &placed.tiling.shapes[self.tiles[tile].shape]
    }

    pub(super) fn has_arcs(&self, placed: &Placed, tile: usize) -> bool {
        self.line(placed, tile).iter().any(|a| a.node == Node::Rise)
    }
}

/// The whole repeats at which something lying in `own` may meet `bounds`.
fn steps(placed: &Placed, own: Rect, bounds: Rect) -> Vec<[i64; 2]> {
    let (a, b) = (placed.step(1, 0), placed.step(0, 1));
    let area = a.cross(b);
    let o = placed.origin;
    let reach = Rect::new(
        bounds.x0 - own.x1 - o.x,
        bounds.y0 - own.y1 - o.y,
        bounds.x1 - own.x0 - o.x,
        bounds.y1 - own.y0 - o.y,
    );
    let ends = [(reach.x0, reach.y0), (reach.x1, reach.y0), (reach.x1, reach.y1), (reach.x0, reach.y1)];
    let range = |f: &dyn Fn(Vec2) -> f64| {
        let values = ends.map(|(x, y)| f(Vec2::new(x, y)));
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        (low - 1e-6).floor() as i64..=(high + 1e-6).ceil() as i64
    };
    let mut steps = Vec::new();
    for j in range(&|v| a.cross(v) / area) {
        for i in range(&|v| v.cross(b) / area) {
            if reach.inflate(1e-6, 1e-6).contains((a * i as f64 + b * j as f64).to_point()) {
                steps.push([i, j]);
            }
        }
    }
    steps
}
