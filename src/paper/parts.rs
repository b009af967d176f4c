//! The parts that go with the piece at true size: strips as straight bars, plates as their outline.

use super::copies;
use super::fit;
use super::header;
use super::letters;
use super::page::{Group, Ink, Kind, Mark, Page, Pen, Words, FINE, SAW_LINE};
use super::place::Place;
use super::strip;
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::Job;
use crate::plan::Part;
use crate::units::short;
use crate::work::Work;

/// Spare length drawn beyond a strip's end, mm.
const SPARE: f64 = 5.0;
/// Air between parts, mm.
const AIR: f64 = 6.0;
/// Words above each part, points.
const LABEL: f64 = 8.0;
const DASHED: Pen = Pen::new(0.13, 60).dashed(1.6, 1.0);

/// A part set round its own top left corner.
struct Drawn {
    marks: Vec<Mark>,
    size: (f64, f64),
}

/// Pages of parts, as many as needed; what no page holds is left to its numbers on the job card.
pub fn pages(job: &Job, work: &Work) -> Vec<Page> {
    let mut head = strip::strip_for(&[(job, work)], 1);
    head.part = "parts at true size".to_string();
    head.ticks = false;
    head.says = vec![format!(
        "Saw outside the line. Strips: cut to the dashed end, fit, then trim to the seam mark. {}",
        super::words::MEASURE_ME
    )];
    head.thin.clear();
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
    let body = frame(size).1;
    let mut pages: Vec<Page> = Vec::new();
    let mut y = f64::MAX;
    for part in parts {
        let Some(drawn) = drawn(part, work, body.width()) else { continue };
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

fn drawn(part: &Part, work: &Work, room: f64) -> Option<Drawn> {
    let sizes: Vec<String> = part
        .sizes
        .iter()
        .filter(|s| s.key != "weight_g")
        .map(|s| format!("{} {}", s.label, short(s.value, 2)))
        .collect();
    let name = if part.count > 1 { format!("{} x {}", part.count, part.part) } else { part.part.clone() };
    let title = Words::new(name, Point::new(0.0, 3.0), LABEL).bold();
    let text = format!("{}; {}", sizes.join(", "), part.sum);
    let text = letters::shorten(&text, 7.0, false, room - title.width() - 4.0);
    let mut marks =
        vec![Mark::words(Words::new(text, Point::new(title.width() + 3.0, 3.0), 7.0)), Mark::words(title)];
    let top = 6.5;
    if let Some(length) = part.get("length_mm") {
        let height = part.get("height_mm").or(part.get("width_mm"))?;
        let bottom = strip(&mut marks, part, length, height, top, room);
        return Some(Drawn { marks, size: (room.min(length + SPARE), bottom) });
    }
    let ring = plate(part, work)?;
    let b = ring.bounds();
    let ring = ring.shifted(Vec2::new(-b.x0, top - b.y0));
    marks.push(line(ring.clone()));
    let c = ring.bounds().center();
    let arm = |v: Vec2| Mark::line(Group::PunchMarks, vec![c - v, c + v], FINE);
    marks.extend([arm(Vec2::new(3.0, 0.0)), arm(Vec2::new(0.0, 3.0))]);
    Some(Drawn { marks, size: (b.width(), top + b.height()) })
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

/// A strip as a bar, in as many lengths as the page needs, each going on from the last at its letter. Gives its foot.
fn strip(marks: &mut Vec<Mark>, part: &Part, length: f64, height: f64, top: f64, room: f64) -> f64 {
    let pen = Pen::new(SAW_LINE, 100);
    let half = SAW_LINE / 2.0;
    let rows = ((length + SPARE) / room).ceil().max(1.0) as usize;
    let mut y = top;
    for row in 0..rows {
        let (from, to) = (room * row as f64, (room * (row + 1) as f64).min(length));
        let end = if row + 1 == rows { to - from + SPARE } else { to - from };
        let (x1, bottom) = ((to - from).max(0.0), y + height);
        for (line, out) in [(y, -half), (bottom, half)] {
            marks.push(Mark::line(
                Group::SawLines,
                vec![Point::new(0.0, line + out), Point::new(x1, line + out)],
                pen,
            ));
        }
        let upright = |x: f64, pen: Pen| {
            Mark::line(Group::SawLines, vec![Point::new(x, y), Point::new(x, bottom)], pen)
        };
        if row == 0 {
            marks.push(upright(-half, pen));
        }
        if row + 1 == rows {
            marks.push(upright(x1 + half, pen));
            let spare = Rect::new(x1 + SAW_LINE, y, end, bottom);
            let rings = vec![header::rect_ring(spare)];
            marks.push(Mark::new(Group::Guides, Ink::Closed { rings, pen: DASHED }));
        }
        // Bends, measured from the seam, as short ticks at both edges.
        for bend in part.bends.iter().filter(|b| **b > from && **b < to) {
            let x = bend - from;
            for (a, b) in [(y + 0.4, y + 1.6), (bottom - 1.6, bottom - 0.4)] {
                marks.push(Mark::line(Group::PunchMarks, vec![Point::new(x, a), Point::new(x, b)], FINE));
            }
        }
        let letter = |i: usize| char::from(b'A' + (i % 26) as u8);
        let mid = y + height / 2.0 + 0.9;
        let roomy = height >= 3.0;
        if roomy {
            let start =
                if row == 0 { "seam".to_string() } else { format!("goes on from {}", letter(row - 1)) };
            marks.push(Mark::words(Words::new(start, Point::new(1.2, mid), 6.0)));
            let stop =
                if row + 1 == rows { "seam".to_string() } else { format!("{} goes on below", letter(row)) };
            marks.push(Mark::words(Words::new(stop, Point::new(x1 - 1.2, mid), 6.0).end()));
        }
        y = bottom + 4.0;
    }
    y - 4.0
}
