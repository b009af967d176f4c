//! One page with every number, for what the template's own page has no room for: the enlarged view, a long piece in rows,
//! and the legend if that is still to be said.

use super::fit;
use super::header;
use super::legend::{legend, on_sheets, Block, Saying};
use super::lower;
use super::page::{Page, PageKind};
use super::parts;
use super::signs::Sign;
use super::strip::strip_for;
use super::template::Art;
use super::view::{least_height, over_sheets, signs_of, view, TIMES};
use crate::geom::{Rect, Vec2};
use crate::job::{Job, PaperSpec};
use crate::work::Work;
use std::collections::BTreeSet;

/// A view shares its sheet with the legend if it is so many times life size, or has at least such a share of what the
/// sheet would hold without it.
const ENOUGH: (f64, f64) = (1.25, 0.8);
/// From a view to what follows it, mm.
const AIR: f64 = 5.0;

/// What the pages of keys hold.
#[derive(Default)]
pub(super) struct Keys {
    pub pages: Vec<Page>,
    /// Every job has its numbers.
    pub numbers: bool,
    /// The parts of the one job stand on them too.
    pub parts: bool,
}

/// What is still to be shown: the numbers of one job that found no room, and the legend of all the jobs: as few pages as that
/// takes; none for numbers that no page holds. `parts`: a few parts at true size may stand above the view.
pub(super) fn keys(
    items: &[(&Job, &Work)],
    arts: &[Art],
    (numbers, explain): (bool, bool),
    parts: bool,
) -> Keys {
    let mut signs: BTreeSet<Sign> = if numbers { shown(items) } else { BTreeSet::new() };
    let on_templates: BTreeSet<Sign> = arts.iter().flat_map(|a| a.signs.iter().copied()).collect();
    let bare = if explain { on_templates.clone() } else { BTreeSet::new() };
    if explain {
        signs.extend(on_templates);
    } else {
        // The legend with the templates says the others.
        signs.retain(|sign| !on_templates.contains(sign));
    }
    let told = KeyLegend { items, signs, bare, explain };
    if let ([(job, work)], true, true) = (items, parts, numbers)
        && let Some(page) = under_parts((job, work), &told)
    {
        return Keys { pages: vec![page], numbers: true, parts: true };
    }
    let (pages, numbers) = pages(items, numbers, &told);
    Keys { pages, numbers, parts: false }
}

/// One page with the parts of a job at true size, and below them its view and the legend.
fn under_parts((job, work): (&Job, &Work), told: &KeyLegend) -> Option<Page> {
    let mut strip = strip_for(&[(job, work)], 1);
    strip.part = "parts at true size, key to the template".into();
    (strip.ticks, strip.mirrored) = (false, false);
    strip.banner.clear();
    strip.says.clear();
    strip.facts.clear();
    let mut best: Option<(f64, Page)> = None;
    for size in fit::both_ways(&job.paper) {
        let mut page = fit::page(PageKind::Parts, &job.paper, size);
        let body = fit::frame(&mut page, &strip);
        let Some(parts) = parts::small(job, work, (body.width(), page.height)) else { continue };
        let said = told.sayings().first().map(|saying| told.block(*saying, body.width()));
        let room = body.height() - parts.height - AIR - said.as_ref().map_or(0.0, |s| s.height + AIR);
        let made = TIMES.into_iter().filter(|t| *t >= 1.0 && least_height(work, *t, body.width()) <= room);
        let made = made.filter_map(|t| Some((t, lower::titled(t, view(job, work, t, body.width())?))));
        let Some((times, picture)) = made.into_iter().find(|(_, b)| b.height <= room) else { continue };
        if best.as_ref().is_some_and(|(t, _)| *t >= times) {
            continue;
        }
        let mut y = body.y0;
        for block in [parts, picture].into_iter().chain(said) {
            page.marks.extend(block.marks.into_iter().map(|m| m.shifted(Vec2::new(body.x0, y), 0)));
            y += block.height + AIR;
        }
        best = Some((times, page));
    }
    best.map(|(_, page)| page)
}

/// The signs of the views of all these.
fn shown(items: &[(&Job, &Work)]) -> BTreeSet<Sign> {
    items.iter().flat_map(|(job, work)| signs_of(job, work)).collect()
}

/// What the pages of keys have to explain.
struct KeyLegend<'a> {
    /// All jobs of the run.
    items: &'a [(&'a Job, &'a Work)],
    signs: BTreeSet<Sign>,
    /// Those to be explained where no view finds room.
    bare: BTreeSet<Sign>,
    /// The safety line too: no other sheet has it.
    explain: bool,
}

impl KeyLegend<'_> {
    /// How much may be said, most first. Small paper has no room for how to hold and stick: the card says it as well.
    fn sayings(&self) -> &'static [Saying] {
        match self.explain {
            true => &[Saying::All, Saying::Short, Saying::Close],
            false if self.signs.is_empty() => &[],
            false => &[Saying::Signs],
        }
    }
    fn without_views(&self) -> Self {
        Self { signs: self.bare.clone(), bare: self.bare.clone(), ..*self }
    }
    fn block(&self, saying: Saying, width: f64) -> Block {
        legend(self.items, &self.signs, saying, width)
    }
}

