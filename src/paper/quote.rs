//! The sheet for the buyer: who makes it, for whom, what it is, a picture, one price. No minutes, no findings, no margin.

use super::fit;
use super::header::{self, HAIR};
use super::legend::Block;
use super::letters;
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words};
use super::place::Placement;
use super::words;
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::Job;
use crate::plan::{money, QuoteKind, QuoteLine};
use crate::units::short;
use crate::work::Work;

/// Type on this sheet, points: its title, the piece's name, facts, small labels, the price.
struct Type {
    title: f64,
    name: f64,
    fact: f64,
    label: f64,
    price: f64,
    /// From one place to write in to the next, and from one fact to the next, mm.
    writing: f64,
    leading: f64,
}

/// On paper as large as a hand lays before a buyer.
const LARGE: Type =
    Type { title: 14.0, name: 22.0, fact: 10.5, label: 8.5, price: 24.0, writing: 10.0, leading: 7.6 };
/// On paper lower than [`LOW`].
const SMALL: Type =
    Type { title: 10.5, name: 13.0, fact: 8.0, label: 7.0, price: 14.0, writing: 7.0, leading: 4.8 };
const LOW: f64 = 180.0;
/// The picture is no wider than this share of the page, and no more than so many times life size.
const PICTURE: (f64, f64) = (0.62, 4.0);
/// A picture lower than this, mm, tells nothing.
const LEAST: f64 = 8.0;
/// Share of the height left over that stays above the picture.
const OVER: f64 = 0.42;
/// Ink of the metal in the picture, percent.
const METAL: u8 = 78;
/// Between two facts, and round the price.
const BETWEEN: Pen = Pen::new(0.08, 50);
const BAND: Pen = Pen::new(0.35, 100);

/// The quote; `None` where the maker has not typed both an hour's rate and the metal's price.
pub(super) fn page(job: &Job, work: &Work) -> Option<Page> {
    let price = work.plan.batch.price?;
    let [upright, _] = fit::both_ways(&job.paper);
    let mut page = fit::page(PageKind::Card, &job.paper, upright);
    let set = if page.height < LOW { SMALL } else { LARGE };
    let room = header::column(&page);
    let top = head(&mut page, &set, room, &format!("job {}", work.plan.number));
    let mut y = top + 0.55 * set.name;
    for line in letters::wrap(&words::title(job, work), set.name, true, room.width()).into_iter().take(3) {
        page.marks.push(Mark::words(Words::new(line, Point::new(room.x0, y), set.name).bold()));
        y += 0.42 * set.name;
    }
    y -= 0.3 * set.name;
    let facts = facts(&set, work, (words::title(job, work).as_str(), price), room);
    let foot = room.y1 - facts.height;
    // The picture in what is left between, with its scale below it.
    let size = work.piece.outline.edge.bounds();
    let count = if job.pair { 2.0 } else { 1.0 };
    let apart = if job.pair { 8.0 } else { 0.0 };
    let caption = 2.0 * 0.42 * set.label;
    let (wide, high) = (PICTURE.0 * room.width(), foot - y - 2.0 * caption);
    let times = ((wide - apart) / count / size.width()).min(high / size.height()).min(PICTURE.1);
    if times * size.height() >= LEAST {
        let spare = high - times * size.height();
        let middle = Point::new(room.center().x, y + caption + OVER * spare + times * size.height() / 2.0);
        let step = size.width() * times + apart;
        for i in 0..count as usize {
            let at = Point::new(middle.x + step * (i as f64 - (count - 1.0) / 2.0), middle.y);
            page.marks.push(silhouette(work, at, times, i == 1));
        }
        let says = format!("{} × life size", short(times, 1));
        let below = Point::new(middle.x, middle.y + times * size.height() / 2.0 + caption);
        page.marks.push(Mark::words(Words::new(says, below, set.label).middle().shade(70)));
    }
    let by = Vec2::new(room.x0, foot);
    page.marks.extend(facts.marks.into_iter().map(|m| m.shifted(by, 0)));
    Some(page)
}

