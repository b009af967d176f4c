//! One template in the middle of each label of a sheet, after a trial page for plain paper.

use super::copies::{on_a_label, put, wanted, Run, SetOut};
use super::fit;
use super::header;
use super::letters;
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words};
use super::template::Art;
use super::words;
use crate::geom::{Grow, Point, Rect, Ring};
use crate::job::{Job, LabelGrid, PaperSpec};
use crate::work::Work;

/// One template in the middle of each label, after a trial page for plain paper that shows the labels' edges.
pub(super) fn on_labels(
    items: &[(&Job, &Work)],
    arts: &[Art],
    paper: &PaperSpec,
    grid: LabelGrid,
) -> Option<SetOut> {
    let wanted = wanted(items);
    let boxes: Vec<Rect> = arts.iter().map(|a| a.all).collect();
    let per_page = on_a_label(&boxes, grid).ok()?;
    let [upright, _] = fit::both_ways(paper);
    let label = |i: usize| {
        let (column, row) = ((i as u32 % grid.across) as f64, (i as u32 / grid.across) as f64);
        let x = grid.left.get() + column * (grid.width.get() + grid.gap_across.get());
        let y = grid.top.get() + row * (grid.height.get() + grid.gap_up.get());
        Rect::new(x, y, x + grid.width.get(), y + grid.height.get())
    };
    let run = Run::new(&wanted, paper);
    let mut pages = Vec::new();
    for (number, chunk) in wanted.chunks(per_page).enumerate() {
        let mut page = fit::page(PageKind::Template, paper, upright);
        for (i, w) in chunk.iter().enumerate() {
            let art = &arts[w.art];
            let by = label(i).center() - art.all.center();
            put(&mut page, art, by, number * per_page + i + 1, &run, w);
        }
        if number == 0 {
            pages.push(trial(&page, per_page, label));
        }
        pages.push(page);
    }
    let numbers = arts.iter().all(|a| a.numbered);
    Some(SetOut { pages, numbers, legend: false, parts: false })
}

/// The first label page again with the labels' edges drawn, to be held against a label page before any label is used.
fn trial(page: &Page, count: usize, label: impl Fn(usize) -> Rect) -> Page {
    let mut trial = Page { kind: PageKind::Trial, ..page.clone() };
    for i in 0..count {
        let rings = vec![Ring::rectangle(label(i))];
        let pen = Pen::new(0.13, 60).dashed(2.0, 2.0);
        trial.marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen }));
    }
    // The words stand inside the first label, above or below its template, where there is room.
    let first = label(0);
    let art = page.marks.iter().filter(|m| m.copy == 1).map(Mark::bounds).reduce(|a, b| a.union(b));
    let art = art.unwrap_or(Rect::ZERO);
    let room = header::printable(page).intersect(first).shrink(1.0);
    let fits = [words::TRIAL, words::TRIAL_SHORT].into_iter().find_map(|text| {
        let lines = letters::wrap(text, 7.0, true, room.width() - 4.0);
        let height = 3.4 * lines.len() as f64;
        let top = [art.y1 + 1.0, room.y0].into_iter().find(|y| {
            let below = *y > art.y1 && y + height < room.y1;
            below || (*y >= room.y0 && y + height < art.y0)
        })?;
        Some((lines, top))
    });
    let (lines, top) = fits.unwrap_or_default();
    for (i, line) in lines.into_iter().enumerate() {
        let at = Point::new(room.x0 + 2.0, top + 2.6 + 3.4 * i as f64);
        trial.marks.push(Mark::words(Words::new(line, at, 7.0).bold()));
    }
    trial
}
