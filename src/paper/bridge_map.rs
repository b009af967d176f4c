//! The bridge map: the piece enlarged with every bridge marked across its narrowest place; the thinnest are heavy and
//! numbered, as in the list below the picture.

use super::letters;
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words};
use super::place::Placement;
use crate::checks::{count, held_by_one, Bridge, HeldByOne, Side};
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::{Job, LengthUnit};
use crate::units::{short, Mm};
use crate::work::Work;

/// The longer side of the picture, mm: fills a page one can hold in the hand.
const LONG: f64 = 180.0;
/// Enlarged at most so many times; more makes lines of small pieces look lost.
const MOST_TIMES: f64 = 5.0;
/// Bridges numbered, thinnest first.
const NUMBERED: usize = 10;
const MARGIN: f64 = 14.0;
/// Type sizes, points: title, text, numbers in the picture.
const TITLE: f64 = 13.0;
const TEXT: f64 = 8.5;
const NUMBER: f64 = 7.5;
/// Between the columns of the list, mm.
const GAP: f64 = 4.0;
/// A line of text to the next, mm.
const LEADING: f64 = 4.4;
const EDGE: Pen = Pen::new(0.18, 55);
const OPENING: Pen = Pen::new(0.09, 35);
/// Fill of an opening: pale, so that the lines in the metal lead.
const PALE: u8 = 9;
const BRIDGE: Pen = Pen::new(0.3, 65);
/// From an opening out to the edge.
const BORDER: Pen = Pen::new(0.18, 45).dashed(1.1, 0.8);
const HEAVY: Pen = Pen::new(1.0, 100);

/// One page, as large as the picture asks; it is no template and says so.
pub fn bridge_map(job: &Job, work: &Work) -> Page {
    let edge = &work.piece.outline.edge;
    let b = edge.bounds();
    let times = (LONG / b.width().max(b.height()).max(1e-6)).min(MOST_TIMES);
    let size = (b.width() * times, b.height() * times);
    let bridges: Vec<Bridge> = work.graph.bridges().collect();
    // They stand thinnest first.
    let (thinnest, others) = bridges.split_at(NUMBERED.min(bridges.len()));
    let alone = held_by_one(job, &work.piece);
    let rows = list(thinnest, &alone, job.units);
    let says = legend(bridges.len(), &alone, times);
    let width = size.0.max(150.0) + 2.0 * MARGIN;
    let top = MARGIN + 10.0 + LEADING * says.len() as f64 + 3.0;
    let height = top + size.1 + 8.0 + LEADING * (rows.len() as f64 + 1.0) + MARGIN;
    let mut page = Page::new(PageKind::KeyMap, (width, height));
    let mut y = MARGIN + 4.0;
    page.marks.push(Mark::words(
        Words::new(format!("{}: bridges", job.title), Point::new(MARGIN, y), TITLE).bold(),
    ));
    y += 2.0;
    for line in &says {
        y += LEADING;
        page.marks.push(Mark::words(Words::new(line, Point::new(MARGIN, y), TEXT)));
    }
    let middle = Point::new(width / 2.0, top + size.1 / 2.0);
    let shift = middle - (Placement::upright(false).point(b.center()).to_vec2() * times).to_point();
    picture(&mut page, work, (thinnest, others, &alone), times, shift);
    y = top + size.1 + 8.0;
    page.marks.push(Mark::words(
        Words::new(
            "Thinnest first, as finished, between openings as the template numbers them",
            Point::new(MARGIN, y),
            TEXT,
        )
        .bold(),
    ));
    let widest: [f64; 4] = std::array::from_fn(|column| {
        rows.iter().map(|r| letters::width(&r[column], TEXT, false)).fold(0.0, f64::max)
    });
    for row in &rows {
        y += LEADING;
        let mut x = MARGIN;
        for (cell, wide) in row.iter().zip(widest) {
            page.marks.push(Mark::words(Words::new(cell, Point::new(x, y), TEXT)));
            x += wide + GAP;
        }
    }
    page
}

