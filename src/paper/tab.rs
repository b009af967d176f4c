//! The tab below a template: which way it lies, its number, a name line, and the short bar. It is trimmed with the
//! template, and folds under or takes tape.

use super::letters;
use super::look::{BelowBar, Hand, TemplateLook};
use super::page::{Group, Mark, Words, FINE};
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::units::{plain, MM_PER_INCH};

/// Free paper between the outline and the tab, mm.
pub(super) const TAB_GAP: f64 = 0.9;
/// Free paper at the tab's left and right, mm.
const SIDE: f64 = 1.5;
/// Height of its first line, of the bar with its words, of the line of inches and of one more line of words, mm.
const FRONT: f64 = 3.1;
const BAR: f64 = 4.0;
const INCHES: f64 = 2.3;
const LINE: f64 = 2.7;
/// Room for a large L or R at the right, mm.
const HAND: f64 = 5.6;
/// A tab with a line for a name is so wide at least, mm.
const NAME_LINE: f64 = 33.0;
/// Length of the bar inside a trimmed template, mm.
pub(super) const SHORT_BAR: f64 = 20.0;

/// Where a copy's number goes, and how far to the right it or the name line may run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Label {
    pub at: Point,
    pub to: f64,
}

/// The lowest stretch of the edge decides where the tab hangs: as near the middle as it can.
pub(super) fn tab_at(edge: &Ring, look: &TemplateLook) -> Rect {
    let (x, y) = furthest(&edge.flatten(0.02), |p| p.y);
    let b = edge.bounds();
    let width = SHORT_BAR + 2.0 * SIDE + if look.hand == Hand::One { 0.0 } else { HAND };
    let width = if look.foot == BelowBar::Named { width.max(NAME_LINE) } else { width };
    let half = width / 2.0;
    let x = if b.width() > width { x.clamp(b.x0 + half, b.x1 - half) } else { x };
    let more = |there: bool, height: f64| if there { height } else { 0.0 };
    let height = FRONT
        + BAR
        + look.foot.height()
        + more(look.inches, INCHES)
        + more(look.says_mirrored, LINE)
        + more(look.titled, LINE);
    Rect::new(x - half, y + TAB_GAP, x + half, y + TAB_GAP + height)
}

/// The furthest stretch of a closed line by `reach`, and the x on it nearest to 0.
pub(super) fn furthest(points: &[Point], reach: impl Fn(&Point) -> f64) -> (f64, f64) {
    let most = points.iter().map(&reach).fold(f64::MIN, f64::max);
    let mut best = f64::MAX;
    for (i, p) in points.iter().enumerate() {
        let q = points[(i + 1) % points.len()];
        let there = |p: &Point| reach(p) > most - 0.02;
        let x = match (there(p), there(&q)) {
            (true, true) => 0.0_f64.clamp(p.x.min(q.x), p.x.max(q.x)),
            (true, false) => p.x,
            _ => continue,
        };
        if x.abs() < best.abs() {
            best = x;
        }
    }
    (best, most)
}

/// What stands on the tab, and where a copy's number goes.
pub(super) fn tab_marks((title, number): (&str, &str), look: TemplateLook, tab: Rect) -> (Vec<Mark>, Label) {
    let (left, right) = (tab.x0 + SIDE, tab.x0 + SIDE + SHORT_BAR);
    let mut y = tab.y0 + FRONT - 0.5;
    let mut marks = vec![
        Mark::words(Words::new("FRONT", Point::new(left, y), 7.0).bold()),
        Mark::words(Words::new(number, Point::new(right, y), 6.0).end()),
    ];
    if look.says_mirrored {
        y += LINE;
        marks.push(Mark::words(Words::new("MIRRORED", Point::new(left, y), 7.0).bold()));
    }
    if look.titled {
        y += LINE;
        let title = letters::shorten(title, 6.0, false, SHORT_BAR);
        marks.push(Mark::words(Words::new(title, Point::new(left, y), 6.0)));
    }
    y += BAR - 0.2;
    marks.extend(short_bar(Point::new(left, y)));
    let hand =
        |letter: &str| Mark::words(Words::new(letter, Point::new(tab.x1 - SIDE, y), 14.0).bold().end());
    match look.hand {
        Hand::One => {}
        Hand::Left => marks.push(hand("L")),
        Hand::Right => marks.push(hand("R")),
    }
    if look.inches {
        y += INCHES;
        let text = format!("{} in", plain(SHORT_BAR / MM_PER_INCH, 3));
        marks.push(Mark::words(Words::new(text, Point::new((left + right) / 2.0, y), 6.0).middle()));
    }
    let to = if look.foot == BelowBar::Named { tab.x1 - SIDE } else { right };
    (marks, Label { at: Point::new(left, tab.y1 - 1.0), to })
}

/// The 20 mm bar from its left end, with 5 mm ticks and its length in words above its middle.
pub(super) fn short_bar(from: Point) -> Vec<Mark> {
    let mut marks = Vec::new();
    let tick = |x: f64, up: f64| {
        Mark::line(Group::ScaleBar, vec![from + Vec2::new(x, 0.0), from + Vec2::new(x, -up)], FINE)
    };
    marks.push(Mark::line(Group::ScaleBar, vec![from, from + Vec2::new(SHORT_BAR, 0.0)], FINE));
    for i in 0..=4 {
        marks.push(tick(SHORT_BAR * f64::from(i) / 4.0, if i % 4 == 0 { 2.4 } else { 0.8 }));
    }
    let at = from + Vec2::new(SHORT_BAR / 2.0, -1.2);
    marks.push(Mark::words(Words::new("20 mm", at, 6.0).bold().middle()));
    marks
}
