//! How a big piece lies over pages: the joins between them, and the marks that bring the joined paper together.

use super::fit;
use super::header;
use super::numbers::passes;
use super::page::{Group, Ink, Mark, PageKind, Words, STRIP};
use super::signs::{self, JOIN};
use super::template::Art;
use crate::geom::{Bounded, Grid, Grow, Point, Rect, Vec2};
use crate::job::PaperSpec;
use crate::units::limits::SPLIT_PAGES;
use crate::work::Work;
use std::borrow::Cow;

/// Neighbouring pages share this much, mm: room for two join marks and a strip of glue.
pub(super) const OVERLAP: f64 = 10.0;
/// A join mark slides along its edge by this much at most, mm, to find a free spot.
const SLIDE: f64 = 25.0;
/// Join lines are tried this far apart, mm, within the slack, so that they keep off bridges.
const TRY: f64 = 0.25;
/// A join this near to the narrowest place of a bridge goes through it, mm.
const NEAR: f64 = 0.6;

/// Where the pages lie on the piece: the picture of page c, r ends at the `ends` of its column and row.
/// One page is cut along its right and lower edge and laid over the next: those edges are the joins.
pub(super) struct PageTiling {
    pub size: (f64, f64),
    /// Where on every page the picture stands.
    pub shown: Rect,
    /// Right edges of the columns' pictures and lower edges of the rows', on the piece.
    ends: (Vec<f64>, Vec<f64>),
}

impl PageTiling {
    pub(super) fn columns(&self) -> usize {
        self.ends.0.len()
    }
    pub(super) fn rows(&self) -> usize {
        self.ends.1.len()
    }
    pub(super) fn window(&self, column: usize, row: usize) -> Rect {
        let (x, y) = (self.ends.0[column], self.ends.1[row]);
        Rect::new(x - self.shown.width(), y - self.shown.height(), x, y)
    }
    /// From the piece to a page.
    pub(super) fn shift(&self, column: usize, row: usize) -> Vec2 {
        self.shown.origin() - self.window(column, row).origin()
    }
    /// "A1": column letter, row number.
    pub(super) fn name(column: usize, row: usize) -> String {
        let mut letters = String::new();
        let mut c = column;
        loop {
            letters.insert(0, char::from(b'A' + (c % 26) as u8));
            if c < 26 {
                break;
            }
            c = c / 26 - 1;
        }
        format!("{letters}{}", row + 1)
    }
}

/// How many pages a template takes each way.
pub(super) struct TileGrid {
    size: (f64, f64),
    shown: Rect,
    counts: (usize, usize),
}

impl TileGrid {
    pub(super) fn pages(&self) -> usize {
        self.counts.0 * self.counts.1
    }
}

/// The fewest pages, upright or wide, that show a box; `None` if there are far too many.
pub(super) fn grid(paper: &PaperSpec, need: Rect) -> Option<TileGrid> {
    let mut best: Option<TileGrid> = None;
    for size in fit::both_ways(paper) {
        let page = fit::page(PageKind::Template, paper, size);
        let room = header::printable(&page);
        let shown = Rect::new(room.x0 + STRIP, room.y0, room.x1, room.y1 - STRIP);
        let (wide, high) = (shown.width(), shown.height());
        if wide <= 3.0 * OVERLAP || high <= 3.0 * OVERLAP {
            continue;
        }
        let count = |need: f64, w: f64| (((need - OVERLAP) / (w - OVERLAP)) - 1e-9).ceil().max(1.0) as usize;
        let counts = (count(need.width(), wide), count(need.height(), high));
        if best.as_ref().is_none_or(|b| counts.0 * counts.1 < b.pages()) {
            best = Some(TileGrid { size, shown, counts });
        }
    }
    best.filter(|grid| grid.pages() <= SPLIT_PAGES)
}

/// The fewest pages, upright or wide; where there is slack, join lines keep off bridges.
pub(super) fn tiling(paper: &PaperSpec, work: &Work, art: &Art) -> Option<PageTiling> {
    let need = art.all;
    let TileGrid { size, shown, counts: (columns, rows) } = grid(paper, need)?;
    let places = || work.graph.bridges().map(|b| b.at.map(|at| art.place.point(at)));
    let across = Reaches::of(places().map(|[a, b]| (a.x.min(b.x), a.x.max(b.x))));
    let down = Reaches::of(places().map(|[a, b]| (a.y.min(b.y), a.y.max(b.y))));
    let ends = (
        ends((need.x0, need.x1), shown.width(), columns, &across),
        ends((need.y0, need.y1), shown.height(), rows, &down),
    );
    Some(PageTiling { size, shown, ends })
}

