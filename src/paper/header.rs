//! What frames a page: the header strip, the two long bars, the foot line.

use super::letters;
use super::page::{Group, Ink, Mark, Page, PageKind, Pen, Words, NO_INK, STRIP};
use super::tab::SHORT_BAR;
use super::words;
use crate::geom::{Grow, Point, Rect, Ring, Vec2};
use crate::job::LengthUnit;
use crate::plan::card::Row;
use crate::units::{short, MM_PER_INCH};

/// Type sizes, points: title, headings, values, text, smallest. Nothing is set smaller than the last.
pub(super) const TITLE: f64 = 14.0;
pub(super) const HEADING: f64 = 10.0;
pub(super) const VALUE: f64 = 8.0;
pub(super) const TEXT: f64 = 7.0;
pub(super) const SMALL: f64 = 6.0;
/// Rule under a title.
const BAND: Pen = Pen::new(0.35, 100);
/// Thin lines, to write on and between parts of a page.
pub(super) const HAIR: Pen = Pen::new(0.12, 100);
/// End ticks of a bar, mm wide: thin enough for a caliper to sit on.
const TICK: Pen = Pen::new(0.15, 100);

/// The part of a page that may carry ink, after the printer's correction.
pub(super) fn printable(page: &Page) -> Rect {
    // The page is stretched about its middle by 100/correction in the file, so the reachable part shrinks with it.
    // Half of the thickest pen more, so that a rule along the edge stays inside too.
    const PEN: f64 = 0.3;
    let edge = |size: f64, c: f64| (size / 2.0 - (size / 2.0 - NO_INK) * c / 100.0).max(NO_INK) + PEN;
    let (x, y) = (edge(page.width, page.correction.0), edge(page.height, page.correction.1));
    Rect::new(x, y, page.width - x, page.height - y)
}

/// The page's content starts this far right of the printable edge: the bars stand left of it on a template, the punched
/// holes on every page.
pub(super) const MARGIN: f64 = STRIP + 2.0;

/// The part of a page that carries content: one left margin through the whole file, but for the cards and keys of the
/// smallest paper, which have no bar up and want the room.
pub(super) fn column(page: &Page) -> Rect {
    let room = printable(page);
    let bare =
        matches!(page.kind, PageKind::Card | PageKind::KeyMap) && page.width.min(page.height) < NO_TICKS;
    Rect { x0: room.x0 + if bare { 0.0 } else { MARGIN }, ..room }
}

/// Whether paper of this size has its title block set close.
pub(super) fn is_close(width: f64, height: f64) -> bool {
    width.min(height) < CLOSE
}

/// What the title block says.
#[derive(Debug, Clone, Default)]
pub(super) struct Strip {
    pub title: String,
    pub number: String,
    /// "copies 1 and 2", or the page's own name.
    pub part: String,
    /// Label and value.
    pub facts: Vec<(String, String)>,
    pub ticks: bool,
    pub mirrored: bool,
    /// White on black: what must be settled before sawing.
    pub banner: Vec<String>,
    /// Sentences under the block.
    pub says: Vec<String>,
    /// What the bars are read in, beside millimetres.
    pub units: LengthUnit,
}

/// Sizes a title is tried in, points: on one line, then on two, then on three.
const TITLES: [f64; 3] = [17.0, 14.0, 12.0];
const LONG_TITLES: [f64; 4] = [12.0, 10.5, 9.0, 8.0];
/// On paper with a side shorter than this, mm, the title block is set close: the piece needs the room.
const CLOSE: f64 = 120.0;
/// And where a side is shorter than this, the boxes to tick are left to the job card.
const NO_TICKS: f64 = 95.0;
/// Room for "Sheet 12 of 60" at the right of the title's line, mm.
const FOLIO: f64 = 24.0;

