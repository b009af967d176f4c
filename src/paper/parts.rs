//! The parts that go with the piece at true size: strips as straight bars, plates as their outline.

use super::blank::{SPARE, SPARE_PEN};
use super::fit;
use super::header::{TEXT, VALUE};
use super::legend::Block;
use super::letters;
use super::look::TRIM;
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words, FINE, SAW_LINE};
use super::place::Placement;
use super::signs::{SCRIBE_PEN, TRIM_PEN};
use super::strip;
use super::tab::{short_bar, SHORT_BAR};
use crate::geom::{Grow, Point, Rect, Ring, Vec2};
use crate::job::Job;
use crate::plan::{Part, PartName};
use crate::units::short;
use crate::work::Work;

/// Below a strip: its ticks and their words, mm.
const LABELS: f64 = 4.6;
/// From those words to the strip's name and bar, mm.
const NAMED: f64 = 4.2;
/// Ticks for repeats are drawn up to this many; more would run together.
const MOST_TICKS: u32 = 60;
/// Air between parts, mm.
const AIR: f64 = 6.0;
/// The name above each part, points.
const LABEL: f64 = 8.0;

/// What is said above the parts.
const SAYS: &str = "Saw outside the line. Strips: cut to the dashed end (5 mm spare), fit, then trim to the seam mark. Ticks are \
                    quarters of the way round, or bends, or the pattern's repeats.";
/// Parts lower than this share of a page, with all that is said of them, share a page with something else.
const SMALL_SHARE: f64 = 0.3;
/// The words above a part are at least so wide, mm, before they break.
const CAPTION: f64 = 62.0;

/// A part set from its own top left corner.
struct Drawn {
    marks: Vec<Mark>,
    size: (f64, f64),
}

/// All parts that are drawn, each within its own trim line, no wider than `room` mm; those that are wider are left to their
/// numbers on the job card.
fn all(job: &Job, work: &Work, room: f64) -> Vec<Drawn> {
    let drawable =
        |p: &&Part| matches!(p.part, PartName::RimStrip | PartName::BezelStrip | PartName::BackPlate);
    let parts: Vec<&Part> = work.plan.parts.iter().filter(drawable).collect();
    if parts.is_empty() {
        return Vec::new();
    }
    let number = &work.plan.number;
    let drawn = parts.into_iter().filter_map(|part| drawn(part, (job, work), number, room - 2.0 * TRIM));
    let placed = drawn.map(|marks| {
        let all = marks.iter().map(Mark::bounds).reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO);
        let by = Vec2::new(-all.x0, -all.y0);
        Drawn {
            marks: marks.into_iter().map(|m| m.shifted(by, 0)).collect(),
            size: (all.width(), all.height()),
        }
    });
    placed.filter(|d| d.size.0 <= room + 0.01).collect()
}

/// Parts side by side in rows within `width` mm.
fn rows(parts: Vec<Drawn>, width: f64) -> Vec<Block> {
    let mut rows: Vec<Block> = Vec::new();
    let mut x = f64::MAX;
    for part in parts {
        if x + part.size.0 > width {
            rows.push(Block::default());
            x = 0.0;
        }
        if let Some(row) = rows.last_mut() {
            row.marks.extend(part.marks.into_iter().map(|m| m.shifted(Vec2::new(x, 0.0), 0)));
            row.height = row.height.max(part.size.1);
        }
        x += part.size.0 + AIR;
    }
    rows
}

/// All parts of one piece, to stand on a page with something else; `None` where there are none, or so many that they fill a
/// page of their own.
pub(super) fn small(job: &Job, work: &Work, (width, height): (f64, f64)) -> Option<Block> {
    block(&[(job, work)], width).filter(|b| b.height <= SMALL_SHARE * height)
}

