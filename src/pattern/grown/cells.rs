//! Nearest-point cells: every point gets the ground nearer to it than to any other.

use crate::geom::Rect;
use kurbo::{Point, Vec2};

/// Numbers that look thrown but come again the same from the same seed: splitmix64 (Steele, Lea and Flood 2014, from
/// memory; its first output for seed 0 is 0xE220A8397B1DCDAF, tested).
#[derive(Debug, Clone)]
pub struct Shuffle(u64);

impl Shuffle {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

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

/// Points sorted into equal squares, so that neighbours are found without looking at all. Those of a row of squares lie
/// together.
struct Squares {
    origin: Point,
    size: f64,
    across: usize,
    up: usize,
    /// Where each square's points start in `points`; one more at the end.
    starts: Vec<u32>,
    points: Vec<Point>,
}

impl Squares {
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
            points: vec![Point::ORIGIN; points.len()],
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
        for (&p, &home) in points.iter().zip(&homes) {
            squares.points[next[home] as usize] = p;
            next[home] += 1;
        }
        squares
    }

    fn square_of(&self, p: Point) -> (usize, usize) {
        let at = |v: f64, most: usize| ((v / self.size) as usize).min(most - 1);
        (at(p.x - self.origin.x, self.across), at(p.y - self.origin.y, self.up))
    }

    /// The points of the squares `from` to `to` of row `y`, both of them included, as far as there are any.
    fn row(&self, from: isize, to: isize, y: isize) -> &[Point] {
        let last = self.across as isize - 1;
        if y < 0 || y >= self.up as isize || to < 0 || from > last {
            return &[];
        }
        let first = y as usize * self.across;
        let (from, to) = (first + from.max(0) as usize, first + to.min(last) as usize);
        &self.points[self.starts[from] as usize..self.starts[to + 1] as usize]
    }

    /// Calls `f` with the points in the squares exactly `round` away from square (i, j), from the first round on in rows.
    /// False when there are none left that far out.
    fn each_round(&self, (i, j): (usize, usize), round: usize, mut f: impl FnMut(&[Point])) -> bool {
        let (i, j, r) = (i as isize, j as isize, round as isize);
        if i - r < 0 && j - r < 0 && i + r >= self.across as isize && j + r >= self.up as isize {
            return false;
        }
        for y in j - r..=j + r {
            if y == j - r || y == j + r {
                f(self.row(i - r, i + r, y));
            } else {
                f(self.row(i - r, i - r, y));
                f(self.row(i + r, i + r, y));
            }
        }
        true
    }
}

/// The cells of the first `count` points among all of them, inside `bounds`: corners anticlockwise, measured from
/// their own point. Every corner is right to rounding; cells that share a side find it each for itself.
pub fn nearest_cells(points: &[Point], count: usize, bounds: Rect, mut each: impl FnMut(usize, &[Vec2])) {
    if points.is_empty() {
        return;
    }
    let squares = Squares::new(points);
    let (mut cell, mut next): (Vec<Vec2>, Vec<Vec2>) = (Vec::with_capacity(24), Vec::with_capacity(24));
    let mut others: Vec<(f64, Vec2)> = Vec::with_capacity(24);
    for (n, &p) in points.iter().enumerate().take(count) {
        cell.clear();
        cell.extend([
            Vec2::new(bounds.x0 - p.x, bounds.y0 - p.y),
            Vec2::new(bounds.x1 - p.x, bounds.y0 - p.y),
            Vec2::new(bounds.x1 - p.x, bounds.y1 - p.y),
            Vec2::new(bounds.x0 - p.x, bounds.y1 - p.y),
        ]);
        let mut far2 = farthest2(&cell);
        let home = squares.square_of(p);
        for round in 0.. {
            // Squares this far out hold nothing nearer than a round less.
            let clear = (round as f64 - 1.0).max(0.0) * squares.size;
            if clear * clear > 4.0 * far2 {
                break;
            }
            // Points that could still cut something off. One in the same place is the point itself, or cannot be told
            // from it.
            let more = squares.each_round(home, round, |row| {
                let around = row.iter().map(|&q| q - p).map(|d| (d.hypot2(), d));
                others.extend(around.filter(|&(d2, _)| d2 < 4.0 * far2 && d2 >= 1e-18));
            });
            // The squares next to home are taken with it: the nearest points first leave least to cut for the others.
            if more && round == 0 {
                continue;
            }
            others.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
            for (d2, d) in others.drain(..) {
                if d2 < 4.0 * far2 && keep_nearer(&cell, &mut next, d, 0.5 * d2) {
                    std::mem::swap(&mut cell, &mut next);
                    far2 = farthest2(&cell);
                }
            }
            if !more {
                break;
            }
        }
        each(n, &cell);
    }
}

fn farthest2(cell: &[Vec2]) -> f64 {
    cell.iter().fold(0.0, |m, v| f64::max(m, v.hypot2()))
}

/// Cuts off what lies beyond the line v . d = `half`. False (and `next` meaningless) if nothing does.
fn keep_nearer(cell: &[Vec2], next: &mut Vec<Vec2>, d: Vec2, half: f64) -> bool {
    if cell.iter().all(|v| v.dot(d) <= half) {
        return false;
    }
    next.clear();
    let mut last = cell[cell.len() - 1];
    let mut last_over = last.dot(d) - half;
    for &v in cell {
        let over = v.dot(d) - half;
        if (over > 0.0) != (last_over > 0.0) {
            next.push(last + (v - last) * (last_over / (last_over - over)));
        }
        if over <= 0.0 {
            next.push(v);
        }
        (last, last_over) = (v, over);
    }
    true
}

/// Area and balance point of a cell given from its own point, each piece weighing `weight` of its middle.
pub(super) fn balance(cell: &[Vec2], weight: impl Fn(Vec2) -> f64) -> Option<Vec2> {
    let (mut whole, mut moment) = (0.0, Vec2::ZERO);
    for (i, &a) in cell.iter().enumerate() {
        let b = cell[(i + 1) % cell.len()];
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
            let points: Vec<Point> = (0..n)
                .map(|_| Point::new(-3.0 + 11.0 * shuffle.part(), 1.0 + 8.0 * shuffle.part()))
                .collect();
            let mut area = 0.0;
            nearest_cells(&points, n, bounds, |k, cell| {
                area += (0..cell.len()).map(|i| 0.5 * cell[i].cross(cell[(i + 1) % cell.len()])).sum::<f64>();
                for v in cell {
                    // No other point is nearer to a corner than the cell's own.
                    let at = points[k] + *v;
                    let nearest = points.iter().map(|p| (at - *p).hypot()).fold(f64::INFINITY, f64::min);
                    assert!((nearest - v.hypot()).abs() < 1e-9);
                }
            });
            assert!((area - 88.0).abs() < 1e-9, "{n}: {area}");
        }
    }
}
