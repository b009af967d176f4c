//! A big piece over many pages: a key plan, then one page a tile, joined at crossed circles.

use super::copies;
use super::fit;
use super::header;
use super::key_plan::key_plan;
use super::numbers::passes;
use super::page::{CopyAt, Group, Ink, Kind, Mark, Page, Pen, Words, STRIP};
use super::template::Art;
use super::words;
use crate::geom::{Margin, Point, Rect, Vec2};
use crate::job::{Job, PaperSpec};
use crate::work::Work;

/// Neighbouring pages share this much, mm: room for two join marks and a strip of glue.
pub const OVERLAP: f64 = 10.0;
/// Most pages for one piece; beyond that nobody tapes paper.
const MOST_PAGES: usize = 200;
/// Radius of a join mark's circle, mm.
const JOIN: f64 = 2.0;
/// The line a page is cut along.
const CUT_PEN: Pen = Pen::new(0.13, 100).dashed(3.0, 1.5);
const JOIN_PEN: Pen = Pen::new(0.13, 100);
/// A join mark slides along its edge by this much at most, mm, to find a free spot.
const SLIDE: f64 = 25.0;
/// Join lines are tried this far apart, mm, within the slack, so that they keep off bridges.
const TRY: f64 = 0.25;
/// A join this near to the narrowest place of a bridge goes through it, mm.
const NEAR: f64 = 0.6;

/// Where the pages lie on the piece: page c, r shows what lies between `ends - window` and `ends` of its column and row.
/// One page is cut along its right and lower edge and laid over the next: those edges are the joins.
pub(super) struct Tiling {
    size: (f64, f64),
    window: (f64, f64),
    /// Right edges of the columns' pictures and lower edges of the rows', on the piece.
    ends: (Vec<f64>, Vec<f64>),
}

