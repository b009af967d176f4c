//! The job card: the plan's sections set as pages, titles hanging at the left, numbers on one grid.

use super::breaks;
use super::fit;
use super::header::{self, Strip, HEADING, SMALL, TEXT, VALUE};
use super::letters;
use super::page::{Group, Ink, Kind, Mark, Page, Pen, Words};
use crate::geom::{Point, Rect, Ring};
use crate::job::PaperSpec;
use crate::plan::card::{Row, Section};

/// One line of the grid, mm: 8 points with air, and with a little less where that saves a page.
const LINES: [f64; 2] = [4.4, 4.05];
/// Lines of a long list of numbers that stay together.
const TOGETHER: usize = 4;
/// Thin lines on the card.
const HAIR: Pen = Pen::new(0.1, 100);
/// Below this width, mm, titles stand over their rows instead of beside them.
const NARROW_CARD: f64 = 150.0;

/// The columns of the card, as x positions and widths in mm.
#[derive(Debug, Clone, Copy)]
struct Grid {
    title: f64,
    x0: f64,
    x1: f64,
    planned: f64,
    found: f64,
    beside: bool,
    /// Height of a line.
    line: f64,
}

impl Grid {
    fn new(room: Rect, line: f64) -> Self {
        let beside = room.width() >= NARROW_CARD;
        let x0 = if beside { room.x0 + 40.0 } else { room.x0 };
        let x1 = room.x1;
        let width = x1 - x0;
        Self { title: room.x0, x0, x1, planned: x0 + 0.46 * width, found: x0 + 0.78 * width, beside, line }
    }
}

/// A block that is not torn apart: its marks from y = 0, and its height.
struct Block {
    marks: Vec<Mark>,
    height: f64,
}

/// A section with its rows as blocks.
struct Set<'a> {
    title: &'a str,
    blocks: Vec<Block>,
}

/// Sets the sections on as few pages as they need, upright; the buyer's page starts afresh, and so does what follows it.
/// `name` is what the card is called on every page.
pub fn card(paper: &PaperSpec, name: &str, sections: &[Section], strip: &Strip) -> Vec<Page> {
    let [upright, _] = fit::both_ways(paper);
    let empty = |number: usize| {
        let mut page = fit::page(Kind::Card, paper, upright);
        let room = card_room(&page);
        let y = header::strip(&mut page, room, &page_strip(name, strip, number));
        (page, y, room)
    };
    let (first, later) = (empty(0), empty(1));
    let mut pages: Vec<Page> = Vec::new();
    for run in sections.chunk_by(|a, b| !is_quote(a) && !is_quote(b)) {
        let room = |page: usize| {
            let (_, y, room) = if pages.is_empty() && page == 0 { &first } else { &later };
            room.y1 - 6.0 - y
        };
        let set = |line: f64| {
            let grid = Grid::new(first.2, line);
            let sets: Vec<Set> = run
                .iter()
                .map(|s| Set {
                    title: &s.title,
                    blocks: s.rows.iter().flat_map(|r| blocks(r, &grid)).collect(),
                })
                .collect();
            let breaks = breaks::breaks(&sizes(&sets, &grid), room);
            (sets, grid, breaks)
        };
        let (mut sets, mut grid, mut ends) = set(LINES[0]);
        if ends.len() > 1 {
            let tighter = set(LINES[1]);
            if tighter.2.len() < ends.len() {
                (sets, grid, ends) = tighter;
            }
        }
        let all: Vec<(usize, &Block)> =
            sets.iter().enumerate().flat_map(|(i, s)| s.blocks.iter().map(move |b| (i, b))).collect();
        let mut from = 0;
        for to in ends {
            let (mut page, mut y, _) = if pages.is_empty() { first.clone() } else { empty(pages.len()) };
            for part in all[from..to].chunk_by(|a, b| a.0 == b.0) {
                let Some((section, _)) = part.first() else { continue };
                let (section, starts) = (*section, from == 0 || all[from - 1].0 != *section);
                let goes_on = !starts && all[from].0 == section && std::ptr::eq(&all[from], &part[0]);
                let title = match goes_on {
                    true => format!("{} (goes on)", sets[section].title),
                    false => sets[section].title.to_string(),
                };
                let title_foot;
                (y, title_foot) = heading(&mut page, &grid, y, &title);
                for (_, block) in part {
                    page.marks.extend(block.marks.iter().map(|m| m.shifted((0.0, y).into(), 0)));
                    y += block.height;
                }
                y = f64::max(y, title_foot) + GAP;
            }
            pages.push(page);
            from = to;
        }
    }
    let count = pages.len();
    for (i, page) in pages.iter_mut().enumerate() {
        let room = card_room(page);
        header::foot(page, room, &format!("{name} {} of {count}", i + 1));
    }
    pages
}

