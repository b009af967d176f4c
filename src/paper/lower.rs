//! What stands below the templates of page one: the piece enlarged, and the legend beside or under it.

use super::header::{HAIR, SMALL, TEXT, VALUE};
use super::legend::{legend, said, Block, Saying, NARROWEST};
use super::letters;
use super::page::{Group, Mark, Words};
use super::signs::Sign;
use super::template::Art;
use super::view::{self, view, View, FOOT, HEADING};
use crate::geom::{Point, Vec2};
use crate::job::Job;
use crate::work::Work;
use std::cell::OnceCell;
use std::collections::BTreeSet;

/// Enlargements tried, largest first. More makes the little piece above look lost.
const TIMES: [f64; 9] = [8.0, 6.0, 5.0, 4.0, 3.5, 3.0, 2.5, 2.0, 1.5];
/// Below the last line of words, mm.
pub(super) const TAILS: f64 = 0.8;
/// On a card a piece is shown no smaller than so many times life size. Smaller, and its dots run together.
const ON_CARD: f64 = 0.8;
/// A picture as large as this is large enough, mm.
const LARGEST: f64 = 150.0;
/// From the picture to the legend beside it, mm.
const BESIDE: f64 = 6.0;
/// A legend beside a picture is no wider than this, mm.
const WIDEST: f64 = 58.0;
/// Air over and under the rule that parts it from the templates, mm.
pub(super) const AIR: f64 = 3.0;

/// One way to fill the lower part of the page.
#[derive(Debug, Clone)]
pub(super) struct Lower {
    pub block: Block,
    /// The numbers of openings can be read in it.
    pub numbers: bool,
    /// The parts stand at its foot.
    pub parts: bool,
}

impl Lower {
    /// The same with the parts below it.
    pub(super) fn with_parts(self, parts: &Block, width: f64) -> Self {
        let parts = ruled(parts.clone(), width);
        let Self { mut block, numbers, .. } = self;
        let y = block.height + AIR + 1.0;
        // The page's saw lines and punch marks are those of the piece alone.
        let moved = parts.marks.into_iter().map(|m| {
            let group = match m.group {
                Group::SawLines | Group::PunchMarks => Group::Guides,
                other => other,
            };
            Mark { group, ..m.shifted(Vec2::new(0.0, y), 0) }
        });
        block.marks.extend(moved);
        block.height = y + parts.height;
        Self { block, numbers, parts: true }
    }
}

/// What may be tried below the templates, each made when it is asked for.
pub(super) struct Choices<'a> {
    items: &'a [(&'a Job, &'a Work)],
    /// Those of the templates.
    signs: BTreeSet<Sign>,
    /// The numbers stand nowhere else.
    needed: bool,
    /// mm.
    width: f64,
    /// The views that may find room, largest first, with their enlargement; drawn when they are first tried.
    views: Vec<(f64, OnceCell<Option<View>>)>,
}

impl<'a> Choices<'a> {
    /// Of the templates of some jobs, within `width` and `height` mm; `holds` tells whether a block with numbers may be so high, mm.
    pub(super) fn new(
        items: &'a [(&'a Job, &'a Work)],
        arts: &[Art],
        (width, height): (f64, f64),
        holds: impl Fn(f64) -> bool,
    ) -> Self {
        let may = |times: &f64| match items {
            [(_, work)] => {
                let rows = view::least_height(work, *times, width);
                let one_row = work.piece.outline.edge.bounds().height() * times + HEADING + FOOT;
                (*times <= 2.0 || rows <= LARGEST + 20.0) && rows < height && holds(one_row + AIR)
            }
            // The views of several stand wherever their sheets are blank.
            _ => false,
        };
        Self {
            items,
            signs: arts.iter().flat_map(|a| a.signs.iter().copied()).collect(),
            needed: arts.iter().any(|a| !a.numbered),
            width,
            views: TIMES.into_iter().filter(may).map(|times| (times, OnceCell::new())).collect(),
        }
    }

    /// All of them, best first. The last is the least: signs and the safety line.
    pub(super) fn all(&self) -> impl Iterator<Item = Lower> + '_ {
        let sayings: &[Saying] = if self.needed { &[Saying::All, Saying::Short] } else { &[Saying::All] };
        let views = || self.views.iter().filter_map(|(times, made)| Some((*times, self.view(*times, made)?)));
        let with_view = sayings.iter().flat_map(move |saying| {
            views().flat_map(move |(times, view)| {
                let signs: BTreeSet<Sign> = self.signs.union(&view.signs).copied().collect();
                let set = move |width: f64| legend(self.items, &signs, *saying, width);
                let spare = self.width - view.size.0 - BESIDE;
                let ways = [true, false].into_iter().filter(move |beside| !beside || spare >= NARROWEST);
                ways.map(move |is_beside| match is_beside {
                    true => beside(times, view.clone(), set(spare.min(WIDEST)), self.width),
                    false => under(times, view.clone(), set(self.width), self.width),
                })
            })
        });
        let alone = [Saying::All, Saying::Short, Saying::Close].into_iter().map(|saying| {
            let block = ruled(legend(self.items, &self.signs, saying, self.width), self.width);
            Lower { block, numbers: false, parts: false }
        });
        with_view.chain(alone)
    }

    fn view<'b>(&self, times: f64, made: &'b OnceCell<Option<View>>) -> Option<&'b View> {
        let draw = || {
            let [(job, work)] = self.items else { return None };
            view(job, work, times, self.width).filter(|v| v.size.0.max(v.size.1) <= LARGEST || times <= 2.0)
        };
        made.get_or_init(draw).as_ref()
    }
}

