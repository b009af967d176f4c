//! Boxes of about one size in the squares of a grid: what lies near a place is found by looking into a few squares.
//!
//! Made in two passes over the boxes, where a tree has to sort them: for a hundred thousand openings a fifth of the time
//! that measuring their bridges takes. Boxes of very different sizes are better off in [`super::RTree`].

use super::{box_distance2, Bounded};
use kurbo::{Point, Rect};

/// Squares for each box at most: more squares than boxes would only take memory.
const SQUARES: f64 = 2.0;

/// Bounded items by the squares their boxes lie over.
#[derive(Debug, Clone)]
pub struct Grid<T> {
    items: Vec<Bounded<T>>,
    corner: Point,
    /// Side of a square, mm.
    side: f64,
    across: usize,
    up: usize,
    /// Where the items of each square begin in `lying`, row by row and by how they reach into it, and the end of the last.
    begins: Vec<u32>,
    /// Places in `items`.
    lying: Vec<u32>,
}

/// How a box reaches into a square, in the order in which they are kept: whoever looks into the first squares of a column or
/// row takes those that come from before it, else each is met once more.
const FROM_LEFT: usize = 0;
const BEGINS: usize = 1;
const FROM_BELOW: usize = 2;
const FROM_BOTH: usize = 3;
const WAYS: usize = 4;

impl<T> Grid<T> {
    /// A grid of squares about as large as the boxes.
    pub fn new(items: Vec<Bounded<T>>) -> Self {
        let whole = items.iter().map(|b| b.bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        let n = items.len().max(1) as f64;
        let mean = items.iter().map(|b| b.bounds.width().max(b.bounds.height())).sum::<f64>() / n;
        let side = mean
            .max((whole.area() / (SQUARES * n)).sqrt())
            .max(whole.width().max(whole.height()) / 1e4)
            .max(1e-6);
        let squares = |length: f64| (length / side).floor() as usize + 1;
        let (across, up) = (squares(whole.width()), squares(whole.height()));
        let mut grid = Self {
            items,
            corner: whole.origin(),
            side,
            across,
            up,
            begins: vec![0; across * up * WAYS + 1],
            lying: Vec::new(),
        };
        let mut begins = std::mem::take(&mut grid.begins);
        for item in &grid.items {
            grid.ways_in(item.bounds).for_each(|way| begins[way + 1] += 1);
        }
        let mut sum = 0;
        for begin in &mut begins {
            sum += *begin;
            *begin = sum;
        }
        let mut lying = vec![0; begins.last().map_or(0, |end| *end as usize)];
        let mut next = begins.clone();
        for (i, item) in grid.items.iter().enumerate() {
            for way in grid.ways_in(item.bounds) {
                lying[next[way] as usize] = i as u32;
                next[way] += 1;
            }
        }
        (grid.begins, grid.lying) = (begins, lying);
        grid
    }

    /// Column and row of the square that holds a point, the nearest one of the grid.
    fn square(&self, p: Point) -> (usize, usize) {
        let of = |v: f64, squares: usize| ((v / self.side).max(0.0) as usize).min(squares - 1);
        (of(p.x - self.corner.x, self.across), of(p.y - self.corner.y, self.up))
    }

    /// The squares a box lies over, each with whether it is the box's first column and first row.
    fn squares(&self, bounds: Rect) -> impl Iterator<Item = (usize, (bool, bool))> {
        let (first, last) =
            (self.square(Point::new(bounds.x0, bounds.y0)), self.square(Point::new(bounds.x1, bounds.y1)));
        let across = self.across;
        (first.1..=last.1).flat_map(move |row| {
            (first.0..=last.0).map(move |column| (row * across + column, (column == first.0, row == first.1)))
        })
    }

    /// The squares a box lies over, each with how the box reaches into it, as places in `begins`.
    fn ways_in(&self, bounds: Rect) -> impl Iterator<Item = usize> {
        self.squares(bounds).map(|(square, first)| {
            square * WAYS
                + match first {
                    (false, true) => FROM_LEFT,
                    (true, true) => BEGINS,
                    (true, false) => FROM_BELOW,
                    (false, false) => FROM_BOTH,
                }
        })
    }

    /// All of them, in the order they came in.
    pub fn items(&self) -> &[Bounded<T>] {
        &self.items
    }

    /// Those whose box meets `bounds`.
    pub fn meeting(&self, bounds: Rect) -> impl Iterator<Item = &Bounded<T>> {
        self.squares(bounds).flat_map(move |(square, (first_column, first_row))| {
            // One that lies over several squares is found in the first of them that is looked into.
            let from = if first_column { FROM_LEFT } else { BEGINS };
            let to = match (first_column, first_row) {
                (_, false) => FROM_BELOW,
                (false, true) => FROM_BOTH,
                (true, true) => WAYS,
            };
            let begin = |way: usize| self.begins[square * WAYS + way] as usize;
            let here = self.lying[begin(from)..begin(to)].iter().map(|i| &self.items[*i as usize]);
            here.filter(move |item| box_distance2(bounds, item.bounds) <= 0.0)
        })
    }

    /// Those whose box comes within `reach` of `bounds`.
    pub fn around(&self, bounds: Rect, reach: f64) -> impl Iterator<Item = &Bounded<T>> {
        let near = move |b: &&Bounded<T>| box_distance2(bounds, b.bounds) <= reach * reach;
        self.meeting(bounds.inflate(reach, reach)).filter(near)
    }
}