/// Free paper under a section, mm.
const GAP: f64 = 1.6;

/// What the breaking into pages has to know of the sections.
fn sizes(sets: &[Set], grid: &Grid) -> Vec<breaks::Section> {
    sets.iter()
        .map(|set| {
            let mut scratch = Page::new(Kind::Card, (0.0, 0.0));
            let (rows, foot) = heading(&mut scratch, grid, 0.0, &format!("{} (goes on)", set.title));
            let blocks = set.blocks.iter().map(|b| b.height).collect();
            breaks::Section { head: rows, least: foot, gap: GAP, blocks }
        })
        .collect()
}

/// What is handed to the buyer stands on a page of its own: no bench minutes on it.
fn is_quote(section: &Section) -> bool {
    section.title.starts_with("Quote")
}

/// The whole printable page, with a margin to punch at the left.
pub fn card_room(page: &Page) -> Rect {
    let room = header::printable(page);
    Rect::new(room.x0 + 8.0, room.y0 + 2.0, room.x1 - 4.0, room.y1)
}

fn page_strip(name: &str, strip: &Strip, page: usize) -> Strip {
    let part = name.to_string();
    if page == 0 {
        Strip { part, ticks: false, says: Vec::new(), thin: Vec::new(), mirrored: false, ..strip.clone() }
    } else {
        Strip { title: strip.title.clone(), number: strip.number.clone(), part, ..Strip::default() }
    }
}

/// A rule and the section's title; gives the y where its rows start and the one where the title ends.
fn heading(page: &mut Page, grid: &Grid, y: f64, title: &str) -> (f64, f64) {
    let y = y + 1.0;
    page.marks.push(Mark::rule(Point::new(grid.title, y), Point::new(grid.x1, y), Pen::new(0.25, 100)));
    let room = if grid.beside { grid.x0 - grid.title - 4.0 } else { grid.x1 - grid.title };
    let mut line = y + 4.4;
    for text in letters::wrap(title, HEADING, true, room) {
        page.marks.push(Mark::words(Words::new(text, Point::new(grid.title, line), HEADING).bold()));
        line += grid.line;
    }
    let foot = line - grid.line + 1.4;
    (if grid.beside { y + 0.6 } else { foot }, foot)
}

