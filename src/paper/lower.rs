//! What stands below the templates of page one: the piece enlarged, and the legend beside or under it.

use super::header::{HAIR, SMALL, TEXT, VALUE};
use super::legend::{legend, said, Block, Saying, NARROWEST};
use super::letters;
use super::page::{Group, Mark, Words};
use super::signs::Sign;
use super::template::Art;
use super::view::{self, view, View};
use super::words;
use crate::geom::{Point, Vec2};
use crate::job::Job;
use crate::work::Work;
use std::collections::BTreeSet;

/// Enlargements tried, largest first. More makes the little piece above look lost.
const TIMES: [f64; 9] = [8.0, 6.0, 5.0, 4.0, 3.5, 3.0, 2.5, 2.0, 1.5];
/// A picture as large as this is large enough, mm.
const LARGEST: f64 = 150.0;
/// From the picture to the legend beside it, mm.
const BESIDE: f64 = 6.0;
/// A legend beside a picture is no wider than this, mm.
const WIDEST: f64 = 58.0;
/// Air over and under the rule that parts it from the templates, mm.
const AIR: f64 = 3.0;

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
    pub(super) fn with_parts(&self, parts: &Block, width: f64) -> Self {
        let parts = ruled(parts.clone(), width);
        let y = self.block.height + AIR + 1.0;
        let mut block = self.block.clone();
        // The page's saw lines and punch marks are those of the piece alone.
        let moved = parts.marks.iter().map(|m| {
            let group = match m.group {
                Group::SawLines | Group::PunchMarks => Group::Guides,
                other => other,
            };
            Mark { group, ..m.shifted(Vec2::new(0.0, y), 0) }
        });
        block.marks.extend(moved);
        block.height = y + parts.height;
        Self { block, numbers: self.numbers, parts: true }
    }
}

/// All that may be tried within `width` and `height` mm, best first. The last is the least: signs and the safety line.
pub(super) fn choices(items: &[(&Job, &Work)], arts: &[Art], (width, height): (f64, f64)) -> Vec<Lower> {
    let needed = arts.iter().any(|a| !a.numbered);
    let signs: BTreeSet<Sign> = arts.iter().flat_map(|a| a.signs.iter().copied()).collect();
    let mut all = Vec::new();
    let views: Vec<(f64, View)> = match items {
        [(job, work)] => TIMES
            .into_iter()
            .filter(|t| *t <= 2.0 || view::least_height(work, *t, width) <= LARGEST + 20.0)
            .filter(|t| view::least_height(work, *t, width) < height)
            .filter_map(|t| view(job, work, t, width).map(|v| (t, v)))
            .filter(|(t, v)| v.size.0.max(v.size.1) <= LARGEST || *t <= 2.0)
            .collect(),
        _ => TIMES.into_iter().filter_map(|t| gallery(items, t, width).map(|v| (t, v))).collect(),
    };
    let sayings: &[Saying] = if needed { &[Saying::All, Saying::Short] } else { &[Saying::All] };
    // Most views use the same signs and leave the same width: each such legend is set once.
    type Asked = (BTreeSet<Sign>, Saying, f64);
    let mut known: Vec<(Asked, Block)> = Vec::new();
    let mut set = |signs: &BTreeSet<Sign>, saying: Saying, width: f64| {
        let key = (signs.clone(), saying, width);
        if let Some((_, block)) = known.iter().find(|(k, _)| *k == key) {
            return block.clone();
        }
        let block = legend(items, signs, saying, width);
        known.push((key, block.clone()));
        block
    };
    for saying in sayings {
        for (times, view) in &views {
            let mut signs = signs.clone();
            signs.extend(view.signs.iter().copied());
            let spare = width - view.size.0 - BESIDE;
            if spare >= NARROWEST {
                all.push(beside(*times, view, set(&signs, *saying, spare.min(WIDEST)), width));
            }
            all.push(under(*times, view, set(&signs, *saying, width), width));
        }
    }
    for saying in [Saying::All, Saying::Short, Saying::Close] {
        let block = ruled(set(&signs, saying, width), width);
        all.push(Lower { block, numbers: false, parts: false });
    }
    all
}

