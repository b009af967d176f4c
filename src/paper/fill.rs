//! Jobs drawn together: what the blank part of their sheets holds. The parts that go with them, and the views of those
//! whose numbers found no room, several side by side.

use super::fit;
use super::header::{self, TEXT};
use super::legend::{said, Block};
use super::letters;
use super::lower;
use super::page::{Group, Mark, Page, PageKind, Words};
use super::parts;
use super::signs::Sign;
use super::strip::strip_for;
use super::template::Art;
use super::view::{least_height, view, View, HEADING, TIMES};
use super::words;
use crate::geom::{Point, Rect, Vec2};
use crate::job::Job;
use crate::work::Work;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// Air between parts and views, mm.
const AIR: f64 = 5.0;
/// Blank paper narrower or lower than this, mm, is left blank.
const LEAST: f64 = 30.0;
/// Share of the height that is left over which stays above the templates, and at most so many mm.
const UPPER: f64 = 0.25;
const HIGH: f64 = 18.0;

/// Job, place in [`TIMES`] and the bits of the width.
type KnownViews = BTreeMap<(usize, usize, u64), Option<View>>;

/// What is still to be shown of the jobs of one run, job by job.
#[derive(Clone)]
pub(super) struct Fill<'a> {
    items: &'a [(&'a Job, &'a Work)],
    /// Signs that stand on the templates: their legend explains them.
    explained: BTreeSet<Sign>,
    /// Views by job, enlargement and the width they were made for.
    made: Rc<RefCell<KnownViews>>,
    /// No sheet has its numbers.
    pub numbers: Vec<bool>,
    /// No sheet has its parts.
    pub parts: Vec<bool>,
}

impl<'a> Fill<'a> {
    /// Everything that the templates themselves do not hold; `numbered` tells of each job whether they show its numbers.
    pub(super) fn new(items: &'a [(&'a Job, &'a Work)], arts: &[Art], numbered: &[bool]) -> Self {
        let paper_width = |job: &Job| job.paper.size.width.max(job.paper.size.height);
        Self {
            items,
            made: Rc::default(),
            explained: arts.iter().flat_map(|a| a.signs.iter().copied()).collect(),
            numbers: numbered.iter().map(|shown| !shown).collect(),
            parts: items
                .iter()
                .map(|(job, work)| parts::block(&[(job, work)], paper_width(job)).is_some())
                .collect(),
        }
    }

    /// Nothing is to be shown.
    pub(super) fn nothing(items: &'a [(&'a Job, &'a Work)]) -> Self {
        let none = vec![false; items.len()];
        Self { items, made: Rc::default(), explained: BTreeSet::new(), numbers: none.clone(), parts: none }
    }

    /// How much is left.
    fn left(&self) -> usize {
        self.numbers.iter().chain(&self.parts).filter(|left| **left).count()
    }

    fn some(&self, which: &[usize]) -> Vec<(&'a Job, &'a Work)> {
        which.iter().filter_map(|i| self.items.get(*i).copied()).collect()
    }

    /// As many of those `left` as `made` gives a block for, taken in their order.
    fn most(&self, left: &[bool], made: impl Fn(&[usize]) -> Option<Block>) -> Option<(Block, Vec<usize>)> {
        let mut held: Option<(Block, Vec<usize>)> = None;
        for (i, _) in left.iter().enumerate().filter(|(_, left)| **left) {
            let mut with = held.as_ref().map_or(Vec::new(), |(_, with)| with.clone());
            with.push(i);
            if let Some(block) = made(&with) {
                held = Some((block, with));
            }
        }
        held
    }

    /// One job's view, made once for each width.
    fn view(&self, which: usize, at: usize, width: f64) -> Option<View> {
        let (job, work) = self.items.get(which)?;
        let mut made = self.made.borrow_mut();
        let known = made.entry((which, at, width.to_bits()));
        known.or_insert_with(|| view(job, work, *TIMES.get(at)?, width)).clone()
    }

    /// Views side by side, as large as `width` and `height` mm hold them, with what their signs mean if no legend says it.
    fn views(&self, which: &[usize], (width, height): (f64, f64)) -> Option<Block> {
        let items = self.some(which);
        let takes = |work: &Work, times: f64| {
            let b = work.piece.outline.edge.bounds();
            b.width() * times * (b.height() * times + HEADING)
        };
        let may = |times: f64| {
            items.iter().all(|(_, work)| least_height(work, times, width) + HEADING <= height)
                && items.iter().map(|(_, work)| takes(work, times)).sum::<f64>() <= width * height
        };
        (0..TIMES.len()).filter(|at| may(TIMES[*at])).find_map(|at| {
            let titles = which.iter().zip(&items).map(|(i, (job, work))| (*i, words::title(job, work)));
            let gallery = lower::gallery(titles.map(|(i, title)| (title, self.view(i, at, width))), width)?;
            let new: Vec<String> =
                gallery.signs.difference(&self.explained).filter_map(|sign| said(*sign, &items)).collect();
            let mut block = lower::titled(TIMES[at], gallery);
            let wide = block.marks.iter().map(|m| m.bounds().x1).fold(0.0, f64::max);
            if wide > width {
                return None;
            }
            if items.len() == 1 {
                let by = Vec2::new((width - wide) / 2.0, 0.0);
                block.marks = block.marks.into_iter().map(|m| m.shifted(by, 0)).collect();
            }
            let lines = letters::wrap(&new.join(" "), TEXT, false, width);
            for line in lines.into_iter().filter(|line| !line.is_empty()) {
                block.height += 3.4;
                block.marks.push(Mark::words(Words::new(line, Point::new(0.0, block.height), TEXT)));
            }
            block.height += lower::TAILS;
            (block.height <= height).then_some(block)
        })
    }