/// The piece enlarged with what its numbers and dots mean, as large as the room holds: to stand on its job card.
pub(super) fn picture(job: &Job, work: &Work, (width, height): (f64, f64)) -> Option<Block> {
    let signs = view::signs_of(job, work).into_iter().filter(|sign| *sign != Sign::Top);
    let told: Vec<String> = signs.filter_map(|sign| said(sign, &[(job, work)])).collect();
    view::TIMES.into_iter().filter(|times| *times >= ON_CARD).find_map(|times| {
        let least = view::least_height(work, times, width);
        let view = (least <= height).then(|| view(job, work, times, width)).flatten()?;
        let x = (width - view.size.0) / 2.0;
        let mut block = titled(times, view);
        block.marks = block.marks.into_iter().map(|m| m.shifted(Vec2::new(x, 0.0), 0)).collect();
        for line in letters::wrap(&told.join(" "), TEXT, false, width) {
            block.height += 3.4;
            let at = Point::new(width / 2.0, block.height);
            block.marks.push(Mark::words(Words::new(line, at, TEXT).middle()));
        }
        // The tails of the last line.
        block.height += TAILS;
        (block.height <= height).then_some(block)
    })
}

/// The views of several jobs in rows, each with its title below; `None` if one of them cannot be made.
pub(super) fn gallery(items: impl Iterator<Item = (String, Option<View>)>, width: f64) -> Option<View> {
    let mut all = View { marks: Vec::new(), size: (0.0, 0.0), signs: BTreeSet::new() };
    let (mut x, mut y, mut row) = (0.0, 0.0, 0.0_f64);
    for (title, one) in items {
        let one = one?;
        if x > 0.0 && x + one.size.0 > width {
            (x, y, row) = (0.0, y + row + AIR, 0.0);
        }
        all.marks.extend(one.marks.into_iter().map(|m| m.shifted(Vec2::new(x, y), 0)));
        let title = letters::shorten(&title, SMALL, false, one.size.0.max(16.0));
        let at = Point::new(x + one.size.0 / 2.0, y + one.size.1 + 2.6);
        all.marks.push(Mark::words(Words::new(title, at, SMALL).middle()));
        all.signs.extend(one.signs);
        row = row.max(one.size.1 + 4.0);
        all.size = (all.size.0.max(x + one.size.0), y + row);
        x += one.size.0.max(16.0) + BESIDE;
    }
    Some(all)
}

/// A hairline over a block.
pub(super) fn ruled(block: Block, width: f64) -> Block {
    let mut marks = vec![Mark::rule(Point::new(0.0, 0.0), Point::new(width, 0.0), HAIR)];
    marks.extend(block.marks.into_iter().map(|m| m.shifted(Vec2::new(0.0, AIR), 0)));
    Block { marks, height: block.height + AIR }
}

/// The picture with its line of words over it.
pub(super) fn titled(times: f64, view: View) -> Block {
    let mut marks = vec![Mark::words(Words::new(view::heading(times), Point::new(0.0, 2.4), VALUE).bold())];
    marks.extend(view.marks.into_iter().map(|m| m.shifted(Vec2::new(0.0, HEADING), 0)));
    Block { marks, height: view.size.1 + HEADING }
}

fn beside(times: f64, view: View, legend: Block, width: f64) -> Lower {
    let x = (width - WIDEST).max(view.size.0 + BESIDE).min(view.size.0 + BESIDE + 14.0);
    let picture = titled(times, view);
    let mut marks = picture.marks;
    marks.extend(legend.marks.into_iter().map(|m| m.shifted(Vec2::new(x, 0.0), 0)));
    let block = Block { marks, height: picture.height.max(legend.height) };
    Lower { block: ruled(block, width), numbers: true, parts: false }
}

fn under(times: f64, view: View, legend: Block, width: f64) -> Lower {
    let x = (width - view.size.0) / 2.0;
    let picture = titled(times, view);
    let mut marks: Vec<Mark> = picture.marks.into_iter().map(|m| m.shifted(Vec2::new(x, 0.0), 0)).collect();
    let y = picture.height + 4.0;
    marks.extend(legend.marks.into_iter().map(|m| m.shifted(Vec2::new(0.0, y), 0)));
    Lower { block: ruled(Block { marks, height: y + legend.height }, width), numbers: true, parts: false }
}
