//! What may not be on a page: each look gives the faults it found in words, for any page of any job.

use sawpierce::geom::{Grow, Point, Rect, Ring};
use sawpierce::paper::{Group, Ink, Mark, Page, PageKind, SAW_LINE};
use std::collections::BTreeMap;

/// Every look at one page. `labels`: on label pages dashed edges lie where the labels do, and there are no long bars.
pub fn faults(page: &Page, labels: bool) -> Vec<String> {
    let mut all = words_on_words(page);
    all.extend(out_of_reach(page, labels));
    all.extend(words_on_lines(page));
    all.extend(lines_on_lines(page));
    all.extend(short_bars_missing(page));
    all
}

fn shrunk(r: Rect) -> Rect {
    r.shrink(0.01)
}

/// What of a mark shows: what belongs to a copy stays inside the page's window.
fn shown(page: &Page, mark: &Mark) -> Option<Rect> {
    let b = mark.bounds();
    match page.window.filter(|_| mark.copy != 0) {
        Some(w) => b.overlaps(w).then(|| b.intersect(w)),
        None => Some(b),
    }
}

/// Words that run into each other.
pub fn words_on_words(page: &Page) -> Vec<String> {
    let words: Vec<_> = page.words().map(|w| (w.text.as_str(), shrunk(w.bounds()))).collect();
    let mut found = Vec::new();
    for (i, (a, ra)) in words.iter().enumerate() {
        for (b, rb) in &words[i + 1..] {
            if ra.overlaps(*rb) {
                found.push(format!("{:?}: {a:?} {ra:?} and {b:?} {rb:?} overlap", page.kind));
            }
        }
    }
    found
}

/// Ink in the outer 6 mm, once the page is corrected for its printer.
pub fn out_of_reach(page: &Page, labels: bool) -> Vec<String> {
    // In the corrected file the page is stretched about its middle; what it stretches to must stay inside 6 mm.
    let reach = |v: f64, size: f64, c: f64| size / 2.0 + (v - size / 2.0) * 100.0 / c;
    let mut found = Vec::new();
    for mark in &page.marks {
        if labels && mark.group == Group::Guides {
            continue;
        }
        let Some(b) = shown(page, mark) else { continue };
        let x = [b.x0, b.x1].map(|x| reach(x, page.width, page.correction.0));
        let y = [b.y0, b.y1].map(|y| reach(y, page.height, page.correction.1));
        let edge = 5.999;
        if x[0] < edge || y[0] < edge || x[1] > page.width - edge || y[1] > page.height - edge {
            found.push(format!("{:?}: out of reach at {b:?}: {:?}", page.kind, mark.ink));
        }
    }
    found
}

/// Whether a ring's line passes through a box.
fn touches(ring: &Ring, room: Rect) -> bool {
    let points = ring.flatten(0.01);
    points.iter().enumerate().any(|(i, p)| {
        let q = points[(i + 1) % points.len()];
        if !Rect::from_points(*p, q).grow(0.001).overlaps(room) {
            return false;
        }
        let n = ((q - *p).hypot() / 0.05).ceil().max(1.0) as usize;
        (0..=n).any(|k| room.contains(*p + (q - *p) * (k as f64 / n as f64)))
    })
}

/// Words on a saw line, a punch mark or a drill circle of a template.
pub fn words_on_lines(page: &Page) -> Vec<String> {
    let mut found = Vec::new();
    if page.kind != PageKind::Template {
        return found;
    }
    let words: Vec<_> = page.words().map(|w| (w.text.clone(), shrunk(w.bounds()))).collect();
    for mark in &page.marks {
        let copy = page.window.filter(|_| mark.copy != 0);
        let seen = |room: Rect| copy.is_none_or(|w| w.overlaps(room));
        match (&mark.ink, mark.group) {
            (Ink::Closed { rings, pen }, Group::SawLines) => {
                for (text, room) in &words {
                    let wide = room.grow(pen.width / 2.0 + 0.1);
                    // A page's own words may stand close beside the window's edge, where the line is cut off.
                    let wide = copy.map_or(wide, |w| wide.intersect(w));
                    let near = |r: &&Ring| r.bounds().grow(0.1).overlaps(wide);
                    if seen(*room) && rings.iter().filter(near).any(|r| touches(r, wide)) {
                        found.push(format!("{text:?} lies on the saw line at {room:?}"));
                    }
                }
            }
            (_, Group::PunchMarks | Group::DrillPoints | Group::WindowDrillPoints) => {
                let Some(b) = shown(page, mark) else { continue };
                for (text, room) in words.iter().filter(|(_, room)| seen(*room)) {
                    // A circle's box is larger than the circle: ask the circle itself.
                    let covers = match &mark.ink {
                        Ink::Circle { at, radius, .. } => {
                            let near = Point::new(at.x.clamp(room.x0, room.x1), at.y.clamp(room.y0, room.y1));
                            (near - *at).hypot() < *radius
                        }
                        _ => b.overlaps(*room),
                    };
                    if covers {
                        found.push(format!("{text:?} covers {:?}", mark.ink));
                    }
                }
            }
            _ => {}
        }
    }
    found
}

