//! A big piece over many pages: a key plan, then one page a tile, joined at crossed circles.

use super::copies;
use super::fit;
use super::header;
use super::numbers::passes;
use super::page::{CopyAt, Group, Ink, Kind, Mark, Page, Pen, Words, FINE, STRIP};
use super::strip;
use super::template::Art;
use super::words;
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::Job;
use crate::units::plain;
use crate::work::Work;

/// Neighbouring pages share this much, mm: room for two join marks and a strip of glue.
pub const OVERLAP: f64 = 10.0;
/// Most pages for one piece; beyond that nobody tapes paper.
const MOST_PAGES: usize = 400;
/// Radius of a join mark's circle, mm.
const JOIN: f64 = 2.0;
const JOIN_PEN: Pen = Pen::new(0.13, 100);
/// A join mark slides along its edge by this much at most, mm, to find a free spot.
const SLIDE: f64 = 25.0;
/// Join lines are tried at this many places within the slack, so that they keep off bridges.
const TRIES: usize = 24;

/// Where the pages lie on the piece: the window of column c, row r starts at `start + step * (c, r)`.
struct Tiling {
    size: (f64, f64),
    start: Point,
    window: (f64, f64),
    columns: usize,
    rows: usize,
}

impl Tiling {
    fn window(&self, column: usize, row: usize) -> Rect {
        let x = self.start.x + (self.window.0 - OVERLAP) * column as f64;
        let y = self.start.y + (self.window.1 - OVERLAP) * row as f64;
        Rect::new(x, y, x + self.window.0, y + self.window.1)
    }
    /// "A1": column letter, row number.
    fn name(column: usize, row: usize) -> String {
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
            let tiling = tiling(job, work, art)?;
            let joins = joins(&tiling, art);
            pages.push(key_plan(job, work, art, &tiling, &joins));
            for row in 0..tiling.rows {
                for column in 0..tiling.columns {
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
fn tiling(job: &Job, work: &Work, art: &Art) -> Option<Tiling> {
    let need = art.all;
    let mut best: Option<Tiling> = None;
    for size in fit::both_ways(&job.paper) {
        let page = fit::page(Kind::Template, &job.paper, size);
        let room = header::printable(&page);
        let window = (room.width() - STRIP, room.height() - STRIP);
        if window.0 <= 3.0 * OVERLAP || window.1 <= 3.0 * OVERLAP {
            continue;
        }
        let count = |need: f64, w: f64| (((need - OVERLAP) / (w - OVERLAP)) - 1e-9).ceil().max(1.0) as usize;
        let (columns, rows) = (count(need.width(), window.0), count(need.height(), window.1));
        if best.as_ref().is_none_or(|b| columns * rows < b.columns * b.rows) {
            let start = need.origin();
            best = Some(Tiling { size, start, window, columns, rows });
        }
    }
    let mut tiling = best?;
    if tiling.columns * tiling.rows > MOST_PAGES {
        return None;
    }
    let bridges: Vec<Point> =
        work.graph.bridges.iter().map(|b| art.place.point(b.at[0].midpoint(b.at[1]))).collect();
    tiling.start.x = best_start(
        (need.x0, need.width()),
        (tiling.window.0, tiling.columns),
        bridges.iter().map(|p| p.x).collect(),
    );
    tiling.start.y = best_start(
        (need.y0, need.height()),
        (tiling.window.1, tiling.rows),
        bridges.iter().map(|p| p.y).collect(),
    );
    Some(tiling)
}

/// The start along one direction whose join lines meet the fewest bridges.
fn best_start((from, need): (f64, f64), (window, count): (f64, usize), bridges: Vec<f64>) -> f64 {
    let slack = (window - OVERLAP) * count as f64 + OVERLAP - need;
    let met = |start: f64| {
        (1..count)
            .map(|i| start + (window - OVERLAP) * i as f64 + OVERLAP / 2.0)
            .map(|join| bridges.iter().filter(|b| (**b - join).abs() < 0.75).count())
            .sum::<usize>()
    };
    let middle = from - slack / 2.0;
    // From the middle of the slack outwards: an even margin unless bridges ask for another.
    let mut best = (met(middle), middle);
    for i in 1..=TRIES {
        let away = slack / 2.0 * i as f64 / TRIES as f64;
        for start in [middle - away, middle + away] {
            let m = met(start);
            if m < best.0 {
                best = (m, start);
            }
        }
    }
    best.1
}

/// A join mark: its number and its place on the piece.
#[derive(Debug, Clone, Copy)]
struct Join {
    number: usize,
    at: Point,
}

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
        let reach = Rect::from_points(at(-SLIDE), at(SLIDE)).inset(10.0);
        let near: Vec<Rect> = covered.iter().copied().filter(|r| r.overlaps(reach)).collect();
        let edges: Vec<&Vec<Point>> =
            lines.iter().filter(|(b, _)| b.overlaps(reach)).map(|(_, l)| l).collect();
        let clear = |room: Rect| {
            let room = room.inset(0.3);
            !near.iter().any(|r| r.overlaps(room)) && !edges.iter().any(|l| passes(l, room))
        };
        let whole = |p: Point| {
            join_mark(p, number).iter().map(Mark::bounds).fold(Rect::from_points(p, p), |a, b| a.union(b))
        };
        let words = |p: Point| join_mark(p, number).last().map_or(Rect::from_points(p, p), Mark::bounds);
        // From the middle outwards, half a millimetre at a time: clear of everything, else its number at least.
        let steps = (SLIDE * 2.0) as i32;
        let spots = || (0..=steps).flat_map(|i| [f64::from(i) * 0.5, f64::from(-i) * 0.5]).map(at);
        let free = spots()
            .find(|p| clear(whole(*p)))
            .or_else(|| spots().find(|p| clear(words(*p)) && !near.iter().any(|r| r.overlaps(whole(*p)))));
        marks.push(Join { number, at: free.unwrap_or_else(|| at(0.0)) });
    };
    for row in 0..tiling.rows {
        for column in 0..tiling.columns {
            let w = tiling.window(column, row);
            for share in [0.25, 0.75] {
                if column + 1 < tiling.columns {
                    put(&|d| Point::new(w.x1 - OVERLAP / 2.0, w.y0 + w.height() * share + d));
                }
                if row + 1 < tiling.rows {
                    put(&|d| Point::new(w.x0 + w.width() * share + d, w.y1 - OVERLAP / 2.0));
                }
            }
        }
    }
    marks
}

/// A circle with a cross through it, and its number beside it.
fn join_mark(at: Point, number: usize) -> Vec<Mark> {
    let arm = |v: Vec2| Mark::line(Group::Guides, vec![at - v, at + v], JOIN_PEN);
    let circle = Ink::Circle { at, radius: JOIN, fill: None, pen: Some(JOIN_PEN) };
    let words = Words::new(number.to_string(), at + Vec2::new(1.7, -1.7), 6.0).bold();
    vec![
        Mark::new(Group::Guides, circle),
        arm(Vec2::new(JOIN + 1.0, 0.0)),
        arm(Vec2::new(0.0, JOIN + 1.0)),
        Mark::words(words),
    ]
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
    for join in joins.iter().filter(|j| view.inset(-JOIN - 1.0).contains(j.at)) {
        page.marks.extend(join_mark(join.at + by, join.number));
    }
    header::bars(&mut page, room, room.y0);
    let name =
        Words::new(Tiling::name(column, row), Point::new(room.x1, room.y1 - 3.7), header::TITLE).bold().end();
    let left = name.bounds().x0;
    page.marks.push(Mark::words(name));
    let title = super::letters::shorten(&job.title, 7.0, false, 40.0);
    let words = Words::new(
        format!("{title}, job {}", words::job_number(job)),
        Point::new(left - 3.0, room.y1 - 0.6 - 3.4),
        7.0,
    )
    .end();
    let clear = page.words().all(|w| !w.bounds().inset(0.5).overlaps(words.bounds()));
    if clear {
        page.marks.push(Mark::words(words));
    }
    page
}

/// A small picture of how the pages lie, with the length to check across the joined paper.
fn key_plan(job: &Job, work: &Work, art: &Art, tiling: &Tiling, joins: &[Join]) -> Page {
    let [upright, _] = fit::both_ways(&job.paper);
    let mut page = fit::page(Kind::KeyPlan, &job.paper, upright);
    let mut head = strip::strip_for(&[(job, work)], 1);
    head.part = "key plan".to_string();
    let count = tiling.columns * tiling.rows;
    head.says.push(format!(
        "{count} pages, {} across and {} down. Measure the bar on every page first. Cut along the edge of the picture on one of two \
         neighbours, lay the crossed circles with the same number over each other, tape from the middle outwards.",
        tiling.columns, tiling.rows
    ));
    if let Some((a, b)) = diagonal(joins) {
        head.says.push(format!(
            "CHECK THE DIAGONAL: from the middle of circle {} to the middle of circle {} the joined paper must measure {} mm.",
            a.number,
            b.number,
            plain((b.at - a.at).hypot(), 1)
        ));
    }
    let body = copies::frame(&mut page, &head);
    let last = tiling.window(tiling.columns - 1, tiling.rows - 1);
    let all = tiling.window(0, 0).union(last);
    let scale = ((body.width() - 4.0) / all.width()).min((body.height() - 8.0) / all.height()).min(0.5);
    let origin = Point::new(body.center().x - all.width() * scale / 2.0, body.y0 + 4.0);
    let small = |p: Point| origin + (p - all.origin()) * scale;
    let edge = art.place.ring(&work.piece.outline.edge).scaled(scale);
    let edge = edge.shifted(small(Point::ORIGIN).to_vec2());
    page.marks.push(Mark::new(Group::Guides, Ink::Area { rings: vec![edge.clone()], shade: 12 }));
    page.marks.push(Mark::new(Group::Guides, Ink::Closed { rings: vec![edge], pen: FINE }));
    for row in 0..tiling.rows {
        for column in 0..tiling.columns {
            let w = tiling.window(column, row);
            let cell = Rect::from_points(small(w.origin()), small(Point::new(w.x1, w.y1)));
            let rings: Vec<Ring> = vec![header::rect_ring(cell)];
            page.marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen: Pen::new(0.18, 100) }));
            let size = if cell.width() > 12.0 && cell.height() > 9.0 { header::TITLE } else { 6.0 };
            let at = cell.center() + Vec2::new(0.0, 0.13 * size);
            page.marks.push(Mark::words(Words::new(Tiling::name(column, row), at, size).bold().middle()));
        }
    }
    for j in joins {
        let at = small(j.at);
        page.marks
            .push(Mark::new(Group::Guides, Ink::Circle { at, radius: 0.5, fill: Some(100), pen: None }));
    }
    page
}

/// The two join marks furthest from each other.
fn diagonal(joins: &[Join]) -> Option<(Join, Join)> {
    let mut best: Option<(Join, Join)> = None;
    for (i, a) in joins.iter().enumerate() {
        for b in &joins[i + 1..] {
            if best.is_none_or(|(c, d)| (b.at - a.at).hypot() > (d.at - c.at).hypot() + 1e-9) {
                best = Some((*a, *b));
            }
        }
    }
    best
}