impl Tiling {
    pub fn columns(&self) -> usize {
        self.ends.0.len()
    }
    pub fn rows(&self) -> usize {
        self.ends.1.len()
    }
    pub fn window(&self, column: usize, row: usize) -> Rect {
        let (x, y) = (self.ends.0[column], self.ends.1[row]);
        Rect::new(x - self.window.0, y - self.window.1, x, y)
    }
    /// "A1": column letter, row number.
    pub fn name(column: usize, row: usize) -> String {
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

/// Key plan and pages for each template of the first job; `None` if there are several jobs or far too many pages.
pub fn pages(items: &[(&Job, &Work)], arts: &[Art]) -> Option<Vec<Page>> {
    let [(job, work)] = items else { return None };
    let mut pages = Vec::new();
    for copy in 0..job.paper.copies.max(1) as usize {
        for (i, art) in arts.iter().enumerate() {
            let k = copy * arts.len() + i + 1;
            let tiling = tiling(&job.paper, work, art)?;
            let joins = joins(&tiling, art);
            pages.extend(key_plan(job, work, art, &tiling, &joins));
            for row in 0..tiling.rows() {
                for column in 0..tiling.columns() {
                    pages.push(tile(
                        job,
                        art,
                        &tiling,
                        &joins,
                        (column, row),
                        (k, arts.len() == 1 && job.paper.copies <= 1),
                    ));
                }
            }
            if pages.len() > MOST_PAGES {
                return None;
            }
        }
    }
    Some(pages)
}

/// The fewest pages, upright or wide; where there is slack, join lines keep off bridges.
fn tiling(paper: &PaperSpec, work: &Work, art: &Art) -> Option<Tiling> {
    let need = art.all;
    let mut best: Option<(Tiling, (usize, usize))> = None;
    for size in fit::both_ways(paper) {
        let page = fit::page(Kind::Template, paper, size);
        let room = header::printable(&page);
        let window = (room.width() - STRIP, room.height() - STRIP);
        if window.0 <= 3.0 * OVERLAP || window.1 <= 3.0 * OVERLAP {
            continue;
        }
        let count = |need: f64, w: f64| (((need - OVERLAP) / (w - OVERLAP)) - 1e-9).ceil().max(1.0) as usize;
        let counts = (count(need.width(), window.0), count(need.height(), window.1));
        if best.as_ref().is_none_or(|(_, b)| counts.0 * counts.1 < b.0 * b.1) {
            best = Some((Tiling { size, window, ends: (Vec::new(), Vec::new()) }, counts));
        }
    }
    let (mut tiling, (columns, rows)) = best?;
    if columns * rows > MOST_PAGES {
        return None;
    }
    let bridges: Vec<Rect> = work
        .graph
        .bridges
        .iter()
        .map(|b| Rect::from_points(art.place.point(b.at[0]), art.place.point(b.at[1])))
        .collect();
    let across: Vec<(f64, f64)> = bridges.iter().map(|b| (b.x0, b.x1)).collect();
    let down: Vec<(f64, f64)> = bridges.iter().map(|b| (b.y0, b.y1)).collect();
    tiling.ends.0 = ends((need.x0, need.x1), tiling.window.0, columns, &across);
    tiling.ends.1 = ends((need.y0, need.y1), tiling.window.1, rows, &down);
    Some(tiling)
}

/// Where the pages end along one direction. Spread evenly, then each join on its own moved within its share of the
/// slack to where it meets the fewest bridges; `bridges` holds from where to where each narrowest place reaches.
fn ends((from, to): (f64, f64), window: f64, count: usize, bridges: &[(f64, f64)]) -> Vec<f64> {
    let step = window - OVERLAP;
    let slack = step * count as f64 + OVERLAP - (to - from);
    // Shares: the first page's margin, every overlap, the last page's margin.
    let share = slack.max(0.0) / (count + 1) as f64;
    let met = |join: f64| bridges.iter().filter(|(a, b)| *a - NEAR < join && join < *b + NEAR).count();
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
fn joins(tiling: &Tiling, art: &Art) -> Vec<Join> {
    // Drill marks and numbers, which a join mark must not cover.
    let kept = |m: &&Mark| {
        matches!(m.group, Group::Words | Group::PunchMarks | Group::DrillPoints | Group::WindowDrillPoints)
    };
    let covered: Vec<Rect> = art.marks.iter().filter(kept).map(|m| m.bounds()).collect();
    let lines: Vec<(Rect, Vec<Point>)> = art
        .marks
        .iter()
        .filter(|m| m.group == Group::SawLines)
        .filter_map(|m| if let Ink::Closed { rings, .. } = &m.ink { rings.first() } else { None })
        .map(|r| (r.bounds(), r.flatten(0.05)))
        .collect();
    let mut marks: Vec<Join> = Vec::new();
    let mut put = |at: &dyn Fn(f64) -> Point| {
        let number = marks.len() + 1;
        let reach = Rect::from_points(at(-SLIDE), at(SLIDE)).grow(10.0);
        let placed = marks.iter().flat_map(|j| join_mark(*j)).map(|m| m.bounds());
        let near: Vec<Rect> = covered.iter().copied().chain(placed).filter(|r| r.overlaps(reach)).collect();
        let edges: Vec<&Vec<Point>> =
            lines.iter().filter(|(b, _)| b.overlaps(reach)).map(|(_, l)| l).collect();
        let clear = |room: Rect| {
            let room = room.grow(0.3);
            !near.iter().any(|r| r.overlaps(room)) && !edges.iter().any(|l| passes(l, room))
        };
        let whole = |j: &Join| {
            join_mark(*j).iter().map(Mark::bounds).fold(Rect::from_points(j.at, j.at), |a, b| a.union(b))
        };
        let words = |j: &Join| join_mark(*j).last().map_or(Rect::from_points(j.at, j.at), Mark::bounds);
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
        marks.push(free.unwrap_or(bare(0.0)));
    };
    for row in 0..tiling.rows() {
        for column in 0..tiling.columns() {
            let w = tiling.window(column, row);
            for share in [0.25, 0.75] {
                if column + 1 < tiling.columns() {
                    put(&|d| Point::new(w.x1 - OVERLAP / 2.0, w.y0 + w.height() * share + d));
                }
                if row + 1 < tiling.rows() {
                    put(&|d| Point::new(w.x0 + w.width() * share + d, w.y1 - OVERLAP / 2.0));
                }
            }
        }
    }
    marks
}

/// A join mark's name; the letter keeps it apart from the numbers of openings.
pub(super) fn join_name(number: usize) -> String {
    format!("J{number}")
}

/// A circle with a cross through it, and its name beside it.
fn join_mark(Join { number, at, side }: Join) -> Vec<Mark> {
    let arm = |v: Vec2| Mark::line(Group::Guides, vec![at - v, at + v], JOIN_PEN);
    let circle = Ink::Circle { at, radius: JOIN, fill: None, pen: Some(JOIN_PEN) };
    let mut marks = vec![
        Mark::new(Group::Guides, circle),
        arm(Vec2::new(JOIN + 1.0, 0.0)),
        arm(Vec2::new(0.0, JOIN + 1.0)),
    ];
    if let Some((right, above)) = side {
        let tall = super::letters::reach("J", 6.0, true).0;
        let to = Vec2::new(if right { 1.7 } else { -1.7 }, if above { -1.7 } else { 1.7 + tall });
        let words = Words::new(join_name(number), at + to, 6.0).bold();
        marks.push(Mark::words(if right { words } else { words.end() }));
    }
    marks
}

fn tile(
    job: &Job,
    art: &Art,
    tiling: &Tiling,
    joins: &[Join],
    (column, row): (usize, usize),
    (k, alone): (usize, bool),
) -> Page {
    let mut page = fit::page(Kind::Template, &job.paper, tiling.size);
    let room = header::printable(&page);
    let view = tiling.window(column, row);
    let window = Rect::new(room.x0 + STRIP, room.y0, room.x1, room.y1 - STRIP);
    let by = window.origin() - view.origin();
    page.window = Some(window);
    page.alone = alone;
    page.copies.push(CopyAt { k, place: art.place.shifted(by) });
    for mark in &art.marks {
        let b = mark.bounds();
        let seen = if mark.group == Group::Words { view.contains_rect(b) } else { b.overlaps(view) };
        // The outline is always there, whole, so that every page holds the same closed line.
        if seen || mark.group == Group::Outline {
            page.marks.push(mark.shifted(by, k));
        }
    }
    for join in joins.iter().filter(|j| view.shrink(JOIN + 1.0).contains(j.at)) {
        page.marks.extend(join_mark(Join { at: join.at + by, ..*join }));
    }
    // Where this page is cut, to lie over the next: along its right and lower edge.
    let (far, corner) = (Point::new(window.x1, window.y1), (window.x1, window.y0));
    let mut cuts = Vec::new();
    if column + 1 < tiling.columns() {
        page.marks.push(Mark::rule(Point::from(corner), far, CUT_PEN));
        cuts.push(format!("right edge over {}", Tiling::name(column + 1, row)));
    }
    if row + 1 < tiling.rows() {
        page.marks.push(Mark::rule(Point::new(window.x0, window.y1), far, CUT_PEN));
        cuts.push(format!("lower edge over {}", Tiling::name(column, row + 1)));
    }
    let name = Tiling::name(column, row);
    let name = if copies::print_mirrored(&job.paper) { format!("MIRRORED  {name}") } else { name };
    // As large as the room beside the bar's words lets it be.
    let big = |size: f64| Words::new(name.as_str(), Point::new(room.x1, room.y1 - 3.7), size).bold().end();
    let measure = Words::new(words::MEASURE_ME, Point::ORIGIN, header::VALUE).bold();
    let free = |w: &Words| w.bounds().x0 > window.x0 + measure.width() + 2.0;
    let sizes = [header::TITLE, header::HEADING, header::VALUE].map(big);
    let name = sizes.iter().find(|w| free(w)).unwrap_or(&sizes[2]).clone();
    let left = name.bounds().x0;
    page.marks.push(Mark::words(name));
    header::bars(&mut page, room, (room.y0, header::PAGE_NUMBER), job.units);
    let title = super::letters::shorten(&job.title, 7.0, false, 40.0);
    let title = format!("{title}, job {}", words::job_number(job));
    let mut lines = vec![Words::new(title, Point::new(left - 3.0, room.y1 - 4.0), 7.0).end()];
    if !cuts.is_empty() {
        let text = format!("cut: {}", cuts.join(", "));
        lines.push(Words::new(text, Point::new(room.x1 - header::PAGE_NUMBER, room.y1 - 0.6), 6.0).end());
    }
    for words in lines {
        if page.words().all(|w| !w.bounds().grow(0.5).overlaps(words.bounds())) {
            page.marks.push(Mark::words(words));
        }
    }
    page
}