/// All parts of some jobs under one another with what is to be said of them; `None` where there are none.
pub(super) fn block(items: &[(&Job, &Work)], width: f64) -> Option<Block> {
    let parts: Vec<Drawn> = items.iter().flat_map(|(job, work)| all(job, work, width)).collect();
    if parts.is_empty() {
        return None;
    }
    let mut block = Block { marks: Vec::new(), height: 2.4 };
    block.marks.push(Mark::words(Words::new("Parts at true size", Point::new(0.0, 2.4), VALUE).bold()));
    for line in letters::wrap(SAYS, TEXT, false, width) {
        block.height += 3.4;
        block.marks.push(Mark::words(Words::new(line, Point::new(0.0, block.height), TEXT)));
    }
    for row in rows(parts, width) {
        block.height += if block.height > 0.0 { 0.5 * AIR } else { 0.0 };
        block.marks.extend(row.marks.into_iter().map(|m| m.shifted(Vec2::new(0.0, block.height), 0)));
        block.height += row.height;
    }
    Some(block)
}

/// Pages of parts, as many as needed; what no page holds is left to its numbers on the job card.
pub(super) fn pages(job: &Job, work: &Work) -> Vec<Page> {
    let mut head = strip::strip_for(&[(job, work)], 1);
    head.part = "parts at true size".to_string();
    head.ticks = false;
    head.says = vec![SAYS.to_string()];
    head.mirrored = false;
    head.banner.clear();
    let laid = |size: (f64, f64)| {
        let frame = || {
            let mut page = fit::page(PageKind::Parts, &job.paper, size);
            let body = fit::frame(&mut page, &head);
            (page, body)
        };
        let body = frame().1;
        let mut pages: Vec<Page> = Vec::new();
        let mut y = f64::MAX;
        let parts: Vec<Drawn> = all(job, work, body.width());
        let held = parts.into_iter().filter(|p| p.size.1 <= body.height() - 2.0).collect::<Vec<_>>();
        let count = held.len();
        for row in rows(held, body.width()) {
            if y + row.height > body.y1 {
                pages.push(frame().0);
                y = body.y0 + 2.0;
            }
            if let Some(page) = pages.last_mut() {
                page.marks.extend(row.marks.into_iter().map(|m| m.shifted(Vec2::new(body.x0, y), 0)));
            }
            y += row.height + AIR;
        }
        (pages, count)
    };
    // Upright unless a wide page holds more of them, takes fewer pages or spares a strip to be pieced together.
    let [upright, wide] = fit::both_ways(&job.paper).map(laid);
    let pieced = |pages: &[Page]| pages.iter().any(|p| p.words().any(|w| w.text.ends_with("goes on below")));
    let weight = |(pages, held): &(Vec<Page>, usize)| (usize::MAX - held, pieced(pages), pages.len());
    if weight(&wide) < weight(&upright) {
        wide.0
    } else {
        upright.0
    }
}

