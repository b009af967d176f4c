//! A big piece over many pages: a key plan, then one page a tile, joined at crossed circles.

use super::fit;
use super::header;
use super::key_plan::key_plan;
use super::look::print_mirrored;
use super::page::{CopyAt, Group, Mark, Page, PageKind, Pen, Words};
use super::signs::JOIN;
use super::stamp::{Stamp, StampPlace};
use super::template::Art;
use super::tiling::{grid, join_mark, joins, tiling, Join, PageTiling};
use super::words;
use crate::geom::{Grow, Point, Rect};
use crate::job::Job;
use crate::units::limits::SPLIT_PAGES;
use crate::work::Work;

/// The line a page is cut along.
const CUT_PEN: Pen = Pen::new(0.13, 100).dashed(3.0, 1.5);

/// A piece over several pages.
pub(super) struct Split {
    pub pages: Vec<Page>,
    /// The legend stands on the first key plan.
    pub legend: bool,
}

/// Pages that the templates of one job take when they are split over its paper; `None` if there are several jobs, or far
/// too many pages.
pub(super) fn count(items: &[(&Job, &Work)], boxes: &[Rect]) -> Option<usize> {
    let [(job, _)] = items else { return None };
    let tiles = boxes.iter().map(|need| Some(grid(&job.paper, *need)?.pages())).sum::<Option<usize>>()?;
    Some(tiles * job.paper.copies.max(1) as usize).filter(|pages| *pages <= SPLIT_PAGES)
}

/// Key plan and pages for each template of the first job. The marks go over from the arts to their pages.
pub(super) fn pages(items: &[(&Job, &Work)], arts: &mut [Art]) -> Split {
    let mut split = Split { pages: Vec::new(), legend: false };
    let Some((job, work)) = items.first() else { return split };
    let title = super::letters::shorten(&job.title, 7.0, false, 40.0);
    let title = format!("{title}, job {}", work.plan.number);
    let (copies, each) = (job.paper.copies.max(1) as usize, arts.len());
    for copy in 1..=copies {
        for (i, art) in arts.iter_mut().enumerate() {
            let k = (copy - 1) * each + i + 1;
            let Some(tiling) = tiling(&job.paper, work, art) else { continue };
            let joins = joins(&tiling, art);
            let (plan, explained) = key_plan(job, work, art, (&tiling, &joins), !split.legend);
            split.pages.extend(plan);
            split.legend |= explained;
            let marks = if copy == copies { std::mem::take(&mut art.marks) } else { art.marks.clone() };
            let mut tiles = dealt(marks, &tiling, k).into_iter();
            let mut stamps = dealt_stamps(&art.stamps, &tiling, k).into_iter();
            for row in 0..tiling.rows() {
                for column in 0..tiling.columns() {
                    let mut page = fit::page(PageKind::Template, &job.paper, tiling.size);
                    page.marks = tiles.next().unwrap_or_default();
                    page.stamps = stamps.next().unwrap_or_default();
                    page.alone = each == 1 && copies == 1;
                    let by = tiling.shift(column, row);
                    page.copies.push(CopyAt { k, place: art.place.shifted(by) });
                    finish(&mut page, job, &title, &tiling, &joins, (column, row));
                    split.pages.push(page);
                }
            }
        }
    }
    split
}

/// The marks of copy `k` that every page shows, row by row, each mark gone when it is dealt.
fn dealt(marks: Vec<Mark>, tiling: &PageTiling, k: usize) -> Vec<Vec<Mark>> {
    let (columns, rows) = (tiling.columns(), tiling.rows());
    let mut tiles: Vec<Vec<Mark>> = (0..columns * rows).map(|_| Vec::new()).collect();
    for mark in marks {
        let b = mark.bounds();
        for row in 0..rows {
            // Most rows are passed over at their first page.
            let level = tiling.window(0, row);
            if mark.group != Group::Outline && (b.y0 > level.y1 || b.y1 < level.y0) {
                continue;
            }
            for column in 0..columns {
                let view = tiling.window(column, row);
                let seen = if mark.group == Group::Words { view.contains_rect(b) } else { b.overlaps(view) };
                // The outline is always there, whole, so that every page holds the same closed line.
                if seen || mark.group == Group::Outline {
                    tiles[row * columns + column].push(mark.clone().shifted(tiling.shift(column, row), k));
                }
            }
        }
    }
    tiles
}

