//! The job card: the plan's sections set in columns, facts on leaders, the cautions of a step together at its end.

use super::breaks;
use super::card_rows::{rows, CardBlock, Column};
use super::fit;
use super::header::{self, Strip};
use super::legend;
use super::letters;
use super::page::{Mark, Page, PageKind, Pen, Words};
use crate::geom::{Point, Rect, Vec2};
use crate::job::{CardLength, PaperSpec};
use crate::plan::card::CardSection;

/// Type size in points and one line of the grid in mm, largest first: the first that takes the fewest pages is used. None is
/// under 7 points: a caution may stand in any line.
const DENSITIES: [(f64, f64); 8] =
    [(9.5, 4.5), (8.75, 4.2), (8.0, 3.9), (7.5, 3.65), (7.0, 3.4), (7.0, 3.15), (7.0, 2.95), (7.0, 2.8)];
/// A column is at least so many times its type size wide (points to mm): a label, a leader and a value. Narrower, and half
/// of the values go below their labels.
const NARROWEST: f64 = 8.3;
const GUTTER: f64 = 6.0;
/// Columns of one page at most: three on paper so wide, mm, or where a picture wants the room below them.
const MOST_COLUMNS: (usize, usize) = (2, 3);
const WIDE: f64 = 220.0;
/// Free paper under a section, in lines, and no more than so many mm.
const GAP: (f64, f64) = (0.45, 2.0);
/// Section titles are so much larger than the type, points.
const HEADING: f64 = 1.2;
/// Columns of the last page are evened to so much, mm, and may be so much higher than that for a better break.
const EVEN: f64 = 1.0;
const MORE: f64 = 40.0;
/// Air between the columns and a picture below them, mm.
const OVER: f64 = 5.0;

/// A section with its rows as blocks.
struct SetSection<'a> {
    title: &'a str,
    blocks: Vec<CardBlock>,
}

/// Something to stand below the columns of a card's last page, made for a width and a height, mm.
pub(super) type Picture<'a> = &'a dyn Fn((f64, f64)) -> Option<legend::Block>;

/// What is asked of a card.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    pub length: CardLength,
    /// Three columns are better than a second page.
    pub narrow: bool,
    pub picture: Option<Picture<'a>>,
}

/// One way to set a card.
struct Setting<'a> {
    sets: Vec<SetSection<'a>>,
    grid: Column,
    columns: usize,
    /// After which block each column ends.
    ends: Vec<usize>,
    /// The height of the columns of the last page, mm.
    last: f64,
    picture: Option<legend::Block>,
}

impl Setting<'_> {
    fn pages(&self) -> usize {
        self.ends.len().div_ceil(self.columns)
    }
}

