//! The sheet for the buyer: who makes it, for whom, what it is, a picture, one price. No minutes, no findings, no margin.

use super::fit;
use super::header::{self, HAIR};
use super::letters;
use super::number;
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words};
use super::place::Placement;
use super::words;
use crate::geom::{Point, Ring};
use crate::job::Job;
use crate::plan::{money, QuoteKind, QuoteLine};
use crate::work::Work;

/// Sizes on this sheet, points: its title, the piece's name, facts, small labels.
const TITLE: f64 = 12.0;
const NAME: f64 = 20.0;
const FACT: f64 = 9.5;
const LABEL: f64 = 7.5;
/// The picture is no larger than this share of the page's width, and no more than so many times life size.
const PICTURE: (f64, f64) = (0.5, 4.0);
/// Ink of the metal in the picture, percent.
const METAL: u8 = 78;
/// From one fact to the next, mm.
const LEADING: f64 = 7.0;

/// The quote; `None` where the maker has not typed both an hour's rate and the metal's price.
pub(super) fn page(job: &Job, work: &Work) -> Option<Page> {
    let price = work.plan.batch.price?;
    let [upright, _] = fit::both_ways(&job.paper);
    let mut page = fit::page(PageKind::Card, &job.paper, upright);
    let room = header::column(&page);
    let (x0, x1) = (room.x0, room.x1);
    page.folio = Some(Point::new(x1, room.y0 + 5.0));
    let mut y = room.y0 + 5.0;
    page.marks.push(Mark::words(Words::new("Quote", Point::new(x0, y), TITLE).bold()));
    y += 9.0;
    // Two columns of lines to write on.
    let half = (x1 - x0 - 8.0) / 2.0;
    for (row, labels) in [["maker", "buyer"], ["date", "good until"]].into_iter().enumerate() {
        for (column, label) in labels.into_iter().enumerate() {
            let x = x0 + (half + 8.0) * column as f64;
            let y = y + 9.0 * row as f64;
            let words = Words::new(label, Point::new(x, y), LABEL);
            let from = Point::new(x + letters::width("good until", LABEL, false) + 2.0, y + 0.6);
            page.marks.push(Mark::rule(from, Point::new(x + half, y + 0.6), HAIR));
            page.marks.push(Mark::words(words));
        }
    }
    y += 9.0 + 16.0;
    for line in letters::wrap(&words::title(job, work), NAME, true, x1 - x0).into_iter().take(3) {
        page.marks.push(Mark::words(Words::new(line, Point::new(x0, y), NAME).bold()));
        y += 8.6;
    }
    let size = work.piece.outline.edge.bounds();
    let most = (page.width * PICTURE.0).min(0.34 * page.height);
    let times = (most / size.width().max(size.height()).max(1e-6)).min(PICTURE.1);
    let tall = size.height() * times;
    let count = if job.pair { 2.0 } else { 1.0 };
    let middle = Point::new((x0 + x1) / 2.0, y + 2.0 + tall / 2.0);
    let step = (size.width() * times + 8.0).min((x1 - x0) / count);
    for i in 0..count as usize {
        let at = Point::new(middle.x + step * (i as f64 - (count - 1.0) / 2.0), middle.y);
        page.marks.push(silhouette(work, at, times.min(0.92 * (x1 - x0) / count / size.width()), i == 1));
    }
    y = middle.y + tall / 2.0 + 12.0;
    let labels =
        work.plan.buyer_page.iter().map(|l| letters::width(&l.label, LABEL, false)).fold(0.0, f64::max);
    // Dates are written above, the price stands large below.
    let told = |line: &&QuoteLine| line.kind == QuoteKind::Fact;
    for line in work.plan.buyer_page.iter().filter(told) {
        if y > room.y1 - 22.0 {
            break;
        }
        page.marks.push(Mark::words(Words::new(&line.label, Point::new(x0, y), LABEL)));
        let x = x0 + labels + 5.0;
        for text in letters::wrap(&line.value, FACT, false, x1 - x) {
            page.marks.push(Mark::words(Words::new(text, Point::new(x, y), FACT)));
            y += LEADING;
        }
    }
    page.marks.push(Mark::rule(Point::new(x0, y - 2.0), Point::new(x1, y - 2.0), Pen::new(0.35, 100)));
    y += 7.0;
    let name = work
        .plan
        .buyer_page
        .iter()
        .find(|l| l.kind == QuoteKind::Price)
        .map_or("price", |l| l.label.as_str());
    page.marks.push(Mark::words(Words::new(name, Point::new(x0, y), LABEL)));
    page.marks.push(Mark::words(Words::new(money(price), Point::new(x1, y), NAME).bold().end()));
    let number = format!("job {}", number::job_number(job, work));
    page.marks.push(Mark::words(Words::new(number, Point::new(x1, room.y1 - 0.6), LABEL).end()));
    Some(page)
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
    Mark::new(Group::Guides, Ink::Area { rings, shade: METAL })
}
