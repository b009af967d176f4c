//! The key plan of a piece that is split over pages: how they lie, what to check, and what the saw frame does not reach.

use super::fit;
use super::header::{self, Strip};
use super::legend::{legend, Saying};
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words, FINE};
use super::strip;
use super::template::Art;
use super::tiling::{join_name, Join, PageTiling};
use super::words;
use crate::checks::beyond_the_frame;
use crate::geom::{Grow, Point, Rect, Ring, Vec2};
use crate::job::Job;
use crate::work::Work;

/// A key plan and its bars want this much height below the header, mm.
const PLAN_ROOM: f64 = 70.0;
/// Round what the saw frame does not reach.
const REACH_PEN: Pen = Pen::new(0.25, 60).dashed(1.2, 0.9);

/// A plan smaller than this share of life size is too small for its names: a panel of 500 mm is then 60 mm high.
const LEAST: f64 = 0.12;
/// Air between the plan and the legend below it, mm.
const AIR: f64 = 6.0;

/// A small picture of how the pages lie, with the length to check across the joined paper, and the legend at its foot if it
/// is to be explained and finds room: whether it does is told. On small paper the header takes a page of its own.
pub(super) fn key_plan(
    job: &Job,
    work: &Work,
    art: &Art,
    (tiling, joins): (&PageTiling, &[Join]),
    explain: bool,
) -> (Vec<Page>, bool) {
    let [upright, _] = fit::both_ways(&job.paper);
    let mut page = fit::page(PageKind::KeyPlan, &job.paper, upright);
    let mut head = strip::strip_for(&[(job, work)], 1);
    head.part = "key plan".to_string();
    let count = tiling.columns() * tiling.rows();
    let mut says = vec![format!(
        "{count} pages, {} across and {} down. Measure the bar on every page first. Cut each page along the dashed right and \
         lower edge of its picture, lay it over its neighbour so that the quartered circles of the same name (J1 on J1) lie on each \
         other (a pin through both middles helps), and tape from the middle outwards.",
        tiling.columns(), tiling.rows()
    )];
    if let Some((a, b)) = diagonal(joins) {
        says.push(format!(
            "CHECK THE DIAGONAL: from the middle of circle {} to the middle of circle {} the joined paper must measure {}.",
            join_name(a.number),
            join_name(b.number),
            words::length(((b.at - a.at).hypot2().sqrt() * 10.0).round() / 10.0, job.units)
        ));
    }
    let beyond = beyond_the_frame(job, &work.piece.outline);
    if let (false, Some(depth)) = (beyond.is_empty(), job.saw.frame_depth) {
        says.push(format!(
            "Inside the dashed line a frame {} deep does not reach: use a deeper one, or saw panels and join them by a riveted or \
             soldered border.",
            words::length(depth.get(), job.units)
        ));
    }
    let mut pages = Vec::new();
    let whole = Strip { says: head.says.iter().chain(&says).cloned().collect(), ..head.clone() };
    let mut alone = page.clone();
    let foot = header::strip(&mut alone, &whole);
    let body = if header::printable(&page).y1 - foot >= PLAN_ROOM {
        fit::frame(&mut page, &whole)
    } else {
        // What every template needs said, then the plan.
        let mut first = page.clone();
        header::strip(&mut first, &head);
        pages.push(first);
        let (title, number, part) = (head.title, head.number, head.part);
        fit::frame(&mut page, &Strip { title, number, part, says, units: head.units, ..Strip::default() })
    };
    let last = tiling.window(tiling.columns() - 1, tiling.rows() - 1);
    let all = tiling.window(0, 0).union(last);
    let legend = legend(&[(job, work)], &art.signs, Saying::All, body.width());
    let scale_in =
        |height: f64| ((body.width() - 4.0) / all.width()).min((height - 8.0) / all.height()).min(0.5);
    // With the legend below it the plan may be smaller, as long as it can be read.
    let beside = scale_in(body.height() - legend.height - AIR);
    let explained = explain && beside >= LEAST;
    let scale = if explained { beside } else { scale_in(body.height()) };
    let origin = Point::new(body.center().x - all.width() * scale / 2.0, body.y0 + 4.0);
    let small = |p: Point| origin + (p - all.origin()) * scale;
    let little = |ring: &Ring| art.place.ring(ring).scaled(scale).translated(small(Point::ORIGIN).to_vec2());
    let edge = little(&work.piece.outline.edge);
    page.marks.push(Mark::new(Group::Guides, Ink::Area { rings: vec![edge.clone()], shade: 12, pen: None }));
    page.marks.push(Mark::new(Group::Guides, Ink::Closed { rings: vec![edge], pen: FINE }));
    for w in &work.piece.outline.windows {
        let ring = little(&w.ring);
        page.marks
            .push(Mark::new(Group::Guides, Ink::Area { rings: vec![ring.clone()], shade: 0, pen: None }));
        page.marks.push(Mark::new(Group::Guides, Ink::Closed { rings: vec![ring], pen: FINE }));
    }
    let dashed = |r: &Ring| Mark::new(Group::Guides, Ink::Closed { rings: vec![little(r)], pen: REACH_PEN });
    page.marks.extend(beyond.iter().map(dashed));
    for row in 0..tiling.rows() {
        for column in 0..tiling.columns() {
            let w = tiling.window(column, row);
            let cell = Rect::from_points(small(w.origin()), small(Point::new(w.x1, w.y1)));
            let rings: Vec<Ring> = vec![Ring::rectangle(cell)];
            page.marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen: Pen::new(0.18, 100) }));
            let size = if cell.width() > 12.0 && cell.height() > 9.0 { header::TITLE } else { 6.0 };
            let at = cell.center() + Vec2::new(0.0, 0.13 * size);
            page.marks.push(Mark::words(Words::new(PageTiling::name(column, row), at, size).bold().middle()));
        }
    }
    for j in joins {
        let at = small(j.at);
        page.marks
            .push(Mark::new(Group::Guides, Ink::Circle { at, radius: 0.5, fill: Some(100), pen: None }));
        // Its name on whichever side is free.
        let name = |dx: f64, dy: f64| Words::new(join_name(j.number), at + Vec2::new(dx, dy), 6.0);
        let places = [name(0.9, -0.7), name(0.9, 2.3), name(-0.9, -0.7).end(), name(-0.9, 2.3).end()];
        let free = |w: &Words| !page.words().any(|o| o.bounds().overlaps(w.bounds().grow(0.3)));
        if let Some(words) = places.into_iter().find(free) {
            page.marks.push(Mark::words(words));
        }
    }
    if explained {
        let by = Vec2::new(body.x0, body.y1 - legend.height);
        page.marks.extend(legend.marks.into_iter().map(|m| m.shifted(by, 0)));
    }
    pages.push(page);
    (pages, explained)
}

/// The two named join marks furthest from each other.
fn diagonal(joins: &[Join]) -> Option<(Join, Join)> {
    let mut best: Option<(Join, Join)> = None;
    let joins: Vec<&Join> = joins.iter().filter(|j| j.side.is_some()).collect();
    for (i, a) in joins.iter().enumerate() {
        for b in &joins[i + 1..] {
            if best.is_none_or(|(c, d)| (b.at - a.at).hypot2().sqrt() > (d.at - c.at).hypot2().sqrt() + 1e-9)
            {
                best = Some((**a, **b));
            }
        }
    }
    best
}