/// Sets the sections on as few pages as they need, upright, in columns of the largest type that takes no page more. `name`
/// is what the card is called on every page. A `picture` stands below the columns of the last page; without it if `None`
/// is given back for its room. Tells whether it stands there.
pub(super) fn card(
    paper: &PaperSpec,
    name: &str,
    sections: &[CardSection],
    strip: &Strip,
    Asked { length, narrow, picture }: Asked,
) -> (Vec<Page>, bool) {
    let [upright, _] = fit::both_ways(paper);
    let empty = |number: usize| {
        let mut page = fit::page(PageKind::Card, paper, upright);
        let y = header::strip(&mut page, &page_strip(paper, (name, strip), number)) + 0.5;
        let room = header::column(&page);
        (page, Rect::new(room.x0, y, room.x1, room.y1))
    };
    let (first, later) = (empty(0), empty(1));
    let room = |columns: usize| move |c: usize| if c < columns { first.1.height() } else { later.1.height() };
    let set = |(size, line): (f64, f64)| {
        let widest = 1.0_f64.max((first.1.width() + GUTTER) / (NARROWEST * size + GUTTER));
        let three = narrow || first.1.width() > WIDE;
        let columns = (widest.floor() as usize).min(if three { MOST_COLUMNS.1 } else { MOST_COLUMNS.0 });
        let width = (first.1.width() - GUTTER * (columns - 1) as f64) / columns as f64;
        let grid = Column { width, size, line, length };
        let sets: Vec<SetSection> =
            sections.iter().map(|s| SetSection { title: &s.title, blocks: rows(s, &grid) }).collect();
        let ends = breaks::breaks(&sizes(&sets, &grid), room(columns));
        let mut setting = Setting { sets, grid, columns, ends, last: 0.0, picture: None };
        even(&mut setting, room(columns));
        if let Some(picture) = picture {
            let full = if setting.pages() == 1 { first.1.height() } else { later.1.height() };
            setting.picture = picture((first.1.width(), full - setting.last - OVER));
        }
        setting
    };
    let mut best: Option<Setting> = None;
    for density in DENSITIES {
        let closer = set(density);
        let weight = |s: &Setting| (s.pages(), picture.is_some() && s.picture.is_none());
        if best.as_ref().is_none_or(|b| weight(&closer) < weight(b)) {
            best = Some(closer);
        }
        if best.as_ref().is_some_and(|b| weight(b) == (1, false)) {
            break;
        }
    }
    let Some(Setting { sets, grid, columns, ends, last, picture }) = best else { return (Vec::new(), false) };
    let all: Vec<(usize, &CardBlock)> =
        sets.iter().enumerate().flat_map(|(i, s)| s.blocks.iter().map(move |b| (i, b))).collect();
    let mut pages: Vec<Page> = Vec::new();
    let mut from = 0;
    for (c, to) in ends.into_iter().enumerate() {
        let frame = if c < columns { &first } else { &later };
        if c % columns == 0 {
            pages.push(frame.0.clone());
        }
        let Some(page) = pages.last_mut() else { continue };
        let x = frame.1.x0 + (grid.width + GUTTER) * (c % columns) as f64;
        let mut y = frame.1.y0;
        for part in all[from..to].chunk_by(|a, b| a.0 == b.0) {
            let Some((section, _)) = part.first() else { continue };
            let torn = from > 0 && all[from - 1].0 == *section && std::ptr::eq(&all[from], &part[0]);
            let title = if torn { continued(sets[*section].title) } else { sets[*section].title.to_string() };
            let (marks, foot) = heading(&title, &grid);
            page.marks.extend(marks.into_iter().map(|m| m.shifted(Vec2::new(x, y), 0)));
            y += foot;
            for (_, block) in part {
                page.marks.extend(block.marks.iter().map(|m| m.clone().shifted(Vec2::new(x, y), 0)));
                y += block.height;
            }
            y += gap(&grid);
        }
        from = to;
    }
    let frame = if pages.len() <= 1 { &first } else { &later };
    let shown = picture.is_some();
    if let (Some(page), Some(block)) = (pages.last_mut(), picture) {
        // In the middle of what is left, its own height considered.
        let spare = frame.1.height() - last - OVER - block.height;
        let by = Vec2::new(frame.1.x0, frame.1.y0 + last + OVER + 0.4 * spare.max(0.0));
        page.marks.extend(block.marks.into_iter().map(|m| m.shifted(by, 0)));
    }
    (pages, shown)
}

