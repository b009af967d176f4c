//! The rows of the job card as blocks that are not torn apart: facts on leaders, places to write in, boxes to tick, cautions,
//! tables.

use super::header::{self, HAIR, SMALL};
use super::letters;
use super::page::{Group, Ink, Mark, Pen, Words};
use super::words::sentence;
use crate::geom::{Point, Ring, Vec2};
use crate::job::CardLength;
use crate::plan::card::{CardSection, Row, TableCell};

/// Shortest leader, mm; a value that leaves less goes below its label.
const LEADER: f64 = 4.0;
/// Where what was found is written, mm.
const FOUND: f64 = 17.0;
/// Air over a line that is written on, mm.
const WRITING: f64 = 1.3;
/// Dots of a leader.
const DOTS: Pen = Pen::new(0.15, 55).dashed(0.15, 1.05);

/// One column's measure.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub width: f64,
    /// Type, points.
    pub size: f64,
    /// Height of a line.
    pub line: f64,
    pub length: CardLength,
}

impl Column {
    /// Type of sums and of a table's head, points.
    fn small(&self) -> f64 {
        SMALL.max(0.8 * self.size)
    }
}

/// A block that is not torn apart: its marks from y = 0, and its height.
pub(super) struct CardBlock {
    pub marks: Vec<Mark>,
    pub height: f64,
}

/// The rows of a section: notes that follow each other run on as one paragraph, its cautions stand together at its end.
pub(super) fn rows(section: &CardSection, grid: &Column) -> Vec<CardBlock> {
    let more: &[Row] = if grid.length == CardLength::Full { &section.more } else { &[] };
    let rows = || section.rows.iter().chain(more);
    // What is noted of a table's rows is kept row by row.
    let has_table = rows().any(|r| matches!(r, Row::Table { .. }));
    let mut all = Vec::new();
    let mut notes: Vec<String> = Vec::new();
    let mut cautions: Vec<String> = Vec::new();
    let flush = |notes: &mut Vec<String>, all: &mut Vec<CardBlock>| {
        if !notes.is_empty() {
            all.push(paragraph(&notes.join(" "), (0.0, grid.width), grid.size, false, grid.line));
            notes.clear();
        }
    };
    for row in rows() {
        match row {
            Row::Caution(text) => cautions.push(sentence(text)),
            Row::Note(text) => {
                notes.push(sentence(text));
                if has_table {
                    flush(&mut notes, &mut all);
                }
            }
            _ => {
                flush(&mut notes, &mut all);
                all.extend(blocks(row, grid));
            }
        }
    }
    flush(&mut notes, &mut all);
    if !cautions.is_empty() {
        all.push(caution(&cautions.join(" "), grid));
    }
    all
}

fn blocks(row: &Row, grid: &Column) -> Vec<CardBlock> {
    match row {
        Row::Fact { label, value, sum } | Row::Numbered { label, value, sum, .. } => {
            let mut block = fact(label, value, false, grid.width, grid);
            block.sum(sum.as_deref(), grid);
            vec![block]
        }
        Row::Measure { label, planned, sum } => {
            // The empty place: a line to write what was found on, with room for a hand.
            let mut block = fact(label, planned, true, grid.width - FOUND - 2.0, grid);
            block = block.lowered(WRITING);
            block.height += WRITING;
            let y = block.height - 0.4;
            block.marks.push(Mark::rule(Point::new(grid.width - FOUND, y), Point::new(grid.width, y), HAIR));
            block.sum(sum.as_deref(), grid);
            vec![block]
        }
        Row::Changed { label, was, now, sum } => {
            let mut block = fact(label, now, true, grid.width, grid);
            // The old value stands before the new one, struck through.
            let new = letters::width(now, grid.size, true);
            let old =
                Words::new(was, Point::new(grid.width - new - 2.0, block.height - 0.8), grid.size).end();
            let b = old.bounds();
            let free = b.x0 > letters::width(label, grid.size, false) + LEADER;
            if free {
                // Over the leader.
                block.marks.retain(|m| !matches!(m.ink, Ink::Line { .. }));
                let y = old.at.y - 0.85;
                let points = [b.x0 - 0.5, b.x1 + 0.5].map(|x| Point::new(x, y));
                block.marks.push(Mark::rule(points[0], points[1], Pen::new(0.18, 100)));
                block.marks.push(Mark::words(old));
            } else {
                let text = format!("was {was}");
                let at = Point::new(grid.width, block.height + grid.line - 0.8);
                block.marks.push(Mark::words(Words::new(text, at, grid.size).end()));
                block.height += grid.line;
            }
            block.sum(sum.as_deref(), grid);
            vec![block]
        }
        Row::Tick(text) => {
            let mut block = paragraph(text, (4.2, grid.width), grid.size, false, grid.line);
            block.marks.push(header::box_to_tick(Point::new(0.0, grid.line - 0.8)));
            block.height += 0.3;
            vec![block]
        }
        Row::Caution(text) => vec![caution(&sentence(text), grid)],
        Row::Note(text) => {
            vec![paragraph(&sentence(text), (0.0, grid.width), grid.size, false, grid.line)]
        }
        Row::Table { head, rows } => table(head, rows, grid),
    }
}

