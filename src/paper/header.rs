//! What frames a page: the header strip, the two long bars, the foot line.

use super::letters;
use super::page::{Group, Ink, Mark, Page, Pen, Words, NO_INK, RULE, STRIP};
use super::words;
use crate::geom::{Grow, Point, Rect, Ring, Vec2};
use crate::job::LengthUnit;

/// Type sizes, points: title, headings, values, text, smallest. Nothing is set smaller than the last.
pub const TITLE: f64 = 14.0;
pub const HEADING: f64 = 10.0;
pub const VALUE: f64 = 8.0;
pub const TEXT: f64 = 7.0;
pub const SMALL: f64 = 6.0;
/// Thick rule under a title.
const BAND: Pen = Pen::new(0.5, 100);
/// End ticks of a bar, mm wide: thin enough for a caliper to sit on.
const TICK: Pen = Pen::new(0.15, 100);

/// The part of a page that may carry ink, after the printer's correction.
pub fn printable(page: &Page) -> Rect {
    // The page is stretched about its middle by 100/correction in the file, so the reachable part shrinks with it.
    // Half of the thickest pen more, so that a rule along the edge stays inside too.
    const PEN: f64 = 0.3;
    let edge = |size: f64, c: f64| (size / 2.0 - (size / 2.0 - NO_INK) * c / 100.0).max(NO_INK) + PEN;
    let (x, y) = (edge(page.width, page.correction.0), edge(page.height, page.correction.1));
    Rect::new(x, y, page.width - x, page.height - y)
}

/// What the header strip says.
#[derive(Debug, Clone, Default)]
pub struct Strip {
    pub title: String,
    pub number: String,
    /// "part 1 of 2" or the page's own name.
    pub part: String,
    /// Label and value.
    pub facts: Vec<(String, String)>,
    pub ticks: bool,
    pub mirrored: bool,
    /// White on black: what must be settled before sawing.
    pub banner: Vec<String>,
    /// Sentences under the strip.
    pub says: Vec<String>,
    /// Thin bridges: "0.62 between 14 and 15".
    pub thin: Vec<String>,
    /// What the bars are read in, beside millimetres.
    pub units: LengthUnit,
}

/// Sets the header strip across the top of `room`; gives the y below it.
pub fn strip(page: &mut Page, room: Rect, strip: &Strip) -> f64 {
    let (x0, x1) = (room.x0, room.x1);
    let mut y = room.y0 + 4.6;
    let part =
        Words::new(format!("{}   {}", strip.part, strip.number), Point::new(x1, y), VALUE).bold().end();
    let mut title_room = x1 - x0 - part.width() - 6.0;
    if strip.mirrored {
        let big = Words::new("MIRRORED", Point::new(x1 - part.width() - 6.0, y), TITLE).bold().end();
        title_room -= big.width() + 6.0;
        page.marks.push(Mark::words(big));
    }
    let title = letters::shorten(&strip.title, TITLE, true, title_room.max(20.0));
    page.marks.push(Mark::words(Words::new(title, Point::new(x0, y), TITLE).bold()));
    page.marks.push(Mark::words(part));
    y += 2.2;
    page.marks.push(Mark::rule(Point::new(x0, y), Point::new(x1, y), BAND));

    let mut x = x0;
    y += 3.4;
    for (label, value) in &strip.facts {
        let value = letters::shorten(value, VALUE, true, x1 - x0);
        let width = letters::width(label, SMALL, false).max(letters::width(&value, VALUE, true)) + 6.0;
        if x > x0 && x + width - 6.0 > x1 {
            x = x0;
            y += 8.2;
        }
        page.marks.push(Mark::words(Words::new(label, Point::new(x, y), SMALL)));
        page.marks.push(Mark::words(Words::new(value, Point::new(x, y + 3.5), VALUE).bold()));
        x += width;
    }
    y += 4.6;
    if strip.ticks {
        y += 4.6;
        let mut x = x0;
        for tick in words::TICKS {
            let w = Words::new(tick, Point::new(x + 3.8, y), TEXT);
            if x > x0 && x + 3.8 + w.width() > x1 {
                x = x0;
                y += 4.4;
            }
            let w = Words { at: Point::new(x + 3.8, y), ..w };
            page.marks.push(box_to_tick(Point::new(x, y)));
            x += 3.8 + w.width() + 6.0;
            page.marks.push(Mark::words(w));
        }
        let rest = x1 - x;
        if rest > 30.0 {
            let date = Words::new("date", Point::new(x, y), TEXT);
            let from = Point::new(x + date.width() + 1.5, y + 0.4);
            page.marks.push(Mark::words(date));
            page.marks.push(Mark::rule(from, Point::new(x1, y + 0.4), Pen::new(0.13, 100)));
        }
    }
    y += 1.8;
    if strip.ticks {
        page.marks.push(Mark::rule(Point::new(x0, y), Point::new(x1, y), RULE));
    } else if strip.facts.is_empty() {
        y -= 8.0;
    }
    for text in &strip.banner {
        y = banner(page, x0, x1, y + 1.2, text);
    }
    for text in &strip.says {
        for line in letters::wrap(text, TEXT, false, x1 - x0) {
            y += 3.5;
            page.marks.push(Mark::words(Words::new(line, Point::new(x0, y), TEXT)));
        }
    }
    if !strip.thin.is_empty() {
        y = thin_bridges(page, x0, x1, y + 4.0, &strip.thin);
    }
    y + 1.5
}