/// The stamps of copy `k` at the places that every page shows, row by row.
fn dealt_stamps(stamps: &[Stamp], tiling: &PageTiling, k: usize) -> Vec<Vec<Stamp>> {
    let (columns, rows) = (tiling.columns(), tiling.rows());
    let mut tiles: Vec<Vec<Stamp>> = (0..columns * rows).map(|_| Vec::new()).collect();
    for stamp in stamps {
        let about = stamp.bounds();
        let mut places: Vec<Vec<StampPlace>> = vec![Vec::new(); columns * rows];
        for place in &stamp.places {
            let b = about + place.at.to_vec2();
            for row in (0..rows).filter(|row| {
                let level = tiling.window(0, *row);
                b.y0 <= level.y1 && b.y1 >= level.y0
            }) {
                for column in (0..columns).filter(|column| b.overlaps(tiling.window(*column, row))) {
                    places[row * columns + column].push(*place);
                }
            }
        }
        for (i, places) in places.iter().enumerate().filter(|(_, places)| !places.is_empty()) {
            tiles[i].push(stamp.moved(places, tiling.shift(i % columns, i / columns), k));
        }
    }
    tiles
}

/// What a page holds beside the marks of its piece: joins, where it is cut, names and bars.
fn finish(
    page: &mut Page,
    job: &Job,
    title: &str,
    tiling: &PageTiling,
    joins: &[Join],
    (column, row): (usize, usize),
) {
    let room = header::printable(page);
    let (view, window, by) = (tiling.window(column, row), tiling.shown, tiling.shift(column, row));
    page.window = Some(window);
    for join in joins.iter().filter(|j| view.shrink(JOIN + 1.0).contains(j.at)) {
        page.marks.extend(join_mark(Join { at: join.at + by, ..*join }));
    }
    // Where this page is cut, to lie over the next: along its right and lower edge.
    let (far, corner) = (Point::new(window.x1, window.y1), (window.x1, window.y0));
    let mut cuts = Vec::new();
    if column + 1 < tiling.columns() {
        page.marks.push(Mark::rule(Point::from(corner), far, CUT_PEN));
        cuts.push(format!("right edge over {}", PageTiling::name(column + 1, row)));
    }
    if row + 1 < tiling.rows() {
        page.marks.push(Mark::rule(Point::new(window.x0, window.y1), far, CUT_PEN));
        cuts.push(format!("lower edge over {}", PageTiling::name(column, row + 1)));
    }
    let name = PageTiling::name(column, row);
    let name = if print_mirrored(&job.paper) { format!("MIRRORED  {name}") } else { name };
    // As large as the room beside the bar's words lets it be.
    let big = |size: f64| Words::new(name.as_str(), Point::new(room.x1, room.y1 - 3.7), size).bold().end();
    let measure = Words::new(words::MEASURE_ME, Point::ORIGIN, header::VALUE).bold();
    let free = |w: &Words| w.bounds().x0 > window.x0 + measure.width() + 2.0;
    let sizes = [header::TITLE, header::HEADING, header::VALUE].map(big);
    let name = sizes.iter().find(|w| free(w)).unwrap_or(&sizes[2]).clone();
    let left = name.bounds().x0;
    page.marks.push(Mark::words(name));
    page.folio = Some(Point::new(room.x1, room.y1 - 0.6));
    header::bars(page, room, (room.y0, header::PAGE_NUMBER), job.units);
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
}