/// Sets the title block across the top of the page; gives the y below it.
pub(super) fn strip(page: &mut Page, strip: &Strip) -> f64 {
    let room = column(page);
    let (x0, x1) = (room.x0, room.x1);
    let title_room = (x1 - x0 - FOLIO).max(20.0);
    let shorter = page.width.min(page.height);
    let close = is_close(page.width, page.height);
    let named: Vec<&str> =
        [strip.number.as_str(), strip.part.as_str()].into_iter().filter(|s| !s.is_empty()).collect();
    let named = named.join(" · ");
    if close
        && strip.facts.is_empty()
        && !strip.mirrored
        && let Some(y) = one_line(page, strip, &named)
    {
        return below(page, strip, (x0, x1), y, false);
    }
    let first = room.y0 + if close { 4.0 } else { 5.0 };
    page.folio = Some(Point::new(x1, first));
    let on =
        |count: usize| move |size: &f64| letters::wrap(&strip.title, *size, true, title_room).len() <= count;
    let one = TITLES.into_iter().filter(|size| !close || *size < TITLES[1]).find(on(1));
    let least = LONG_TITLES[LONG_TITLES.len() - 1];
    let long = |count: usize| LONG_TITLES.into_iter().find(on(count));
    let size = one.or_else(|| long(2)).or_else(|| long(3)).unwrap_or(least);
    let mut lines = letters::wrap(&strip.title, size, true, title_room);
    if lines.len() > 3 {
        let rest = lines.split_off(2).join(" ");
        lines.push(letters::shorten(&rest, size, true, title_room));
    }
    let mut y = first;
    for (i, line) in lines.into_iter().enumerate() {
        y += if i > 0 { 0.42 * size } else { 0.0 };
        page.marks.push(Mark::words(Words::new(line, Point::new(x0, y), size).bold()));
    }
    y += if close { 3.6 } else { 4.4 };
    let named = Words::new(named, Point::new(x0, y), VALUE);
    if strip.mirrored {
        let big = Words::new("MIRRORED", Point::new(x1, y + 0.9), TITLE).bold().end();
        page.marks.push(Mark::words(big));
    }
    page.marks.push(Mark::words(named));
    y += if close { 1.6 } else { 2.0 };
    page.marks.push(Mark::rule(Point::new(x0, y), Point::new(x1, y), BAND));

    if !strip.facts.is_empty() && close {
        y = run_on(page, (x0, x1), y + 3.6, &strip.facts) + 1.5;
    } else if !strip.facts.is_empty() {
        y = facts(page, (x0, x1), y + 3.5, &strip.facts) + 1.9;
    }
    below(page, strip, (x0, x1), y, strip.ticks && shorter >= NO_TICKS)
}

/// Title, number and the page's own name on one line over a rule, where that takes no letter under 9 points of the title;
/// gives the rule's y.
fn one_line(page: &mut Page, strip: &Strip, named: &str) -> Option<f64> {
    let room = column(page);
    let y = room.y0 + 3.8;
    let named = Words::new(named, Point::new(0.0, y), TEXT);
    let title = [10.5, 9.0].into_iter().find_map(|size| {
        let title = Words::new(&strip.title, Point::new(room.x0, y), size).bold();
        (title.width() + 2.5 + named.width() + FOLIO <= room.width()).then_some(title)
    })?;
    let named = Words { at: Point::new(room.x0 + title.width() + 2.5, y), ..named };
    page.marks.extend([title, named].map(Mark::words));
    page.folio = Some(Point::new(room.x1, y));
    page.marks.push(Mark::rule(Point::new(room.x0, y + 1.6), Point::new(room.x1, y + 1.6), BAND));
    Some(y + 1.6)
}

/// What stands under the title's rule and the facts: boxes to tick, what must be settled, sentences; gives the y below.
fn below(page: &mut Page, strip: &Strip, (x0, x1): (f64, f64), mut y: f64, ticks: bool) -> f64 {
    if ticks {
        y += if strip.facts.is_empty() { 4.6 } else { 3.4 };
        let mut x = x0;
        for tick in words::TICKS {
            let w = Words::new(tick, Point::new(x + 3.8, y), TEXT);
            if x > x0 && x + 3.8 + w.width() > x1 {
                x = x0;
                y += 4.4;
            }
            let w = Words { at: Point::new(x + 3.8, y), ..w };
            page.marks.push(box_to_tick(Point::new(x, y)));
            x += 3.8 + w.width() + 5.0;
            page.marks.push(Mark::words(w));
        }
        if x1 - x > 26.0 {
            let date = Words::new("date", Point::new(x, y), TEXT);
            let from = Point::new(x + date.width() + 1.5, y + 0.4);
            page.marks.push(Mark::words(date));
            page.marks.push(Mark::rule(from, Point::new(x1, y + 0.4), HAIR));
        }
        y += 2.4;
    }
    if ticks || !strip.facts.is_empty() {
        page.marks.push(Mark::rule(Point::new(x0, y), Point::new(x1, y), HAIR));
    }
    for text in &strip.banner {
        y = banner(page, x0, x1, y + 1.2, text);
    }
    for text in &strip.says {
        for line in letters::wrap(text, TEXT, false, x1 - x0) {
            y += 3.4;
            page.marks.push(Mark::words(Words::new(line, Point::new(x0, y), TEXT)));
        }
    }
    y + 1.5
}