    /// Parts first (only if `with_parts`), then views, as many as `width` by `height` mm hold; `None` if that is nothing.
    pub(super) fn block(&mut self, (width, height): (f64, f64), with_parts: bool) -> Option<Block> {
        if width < LEAST || height < LEAST / 2.0 {
            return None;
        }
        let mut all: Option<Block> = None;
        let wanted: Vec<bool> = self.parts.iter().map(|left| *left && with_parts).collect();
        let fits = |which: &[usize]| parts::block(&self.some(which), width).filter(|b| b.height <= height);
        if let Some((block, which)) = self.most(&wanted, fits) {
            which.into_iter().for_each(|i| self.parts[i] = false);
            all = Some(block);
        }
        let y = all.as_ref().map_or(0.0, |b| b.height + AIR);
        let room = (width, height - y);
        if room.1 >= LEAST
            && let Some((block, which)) = self.most(&self.numbers, |which| self.views(which, room))
        {
            which.into_iter().for_each(|i| self.numbers[i] = false);
            let above = all.get_or_insert_default();
            above.marks.extend(block.marks.into_iter().map(|m| m.shifted(Vec2::new(0.0, y), 0)));
            above.height = y + block.height;
        }
        all
    }

    /// What stands in the blank part of a page whose templates take `boxes` of its `body`, `kept` mm of it being kept free at
    /// its foot: below the templates over the whole width, and beside the last row of them. Gives the blocks with their
    /// places, and by how much the templates move down to make room. The page's saw lines and punch marks are those of the
    /// templates alone.
    pub(super) fn round(
        &mut self,
        boxes: &[Rect],
        (body, kept): (Rect, f64),
        with_parts: bool,
    ) -> (Vec<(Vec2, Block)>, f64) {
        let Some(all) = boxes.iter().copied().reduce(|a, b| a.union(b)) else { return (Vec::new(), 0.0) };
        let mut rest = body.height() - all.height() - kept;
        let mut blocks = Vec::new();
        let below = self.block((body.width(), rest - AIR - lower::AIR), with_parts);
        let below = below.map(|block| lower::ruled(block, body.width()));
        rest -= below.as_ref().map_or(0.0, |b| b.height + AIR);
        // The last row: its templates begin lowest.
        let low = boxes.iter().map(|b| b.y0).fold(all.y0, f64::max);
        let row = boxes.iter().copied().filter(|b| b.y0 > low - 0.5).reduce(|a, b| a.union(b)).unwrap_or(all);
        let foot = if below.is_some() { all.y1 } else { all.y1 + rest - AIR };
        let beside = self.block((body.x1 - row.x1 - AIR, foot - row.y0), false);
        if below.is_none() && beside.is_none() {
            return (blocks, 0.0);
        }
        let under = beside.as_ref().map_or(0.0, |b| row.y0 + b.height - all.y1).max(0.0);
        rest -= under;
        let down = body.y0 + (UPPER * rest.max(0.0)).min(HIGH) - all.y0;
        if let Some(block) = beside {
            blocks.push((Vec2::new(row.x1 + AIR, row.y0 + down), block));
        }
        if let Some(block) = below {
            blocks.push((Vec2::new(body.x0, all.y1 + down + AIR), block));
        }
        for mark in blocks.iter_mut().flat_map(|(_, block)| &mut block.marks) {
            if matches!(mark.group, Group::SawLines | Group::PunchMarks) {
                mark.group = Group::Guides;
            }
        }
        (blocks, down)
    }

    /// One sheet more with as much as it holds of what is left, upright or laid wide.
    pub(super) fn page(&mut self) -> Option<Page> {
        let (first, _) = self.items.first()?;
        let before = self.left();
        let mut strip = strip_for(self.items, 1);
        (strip.ticks, strip.mirrored) = (false, false);
        strip.banner.clear();
        strip.says.clear();
        strip.facts.clear();
        let laid = |size: (f64, f64)| {
            let mut left = self.clone();
            let has_parts = left.parts.contains(&true);
            let kind = if has_parts { PageKind::Parts } else { PageKind::KeyMap };
            let mut page = fit::page(kind, &first.paper, size);
            let mut strip = strip.clone();
            strip.part = match (has_parts, left.numbers.contains(&true)) {
                (true, true) => "parts at true size, keys to the templates",
                (true, false) => "parts at true size",
                _ => "keys to the templates",
            }
            .into();
            let body = if has_parts {
                fit::frame(&mut page, &strip)
            } else {
                let top = header::strip(&mut page, &strip);
                let room = header::column(&page);
                Rect::new(room.x0, top + 2.0, room.x1, room.y1)
            };
            let block = left.block((body.width(), body.height()), true)?;
            let by = body.origin().to_vec2();
            page.marks.extend(block.marks.into_iter().map(|m| m.shifted(by, 0)));
            Some((page, left))
        };
        let ways = fit::both_ways(&first.paper).into_iter().filter_map(laid);
        let (page, left) = ways.reduce(|a, b| if b.1.left() < a.1.left() { b } else { a })?;
        *self = left;
        (self.left() < before).then_some(page)
    }
}