/// An empty box to tick, standing on the baseline.
pub fn box_to_tick(at: Point) -> Mark {
    let square = Rect::new(at.x + 0.1, at.y - 2.3, at.x + 2.7, at.y + 0.3);
    let rings = vec![Ring::rectangle(square)];
    Mark::new(Group::Guides, Ink::Closed { rings, pen: Pen::new(0.18, 100) })
}

fn banner(page: &mut Page, x0: f64, x1: f64, y: f64, text: &str) -> f64 {
    let lines = letters::wrap(text, VALUE, true, x1 - x0 - 4.0);
    let bottom = y + 1.6 + 3.6 * lines.len() as f64;
    let rings = vec![Ring::rectangle(Rect::new(x0, y, x1, bottom))];
    page.marks.push(Mark::new(Group::Guides, Ink::Area { rings, shade: 100 }));
    for (i, line) in lines.into_iter().enumerate() {
        let at = Point::new(x0 + 2.0, y + 3.4 + 3.6 * i as f64);
        page.marks.push(Mark::words(Words::new(line, at, VALUE).bold().shade(0)));
    }
    bottom
}

/// Small black triangles with the finished width of the thinnest bridges.
fn thin_bridges(page: &mut Page, x0: f64, x1: f64, mut y: f64, thin: &[String]) -> f64 {
    let lead = Words::new("thin when finished:", Point::new(x0, y), TEXT);
    let mut x = x0 + lead.width() + 3.0;
    page.marks.push(Mark::words(lead));
    for (i, text) in thin.iter().enumerate() {
        let w = Words::new(text, Point::new(x + 3.0, y), TEXT).bold();
        let width = 3.0 + w.width();
        if x + width > x1 {
            x = x0;
            y += 3.8;
        }
        let more = i + 1 == thin.len() && text.starts_with("and ");
        if !more {
            let tip = [Point::new(x, y), Point::new(x + 2.2, y), Point::new(x + 1.1, y - 1.9)];
            let rings = vec![Ring::polygon(tip)];
            page.marks.push(Mark::new(Group::Guides, Ink::Area { rings, shade: 100 }));
        }
        page.marks.push(Mark::words(Words { at: Point::new(x + 3.0, y), ..w }));
        x += width + 5.0;
    }
    y
}

/// Room a bar's words take beyond its end, mm.
const BAR_WORDS: f64 = 12.0;
/// The same where inches stand beside the millimetres.
const BAR_WORDS_IN: f64 = 25.0;