/// From where to where the narrowest place of each bridge reaches along one direction: all beginnings and all ends, sorted.
struct Reaches {
    from: Vec<f64>,
    to: Vec<f64>,
}

impl Reaches {
    fn of(reaches: impl Iterator<Item = (f64, f64)>) -> Reaches {
        let (mut from, mut to): (Vec<f64>, Vec<f64>) = reaches.unzip();
        from.sort_unstable_by(f64::total_cmp);
        to.sort_unstable_by(f64::total_cmp);
        Reaches { from, to }
    }

    /// How many a join goes through: those begun before it less those ended.
    fn met(&self, join: f64) -> usize {
        let begun = self.from.partition_point(|a| *a - NEAR < join);
        begun - self.to.partition_point(|b| *b + NEAR <= join)
    }
}

/// Where the pages end along one direction. Spread evenly, then each join on its own moved within its share of the
/// slack to where it meets the fewest bridges.
fn ends((from, to): (f64, f64), window: f64, count: usize, bridges: &Reaches) -> Vec<f64> {
    let step = window - OVERLAP;
    let slack = step * count as f64 + OVERLAP - (to - from);
    // Shares: the first page's margin, every overlap, the last page's margin.
    let share = slack.max(0.0) / (count + 1) as f64;
    let met = |join: f64| bridges.met(join);
    let mut ends: Vec<f64> = Vec::new();
    for i in 0..count {
        let even = from - share + window + (step - share) * i as f64;
        if i + 1 == count {
            let most = ends.last().map_or(from + window, |e| e + step);
            ends.push(even.min(most).max(to));
            break;
        }
        let most = ends.last().map_or(from + window, |e| e + step).min(even + share);
        let tries = (share / TRY) as i32;
        // From the even place outwards: the first of the best is the most even.
        let places = (0..=tries).flat_map(|k| [f64::from(k) * TRY, f64::from(-k) * TRY]).map(|d| even + d);
        let best = places.filter(|p| *p <= most).min_by_key(|p| met(*p));
        ends.push(best.unwrap_or(even.min(most)));
    }
    ends
}

/// A join mark: its number and its place on the piece.
#[derive(Debug, Clone, Copy)]
pub(super) struct Join {
    pub number: usize,
    pub at: Point,
    /// Whether its name stands to the right, and above; `None` where a name would cover what must be seen.
    pub side: Option<(bool, bool)>,
}

/// Where a join mark's name may stand, best first.
const SIDES: [Option<(bool, bool)>; 4] =
    [Some((true, true)), Some((true, false)), Some((false, true)), Some((false, false))];

/// Two marks on every edge two pages share, slid along the join to where they cover no drill mark.
pub(super) fn joins(tiling: &PageTiling, art: &Art) -> Vec<Join> {
    let spots = join_spots(tiling);
    let drawn = near_joins(&spots, art);
    // Drill marks and numbers, which a join mark must not cover.
    let kept = |m: &&Mark| {
        matches!(m.group, Group::Words | Group::PunchMarks | Group::DrillPoints | Group::WindowDrillPoints)
    };
    let covered = drawn.iter().map(Cow::as_ref).filter(kept);
    let covered = Grid::new(covered.map(|m| Bounded { item: (), bounds: m.bounds() }).collect());
    let lines = drawn
        .iter()
        .filter(|m| m.group == Group::SawLines)
        .filter_map(|m| if let Ink::Closed { rings, .. } = &m.ink { rings.first() } else { None })
        .map(|ring| Bounded { item: ring, bounds: ring.bounds() });
    let lines = Grid::new(lines.collect());
    let mut marks: Vec<Join> = Vec::new();
    let mut placed: Vec<Rect> = Vec::new();
    for spot in &spots {
        let number = marks.len() + 1;
        let (at, reach) = (|d: f64| spot.middle + spot.way * d, spot.reach());
        let near: Vec<Rect> =
            covered.meeting(reach).map(|b| b.bounds).chain(placed.iter().copied()).collect();
        let edges: Vec<Bounded<Vec<Point>>> = lines
            .meeting(reach)
            .map(|b| Bounded { item: b.item.flatten(0.05), bounds: b.bounds.grow(0.05) })
            .collect();
        let clear = |room: Rect| {
            let room = room.grow(0.3);
            !near.iter().any(|r| r.overlaps(room))
                && !edges.iter().any(|l| l.bounds.overlaps(room) && passes(&l.item, room))
        };
        let rooms = SIDES.map(|side| (side, join_rooms(number, side)));
        let room = |j: &Join| {
            rooms.iter().find(|(side, _)| *side == j.side).map_or([Rect::ZERO; 2], |(_, room)| *room)
        };
        let whole = |j: &Join| room(j)[0] + j.at.to_vec2();
        let words = |j: &Join| room(j)[1] + j.at.to_vec2();
        // From the middle outwards, half a millimetre at a time, the name on any side: clear of everything; else the name
        // clear and no drill mark under the circle; else the name at least; else no name.
        let steps = (SLIDE * 2.0) as i32;
        // Bare: neither on another join mark nor on a drill mark, if that can be.
        let bare = |d: f64| Join { number, at: at(d), side: None };
        let slides = || (0..=steps).flat_map(|i| [f64::from(i) * 0.5, f64::from(-i) * 0.5]);
        let uncovered = |j: &Join| {
            let disc = Rect::from_center_size(j.at, (2.0 * JOIN, 2.0 * JOIN));
            !near.iter().any(|r| r.overlaps(disc))
        };
        let spots = || slides().flat_map(|d| SIDES.map(|side| Join { number, at: at(d), side }));
        let free = spots()
            .find(|j| clear(whole(j)))
            .or_else(|| spots().find(|j| clear(words(j)) && uncovered(j)))
            .or_else(|| spots().find(|j| clear(words(j))))
            .or_else(|| slides().map(bare).find(uncovered));
        let join = free.unwrap_or(bare(0.0));
        placed.extend(join_mark(join).iter().map(Mark::bounds));
        marks.push(join);
    }
    marks
}