/// The piece enlarged with what its numbers and dots mean, as large as the room holds: to stand on its job card.
pub(super) fn picture(job: &Job, work: &Work, (width, height): (f64, f64)) -> Option<Block> {
    let signs = view::signs_of(job, work).into_iter().filter(|sign| *sign != Sign::Top);
    let told: Vec<String> = signs.filter_map(|sign| said(sign, &[(job, work)])).collect();
    TIMES.into_iter().find_map(|times| {
        let least = view::least_height(work, times, width);
        let view = (least <= height).then(|| view(job, work, times, width)).flatten()?;
        let mut block = titled(times, &view);
        let x = (width - view.size.0) / 2.0;
        block.marks = block.marks.iter().map(|m| m.shifted(Vec2::new(x, 0.0), 0)).collect();
        for line in letters::wrap(&told.join(" "), TEXT, false, width) {
            block.height += 3.4;
            let at = Point::new(width / 2.0, block.height);
            block.marks.push(Mark::words(Words::new(line, at, TEXT).middle()));
        }
        (block.height <= height).then_some(block)
    })
}

/// The views of several jobs in rows, each with its title below; `None` if one of them cannot be made.
pub(super) fn gallery(items: &[(&Job, &Work)], times: f64, width: f64) -> Option<View> {
    let mut all = View { marks: Vec::new(), size: (0.0, 0.0), signs: BTreeSet::new() };
    let (mut x, mut y, mut row) = (0.0, 0.0, 0.0_f64);
    for (job, work) in items {
        let one = view(job, work, times, width)?;
        if x > 0.0 && x + one.size.0 > width {
            (x, y, row) = (0.0, y + row + AIR, 0.0);
        }
        all.marks.extend(one.marks.iter().map(|m| m.shifted(Vec2::new(x, y), 0)));
        let title = letters::shorten(&words::title(job, work), SMALL, false, one.size.0.max(16.0));
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
fn ruled(block: Block, width: f64) -> Block {
    let mut marks = vec![Mark::rule(Point::new(0.0, 0.0), Point::new(width, 0.0), HAIR)];
    marks.extend(block.marks.iter().map(|m| m.shifted(Vec2::new(0.0, AIR), 0)));
    Block { marks, height: block.height + AIR }
}

/// The picture with its line of words over it.
pub(super) fn titled(times: f64, view: &View) -> Block {
    let mut marks = vec![Mark::words(Words::new(view::heading(times), Point::new(0.0, 2.4), VALUE).bold())];
    marks.extend(view.marks.iter().map(|m| m.shifted(Vec2::new(0.0, view::HEADING), 0)));
    for m in &mut marks {
        if m.group == Group::Shade {
            m.group = Group::Guides;
        }
    }
    Block { marks, height: view.size.1 + view::HEADING }
}

fn beside(times: f64, view: &View, legend: Block, width: f64) -> Lower {
    let picture = titled(times, view);
    let x = (width - WIDEST).max(view.size.0 + BESIDE).min(view.size.0 + BESIDE + 14.0);
    let mut marks = picture.marks;
    marks.extend(legend.marks.iter().map(|m| m.shifted(Vec2::new(x, 0.0), 0)));
    let block = Block { marks, height: picture.height.max(legend.height) };
    Lower { block: ruled(block, width), numbers: true, parts: false }
}

fn under(times: f64, view: &View, legend: Block, width: f64) -> Lower {
    let picture = titled(times, view);
    let x = (width - view.size.0) / 2.0;
    let mut marks: Vec<Mark> = picture.marks.iter().map(|m| m.shifted(Vec2::new(x, 0.0), 0)).collect();
    let y = picture.height + 4.0;
    marks.extend(legend.marks.iter().map(|m| m.shifted(Vec2::new(0.0, y), 0)));
    Lower { block: ruled(Block { marks, height: y + legend.height }, width), numbers: true, parts: false }
}
