//! The key map: the piece enlarged, with every number, where the saw comes to the line, and the thin bridges.

use super::fit;
use super::header;
use super::letters;
use super::numbers::number_marks;
use super::page::{Group, Ink, Kind, Mark, Page, Pen};
use super::place::Place;
use super::strip::{strip_for, thin_bridges};
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::{Job, Transfer};
use crate::plan::Cut;
use crate::units::short;
use crate::work::Work;

/// Enlargements tried, smallest first; the first in which every number finds room is taken.
const TIMES: [f64; 7] = [2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0];
/// Most pages of a key map; a bigger piece keeps to the order on its job card.
const MOST_PAGES: usize = 12;
/// Pages of one map share this much, mm, so that no number is lost between them.
const SHARED: f64 = 8.0;
const LINE: Pen = Pen::new(0.13, 100);
/// Size of the numbers, points.
const NUMBER: f64 = 6.0;
/// Numbers that are looked at one against the other; a map of more takes too many pages anyway.
const MOST_LOOKED_AT: usize = 3000;
/// Thin bridges marked at most.
const MOST_THIN: usize = 40;

/// The map's pages; none if it would take too many.
pub fn pages(job: &Job, work: &Work) -> Vec<Page> {
    let least = enlargement(work);
    // Larger costs nothing while the map stays on one page.
    let times = TIMES.into_iter().rev().find(|t| *t >= least && one_page(job, work, *t)).unwrap_or(least);
    let marks = picture(job, work, times);
    let all = marks.iter().map(Mark::bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
    let mut strip = strip_for(&[(job, work)], 1);
    strip.part = "key map".to_string();
    strip.mirrored = mirrored(job);
    strip.ticks = false;
    strip.banner.clear();
    strip.thin.clear();
    strip.facts.truncate(0);
    strip.says = vec![format!(
        "KEY MAP, {} times life size: NOT to stick on metal. A dot marks where the saw comes to the line; a black triangle a bridge that is thin when finished.",
        short(times, 1)
    )];
    let frame = |size: (f64, f64)| {
        let mut page = fit::page(Kind::KeyMap, &job.paper, size);
        let room = header::printable(&page);
        let top = header::strip(&mut page, room, &strip);
        let body = Rect::new(room.x0, top + 3.0, room.x1, room.y1 - 5.0);
        (page, body)
    };
    let count = |body: Rect| {
        let along = |need: f64, room: f64| ((need - SHARED) / (room - SHARED)).ceil().max(1.0) as usize;
        (along(all.width(), body.width()), along(all.height(), body.height()))
    };
    let fewest = fit::both_ways(&job.paper)
        .into_iter()
        .filter(|s| frame(*s).1.width() > 40.0 && frame(*s).1.height() > 40.0)
        .min_by_key(|s| count(frame(*s).1).0 * count(frame(*s).1).1);
    let Some(size) = fewest else { return Vec::new() };
    let (columns, rows) = count(frame(size).1);
    if columns * rows > MOST_PAGES {
        return Vec::new();
    }
    let mut pages = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let (mut page, body) = frame(size);
            let step = Vec2::new(body.width() - SHARED, body.height() - SHARED);
            let corner = if columns * rows == 1 {
                all.center() - body.size().to_vec2() / 2.0
            } else {
                Point::new(all.x0 + step.x * column as f64, all.y0 + step.y * row as f64)
            };
            let by = body.origin() - corner;
            let window = body;
            page.window = Some(window);
            for mark in &marks {
                let b = mark.bounds() + by;
                let seen =
                    if mark.group == Group::Words { window.contains_rect(b) } else { b.overlaps(window) };
                if seen {
                    page.marks.push(mark.shifted(by, 1));
                }
            }
            pages.push(page);
        }
    }
    pages
}

/// Whether a map would stay within its pages, by the size of the piece alone.
pub fn can_be_made(job: &Job, work: &Work) -> bool {
    let b = work.piece.outline.edge.bounds();
    let times = enlargement(work);
    fit::both_ways(&job.paper).into_iter().any(|(w, h)| {
        let along = |need: f64, room: f64| ((need - SHARED) / (room - SHARED)).ceil().max(1.0);
        let (w, h) = (w - 14.0, h - 44.0);
        w > 40.0
            && h > 40.0
            && along(b.width() * times, w) * along(b.height() * times, h) <= MOST_PAGES as f64
    })
}