fn drawn(part: &Part, (job, work): (&Job, &Work), number: &str, room: f64) -> Option<Vec<Mark>> {
    let sizes: Vec<String> = part
        .sizes
        .iter()
        .filter(|s| s.key != "weight_g")
        .map(|s| match s.key.ends_with("_mm") {
            true => format!("{} {}", s.label, job.units.short(s.value, 2)),
            false => format!("{} {}", s.label, short(s.value, 2)),
        })
        .collect();
    let name =
        if part.count > 1 { format!("{} × {}", part.count, part.part) } else { part.part.to_string() };
    let title = Words::new(name, Point::new(0.0, 3.0), LABEL).bold();
    let text = format!("{}; {}", sizes.join(", "), part.sum);
    let long = part.get("length_mm").or(part.get("diameter_mm")).or(part.get("width_mm"))?;
    let caption = (long + SPARE).max(CAPTION).min(room);
    let mut marks = Vec::new();
    let mut top = 5.0 + TRIM;
    if title.width() + 3.0 + letters::width(&text, TEXT, false) <= caption {
        marks.push(Mark::words(Words::new(text, Point::new(title.width() + 3.0, 3.0), TEXT)));
    } else {
        for line in letters::wrap(&text, TEXT, false, caption) {
            top += 3.2;
            marks.push(Mark::words(Words::new(line, Point::new(0.0, top - TRIM - 2.0), TEXT)));
        }
    }
    marks.push(Mark::words(title));
    let named = format!("{}, job {number}", part.part);
    if let Some(length) = part.get("length_mm") {
        let height = part.get("height_mm").or(part.get("width_mm"))?;
        strip(&mut marks, (part, work), (&named, length, height), top + 1.6, room);
        return Some(marks);
    }
    let ring = plate(part, work)?;
    let b = ring.bounds();
    let ring = ring.translated(Vec2::new(-b.x0, top - b.y0)).anticlockwise();
    let (b, c) = (ring.bounds(), ring.bounds().center());
    marks.push(line(ring.clone()));
    let guide = |ring: Ring, pen| Mark::new(Group::Guides, Ink::Closed { rings: vec![ring], pen });
    marks.push(guide(ring.grow(TRIM), TRIM_PEN));
    let overhang = job.construction.back.as_ref().map_or(0.0, |back| back.overhang.get());
    let inner = ring.shrink(overhang).into_iter().filter(|_| overhang >= 0.3);
    marks.extend(inner.map(|r| guide(r, SCRIBE_PEN)));
    let arm = |v: Vec2| Mark::line(Group::PunchMarks, vec![c - v, c + v], FINE);
    marks.extend([arm(Vec2::new(3.0, 0.0)), arm(Vec2::new(0.0, 3.0))]);
    // Its name and bar inside, where it is wide enough there; else below.
    let rows = 9.0;
    let inside = Rect::new(c.x - 14.0, c.y + 5.0, c.x + 14.0, c.y + 5.0 + rows);
    let corners =
        [(inside.x0, inside.y0), (inside.x1, inside.y0), (inside.x0, inside.y1), (inside.x1, inside.y1)];
    let holds = corners
        .iter()
        .all(|p| ring.contains(Point::from(*p)) && ring.signed_distance(Point::from(*p)) > overhang + 0.6);
    let from = if holds { inside.origin() } else { Point::new(0.0, b.y1 + TRIM + 1.0) };
    let x = if holds { c.x - SHORT_BAR / 2.0 } else { from.x };
    marks.push(Mark::words(Words::new(named, Point::new(x, from.y + 2.4), 6.0)));
    marks.extend(short_bar(Point::new(x, from.y + 7.4)));
    if overhang >= 0.3 && holds {
        let text = format!("dots: the rim, {} mm in", short(overhang, 2));
        let words = Words::new(text, Point::new(c.x, c.y - 5.0), 6.0).middle();
        if words.width() < 28.0
            && ring.signed_distance(Point::new(words.bounds().x0, words.at.y - 2.0)) > overhang
        {
            marks.push(Mark::words(words));
        }
    }
    Some(marks)
}

/// The line of a plate: half a line outside its edge.
fn line(ring: Ring) -> Mark {
    let rings = vec![ring.anticlockwise().grow(SAW_LINE / 2.0)];
    Mark::new(Group::SawLines, Ink::Closed { rings, pen: Pen::new(SAW_LINE, 100) })
}

/// A back plate: a circle, or the outline let out to its size.
fn plate(part: &Part, work: &Work) -> Option<Ring> {
    if let Some(across) = part.get("diameter_mm") {
        return Some(Ring::circle(Point::ORIGIN, across / 2.0));
    }
    let out = (part.get("width_mm")? - work.piece.outline.size.0.get()) / 2.0;
    Some(Placement::upright(false).ring(&work.piece.outline.edge.grow(out)))
}

/// Marks along a strip: how far from the seam, mm, what they say, and whether they run across its edges.
struct Tick {
    at: f64,
    says: String,
    long: bool,
}

/// Bends where the strip goes round corners, else quarters; and where the pattern's repeats round a disc fall.
fn ticks(part: &Part, work: &Work, length: f64) -> Vec<Tick> {
    if !part.bends.is_empty() {
        return part.bends.iter().map(|b| Tick { at: *b, says: "bend".to_string(), long: true }).collect();
    }
    let mut ticks: Vec<Tick> = ["1/4", "1/2", "3/4"]
        .iter()
        .zip(1..)
        .map(|(says, i)| Tick { at: length * f64::from(i) / 4.0, says: says.to_string(), long: true })
        .collect();
    if let (&[count @ 3..=MOST_TICKS], PartName::RimStrip) = (&work.piece.resolved.repeats[..], part.part) {
        let each = length / f64::from(count);
        ticks.extend((1..count).map(|i| Tick { at: each * f64::from(i), says: String::new(), long: false }));
    }
    ticks
}