/// Small labels over their values, in as many rows as they need, spread over the width; gives the last baseline.
fn facts(page: &mut Page, (x0, x1): (f64, f64), mut y: f64, facts: &[(String, String)]) -> f64 {
    /// Least air between two facts, mm.
    const AIR: f64 = 4.0;
    let values: Vec<String> = facts.iter().map(|(_, v)| letters::shorten(v, VALUE, true, x1 - x0)).collect();
    let widths: Vec<f64> = facts
        .iter()
        .zip(&values)
        .map(|((label, _), value)| {
            letters::width(label, SMALL, false).max(letters::width(value, VALUE, true))
        })
        .collect();
    // Where a row begins that is no wider than so much.
    let row = |from: usize, most: f64| {
        let (mut to, mut wide) = (from, 0.0);
        while to < widths.len() && (to == from || wide + AIR + widths[to] <= most) {
            wide += widths[to] + if to > from { AIR } else { 0.0 };
            to += 1;
        }
        (to, wide)
    };
    let rows = |most: f64| {
        let (mut from, mut count) = (0, 0);
        while from < widths.len() {
            (from, count) = (row(from, most).0, count + 1);
        }
        count
    };
    // Rows as even as their count allows: none has a single fact left over.
    let (mut most, count) = (x1 - x0, rows(x1 - x0));
    while most > 20.0 && rows(most - 1.0) == count {
        most -= 1.0;
    }
    let most = if count > 1 { most } else { x1 - x0 };
    let mut from = 0;
    while from < facts.len() {
        let (to, wide) = row(from, most);
        // A full row is spread to both margins; a last one keeps its natural air.
        let spare = (x1 - x0 - wide).max(0.0) / (to - from).max(2).saturating_sub(1) as f64;
        let air = AIR + spare.min(9.0);
        let mut x = x0;
        for i in from..to {
            page.marks.push(Mark::words(Words::new(&facts[i].0, Point::new(x, y), SMALL).shade(75)));
            page.marks.push(Mark::words(Words::new(&values[i], Point::new(x, y + 3.4), VALUE).bold()));
            x += widths[i] + air;
        }
        y += 7.6;
        from = to;
    }
    y - 7.6 + 3.4
}

/// Labels and values run on, line after line; gives the last baseline.
fn run_on(page: &mut Page, (x0, x1): (f64, f64), mut y: f64, facts: &[(String, String)]) -> f64 {
    let mut x = x0;
    for (label, value) in facts {
        let value = letters::shorten(value, TEXT, true, x1 - x0 - 20.0);
        let named = letters::width(label, SMALL, false) + 1.0;
        let wide = named + letters::width(&value, TEXT, true);
        if x > x0 && x + wide > x1 {
            (x, y) = (x0, y + 3.4);
        }
        page.marks.push(Mark::words(Words::new(label, Point::new(x, y), SMALL).shade(75)));
        page.marks.push(Mark::words(Words::new(value, Point::new(x + named, y), TEXT).bold()));
        x += wide + 3.2;
    }
    y
}

/// An empty box to tick, standing on the baseline.
pub(super) fn box_to_tick(at: Point) -> Mark {
    let square = Rect::new(at.x + 0.1, at.y - 2.3, at.x + 2.7, at.y + 0.3);
    let rings = vec![Ring::rectangle(square)];
    Mark::new(Group::Guides, Ink::Closed { rings, pen: Pen::new(0.18, 100) })
}

fn banner(page: &mut Page, x0: f64, x1: f64, y: f64, text: &str) -> f64 {
    let lines = letters::wrap(text, VALUE, true, x1 - x0 - 4.0);
    let bottom = y + 1.6 + 3.6 * lines.len() as f64;
    let rings = vec![Ring::rectangle(Rect::new(x0, y, x1, bottom))];
    page.marks.push(Mark::new(Group::Guides, Ink::Area { rings, shade: 100, pen: None }));
    for (i, line) in lines.into_iter().enumerate() {
        let at = Point::new(x0 + 2.0, y + 3.4 + 3.6 * i as f64);
        page.marks.push(Mark::words(Words::new(line, at, VALUE).bold().shade(0)));
    }
    bottom
}

/// Room a bar's words take beyond its end, mm.
const BAR_WORDS: f64 = 12.0;
/// The same where inches stand beside the millimetres.
const BAR_WORDS_IN: f64 = 25.0;