/// The list's rows: number or letter, finished width, width as drawn, what it lies between.
fn list(thinnest: &[Bridge], alone: &[HeldByOne], units: LengthUnit) -> Vec<[String; 4]> {
    let widths = |finished: Mm, drawn: Mm| {
        (units.says(finished.get(), 2), format!("{} as drawn", units.says(drawn.get(), 2)))
    };
    let bridges = thinnest.iter().zip(1..).map(|(b, i)| {
        let (finished, drawn) = widths(b.finished, b.width);
        let [one, other] = b.between;
        [i.to_string(), finished, drawn, format!("between {} and {}", one.short(), other.short())]
    });
    let parts = alone.iter().zip('A'..='Z').map(|(part, letter)| {
        let (finished, drawn) = widths(part.finished, part.width);
        [letter.to_string(), finished, drawn, format!("holds all that is walled in by {}", part.inside)]
    });
    bridges.chain(parts).collect()
}

fn legend(bridges: usize, alone: &[HeldByOne], times: f64) -> Vec<String> {
    let mut says = vec![
        format!("{} times life size: NOT to stick on metal. {}.", short(times, 2), count(bridges, "bridge")),
        "A stroke crosses every bridge where it is thinnest; heavy: the thinnest of all; dashed: out to the edge.".to_string(),
    ];
    if !alone.is_empty() {
        says.push("Letters: a part that hangs on one bridge; if it breaks, the part falls out.".into());
    }
    says
}

fn picture(
    page: &mut Page,
    work: &Work,
    (thinnest, others, alone): (&[Bridge], &[Bridge], &[HeldByOne]),
    times: f64,
    shift: Vec2,
) {
    let place = Placement::upright(false);
    let big = |p: Point| (place.point(p).to_vec2() * times).to_point() + shift;
    let ring = |r: &Ring| place.ring(r).scaled(times).translated(shift);
    let outline = &work.piece.outline;
    let mut put = |group: Group, ink: Ink| page.marks.push(Mark::new(group, ink));
    let holes = outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0));
    let cut_outs = outline.windows.iter().map(|w| w.ring.clone()).chain(holes);
    for r in work.piece.openings.iter().map(|o| o.ring.clone()).chain(cut_outs) {
        let r = ring(&r);
        put(Group::Shade, Ink::Area { rings: vec![r], shade: PALE, pen: Some(OPENING) });
    }
    put(Group::Guides, Ink::Closed { rings: vec![ring(&outline.edge)], pen: EDGE });
    let ends = |at: [Point; 2]| at.map(big);
    let mut stroke = |at: [Point; 2], pen| {
        put(Group::SawLines, Ink::Line { points: ends(at).to_vec(), pen });
    };
    for b in others {
        stroke(b.at, if b.between.contains(&Side::Edge) { BORDER } else { BRIDGE });
    }
    let labels = thinnest.iter().zip(1..).map(|(b, i)| (b.at, i.to_string()));
    let letters = alone.iter().zip('A'..='Z').map(|(part, letter)| (part.at, letter.to_string()));
    let labelled: Vec<([Point; 2], String)> = labels.chain(letters).collect();
    labelled.iter().for_each(|(at, _)| stroke(*at, HEAVY));
    let mut taken: Vec<Rect> = Vec::new();
    labelled.iter().for_each(|(at, label)| number(page, label, ends(*at), &mut taken));
}

/// A number on a white disc beside a bridge, on the side and as far out as nothing else stands in its way.
fn number(page: &mut Page, label: &str, ends: [Point; 2], taken: &mut Vec<Rect>) {
    let (w, h) = (letters::width(label, NUMBER, true), letters::reach(label, NUMBER, true).0);
    let radius = (w * w + h * h).sqrt() / 2.0 + 0.5;
    let across = ends[1] - ends[0];
    let middle = ends[0].midpoint(ends[1]);
    let out = across / across.hypot2().sqrt().max(1e-9);
    let at = |far: f64, sign: f64| middle + out * (sign * (across.hypot2().sqrt() / 2.0 + radius + far));
    let room = |p: Point| Rect::from_center_size(p, (2.2 * radius, 2.2 * radius));
    let tries = [0.4, 1.4, 2.6, 4.0, 6.0].into_iter().flat_map(|far| [at(far, 1.0), at(far, -1.0)]);
    let spot = tries
        .into_iter()
        .find(|p| !taken.iter().any(|t| t.overlaps(room(*p))))
        .unwrap_or_else(|| at(0.4, 1.0));
    taken.push(room(spot));
    let disc = Ink::Circle { at: spot, radius, fill: Some(0), pen: Some(Pen::new(0.15, 100)) };
    page.marks.push(Mark::new(Group::PunchMarks, disc));
    let words = Words::new(label, Point::new(spot.x, spot.y + h / 2.0), NUMBER).bold().middle();
    page.marks.push(Mark::words(words));
}
