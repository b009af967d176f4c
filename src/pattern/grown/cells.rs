//! Voronoi cells: every point gets the ground nearer to it than to any other.

use crate::geom::{Point, Rect, Vec2};

/// A pseudo-random generator, the same numbers from the same seed: splitmix64 (Steele, Lea and Flood 2014, from
/// memory; its first output for seed 0 is 0xE220A8397B1DCDAF, tested).
#[derive(Debug, Clone)]
pub struct Shuffle(u64);

impl Shuffle {
    /// The run of numbers that this seed gives.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next of 2^64 whole numbers, each as likely.
    pub fn draw(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// From 0 up to but not including 1, in steps of 2^-53.
    pub fn part(&mut self) -> f64 {
        (self.draw() >> 11) as f64 / 9_007_199_254_740_992.0
    }
}

/// Points in a uniform grid, so that neighbours are found without looking at all. Those of a row of squares lie
/// together.
struct UniformGrid {
    origin: Point,
    size: f64,
    across: usize,
    up: usize,
    /// Where each square's points start in `points`; one more at the end.
    starts: Vec<u32>,
    /// Each with its place in the list.
    points: Vec<(Point, u32)>,
}

impl UniformGrid {
    /// About one point to a square; more makes rounds of squares coarser, less makes more empty ones to visit.
    fn new(points: &[Point]) -> Self {
        let bounds = points.iter().fold(Rect::from_origin_size(points[0], (0.0, 0.0)), |b, &p| b.union_pt(p));
        let n = points.len() as f64;
        let area = bounds.width() * bounds.height();
        let size = (area / n).sqrt().max(bounds.width().max(bounds.height()) / n).max(1e-9);
        let across = (bounds.width() / size) as usize + 1;
        let up = (bounds.height() / size) as usize + 1;
        let mut squares = Self {
            origin: bounds.origin(),
            size,
            across,
            up,
            starts: vec![0; across * up + 1],
            points: vec![(Point::ORIGIN, 0); points.len()],
        };
        let homes: Vec<usize> =
            points.iter().map(|&p| squares.square_of(p)).map(|(i, j)| j * across + i).collect();
        for &home in &homes {
            squares.starts[home + 1] += 1;
        }
        for k in 1..squares.starts.len() {
            squares.starts[k] += squares.starts[k - 1];
        }
        let mut next = squares.starts.clone();
        for (k, (&p, &home)) in points.iter().zip(&homes).enumerate() {
            squares.points[next[home] as usize] = (p, k as u32);
            next[home] += 1;
        }
        squares
    }

    fn square_of(&self, p: Point) -> (usize, usize) {
        let at = |v: f64, most: usize| ((v / self.size) as usize).min(most - 1);
        (at(p.x - self.origin.x, self.across), at(p.y - self.origin.y, self.up))
    }