/// Lines of the page in short steps.
fn steps(points: &[Point]) -> Vec<Point> {
    let along = |a: Point, b: Point| {
        let n = ((b - a).hypot() / 0.25).ceil().max(1.0) as usize;
        (0..=n).map(move |i| a + (b - a) * (i as f64 / n as f64))
    };
    points.windows(2).flat_map(|w| along(w[0], w[1])).collect()
}

/// Where two page-sized hedges of lines might touch: cells of 1 mm.
fn cell(p: Point) -> (i64, i64) {
    (p.x.floor() as i64, p.y.floor() as i64)
}

/// Guides, hatching, arrows and lines under numbers that touch a cut edge, or cover a punch point.
pub fn lines_on_lines(page: &Page) -> Vec<String> {
    let mut found = Vec::new();
    if page.kind != PageKind::Template {
        return found;
    }
    // Points along every saw line and the middle of every drill circle, by cell.
    let mut lines: BTreeMap<(i64, i64), Vec<Point>> = BTreeMap::new();
    let mut drills: BTreeMap<(i64, i64), Vec<(Point, f64)>> = BTreeMap::new();
    for mark in &page.marks {
        match (&mark.ink, mark.group) {
            (Ink::Closed { rings, .. }, Group::SawLines) => {
                for ring in rings {
                    let mut points = ring.flatten(0.01);
                    points.push(points[0]);
                    for p in steps(&points) {
                        lines.entry(cell(p)).or_default().push(p);
                    }
                }
            }
            (Ink::Circle { at, radius, .. }, Group::DrillPoints | Group::WindowDrillPoints) => {
                drills.entry(cell(*at)).or_default().push((*at, *radius));
            }
            _ => {}
        }
    }
    let around =
        |(x, y): (i64, i64), r: i64| (-r..=r).flat_map(move |i| (-r..=r).map(move |j| (x + i, y + j)));
    for mark in page.marks.iter().filter(|m| m.copy != 0) {
        let (Ink::Line { points, pen }, Group::Shade | Group::Guides | Group::PunchMarks | Group::Words) =
            (&mark.ink, mark.group)
        else {
            continue;
        };
        // A step along the saw line is at most 0.125 mm from its middle.
        let clear = (SAW_LINE + pen.width) / 2.0;
        'mark: for p in steps(points) {
            for near in around(cell(p), 1) {
                if lines.get(&near).is_some_and(|l| l.iter().any(|q| (*q - p).hypot() < clear)) {
                    found.push(format!("{:?} on the line at {p:?}", mark.group));
                    break 'mark;
                }
            }
            if mark.group == Group::PunchMarks {
                continue;
            }
            for near in around(cell(p), 3) {
                if drills.get(&near).is_some_and(|d| d.iter().any(|(at, r)| (*at - p).hypot() < *r)) {
                    found.push(format!("{:?} in a drill circle at {p:?}", mark.group));
                    break 'mark;
                }
            }
        }
    }
    found
}

/// Bars that run by so much across and up.
pub fn bars(page: &Page, dx: f64, dy: f64) -> usize {
    let spans = |m: &&Mark| match &m.ink {
        Ink::Line { points, .. } if m.group == Group::ScaleBar => {
            let run = points[points.len() - 1] - points[0];
            (run.x.abs() - dx).abs() < 1e-9 && (run.y.abs() - dy).abs() < 1e-9
        }
        _ => false,
    };
    page.marks.iter().filter(spans).count()
}

/// A template without its 20 mm bar. Over split pages the bar belongs to the joined paper: see the page that holds it.
pub fn short_bars_missing(page: &Page) -> Vec<String> {
    // Parts on the page have bars of their own.
    let mut templates = page.clone();
    templates.marks.retain(|m| m.copy != 0);
    let there = bars(&templates, 20.0, 0.0);
    if page.kind != PageKind::Template || page.window.is_some() || there == page.copies.len() {
        return Vec::new();
    }
    vec![format!("{there} short bars for {} templates", page.copies.len())]
}