impl CardBlock {
    /// The same further down, mm; its height stays.
    fn lowered(self, by: f64) -> Self {
        let marks = self.marks.into_iter().map(|m| m.shifted(Vec2::new(0.0, by), 0)).collect();
        Self { marks, ..self }
    }

    /// The sum below its number, where the whole card is asked for.
    fn sum(&mut self, sum: Option<&str>, grid: &Column) {
        let Some(sum) = sum.filter(|_| grid.length == CardLength::Full) else { return };
        for line in letters::wrap(sum, grid.small(), false, grid.width - 4.0) {
            self.height += 0.45 * grid.small();
            let at = Point::new(grid.width, self.height - 0.7);
            self.marks.push(Mark::words(Words::new(line, at, grid.small()).end()));
        }
    }
}

/// A label, a leader and its value at the right; what finds no room beside its label goes below it.
fn fact(label: &str, value: &str, bold: bool, width: f64, grid: &Column) -> CardBlock {
    let base = grid.line - 0.8;
    let (l, v) = (letters::width(label, grid.size, false), letters::width(value, grid.size, bold));
    if l + LEADER + v <= width {
        let mut words = Words::new(value, Point::new(width, base), grid.size).end();
        words.bold = bold;
        let dots = Mark::rule(Point::new(l + 1.0, base - 0.1), Point::new(width - v - 1.0, base - 0.1), DOTS);
        let label = Mark::words(Words::new(label, Point::new(0.0, base), grid.size));
        return CardBlock { marks: vec![label, dots, Mark::words(words)], height: grid.line };
    }
    let beside = l + 3.0 <= 0.42 * width;
    let x = if beside { l + 3.0 } else { 6.0 };
    let mut block = paragraph(label, (0.0, width), grid.size, false, grid.line);
    let right = paragraph(value, (x, width), grid.size, bold, grid.line);
    let down = if beside { 0.0 } else { block.height };
    block.height = block.height.max(down + right.height);
    block.marks.extend(right.lowered(down).marks);
    block
}

/// Running words between two x positions.
fn paragraph(text: &str, (x0, x1): (f64, f64), size: f64, bold: bool, line: f64) -> CardBlock {
    let lines = letters::wrap(text, size, bold, x1 - x0);
    let mut marks = Vec::new();
    for (i, text) in lines.iter().enumerate() {
        let mut words = Words::new(text, Point::new(x0, line - 0.8 + line * i as f64), size);
        words.bold = bold;
        marks.push(Mark::words(words));
    }
    CardBlock { marks, height: line * lines.len().max(1) as f64 }
}

/// The cautions of a step: a black triangle with its stroke, and a bar along their lines.
fn caution(text: &str, grid: &Column) -> CardBlock {
    let mut block = paragraph(text, (5.2, grid.width), grid.size, false, grid.line);
    block = block.lowered(0.6);
    let ring = Ring::polygon([Point::new(0.0, 3.1), Point::new(3.0, 3.1), Point::new(1.5, 0.5)]);
    block.marks.push(Mark::new(Group::Guides, Ink::Area { rings: vec![ring], shade: 100, pen: None }));
    let bang = Words::new("!", Point::new(1.5, 2.85), SMALL).bold().middle().shade(0);
    block.marks.push(Mark::words(bang));
    block.height = block.height.max(3.0) + 1.0;
    block.marks.push(Mark::rule(
        Point::new(4.1, 0.7),
        Point::new(4.1, block.height - 0.4),
        Pen::new(0.35, 100),
    ));
    block
}