/// A strip as a bar, in as many lengths as the page needs, each going on from the last at its letter. Its marks stand
/// below it, so that the narrowest strip has them too.
fn strip(
    marks: &mut Vec<Mark>,
    (part, work): (&Part, &Work),
    (named, length, height): (&str, f64, f64),
    top: f64,
    room: f64,
) {
    let pen = Pen::new(SAW_LINE, 100);
    let half = SAW_LINE / 2.0;
    let rows = ((length + SPARE) / room).ceil().max(1.0) as usize;
    // Rows of even length, so that none is left with the spare end alone.
    let step = if rows == 1 { room } else { (length + SPARE) / rows as f64 };
    let ticks = ticks(part, work, length);
    let letter = |i: usize| char::from(b'A' + (i % 26) as u8);
    let mut y = top;
    for row in 0..rows {
        let (from, to) = ((step * row as f64).min(length), (step * (row + 1) as f64).min(length));
        let last = row + 1 == rows;
        let (x1, bottom) = (to - from, y + height);
        for (line, out) in [(y, -half), (bottom, half)] {
            let points = vec![Point::new(0.0, line + out), Point::new(x1, line + out)];
            marks.push(Mark::line(Group::SawLines, points, pen));
        }
        let upright = |x: f64| {
            Mark::line(Group::SawLines, vec![Point::new(x, y - half), Point::new(x, bottom + half)], pen)
        };
        if row == 0 {
            marks.push(upright(-half));
        }
        let foot = bottom + LABELS - 0.6;
        let mut taken: Vec<Rect> = Vec::new();
        let mut say = |marks: &mut Vec<Mark>, words: Words| {
            let room = words.bounds().grow(0.6);
            if !taken.iter().any(|t| t.overlaps(room)) {
                taken.push(words.bounds());
                marks.push(Mark::words(words));
            }
        };
        let start = if row == 0 { "seam".to_string() } else { format!("goes on from {}", letter(row - 1)) };
        say(marks, Words::new(start, Point::new(0.0, foot), 6.0));
        if last {
            marks.push(upright(x1 + half));
            let spare = Rect::new(x1 + SAW_LINE, y, x1 + SPARE, bottom);
            let rings = vec![Ring::rectangle(spare)];
            marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen: SPARE_PEN }));
            say(marks, Words::new("seam", Point::new(x1, foot), 6.0).end());
        } else {
            say(marks, Words::new(format!("{} goes on below", letter(row)), Point::new(x1, foot), 6.0).end());
        }
        for tick in ticks.iter().filter(|t| t.at > from + 0.5 && t.at < to - 0.5) {
            let (x, reach) = (tick.at - from, if tick.long { 1.4 } else { 0.7 });
            // Outside the strip, clear of its line.
            for (a, b) in [(y - 0.5, y - 0.5 - reach), (bottom + 0.5, bottom + 0.5 + reach)] {
                let points = vec![Point::new(x, a), Point::new(x, b)];
                marks.push(Mark::line(Group::Guides, points, FINE));
            }
            if !tick.says.is_empty() {
                say(marks, Words::new(tick.says.as_str(), Point::new(x, foot), 6.0).middle());
            }
        }
        // Below the marks: its name and job, and the bar to measure it by; all within its trim line.
        let low = foot + NAMED;
        let words = Words::new(named, Point::new(0.0, low), 6.0);
        let bar = Point::new(words.width() + 3.0, low);
        marks.push(Mark::words(words));
        marks.extend(short_bar(bar));
        let end = (x1 + if last { SPARE } else { 0.0 }).max(bar.x + SHORT_BAR);
        let trim = Ring::rectangle(Rect::new(-TRIM, y - TRIM, (end + TRIM).min(room + TRIM), low + 1.4));
        marks.push(Mark::new(Group::Guides, Ink::Closed { rings: vec![trim], pen: TRIM_PEN }));
        y = low + 1.4 + 2.0 * TRIM;
    }
}