/// One row as blocks; a long table is one block a row, so that it can run over a page.
fn blocks(row: &Row, grid: &Grid) -> Vec<Block> {
    match row {
        Row::Fact { label, value, sum } => {
            let lines = letters::wrap(value, VALUE, true, grid.x1 - grid.planned).len();
            match lines > TOGETHER && sum.is_none() {
                true => list(label, value, grid),
                false => vec![fact(label, value, sum.as_deref(), grid)],
            }
        }
        Row::Measure { label, planned, sum } => {
            let mut block = fact(label, planned, sum.as_deref(), grid);
            // The empty column: a line to write what was found on.
            let base = grid.line - 0.6;
            let y = grid.line;
            block.marks.push(Mark::rule(Point::new(grid.found, y), Point::new(grid.x1, y), HAIR));
            let lead = Words::new("found", Point::new(grid.found - 1.5, base), SMALL).end();
            if lead.bounds().x0 > grid.planned + letters::width(planned, VALUE, true) + 1.0 {
                block.marks.push(Mark::words(lead));
            }
            vec![block]
        }
        Row::Changed { label, was, now, sum } => {
            let mut block = fact(label, now, sum.as_deref(), grid);
            let base = grid.line - 0.6;
            let x = grid.planned + letters::width(now, VALUE, true) + 3.0;
            let old = Words::new(was, Point::new(x, base), TEXT);
            let y = old.at.y - 0.85;
            block.marks.push(Mark::rule(
                Point::new(x - 0.5, y),
                Point::new(x + old.width() + 0.5, y),
                Pen::new(0.18, 100),
            ));
            let note = Words::new("changed", Point::new(x + old.width() + 2.0, base), SMALL);
            block.marks.push(Mark::words(old));
            block.marks.push(Mark::words(note));
            vec![block]
        }
        Row::Tick(text) => {
            let mut block = paragraph(text, (grid.x0 + 4.4, grid.x1), VALUE, false, grid.line);
            block.marks.push(header::box_to_tick(Point::new(grid.x0, grid.line - 0.6)));
            vec![block]
        }
        Row::Caution(text) => vec![caution(text, grid)],
        Row::Note(text) => vec![paragraph(text, (grid.x0, grid.x1), VALUE, false, grid.line)],
        Row::Table { head, rows } => table(head, rows, grid),
    }
}

fn fact(label: &str, value: &str, sum: Option<&str>, grid: &Grid) -> Block {
    let mut block = paragraph(label, (grid.x0, grid.planned - 3.0), VALUE, false, grid.line);
    let right = paragraph(value, (grid.planned, grid.x1), VALUE, true, grid.line);
    block.height = block.height.max(right.height);
    block.marks.extend(right.marks);
    if let Some(sum) = sum {
        let lines = letters::wrap(sum, TEXT, false, grid.x1 - grid.planned);
        for (i, line) in lines.into_iter().enumerate() {
            let y = block.height + 2.7 + 3.4 * i as f64;
            block.marks.push(Mark::words(Words::new(line, Point::new(grid.planned, y), TEXT)));
        }
        block.height = block.marks.iter().map(|m| m.bounds().y1).fold(block.height, f64::max) + 0.6;
    }
    block
}

/// A long list takes the width beside its label, a few lines a block, so that it can run over a page.
fn list(label: &str, value: &str, grid: &Grid) -> Vec<Block> {
    let x = grid.x0 + (letters::width(label, VALUE, false) + 4.0).max(0.2 * (grid.x1 - grid.x0));
    let x = if x > grid.planned { grid.planned } else { x };
    let lines = letters::wrap(value, VALUE, true, grid.x1 - x);
    let mut all = Vec::new();
    for (i, some) in lines.chunks(TOGETHER).enumerate() {
        let mut marks = Vec::new();
        if i == 0 {
            marks.extend(paragraph(label, (grid.x0, x - 3.0), VALUE, false, grid.line).marks);
        }
        for (k, line) in some.iter().enumerate() {
            let at = Point::new(x, grid.line - 0.6 + grid.line * k as f64);
            marks.push(Mark::words(Words::new(line, at, VALUE).bold()));
        }
        all.push(Block { marks, height: grid.line * some.len() as f64 });
    }
    all
}

/// Running words between two x positions.
fn paragraph(text: &str, (x0, x1): (f64, f64), size: f64, bold: bool, line: f64) -> Block {
    let lines = letters::wrap(text, size, bold, x1 - x0);
    let pitch = line * size / VALUE;
    let mut marks = Vec::new();
    for (i, text) in lines.iter().enumerate() {
        let mut words = Words::new(text, Point::new(x0, line - 0.6 + pitch * i as f64), size);
        words.bold = bold;
        marks.push(Mark::words(words));
    }
    Block { marks, height: line + pitch * lines.len().saturating_sub(1) as f64 }
}

