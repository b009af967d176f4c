//! The tab below a template: which way it lies, its number, a name line, and the short bar. It is trimmed with the
//! template, and folds under or takes tape.

use super::letters;
use super::look::{Foot, Hand, Look};
use super::page::{Group, Mark, Words, FINE};
use crate::geom::{Point, Rect, Ring, Vec2};
use crate::job::{Job, Transfer};
use crate::units::{plain, MM_PER_INCH};

/// Width of the tab's content and height without a foot, mm.
const TAB: (f64, f64) = (32.0, 8.2);
/// Free paper between the outline and the tab's words, mm.
pub const TAB_GAP: f64 = 0.9;
/// Free paper at the tab's left and right, mm.
const SIDE: f64 = 1.8;
/// Height the inches under the bar's millimetres take, mm.
const INCH_LINE: f64 = 2.3;
/// Length of the bar inside a trimmed template, mm.
pub const SHORT_BAR: f64 = 20.0;

/// Where a copy's number goes, and how far to the right it or the name line may run.
#[derive(Debug, Clone, Copy)]
pub struct Label {
    pub at: Point,
    pub to: f64,
}

/// The lowest stretch of the edge decides where the tab hangs: as near the middle as it can.
pub fn tab_at(edge: &Ring, look: &Look) -> Rect {
    let (x, y) = furthest(&edge.flatten(0.02), |p| p.y);
    let b = edge.bounds();
    let half = TAB.0 / 2.0;
    let x = if b.width() > TAB.0 { x.clamp(b.x0 + half, b.x1 - half) } else { x };
    let height = TAB.1 + look.foot.height() + if look.inches { INCH_LINE } else { 0.0 };
    Rect::new(x - half, y + TAB_GAP, x + half, y + TAB_GAP + height)
}

/// The furthest stretch of a closed line by `reach`, and the x on it nearest to 0.
pub fn furthest(points: &[Point], reach: impl Fn(&Point) -> f64) -> (f64, f64) {
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
pub fn tab_marks(job: &Job, number: &str, look: Look, tab: Rect) -> (Vec<Mark>, Label) {
    let (left, right, line) = (tab.x0 + SIDE, tab.x1 - SIDE, tab.y0 + 2.5);
    let mut marks = vec![Mark::words(Words::new("FRONT", Point::new(left, line), 7.0).bold())];
    // Rubbed down, the print comes out the right way round: on the metal the word would be wrong.
    let says_mirrored = look.mirrored && job.paper.transfer != Transfer::RubDown;
    if says_mirrored {
        marks.push(Mark::words(Words::new("MIRRORED", Point::new(left + 10.5, line), 7.0).bold()));
    }
    match look.hand {
        Hand::One => {}
        Hand::Left => {
            marks.push(Mark::words(Words::new("L", Point::new(right, line + 0.6), 11.0).bold().end()))
        }
        Hand::Right => {
            marks.push(Mark::words(Words::new("R", Point::new(right, line + 0.6), 11.0).bold().end()))
        }
    }
    let bar = Point::new(left, tab.y0 + 6.3);
    marks.extend(short_bar(bar));
    if look.inches {
        let at = bar + Vec2::new(SHORT_BAR + 1.0, INCH_LINE);
        let text = format!("{} in", plain(SHORT_BAR / MM_PER_INCH, 3));
        marks.push(Mark::words(Words::new(text, at, 6.0)));
    }
    let foot = tab.y1 - 1.8;
    let number = |y: f64| Words::new(number, Point::new(right, y), 6.0).end();
    let free_line = !says_mirrored && look.hand == Hand::One;
    if look.titled && free_line {
        let room = right - left - 10.5;
        let title = letters::shorten(&job.title, 6.0, false, room);
        marks.push(Mark::words(Words::new(title, Point::new(right, line), 6.0).end()));
    }
    let mut to = right;
    match look.foot {
        Foot::Counted => {
            let number = number(foot);
            to = number.bounds().x0 - 1.5;
            marks.push(Mark::words(number));
        }
        Foot::Bare | Foot::Named if free_line && !look.titled => marks.push(Mark::words(number(line))),
        Foot::Bare | Foot::Named => {}
    }
    (marks, Label { at: Point::new(left, foot), to })
}

/// The 20 mm bar from its left end, with 5 mm ticks and its length in words.
fn short_bar(from: Point) -> Vec<Mark> {
    let mut marks = Vec::new();
    let tick = |x: f64, up: f64| {
        Mark::line(Group::ScaleBar, vec![from + Vec2::new(x, 0.0), from + Vec2::new(x, -up)], FINE)
    };
    marks.push(Mark::line(Group::ScaleBar, vec![from, from + Vec2::new(SHORT_BAR, 0.0)], FINE));
    for i in 0..=4 {
        marks.push(tick(SHORT_BAR * f64::from(i) / 4.0, if i % 4 == 0 { 2.0 } else { 0.9 }));
    }
    let at = from + Vec2::new(SHORT_BAR + 1.0, 0.0);
    marks.push(Mark::words(Words::new("20 mm", at, 6.0).bold()));
    marks
}