/// Evens out the columns of the last page: as low as they can be without a column more.
fn even(setting: &mut Setting, room: impl Fn(usize) -> f64) {
    let (columns, count) = (setting.columns, setting.pages());
    let kept = (count.max(1) - 1) * columns;
    let sizes = sizes(&setting.sets, &setting.grid);
    let (mut low, mut high) = (0.0, room(kept));
    setting.last = tallest(&sizes, &setting.ends, kept);
    if columns == 1 {
        return;
    }
    while high - low > EVEN {
        let middle = (low + high) / 2.0;
        let tried = breaks::breaks(&sizes, |c| if c < kept { room(c) } else { middle });
        let fits = tried.len() <= kept + columns && tallest(&sizes, &tried, kept) <= middle + 1e-6;
        if fits {
            (setting.ends, setting.last, high) = (tried, middle, middle);
        } else {
            low = middle;
        }
    }
    // A little more height, if no title then stands over a row or two at a column's foot.
    let mut height = high;
    while breaks::loses_rows(&sizes, &setting.ends) && height < (high + MORE).min(room(kept)) {
        height += EVEN;
        let tried = breaks::breaks(&sizes, |c| if c < kept { room(c) } else { height });
        let lower = tallest(&sizes, &tried, kept);
        if tried.len() <= kept + columns && lower <= height + 1e-6 && !breaks::loses_rows(&sizes, &tried) {
            (setting.ends, setting.last) = (tried, lower);
        }
    }
}

/// Free paper under a section, mm.
fn gap(grid: &Column) -> f64 {
    (GAP.0 * grid.line).min(GAP.1)
}

/// The height of the tallest column after the first `kept`.
fn tallest(sections: &[breaks::SectionBreaks], ends: &[usize], kept: usize) -> f64 {
    let owner: Vec<(usize, f64)> =
        sections.iter().enumerate().flat_map(|(s, x)| x.blocks.iter().map(move |b| (s, *b))).collect();
    let starts = std::iter::once(0).chain(ends.iter().copied());
    let gap = sections.first().map_or(0.0, |s| s.gap);
    let column = |(from, to): (usize, usize)| -> f64 {
        let parts = owner[from..to].chunk_by(|a, b| a.0 == b.0);
        let heights = parts.map(|p| sections[p[0].0].head + p.iter().map(|b| b.1).sum::<f64>());
        let heights: Vec<f64> = heights.collect();
        heights.iter().sum::<f64>() + gap * heights.len().saturating_sub(1) as f64
    };
    starts.zip(ends.iter().copied()).skip(kept).map(column).fold(0.0, f64::max)
}

fn continued(title: &str) -> String {
    format!("{title} (continued)")
}

/// What the breaking into columns has to know of the sections.
fn sizes(sets: &[SetSection], grid: &Column) -> Vec<breaks::SectionBreaks> {
    sets.iter()
        .map(|set| {
            let head = heading(&continued(set.title), grid).1;
            let blocks = set.blocks.iter().map(|b| b.height).collect();
            breaks::SectionBreaks { head, least: head, gap: gap(grid), blocks }
        })
        .collect()
}

/// The title block of a page of the card. On small paper the facts are left to the template.
fn page_strip(paper: &PaperSpec, (name, strip): (&str, &Strip), page: usize) -> Strip {
    let part = name.to_string();
    if page == 0 && header::is_close(paper.size.width, paper.size.height) {
        Strip { part, ticks: false, says: Vec::new(), mirrored: false, facts: Vec::new(), ..strip.clone() }
    } else if page == 0 {
        Strip { part, ticks: false, says: Vec::new(), mirrored: false, ..strip.clone() }
    } else if header::is_close(paper.size.width, paper.size.height) {
        // The number alone, on one line.
        Strip { title: strip.number.clone(), part, ..Strip::default() }
    } else {
        Strip { title: strip.title.clone(), number: strip.number.clone(), part, ..Strip::default() }
    }
}

/// A section's title over a rule; gives its height.
fn heading(title: &str, grid: &Column) -> (Vec<Mark>, f64) {
    let mut marks = Vec::new();
    let mut y = 0.0;
    let size = HEADING * grid.size;
    for text in letters::wrap(title, size, true, grid.width) {
        y += 0.42 * size;
        marks.push(Mark::words(Words::new(text, Point::new(0.0, y), size).bold()));
    }
    y += 1.1;
    marks.push(Mark::rule(Point::new(0.0, y), Point::new(grid.width, y), Pen::new(0.2, 100)));
    (marks, y + 0.9)
}