/// A caution: a black triangle with its stroke, words in bold.
fn caution(text: &str, grid: &Grid) -> Block {
    let mut block = paragraph(text, (grid.x0 + 4.4, grid.x1), TEXT, true, grid.line);
    let (x, y) = (grid.x0, grid.line - 0.5);
    let ring = Ring::polygon([Point::new(x, y), Point::new(x + 3.0, y), Point::new(x + 1.5, y - 2.6)]);
    block.marks.push(Mark::new(Group::Guides, Ink::Area { rings: vec![ring], shade: 100 }));
    let bang = Words::new("!", Point::new(x + 1.5, y - 0.25), SMALL).bold().middle().shade(0);
    block.marks.push(Mark::words(bang));
    block.height += 0.4;
    block
}

/// A cell left open for the pencil.
fn is_place(cell: &str) -> bool {
    cell.starts_with("__")
}

/// A table: columns as wide as their longest entry, spread over the grid.
fn table(head: &[String], rows: &[Vec<String>], grid: &Grid) -> Vec<Block> {
    let count = rows.iter().map(Vec::len).chain([head.len()]).max().unwrap_or(0);
    if count == 0 {
        return Vec::new();
    }
    let mut natural = vec![4.0_f64; count];
    for (i, h) in head.iter().enumerate() {
        natural[i] = natural[i].max(letters::width(h, SMALL, false));
    }
    for row in rows {
        for (i, cell) in row.iter().enumerate() {
            natural[i] = natural[i].max(letters::width(cell, TEXT, false));
        }
    }
    let gap = 4.0;
    let room = grid.x1 - grid.x0 - gap * (count - 1) as f64;
    let total: f64 = natural.iter().sum();
    let widths: Vec<f64> = if total <= room {
        natural
    } else {
        // The columns that can do with less than an even share keep what they need; the long ones share the rest.
        let even = room / count as f64;
        let kept: f64 = natural.iter().filter(|w| **w <= even).sum();
        let long: f64 = natural.iter().filter(|w| **w > even).sum();
        natural.iter().map(|w| if *w <= even { *w } else { w * (room - kept) / long }).collect()
    };
    let xs: Vec<f64> = widths
        .iter()
        .scan(grid.x0, |x, w| {
            let here = *x;
            *x += w + gap;
            Some(here)
        })
        .collect();
    let mut all = Vec::new();
    if !head.is_empty() {
        let marks = head
            .iter()
            .zip(&xs)
            .zip(&widths)
            .map(|((h, x), w)| {
                let text = letters::shorten(h, SMALL, false, *w);
                Mark::words(Words::new(text, Point::new(*x, grid.line - 0.9), SMALL))
            })
            .collect();
        all.push(Block { marks, height: grid.line + 0.2 });
    }
    for (i, row) in rows.iter().enumerate() {
        let mut block = Block { marks: Vec::new(), height: grid.line };
        // A row to be written in is taller, and its places are lines.
        let written_in = row.iter().any(|cell| is_place(cell));
        let lower = if written_in { 0.5 * grid.line } else { 0.0 };
        for ((cell, x), w) in row.iter().zip(&xs).zip(&widths) {
            if is_place(cell) {
                let y = grid.line + lower - 0.4;
                block.marks.push(Mark::rule(Point::new(*x, y), Point::new(x + w, y), HAIR));
                continue;
            }
            let part = paragraph(cell, (*x, x + w), TEXT, false, grid.line);
            block.height = block.height.max(part.height);
            block.marks.extend(part.marks.iter().map(|m| m.shifted((0.0, lower).into(), 0)));
        }
        block.height += lower;
        if !written_in {
            let line = Pen::new(0.08, 50);
            block.marks.push(Mark::rule(Point::new(grid.x0, 0.35), Point::new(grid.x1, 0.35), line));
        }
        // The head stays with its first row.
        match all.pop() {
            Some(head) if i == 0 => {
                let by = (0.0, head.height).into();
                let marks =
                    head.marks.into_iter().chain(block.marks.iter().map(|m| m.shifted(by, 0))).collect();
                all.push(Block { marks, height: head.height + block.height });
            }
            before => {
                all.extend(before);
                all.push(block);
            }
        }
    }
    if let Some(last) = all.last_mut() {
        last.height += 1.2;
    }
    all
}