/// Where a join mark stands if nothing is in its way, and the direction it slides along.
struct JoinSpot {
    middle: Point,
    way: Vec2,
}

impl JoinSpot {
    /// All that a mark which slides along here may come near to.
    fn reach(&self) -> Rect {
        Rect::from_points(self.middle - self.way * SLIDE, self.middle + self.way * SLIDE).grow(10.0)
    }
}

/// Two on every edge that two pages share.
fn join_spots(tiling: &PageTiling) -> Vec<JoinSpot> {
    let mut spots = Vec::new();
    for row in 0..tiling.rows() {
        for column in 0..tiling.columns() {
            let w = tiling.window(column, row);
            for share in [0.25, 0.75] {
                if column + 1 < tiling.columns() {
                    let middle = Point::new(w.x1 - OVERLAP / 2.0, w.y0 + w.height() * share);
                    spots.push(JoinSpot { middle, way: Vec2::new(0.0, 1.0) });
                }
                if row + 1 < tiling.rows() {
                    let middle = Point::new(w.x0 + w.width() * share, w.y1 - OVERLAP / 2.0);
                    spots.push(JoinSpot { middle, way: Vec2::new(1.0, 0.0) });
                }
            }
        }
    }
    spots
}

/// What is drawn within reach of the join marks.
fn near_joins<'a>(spots: &[JoinSpot], art: &'a Art) -> Vec<Cow<'a, Mark>> {
    let reaches = spots.iter().map(|spot| Bounded { item: (), bounds: spot.reach() });
    let reaches = Grid::new(reaches.collect());
    let near = |bounds: Rect| reaches.meeting(bounds).next().is_some();
    let mut drawn: Vec<Cow<Mark>> =
        art.marks.iter().filter(|m| near(m.bounds())).map(Cow::Borrowed).collect();
    for stamp in &art.stamps {
        let about = stamp.bounds();
        let places = stamp.places.iter().filter(|place| near(about + place.at.to_vec2()));
        drawn.extend(places.flat_map(|place| stamp.at(place)).map(Cow::Owned));
    }
    drawn
}

/// The room of a join mark about its place, and that of its name.
fn join_rooms(number: usize, side: Option<(bool, bool)>) -> [Rect; 2] {
    let marks = join_mark(Join { number, at: Point::ORIGIN, side });
    let whole = marks.iter().map(Mark::bounds).fold(Rect::ZERO, |a, b| a.union(b));
    [whole, marks.last().map_or(Rect::ZERO, Mark::bounds)]
}

/// A join mark's name; the letter keeps it apart from the numbers of openings.
pub(super) fn join_name(number: usize) -> String {
    format!("J{number}")
}

/// The sign of a join, and its name beside it.
pub(super) fn join_mark(Join { number, at, side }: Join) -> Vec<Mark> {
    let mut marks = signs::join(at);
    if let Some((right, above)) = side {
        let tall = super::letters::reach("J", 6.0, true).0;
        let to = Vec2::new(if right { 1.5 } else { -1.5 }, if above { -2.0 } else { 2.0 + tall });
        let words = Words::new(join_name(number), at + to, 6.0).bold();
        marks.push(Mark::words(if right { words } else { words.end() }));
    }
    marks
}