    /// The rows of the block of squares that reach so far from a point.
    fn rows(&self, p: Point, reach: f64) -> impl Iterator<Item = &[(Point, u32)]> {
        let beside = Vec2::new(reach, reach);
        let ((i, j), (k, l)) = (self.square_of(p - beside), self.square_of(p + beside));
        (j..=l).map(move |row| {
            let first = row * self.across;
            &self.points[self.starts[first + i] as usize..self.starts[first + k + 1] as usize]
        })
    }
}

/// No point: what lies beyond a side of the bounds.
const NONE: u32 = u32::MAX;
/// Sides a cell keeps in mind for the next time; cells with more are rare and begin from nothing.
const SIDES: usize = 8;
/// Two neighbours whose directions differ by less than this (sine) leave their corner to chance: cut from nothing instead.
const SLANT: f64 = 1e-6;

/// Which points every cell has a side with: where to begin when the points have moved a little. Points of an altogether
/// other list do no harm, they only cost time.
#[derive(Default)]
pub(super) struct CellNeighbours(Vec<[u32; SIDES]>);

/// The cells of the first `count` points among all of them, inside `bounds`: corners anticlockwise, measured from
/// their own point. Every corner is right to rounding; cells that share a side find it each for itself. `neighbours` are
/// those of the last time, or none; they are those of this time afterwards.
pub(super) fn voronoi_cells(
    points: &[Point],
    count: usize,
    bounds: Rect,
    neighbours: &mut CellNeighbours,
    mut each: impl FnMut(usize, &[CellSide]),
) {
    if points.is_empty() {
        return;
    }
    let squares = UniformGrid::new(points);
    let mut cell = CutCell::default();
    neighbours.0.resize(count, [NONE; SIDES]);
    for (n, (&p, neighbours)) in points.iter().zip(&mut neighbours.0).enumerate() {
        // No point farther away than twice the farthest corner can cut anything off. Of a cell that is begun from nothing
        // the nearest are asked first: they leave least to cut for the others.
        let begun = cell.begin_between(points, bounds, p, neighbours);
        if !begun {
            cell.begin(bounds, p);
        }
        let mut reach = if begun { cell.reach() } else { squares.size / 2.0 };
        loop {
            for row in squares.rows(p, reach) {
                for &(q, k) in row {
                    let d = q - p;
                    if cell.may_meet(d) {
                        cell.keep_nearer(d, k);
                    }
                }
            }
            if cell.reach() <= reach {
                break;
            }
            reach = cell.reach().min(2.0 * reach);
        }
        *neighbours = cell.neighbours();
        each(n, &cell.sides);
    }
}

/// A side of a cell: its first corner, from the cell's own point, and which point lies beyond it.
#[derive(Debug, Clone, Copy)]
pub(super) struct CellSide {
    pub from: Vec2,
    beyond: u32,
}

/// A cell being cut, its sides anticlockwise.
#[derive(Default)]
struct CutCell {
    sides: Vec<CellSide>,
    /// How far its farthest corner is, squared.
    far2: f64,
    /// What the next cut leaves.
    left: Vec<CellSide>,
}

impl CutCell {
    /// All of a box, about a point in it.
    fn begin(&mut self, bounds: Rect, p: Point) {
        let corners =
            [(bounds.x0, bounds.y0), (bounds.x1, bounds.y0), (bounds.x1, bounds.y1), (bounds.x0, bounds.y1)];
        self.sides.clear();
        self.sides.extend(corners.map(|c| CellSide { from: Point::from(c) - p, beyond: NONE }));
        self.far2 = farthest2(&self.sides);
    }

    /// What lies between the sides to these points, taken in turn; sides that the others leave nothing of are passed over.
    /// False, and the cell meaningless, unless the sides close round it once and within the box.
    fn begin_between(&mut self, points: &[Point], bounds: Rect, p: Point, around: &[u32; SIDES]) -> bool {
        let mut ways = [Vec2::ZERO; SIDES];
        self.sides.clear();
        for &k in around.iter().take_while(|&&k| k != NONE) {
            let Some(way) = points.get(k as usize).map(|&q| q - p) else { return false };
            let mut from = Vec2::ZERO;
            while let Some(last) = self.sides.len().checked_sub(1) {
                let Some(corner) = corner(ways[last], way) else { return false };
                from = corner;
                // A side runs from its own corner to the next, with its way to the right; where the first begins is seen
                // last of all.
                if last == 0 || ways[last].cross(from - self.sides[last].from) > 0.0 {
                    break;
                }
                self.sides.pop();
            }
            ways[self.sides.len()] = way;
            self.sides.push(CellSide { from, beyond: k });
        }
        while let Some(last) = self.sides.len().checked_sub(1).filter(|&last| last > 1) {
            let Some(from) = corner(ways[last], ways[0]) else { return false };
            if ways[last].cross(from - self.sides[last].from) > 0.0 {
                self.sides[0].from = from;
                let rounds = (0..=last)
                    .filter(|&i| ways[i].y < 0.0 && ways[if i < last { i + 1 } else { 0 }].y >= 0.0);
                self.far2 = farthest2(&self.sides);
                return ways[0].cross(self.sides[1].from - from) > 0.0
                    && rounds.count() == 1
                    && self.sides.iter().all(|s| bounds.contains(p + s.from));
            }
            self.sides.pop();
        }
        false
    }

    /// Points farther away than this cut nothing off.
    fn reach(&self) -> f64 {
        2.0 * self.far2.sqrt()
    }

    /// Whether a point at `d` could cut something off. One in the same place is the point itself, or cannot be told from it.
    fn may_meet(&self, d: Vec2) -> bool {
        (1e-18..4.0 * self.far2).contains(&d.hypot2())
    }