/// Whether one page of this paper holds the view of a job.
pub(super) fn holds(job: &Job, work: &Work, paper: &PaperSpec) -> bool {
    let job = Job { paper: paper.clone(), ..job.clone() };
    let told = KeyLegend { items: &[], signs: BTreeSet::new(), bare: BTreeSet::new(), explain: false };
    pages(&[(&job, work)], true, &told).1
}

/// The pages, and whether every job that wants its numbers has them.
fn pages(items: &[(&Job, &Work)], numbers: bool, told: &KeyLegend) -> (Vec<Page>, bool) {
    let Some((first, _)) = items.first() else { return (Vec::new(), true) };
    let mut strip = strip_for(items, 1);
    strip.part = "key to the template".into();
    strip.ticks = false;
    strip.banner.clear();
    strip.says.clear();
    strip.facts.clear();
    let frame = |size: (f64, f64)| {
        let mut page = fit::page(PageKind::KeyMap, &first.paper, size);
        let top = header::strip(&mut page, &strip);
        let room = header::column(&page);
        (page, Rect::new(room.x0, top + 2.0, room.x1, room.y1))
    };
    let mut complete = true;
    let mut pages: Vec<Page> = Vec::new();
    let mut at: Option<(Rect, f64)> = None;
    for (job, work) in items.iter().filter(|_| numbers) {
        // Upright or wide, whichever shows it larger.
        let best = fit::both_ways(&job.paper)
            .into_iter()
            .filter_map(|size| {
                let body = frame(size).1;
                let views: Vec<(f64, Block)> = TIMES
                    .into_iter()
                    .filter(|t| least_height(work, *t, body.width()) <= body.height())
                    .filter_map(|t| Some((t, lower::titled(t, view(job, work, t, body.width())?))))
                    .filter(|(_, block)| block.height <= body.height())
                    .collect();
                // The largest above the whole legend, then above a shorter one, if it is large enough; else the largest
                // alone.
                let enough = views.first().map_or(0.0, |(t, _)| ENOUGH.0.min(ENOUGH.1 * t));
                let above = |saying: &Saying| {
                    let kept = told.block(*saying, body.width()).height + AIR;
                    let shared = views.iter().find(|(_, block)| block.height <= body.height() - kept);
                    shared.filter(|(t, _)| *t >= enough)
                };
                let shared = told.sayings().iter().find_map(above);
                let (times, block) = shared.or(views.first())?;
                Some((size, (shared.is_some(), *times), block.clone()))
            })
            .reduce(|a, b| if b.1 > a.1 { b } else { a });
        let Some((size, _, block)) = best else {
            // In strips over several sheets.
            let [size, _] = fit::both_ways(&job.paper);
            let (blank, body) = frame(size);
            let strips = over_sheets(job, work, (body.width(), body.height()));
            complete &= strips.is_some();
            let (times, strips) = strips.unwrap_or_default();
            for strip in strips {
                let mut page = blank.clone();
                let by = Vec2::new(body.x0 + (body.width() - strip.size.0) / 2.0, body.y0);
                let block = lower::titled(times, strip);
                at = Some((body, body.y0 + block.height + AIR));
                page.marks.extend(block.marks.into_iter().map(|m| m.shifted(by, 0)));
                pages.push(page);
            }
            continue;
        };
        let (page, body) = frame(size);
        let y = match at {
            Some((before, y)) if before == body && y + block.height <= body.y1 => y,
            _ => {
                pages.push(page);
                body.y0
            }
        };
        if let Some(page) = pages.last_mut() {
            let wide = block.marks.iter().map(|m| m.bounds().x1).fold(0.0, f64::max);
            let by = Vec2::new(body.x0 + (body.width() - wide).max(0.0) / 2.0, y);
            page.marks.extend(block.marks.into_iter().map(|m| m.shifted(by, 0)));
        }
        at = Some((body, y + block.height + AIR));
    }
    let told = if at.is_some() { told } else { &told.without_views() };
    let said = |body: Rect, height: f64| {
        let mut blocks = told.sayings().iter().map(|saying| told.block(*saying, body.width()));
        blocks.find(|b| b.height <= height)
    };
    if !told.sayings().is_empty() {
        let [upright, _] = fit::both_ways(&first.paper);
        let (blank, whole) = frame(upright);
        let below = at.and_then(|(body, y)| Some((body, y, said(body, body.y1 - y)?)));
        let put = |page: &mut Page, block: Block, x: f64, y: f64| {
            page.marks.extend(block.marks.into_iter().map(|m| m.shifted(Vec2::new(x, y), 0)));
        };
        if let (Some((body, y, block)), Some(page)) = (below, pages.last_mut()) {
            put(page, block, body.x0, y);
        } else {
            let alone = said(whole, whole.height()).map(|block| vec![block]);
            let sheets =
                alone.unwrap_or_else(|| on_sheets(told.items, &told.signs, (whole.width(), whole.height())));
            for block in sheets {
                let mut page = blank.clone();
                put(&mut page, block, whole.x0, whole.y0);
                pages.push(page);
            }
        }
    }
    (pages, complete)
}