/// Air between a table's rule and the row below it, mm.
const RULED: f64 = 0.5;

/// A place to write in is at least such a share of what it asks for.
const LEAST_OPEN: f64 = 0.4;

/// A table: columns as wide as their longest entry, spread over the grid.
fn table(head: &[String], rows: &[Vec<TableCell>], grid: &Column) -> Vec<CardBlock> {
    let count = rows.iter().map(Vec::len).chain([head.len()]).max().unwrap_or(0);
    if count == 0 {
        return Vec::new();
    }
    // What each column would like, and what its longest word needs.
    let mut natural = vec![2.0_f64; count];
    let mut least = natural.clone();
    let longest = |text: &str, size: f64| {
        letters::unbroken(text).iter().map(|w| letters::width(w, size, false)).fold(0.0, f64::max)
    };
    for (i, h) in head.iter().enumerate() {
        // A head may break between its words.
        natural[i] = natural[i].max(longest(h, grid.small()));
        least[i] = natural[i];
    }
    for row in rows {
        for (i, cell) in row.iter().enumerate() {
            let text = cell.to_string();
            natural[i] = natural[i].max(letters::width(&text, grid.size, false));
            // A place to write in takes what is left over, a word is not broken.
            let word = longest(&text, grid.size);
            let share = if matches!(cell, TableCell::Open(_)) { LEAST_OPEN } else { 1.0 };
            least[i] = least[i].max(share * word);
        }
    }
    let gap = if count > 4 { 2.2 } else { 4.0 };
    let room = grid.width - gap * (count - 1) as f64;
    let (total, needed): (f64, f64) = (natural.iter().sum(), least.iter().sum());
    let widths: Vec<f64> = if total <= room {
        natural
    } else if needed <= room {
        // What is left over goes to the columns that would like more, each by what it lacks.
        let share = (room - needed) / (total - needed);
        natural.iter().zip(&least).map(|(n, l)| l + (n - l) * share).collect()
    } else {
        least.iter().map(|l| l * room / needed).collect()
    };
    let xs: Vec<f64> = widths
        .iter()
        .scan(0.0, |x, w| {
            let here = *x;
            *x += w + gap;
            Some(here)
        })
        .collect();
    let mut all = Vec::new();
    if !head.is_empty() {
        let mut block = CardBlock { marks: Vec::new(), height: 0.0 };
        for ((h, x), w) in head.iter().zip(&xs).zip(&widths) {
            let part = paragraph(h, (*x, x + w), grid.small(), false, 0.45 * grid.small());
            block.height = block.height.max(part.height + 0.5);
            block.marks.extend(part.marks);
        }
        all.push(block);
    }
    for (i, row) in rows.iter().enumerate() {
        let mut block = CardBlock { marks: Vec::new(), height: grid.line + RULED };
        // A row to be written in is taller, and its places are lines.
        let written_in = row.iter().any(|cell| matches!(cell, TableCell::Open(_)));
        let lower = if written_in { 0.5 * grid.line } else { RULED };
        for ((cell, x), w) in row.iter().zip(&xs).zip(&widths) {
            let TableCell::Text(text) = cell else {
                let y = grid.line + lower - 0.4;
                block.marks.push(Mark::rule(Point::new(*x, y), Point::new(x + w, y), HAIR));
                continue;
            };
            let part = paragraph(text, (*x, x + w), grid.size, false, grid.line);
            block.height = block.height.max(part.height + RULED);
            block.marks.extend(part.lowered(lower).marks);
        }
        block.height += if written_in { lower } else { 0.0 };
        if !written_in {
            let line = Pen::new(0.08, 50);
            block.marks.push(Mark::rule(Point::new(0.0, 0.15), Point::new(grid.width, 0.15), line));
        }
        // The head stays with its first row.
        match all.pop() {
            Some(head) if i == 0 => {
                let (by, height) = (head.height, head.height + block.height);
                let marks = head.marks.into_iter().chain(block.lowered(by).marks).collect();
                all.push(CardBlock { marks, height });
            }
            before => {
                all.extend(before);
                all.push(block);
            }
        }
    }
    if let Some(last) = all.last_mut() {
        last.height += 0.8;
    }
    all
}