/// The bars at left and foot, 100 mm long (shorter only on a page that cannot hold them), and what to do with them.
/// `top` is where the header ends; `kept` is free at the foot's right end, mm; `units` are those of the job: inches stand
/// beside the millimetres.
pub fn bars(page: &mut Page, room: Rect, (top, kept): (f64, f64), units: LengthUnit) {
    let origin = Point::new(room.x0 + STRIP, room.y1 - STRIP);
    let beyond = if units == LengthUnit::Inch { BAR_WORDS_IN } else { BAR_WORDS };
    let fit = |space: f64| 100.0_f64.min((space / 10.0).floor() * 10.0);
    let across = fit(room.x1 - origin.x - beyond - kept);
    // On a low page the upright bar's words stand beside it, and it is so much longer.
    let over = fit(origin.y - top - beyond);
    let (up, beside) = if over < 100.0 { (fit(origin.y - top - 2.0), true) } else { (over, false) };
    let foot = room.y1 - 0.6;
    let left = room.x0 + 0.6;
    let along = (Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0));
    long_bar(page, Point::new(origin.x, foot), along, across, Some(units));
    let along = (Vec2::new(0.0, -1.0), Vec2::new(1.0, 0.0));
    long_bar(page, Point::new(left, origin.y), along, up, (!beside).then_some(units));

    let words = Words::new(words::MEASURE_ME, Point::new(origin.x, foot - RAISED), VALUE).bold();
    let after = Point::new(origin.x + words.width() + 2.5, words.at.y);
    page.marks.push(Mark::words(words));
    let short = format!("must read {}", words::bar(across, 1, units));
    let must = format!("{short} from tick to tick; if not, type in what it reads");
    // The page number rises to this line where the bar takes its place.
    let end =
        if across + beyond > room.x1 - origin.x - PAGE_NUMBER { room.x1 - PAGE_NUMBER } else { room.x1 };
    let text = [must, short].into_iter().map(|t| Words::new(t, after, TEXT)).find(|w| {
        after.x + w.width() <= end && page.words().all(|o| !o.bounds().grow(0.5).overlaps(w.bounds()))
    });
    page.marks.extend(text.map(Mark::words));

    // Upwards beside its bar, each only where it ends below the header; on a short bar its length is what must be said.
    let length = Words::new(words::bar(up, 0, units), Point::ORIGIN, TEXT).bold().upward();
    let measure = Words::new(words::MEASURE_ME, Point::ORIGIN, VALUE).bold().upward();
    let must = Words::new(format!("must read {}", words::bar(up, 1, units)), Point::ORIGIN, TEXT).upward();
    let most = origin.y - top - 2.0;
    let room = |words: &[&Words]| words.iter().map(|w| w.width() + 2.5).sum::<f64>() - 2.5;
    let choices: [&[&Words]; 4] = [&[&measure, &must], &[&measure, &length], &[&measure], &[&length]];
    let choice =
        choices.into_iter().find(|c| room(c) <= most && (!beside || c.len() == 2 || c[0] == &length));
    let mut y = origin.y;
    for words in choice.unwrap_or_default() {
        page.marks.push(Mark::words(Words { at: Point::new(left + 6.4, y), ..(*words).clone() }));
        y -= words.width() + 2.5;
    }
}

/// A bar from `from` along `run`; ticks every 10 mm stand to the side `side`. `says`: its length stands at its end.
fn long_bar(page: &mut Page, from: Point, (run, side): (Vec2, Vec2), length: f64, says: Option<LengthUnit>) {
    if length < 10.0 {
        return;
    }
    page.marks.push(Mark::line(Group::ScaleBar, vec![from, from + run * length], TICK));
    let tens = (length / 10.0).round() as usize;
    for i in 0..=tens {
        let tall = if i == 0 || i == tens {
            3.4
        } else if i % 5 == 0 {
            2.4
        } else {
            1.4
        };
        let at = from + run * (10.0 * i as f64);
        page.marks.push(Mark::line(Group::ScaleBar, vec![at, at + side * tall], TICK));
    }
    let Some(units) = says else { return };
    let end = from + run * (length + 1.2);
    let label = Words::new(words::bar(length, 0, units), end, TEXT).bold();
    page.marks.push(Mark::words(if run.x == 0.0 {
        Words { at: end + Vec2::new(2.2, 0.0), ..label.upward() }
    } else {
        label
    }));
}

/// How far the line above the bar stands over the foot, mm.
const RAISED: f64 = 4.4;
/// Room kept at the right of the foot for "page 12 of 60", mm.
pub const PAGE_NUMBER: f64 = 22.0;

/// Page number and job number at the right of the foot, a line higher where a bar takes that place.
pub fn foot(page: &mut Page, room: Rect, text: &str) {
    let at = |raised: f64| Words::new(text, Point::new(room.x1, room.y1 - 0.6 - raised), TEXT).end();
    let free = |w: &Words| {
        let room = w.bounds().grow(0.5);
        !page.words().any(|other| other.bounds().overlaps(room))
    };
    let words = [0.0, RAISED].map(at).into_iter().find(free).unwrap_or_else(|| at(0.0));
    page.marks.push(Mark::words(words));
}