/// Whether the map at this enlargement surely stays on one page, upright or wide: the header and foot take 40 mm at most.
fn one_page(job: &Job, work: &Work, times: f64) -> bool {
    let b = work.piece.outline.edge.bounds();
    let (w, h) = (b.width() * times + 4.0, b.height() * times + 4.0);
    let holds = |(a, b): (f64, f64)| w <= a - 16.0 && h <= b - 44.0;
    times <= 3.0 && fit::both_ways(&job.paper).into_iter().any(holds)
}

/// The map shows the pattern as it lies on the metal: a print that is rubbed down comes out the right way round there.
fn mirrored(job: &Job) -> bool {
    job.paper.mirror && job.paper.transfer != Transfer::RubDown
}

/// The smallest enlargement that gives every number its room.
fn enlargement(work: &Work) -> f64 {
    let need = work
        .piece
        .openings
        .iter()
        .map(|o| {
            let label = o.n.to_string();
            let (w, h) = (letters::width(&label, NUMBER, true), letters::reach(&label, NUMBER, true).0);
            (w.hypot(h) + 0.6) / o.widest.get().max(0.1)
        })
        .fold(0.0, f64::max);
    let most = TIMES[TIMES.len() - 1];
    TIMES.into_iter().find(|t| *t >= need).unwrap_or(most)
}

/// The whole map round the origin.
fn picture(job: &Job, work: &Work, times: f64) -> Vec<Mark> {
    let place = Place::upright(mirrored(job));
    let big = |p: Point| (place.point(p).to_vec2() * times).to_point();
    let ring = |r: &Ring| place.ring(r).scaled(times);
    let outline = &work.piece.outline;
    let closed = |r: &Ring| Mark::new(Group::Guides, Ink::Closed { rings: vec![ring(r)], pen: LINE });
    let mut marks = vec![closed(&outline.edge)];
    marks.extend(outline.windows.iter().map(|w| closed(&w.ring)));
    for h in &outline.holes {
        let circle = Ink::Circle {
            at: big(h.at),
            radius: h.diameter.get() / 2.0 * times,
            fill: None,
            pen: Some(LINE),
        };
        marks.push(Mark::new(Group::Guides, circle));
    }
    marks.extend(work.piece.openings.iter().map(|o| closed(&o.ring)));
    let centred = |label: &str, at: Point| {
        let w = letters::width(label, NUMBER, true);
        let h = letters::reach(label, NUMBER, true).0;
        number_marks(label, at + Vec2::new(-w / 2.0, h / 2.0), NUMBER, true)
    };
    // At the largest enlargement two numbers may still want one place: the first stays, the card has the order.
    let mut taken: Vec<Rect> = Vec::new();
    let few = work.piece.openings.len() <= MOST_LOOKED_AT;
    let crowded = few && enlargement(work) >= TIMES[TIMES.len() - 1];
    for o in &work.piece.openings {
        let number = centred(&o.n.to_string(), big(o.drill_at));
        let room = number.iter().map(Mark::bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        if crowded && taken.iter().any(|t| t.overlaps(room)) {
            continue;
        }
        taken.push(room);
        marks.extend(number);
    }
    for w in &outline.windows {
        marks.extend(centred(&w.label, big(w.drill_at)));
    }
    for turn in &work.plan.order {
        if let Cut::Opening(_) = turn.cut {
            let dot = Ink::Circle { at: big(turn.enter), radius: 0.45, fill: Some(100), pen: None };
            marks.push(Mark::new(Group::PunchMarks, dot));
        }
    }
    for b in thin_bridges(job, work).take(MOST_THIN) {
        let at = big(b.at[0].midpoint(b.at[1]));
        let corner = |x: f64, y: f64| at + Vec2::new(x, y);
        let rings = vec![Ring::polygon([corner(-0.6, 0.45), corner(0.6, 0.45), corner(0.0, -0.6)])];
        marks.push(Mark::new(Group::PunchMarks, Ink::Area { rings, shade: 100 }));
    }
    marks
}
