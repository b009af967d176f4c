//! The bridge map: the piece enlarged with the middle line of every bridge and its joints; the thinnest are heavy and
//! numbered, as in the list below the picture.

use super::letters;
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words};
use super::place::Placement;
use crate::checks::{Net, Span};
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::{Job, LengthUnit};
use crate::units::short;
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
/// Bridges of the border itself, between it and the openings.
const BORDER: Pen = Pen::new(0.18, 45).dashed(1.1, 0.8);
const HEAVY: Pen = Pen::new(1.0, 100);
const JOINT: f64 = 0.42;

/// One page, as large as the picture asks; it is no template and says so.
pub fn bridge_map(job: &Job, work: &Work, net: &Net) -> Page {
    let edge = &work.piece.outline.edge;
    let b = edge.bounds();
    let times = (LONG / b.width().max(b.height()).max(1e-6)).min(MOST_TIMES);
    let size = (b.width() * times, b.height() * times);
    let rows = list(net, job.units);
    let says = legend(net, times);
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
    picture(&mut page, work, net, times, shift);
    y = top + size.1 + 8.0;
    page.marks.push(Mark::words(
        Words::new(
            "Thinnest first, as finished, between openings as the template numbers them",
            Point::new(MARGIN, y),
            TEXT,
        )
        .bold(),
    ));
    let widest: [f64; 5] = std::array::from_fn(|column| {
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

fn thinnest(net: &Net) -> Vec<&Span> {
    let mut all: Vec<&Span> = net.spans.iter().filter(|s| s.neck.is_some()).collect();
    all.truncate(NUMBERED);
    all
}

/// The list's rows: number or letter, finished width, length, between what, how it is held.
fn list(net: &Net, units: LengthUnit) -> Vec<[String; 5]> {
    let way = |s: &Span| {
        let index = net.spans.iter().position(|other| std::ptr::eq(other, s));
        match index.and_then(|i| net.way_of(i)) {
            Some((_, w)) if w.bridges == 0 => "at the border".to_string(),
            Some((_, w)) if w.bridges == 1 => {
                format!("1 bridge, {} to the border", units.says(w.length.get(), 1))
            }
            Some((_, w)) => format!("{} bridges, {} to the border", w.bridges, units.says(w.length.get(), 1)),
            None => "held by one neck".to_string(),
        }
    };
    let line = |(i, s): (usize, &Span)| {
        [
            (i + 1).to_string(),
            units.says(s.finished.get(), 2),
            format!("{} long", units.says(s.length.get(), 1)),
            format!("between {} and {}", s.between[0].short(), s.between[1].short()),
            way(s),
        ]
    };
    let mut lines: Vec<[String; 5]> = thinnest(net).into_iter().enumerate().map(line).collect();
    lines.extend(net.alone.iter().zip('A'..='Z').map(|(a, letter)| {
        [
            letter.to_string(),
            units.says(a.finished.get(), 2),
            "one neck".to_string(),
            format!("holds all that is walled in by {}", a.inside),
            String::new(),
        ]
    }));
    lines
}

fn legend(net: &Net, times: f64) -> Vec<String> {
    let mut says = vec![
        format!("{} times life size: NOT to stick on metal. {} bridges meet at {} crossings.", short(times, 2), net.spans.len(), net.joints.len()),
        "Lines run along the middle of the metal; dots are crossings; heavy: the thinnest bridges; dashed: along the border.".to_string(),
    ];
    if !net.alone.is_empty() {
        says.push("Letters: a part that hangs on one neck; if it breaks, the part falls out.".into());
    }
    says
}

fn picture(page: &mut Page, work: &Work, net: &Net, times: f64, shift: Vec2) {
    let place = Placement::upright(false);
    let big = |p: Point| (place.point(p).to_vec2() * times).to_point() + shift;
    let ring = |r: &Ring| place.ring(r).scaled(times).translated(shift);
    let outline = &work.piece.outline;
    let mut put = |group: Group, ink: Ink| page.marks.push(Mark::new(group, ink));
    let holes = outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0));
    let cut_outs = outline.windows.iter().map(|w| w.ring.clone()).chain(holes);
    for r in work.piece.openings.iter().map(|o| o.ring.clone()).chain(cut_outs) {
        let r = ring(&r);
        put(Group::Shade, Ink::Area { rings: vec![r.clone()], shade: PALE });
        put(Group::Guides, Ink::Closed { rings: vec![r], pen: OPENING });
    }
    put(Group::Guides, Ink::Closed { rings: vec![ring(&outline.edge)], pen: EDGE });
    let heavy = thinnest(net);
    let is_heavy = |s: &Span| heavy.iter().any(|h| std::ptr::eq(*h, s));
    let line = |s: &Span| s.line.iter().map(|p| big(*p)).collect::<Vec<Point>>();
    for s in net.spans.iter().filter(|s| !is_heavy(s)) {
        let pen = if s.is_border() { BORDER } else { BRIDGE };
        put(Group::SawLines, Ink::Line { points: line(s), pen });
    }
    for j in &net.joints {
        let small = JOINT.min(0.35 * j.across.get() * times);
        put(Group::DrillPoints, Ink::Circle { at: big(j.at), radius: small, fill: Some(80), pen: None });
    }
    for s in &heavy {
        put(Group::PunchMarks, Ink::Line { points: line(s), pen: HEAVY });
    }
    let mut taken: Vec<Rect> = Vec::new();
    for (i, s) in heavy.iter().enumerate() {
        let ends = [s.at[0], s.at[1]].map(big);
        number(page, &(i + 1).to_string(), beside(&line(s), (ends[1] - ends[0]).hypot2().sqrt()), &mut taken);
    }
    for (a, letter) in net.alone.iter().zip('A'..='Z') {
        let ends = a.at.map(big);
        page.marks.push(Mark::new(Group::PunchMarks, Ink::Line { points: ends.to_vec(), pen: HEAVY }));
        let across = ends[1] - ends[0];
        let side = Vec2::new(-across.y, across.x) / 2.0;
        let middle = ends[0].midpoint(ends[1]);
        number(page, &letter.to_string(), [middle - side, middle + side], &mut taken);
    }
}

/// Two points across a line at its half length, `across` apart.
fn beside(line: &[Point], across: f64) -> [Point; 2] {
    let long: f64 = line.windows(2).map(|w| (w[1] - w[0]).hypot2().sqrt()).sum();
    let mut gone = 0.0;
    for w in line.windows(2) {
        let step = (w[1] - w[0]).hypot2().sqrt();
        if gone + step >= long / 2.0 && step > 0.0 {
            let along = (w[1] - w[0]) / step;
            let middle = w[0] + along * (long / 2.0 - gone);
            let side = Vec2::new(-along.y, along.x) * (across / 2.0);
            return [middle - side, middle + side];
        }
        gone += step;
    }
    [line.first().copied().unwrap_or_default(); 2]
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