    /// Cuts off what is nearer to point `k`, which lies at `d`. One that has a side already is not asked again, as its corners
    /// lie on the line but for the last digit.
    fn keep_nearer(&mut self, d: Vec2, k: u32) {
        let half = 0.5 * d.hypot2();
        let within = |s: &CellSide| s.from.dot(d) <= half;
        if self.sides.iter().any(|s| s.beyond == k) || self.sides.iter().all(within) {
            return;
        }
        self.left.clear();
        let mut last = self.sides[self.sides.len() - 1];
        let mut last_over = last.from.dot(d) - half;
        for &side in &self.sides {
            let over = side.from.dot(d) - half;
            if (over > 0.0) != (last_over > 0.0) {
                let from = last.from + (side.from - last.from) * (last_over / (last_over - over));
                self.left.push(CellSide { from, beyond: if over > 0.0 { k } else { last.beyond } });
            }
            if over <= 0.0 {
                self.left.push(side);
            }
            (last, last_over) = (side, over);
        }
        std::mem::swap(&mut self.sides, &mut self.left);
        self.far2 = farthest2(&self.sides);
    }

    /// The points beyond its sides in turn; none when it has too many, or reaches the bounds.
    fn neighbours(&self) -> [u32; SIDES] {
        let mut all = [NONE; SIDES];
        if self.sides.len() <= SIDES && self.sides.iter().all(|s| s.beyond != NONE) {
            all.iter_mut().zip(&self.sides).for_each(|(to, side)| *to = side.beyond);
        }
        all
    }
}

/// Where the sides to two points meet that are next to each other, anticlockwise; `None` if they hardly do.
fn corner(a: Vec2, b: Vec2) -> Option<Vec2> {
    let (a2, b2, det) = (a.hypot2(), b.hypot2(), a.cross(b));
    let meet = det > 0.0 && det * det > SLANT * SLANT * a2 * b2;
    meet.then(|| Vec2::new(a2 * b.y - b2 * a.y, b2 * a.x - a2 * b.x) / (2.0 * det))
}

fn farthest2(cell: &[CellSide]) -> f64 {
    cell.iter().fold(0.0, |m, s| f64::max(m, s.from.hypot2()))
}

/// Area and centroid of a cell given from its own point, each piece weighing `weight` of its middle.
pub(super) fn balance(cell: &[CellSide], weight: impl Fn(Vec2) -> f64) -> Option<Vec2> {
    let (mut whole, mut moment) = (0.0, Vec2::ZERO);
    for (i, side) in cell.iter().enumerate() {
        let (a, b) = (side.from, cell[(i + 1) % cell.len()].from);
        let middle = (a + b) / 3.0;
        let part = 0.5 * a.cross(b) * weight(middle);
        whole += part;
        moment += middle * part;
    }
    (whole > 0.0).then(|| moment / whole)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shuffle_is_the_published_one() {
        // First outputs of splitmix64 from seed 0 and 1234567 (from memory, widely printed test values).
        let mut zero = Shuffle::new(0);
        assert_eq!(zero.draw(), 0xE220_A839_7B1D_CDAF);
        let mut other = Shuffle::new(1_234_567);
        assert_eq!(other.draw(), 6_457_827_717_110_365_317);
        assert_eq!(other.draw(), 3_203_168_211_198_807_973);
    }

    #[test]
    fn cells_share_out_the_ground() {
        let mut shuffle = Shuffle::new(3);
        let bounds = Rect::new(-3.0, 1.0, 8.0, 9.0);
        for n in [1, 2, 3, 50, 400] {
            let mut points: Vec<Point> = (0..n)
                .map(|_| Point::new(-3.0 + 11.0 * shuffle.part(), 1.0 + 8.0 * shuffle.part()))
                .collect();
            let mut neighbours = CellNeighbours::default();
            // Begun from nothing, from the neighbours before a small move, and from those of wholly other points.
            for round in 0..3 {
                let mut area = 0.0;
                voronoi_cells(&points, n, bounds, &mut neighbours, |k, cell| {
                    let turned = cell.iter().cycle().skip(1);
                    area += cell.iter().zip(turned).map(|(a, b)| 0.5 * a.from.cross(b.from)).sum::<f64>();
                    let twice = |s: &CellSide| {
                        cell.iter().filter(|o| s.beyond != NONE && o.beyond == s.beyond).count() > 1
                    };
                    assert!(!cell.iter().any(twice), "two sides to one point");
                    for side in cell {
                        // No other point is nearer to a corner than the cell's own.
                        let at = points[k] + side.from;
                        let nearest =
                            points.iter().map(|p| (at - *p).hypot2().sqrt()).fold(f64::INFINITY, f64::min);
                        assert!((nearest - side.from.hypot2().sqrt()).abs() < 1e-9);
                    }
                });
                assert!((area - 88.0).abs() < 1e-9, "{n}: {area}");
                if round == 0 {
                    for p in &mut points {
                        *p = p.lerp(bounds.center(), 0.1 * shuffle.part());
                    }
                } else {
                    points.reverse();
                }
            }
        }
    }
}