/// The bars at left and foot, 100 mm long (shorter only on a page that cannot hold them), and what to do with them.
/// `top` is where the header ends; `kept` is free at the foot's right end, mm; `units` are those of the job: inches stand
/// beside the millimetres.
pub(super) fn bars(page: &mut Page, room: Rect, (top, kept): (f64, f64), units: LengthUnit) {
    let origin = Point::new(room.x0 + STRIP, room.y1 - STRIP);
    let beyond = if units == LengthUnit::Inch { BAR_WORDS_IN } else { BAR_WORDS };
    let fit = |space: f64| 100.0_f64.min((space / 10.0).floor() * 10.0);
    let across = fit(room.x1 - origin.x - beyond - kept);
    // On the page's left margin, unless that makes it shorter.
    let margin = Point::new(room.x0 + MARGIN, origin.y);
    let in_line = fit(room.x1 - margin.x - beyond - kept) >= across;
    let origin = if in_line { margin } else { origin };
    // On a low page the upright bar's words stand beside it, and it is so much longer.
    let over = fit(origin.y - top - beyond);
    let (up, beside) = if over < 100.0 { (fit(origin.y - top - 2.0), true) } else { (over, false) };
    let foot = room.y1 - 0.6;
    let left = room.x0 + 0.6;
    let along = (Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0));
    long_bar(page, Point::new(origin.x, foot), along, across, Some(units));
    let along = (Vec2::new(0.0, -1.0), Vec2::new(1.0, 0.0));
    long_bar(page, Point::new(left, origin.y), along, up, (!beside).then_some(units));
    if units == LengthUnit::Inch {
        inch_bar(page, Point::new(left, origin.y - up - if beside { 4.0 } else { beyond }), along, top);
    }

    let words = Words::new(words::MEASURE_ME, Point::new(origin.x, foot - RAISED), VALUE).bold();
    let after = Point::new(origin.x + words.width() + 2.5, words.at.y);
    page.marks.push(Mark::words(words));
    let short = format!("must read {}", words::bar(across, 1, units));
    let must = format!("{short} from tick to tick; if not, type in what it reads");
    let end = room.x1;
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

/// How long the bars of a page are, mm; `None` where it has none of its own.
#[derive(Debug, Clone, Copy)]
pub(super) struct BarLengths {
    across: Option<f64>,
    up: Option<f64>,
}

/// Reads the bars of a page: the longest lines of its own among them, those in inches left out.
pub(super) fn bar_lengths(page: &Page) -> BarLengths {
    let own = page.marks.iter().filter(|m| m.group == Group::ScaleBar && m.copy == 0);
    let sizes: Vec<(f64, f64)> = own.map(|m| (m.bounds().width(), m.bounds().height())).collect();
    let longest = |length: fn(&(f64, f64)) -> f64| {
        let tens = sizes.iter().map(length).map(|l| (l / 10.0).floor() * 10.0);
        tens.filter(|l| (10.0..=100.0).contains(l)).reduce(f64::max)
    };
    BarLengths { across: longest(|s| s.0), up: longest(|s| s.1) }
}

impl BarLengths {
    /// The rows of the card in which what was read is written; without long bars, that of the short one on each template.
    pub(super) fn rows(&self) -> Vec<Row> {
        let row = |label: &str, length: f64| Row::Measure {
            label: label.to_string(),
            planned: format!("{length:.1} mm"),
            sum: None,
        };
        let long = [("printed bar across", self.across), ("printed bar up", self.up)];
        let rows: Vec<Row> = long.into_iter().filter_map(|(label, l)| l.map(|l| row(label, l))).collect();
        if rows.is_empty() {
            vec![row("short bar of a template", SHORT_BAR)]
        } else {
            rows
        }
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

/// A bar of whole inches above the upright one, four if there is room, with ticks at every quarter.
fn inch_bar(page: &mut Page, from: Point, (run, side): (Vec2, Vec2), top: f64) {
    const WORDS: f64 = 9.0;
    let inches = (((from.y - top - WORDS) / MM_PER_INCH).floor()).clamp(0.0, 4.0);
    if inches < 1.0 {
        return;
    }
    let length = inches * MM_PER_INCH;
    page.marks.push(Mark::line(Group::ScaleBar, vec![from, from + run * length], TICK));
    for i in 0..=(inches as usize * 4) {
        let tall = match i {
            i if i == 0 || i == inches as usize * 4 => 3.4,
            i if i % 4 == 0 => 2.4,
            i if i % 2 == 0 => 1.4,
            _ => 0.9,
        };
        let at = from + run * (MM_PER_INCH * i as f64 / 4.0);
        page.marks.push(Mark::line(Group::ScaleBar, vec![at, at + side * tall], TICK));
    }
    let end = from + run * (length + 1.2) + Vec2::new(2.2, 0.0);
    page.marks.push(Mark::words(Words::new(format!("{} in", short(inches, 0)), end, TEXT).bold().upward()));
}

/// How far the line above the bar stands over the foot, mm.
const RAISED: f64 = 4.4;
/// Room kept at the right of the foot of a split page for "Sheet 12 of 60", mm.
pub(super) const PAGE_NUMBER: f64 = 24.0;

/// "Sheet 2 of 5" where the page keeps a place for it.
pub(super) fn folio(page: &mut Page, number: usize, count: usize) {
    if let Some(at) = page.folio {
        let text = format!("Sheet {number} of {count}");
        page.marks.push(Mark::words(Words::new(text, at, VALUE).bold().end()));
    }
}
