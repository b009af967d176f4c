//! The parts that go with the piece at true size: strips as straight bars, plates as their outline.

use super::blank::{SPARE, SPARE_PEN};
use super::copies;
use super::fit;
use super::letters;
use super::look::TRIM;
use super::number;
use super::page::{Group, Ink, Kind, Mark, Page, Pen, Words, FINE, SAW_LINE};
use super::place::Place;
use super::signs::{SCRIBE_PEN, TRIM_PEN};
use super::strip;
use super::tab::{short_bar, SHORT_BAR};
use crate::geom::{Grow, Point, Rect, Ring, Vec2};
use crate::job::Job;
use crate::plan::Part;
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
/// Words above each part, points.
const LABEL: f64 = 8.0;

/// A part set round its own top left corner.
struct Drawn {
    marks: Vec<Mark>,
    size: (f64, f64),
}

/// Pages of parts, as many as needed; what no page holds is left to its numbers on the job card.
pub(super) fn pages(job: &Job, work: &Work) -> Vec<Page> {
    let mut head = strip::strip_for(&[(job, work)], 1);
    head.part = "parts at true size".to_string();
    head.ticks = false;
    head.says = vec![format!(
        "Saw outside the line. Strips: cut to the dashed end (5 mm spare), fit, then trim to the seam mark. Ticks are quarters of the way round, or bends, or the pattern's repeats."
    )];
    head.mirrored = false;
    head.banner.clear();
    let drawable = |p: &Part| matches!(p.part.as_str(), "rim strip" | "bezel strip" | "back plate");
    let parts: Vec<&Part> = work.plan.parts.iter().filter(|p| drawable(p)).collect();
    if parts.is_empty() {
        return Vec::new();
    }
    let frame = |size: (f64, f64)| {
        let mut page = fit::page(Kind::Parts, &job.paper, size);
        let body = copies::frame(&mut page, &head);
        (page, body)
    };
    // Upright unless only a wide page holds the longest.
    let [upright, wide] = fit::both_ways(&job.paper);
    let longest = parts.iter().filter_map(|p| p.get("length_mm")).fold(0.0, f64::max) + SPARE;
    let size = if longest > frame(upright).1.width() && frame(wide).1.width() > frame(upright).1.width() {
        wide
    } else {
        upright
    };
    // Each part stands within its own trim line.
    let body = frame(size).1.shrink(TRIM);
    let number = number::job_number(job, work);
    let mut pages: Vec<Page> = Vec::new();
    let mut y = f64::MAX;
    for part in parts {
        let Some(drawn) = drawn(part, (job, work), &number, body.width()) else { continue };
        if !fit::holds(body, drawn.size) {
            continue;
        }
        if y + drawn.size.1 > body.y1 {
            pages.push(frame(size).0);
            y = body.y0 + 2.0;
        }
        if let Some(page) = pages.last_mut() {
            let by = Vec2::new(body.x0, y);
            page.marks.extend(drawn.marks.iter().map(|m| m.shifted(by, 0)));
        }
        y += drawn.size.1 + AIR;
    }
    pages
}

fn drawn(part: &Part, (job, work): (&Job, &Work), number: &str, room: f64) -> Option<Drawn> {
    let sizes: Vec<String> = part
        .sizes
        .iter()
        .filter(|s| s.key != "weight_g")
        .map(|s| match s.key.ends_with("_mm") {
            true => format!("{} {}", s.label, job.units.short(s.value, 2)),
            false => format!("{} {}", s.label, short(s.value, 2)),
        })
        .collect();
    let name = if part.count > 1 { format!("{} × {}", part.count, part.part) } else { part.part.clone() };
    let title = Words::new(name, Point::new(0.0, 3.0), LABEL).bold();
    let text = format!("{}; {}", sizes.join(", "), part.sum);
    let text = letters::shorten(&text, 7.0, false, room - title.width() - 4.0);
    let mut marks =
        vec![Mark::words(Words::new(text, Point::new(title.width() + 3.0, 3.0), 7.0)), Mark::words(title)];
    let top = 5.0 + TRIM;
    let named = format!("{}, job {number}", part.part);
    if let Some(length) = part.get("length_mm") {
        let height = part.get("height_mm").or(part.get("width_mm"))?;
        let bottom = strip(&mut marks, (part, work), (&named, length, height), top + 1.6, room);
        return Some(Drawn { marks, size: (room.min(length + SPARE), bottom) });
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
    let (from, bottom) = if holds {
        (inside.origin(), b.y1 + TRIM)
    } else {
        (Point::new(0.0, b.y1 + TRIM + 1.0), b.y1 + TRIM + 1.0 + rows)
    };
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
    Some(Drawn { marks, size: (b.width() + TRIM, bottom) })
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
    Some(Place::upright(false).ring(&work.piece.outline.edge.grow(out)))
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
    if let (&[count @ 3..=MOST_TICKS], "rim strip") = (&work.piece.resolved.repeats[..], part.part.as_str()) {
        let each = length / f64::from(count);
        ticks.extend((1..count).map(|i| Tick { at: each * f64::from(i), says: String::new(), long: false }));
    }
    ticks
}

/// A strip as a bar, in as many lengths as the page needs, each going on from the last at its letter. Its marks stand
/// below it, so that the narrowest strip has them too. Gives its foot.
fn strip(
    marks: &mut Vec<Mark>,
    (part, work): (&Part, &Work),
    (named, length, height): (&str, f64, f64),
    top: f64,
    room: f64,
) -> f64 {
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
    y - 2.0 * TRIM
}