/// What the sheet is, its number, and places for maker, buyer and dates; gives the y below them.
fn head(page: &mut Page, set: &Type, room: Rect, number: &str) -> f64 {
    let mut y = room.y0 + 0.36 * set.title;
    page.folio = Some(Point::new(room.x1, y));
    let title = Words::new("Quote", Point::new(room.x0, y), set.title).bold();
    let beside = Point::new(room.x0 + title.width() + 3.0, y);
    page.marks.extend([title, Words::new(number, beside, set.label)].map(Mark::words));
    y += 2.0;
    page.marks.push(Mark::rule(Point::new(room.x0, y), Point::new(room.x1, y), BAND));
    // Two columns of lines to write on.
    const GUTTER: f64 = 8.0;
    let half = (room.width() - GUTTER) / 2.0;
    let label = letters::width("good until", set.label, false) + 2.0;
    for labels in [["maker", "buyer"], ["date", "good until"]] {
        y += set.writing;
        for (column, text) in labels.into_iter().enumerate() {
            let x = room.x0 + (half + GUTTER) * column as f64;
            page.marks.push(Mark::words(Words::new(text, Point::new(x, y - 0.6), set.label)));
            page.marks.push(Mark::rule(Point::new(x + label, y), Point::new(x + half, y), HAIR));
        }
    }
    y + 0.3 * set.writing
}

/// What it is, line by line, and the price large below.
fn facts(set: &Type, work: &Work, (title, price): (&str, f64), room: Rect) -> Block {
    let lines = &work.plan.buyer_page;
    // Dates are written above, the name stands there; the price follows.
    let told = |line: &&QuoteLine| line.kind == QuoteKind::Fact && line.value != title;
    let widest = lines.iter().filter(told).map(|l| letters::width(&l.label, set.label, false));
    let x = widest.fold(0.0, f64::max) + 6.0;
    let mut block = Block::default();
    let mut y = 0.0;
    for line in lines.iter().filter(told) {
        let rule = Mark::rule(Point::new(0.0, y), Point::new(room.width(), y), BETWEEN);
        block.marks.push(rule);
        let base = 0.68 * set.leading;
        block.marks.push(Mark::words(Words::new(&line.label, Point::new(0.0, y + base), set.label)));
        for text in letters::wrap(&line.value, set.fact, false, room.width() - x) {
            block.marks.push(Mark::words(Words::new(text, Point::new(x, y + base), set.fact)));
            y += set.leading;
        }
    }
    block.marks.push(Mark::rule(Point::new(0.0, y), Point::new(room.width(), y), BAND));
    y += 0.56 * set.price;
    let name = lines.iter().find(|l| l.kind == QuoteKind::Price).map_or("price", |l| l.label.as_str());
    block.marks.push(Mark::words(Words::new(name, Point::new(0.0, y), set.fact).bold()));
    let large = Words::new(money(price), Point::new(room.width(), y), set.price).bold().end();
    block.marks.push(Mark::words(large));
    y += 0.2 * set.price;
    block.marks.push(Mark::rule(Point::new(0.0, y), Point::new(room.width(), y), BAND));
    block.height = y + 0.3;
    block
}

/// The piece as dark metal, its openings bare.
fn silhouette(work: &Work, at: Point, times: f64, mirrored: bool) -> Mark {
    let outline = &work.piece.outline;
    let place = Placement::upright(mirrored);
    let middle = place.point(outline.edge.bounds().center()).to_vec2() * times;
    let laid = |ring: &Ring| place.ring(ring).scaled(times).translated(at.to_vec2() - middle);
    let mut rings = vec![laid(&outline.edge)];
    rings.extend(outline.windows.iter().map(|w| laid(&w.ring)));
    rings.extend(outline.holes.iter().map(|h| laid(&Ring::circle(h.at, h.diameter.get() / 2.0))));
    rings.extend(work.piece.openings.iter().map(|o| laid(&o.ring)));
    Mark::new(Group::Guides, Ink::Area { rings, shade: METAL, pen: None })
}
