//! The shapes of one group, and the words among them.

use super::look::PathLook;
use super::words::push_words;
use super::{PLACES, UNIT};
use crate::geom::{Mixed, Point, Ring, Vec2};
use crate::paper::{Group, Ink, Mark, Stamp};
use crate::render::numbers::{push, push_scaled, walk};
use crate::render::outflow::Outflow;
use std::collections::HashMap;
use std::hash::BuildHasherDefault;

/// Most shapes remembered while a group is written; patterns that are grown have no two alike.
const MOST_DRAWN: usize = 4000;
/// Rings are drawn alike when their corners differ by no more than about this, mm.
const ALIKE: f64 = 1e-7;
/// Lines of so many openings are one path. Larger gives a drawing program paths that it is slow to take hold of.
const IN_ONE_PATH: usize = 100;

/// Writes the shapes of one group.
pub(super) struct Shapes {
    usual: Option<PathLook>,
    /// The steps of rings drawn before, all but the first point: of rings that differ only in place they are the same.
    drawn: HashMap<Vec<i64>, String, BuildHasherDefault<Mixed>>,
    /// What is said of each look that is not as usual.
    looks: Vec<(PathLook, String)>,
}

impl Shapes {
    /// `usual`: the look that the group itself says.
    pub(super) fn new(usual: Option<PathLook>) -> Self {
        Self { usual, drawn: HashMap::default(), looks: Vec::new() }
    }

    /// Everything that stands at one place only.
    pub(super) fn marks(&mut self, out: &mut Outflow, marks: &[&Mark]) {
        let mut marks = marks.iter().peekable();
        while let Some(mark) = marks.next() {
            match &mark.ink {
                Ink::Words(words) => push_words(&mut out.text, words),
                Ink::Line { points, pen } if points.len() == 2 && mark.opening > 0 => {
                    out.text.push_str("<path d=\"");
                    rule(&mut out.text, points);
                    // Ticks of one mark are one path.
                    let goes_on = |next: &&&Mark| match &next.ink {
                        Ink::Line { points, pen: its } => {
                            points.len() == 2 && its == pen && next.opening == mark.opening
                        }
                        _ => false,
                    };
                    while let Some(next) = marks.next_if(goes_on) {
                        if let Ink::Line { points, .. } = &next.ink {
                            rule(&mut out.text, points);
                        }
                    }
                    out.text.push('"');
                    self.end(&mut out.text, mark, mark.opening);
                }
                _ => self.shape(&mut out.text, mark),
            }
            out.pass();
        }
    }

    /// What a stamp holds of a group. Openings and drill circles are an element each, with the opening's number; the lines of
    /// many openings are one path.
    pub(super) fn stamp(&mut self, out: &mut Outflow, group: Group, stamp: &Stamp) {
        let mut lines: Vec<(&Mark, Vec<Line>)> = Vec::new();
        for mark in stamp.of(group) {
            match &mark.ink {
                Ink::Circle { at, radius, .. } => {
                    for place in &stamp.places {
                        let at = *at + place.at.to_vec2();
                        circle(&mut out.text, at, *radius);
                        self.end(&mut out.text, mark, place.opening as usize);
                        out.pass();
                    }
                }
                ink => {
                    let drawn = Line::all_of(ink);
                    match lines.last_mut() {
                        Some((last, more)) if PathLook::of(last) == PathLook::of(mark) => more.extend(drawn),
                        _ => lines.push((mark, drawn)),
                    }
                }
            }
        }
        let numbered = group == Group::Openings;
        for (mark, lines) in lines {
            for places in stamp.places.chunks(if numbered { 1 } else { IN_ONE_PATH }) {
                out.text.push_str("<path d=\"");
                let mut last = None;
                for place in places {
                    let by = whole(place.at.to_vec2());
                    lines.iter().for_each(|line| line.push(&mut out.text, by, &mut last));
                }
                out.text.push('"');
                self.end(&mut out.text, mark, if numbered { places[0].opening as usize } else { 0 });
                out.pass();
            }
        }
    }

    fn shape(&mut self, out: &mut String, mark: &Mark) {
        match &mark.ink {
            Ink::Area { rings, .. } | Ink::Closed { rings, .. } => {
                out.push_str("<path d=\"");
                rings.iter().for_each(|ring| self.ring(out, ring));
                out.push('"');
            }
            Ink::Line { points, .. } if points.len() == 2 => {
                out.push_str("<line");
                let ends = [points[0].x, points[0].y, points[1].x, points[1].y];
                for (name, v) in ["x1", "y1", "x2", "y2"].into_iter().zip(ends) {
                    attribute(out, name, v);
                }
            }
            Ink::Line { points, .. } => {
                out.push_str("<path d=\"");
                for (i, p) in points.iter().enumerate() {
                    out.push(if i == 0 { 'M' } else { 'L' });
                    point(out, *p);
                }
                out.push('"');
            }
            Ink::Circle { at, radius, .. } => circle(out, *at, *radius),
            Ink::Words(_) => return,
        }
        self.end(out, mark, mark.opening);
    }

    /// How the element of a mark ends: its opening, if it has one, and what it is inked with, if that is not as usual.
    fn end(&mut self, out: &mut String, mark: &Mark, opening: usize) {
        if opening > 0 {
            out.push_str(" data-opening=\"");
            push_scaled(out, opening as i64, 0);
            out.push('"');
        }
        if let Some(look) = PathLook::of(mark).filter(|look| self.usual != Some(*look)) {
            out.push_str(self.said(look));
        }
        out.push_str("/>\n");
    }

    /// The properties of a look that is not as usual.
    fn said(&mut self, look: PathLook) -> &str {
        let at = self.looks.iter().position(|(known, _)| *known == look).unwrap_or_else(|| {
            let properties = look.properties(self.usual.as_ref()).into_iter();
            let said = properties.map(|(name, value)| format!(" {name}=\"{value}\"")).collect();
            self.looks.push((look, said));
            self.looks.len() - 1
        });
        &self.looks[at].1
    }

    /// A ring from its first point in steps.
    fn ring(&mut self, out: &mut String, ring: &Ring) {
        let first = ring.first();
        out.push('M');
        point(out, first);
        let key: Vec<i64> = ring.shape(ALIKE).collect();
        if let Some(steps) = self.drawn.get(&key) {
            out.push_str(steps);
            return;
        }
        let steps = steps_round(ring, first);
        out.push_str(&steps);
        if self.drawn.len() < MOST_DRAWN {
            self.drawn.insert(key, steps);
        }
    }
}

/// A line of a stamp: its first point and its last, in units of the last decimal, and the steps between them.
struct Line {
    from: [i64; 2],
    to: [i64; 2],
    steps: String,
}

impl Line {
    /// The lines of an ink; of circles and words none.
    fn all_of(ink: &Ink) -> Vec<Line> {
        match ink {
            Ink::Area { rings, .. } | Ink::Closed { rings, .. } => rings.iter().map(Line::round).collect(),
            Ink::Line { points, .. } => Line::through(points).into_iter().collect(),
            Ink::Circle { .. } | Ink::Words(_) => Vec::new(),
        }
    }

    fn round(ring: &Ring) -> Line {
        let from = whole(ring.first().to_vec2());
        Line { from, to: from, steps: steps_round(ring, ring.first()) }
    }

    fn through(points: &[Point]) -> Option<Line> {
        let from = whole(points.first()?.to_vec2());
        let (mut to, mut steps) = (from, String::from("l"));
        for (i, next) in points.iter().skip(1).map(|p| whole(p.to_vec2())).enumerate() {
            push_step(&mut steps, to, next, i > 0);
            to = next;
        }
        Some(Line { from, to, steps })
    }

    /// Written moved by so many units; `last` is where the path has come to.
    fn push(&self, out: &mut String, by: [i64; 2], last: &mut Option<[i64; 2]>) {
        let from = [self.from[0] + by[0], self.from[1] + by[1]];
        match *last {
            Some(last) => {
                out.push('m');
                push_step(out, last, from, false);
            }
            None => {
                out.push('M');
                push_step(out, [0, 0], from, false);
            }
        }
        out.push_str(&self.steps);
        *last = Some([self.to[0] + by[0], self.to[1] + by[1]]);
    }
}

/// In units of the last decimal.
fn whole(v: Vec2) -> [i64; 2] {
    [v.x, v.y].map(|v| (v / UNIT).round() as i64)
}

/// The step from one rounded place to the next; `apart` where another number stands before it.
fn push_step(out: &mut String, from: [i64; 2], to: [i64; 2], apart: bool) {
    for (k, step) in [to[0] - from[0], to[1] - from[1]].into_iter().enumerate() {
        if step >= 0 && (k > 0 || apart) {
            out.push(' ');
        }
        push_scaled(out, step, PLACES);
    }
}

/// The steps round a ring from its first point. Each leads from one rounded place to the next, so that no fault grows.
fn steps_round(ring: &Ring, first: Point) -> String {
    let mut steps = String::new();
    let (mut at, mut last) = ([0, 0], 'M');
    walk(ring, |letter, points| {
        if letter == 'M' {
            return;
        }
        if letter != last {
            steps.push(letter.to_ascii_lowercase());
        }
        for (i, p) in points.iter().enumerate() {
            push_step(&mut steps, at, whole(*p - first), i > 0 || letter == last);
        }
        last = letter;
        if let Some(end) = points.last() {
            at = whole(*end - first);
        }
    });
    steps
}

fn circle(out: &mut String, at: Point, radius: f64) {
    out.push_str("<circle");
    for (name, v) in [("cx", at.x), ("cy", at.y), ("r", radius)] {
        attribute(out, name, v);
    }
}

/// A short line, from its first point.
fn rule(out: &mut String, points: &[Point]) {
    let place = |v: f64| (v / UNIT).round();
    let [from, to] = points else { return };
    out.push('M');
    point(out, *from);
    out.push('l');
    push(out, (place(to.x) - place(from.x)) * UNIT, PLACES);
    out.push(' ');
    push(out, (place(to.y) - place(from.y)) * UNIT, PLACES);
}

fn point(out: &mut String, p: Point) {
    push(out, p.x, PLACES);
    out.push(' ');
    push(out, p.y, PLACES);
}

fn attribute(out: &mut String, name: &str, value: f64) {
    out.push(' ');
    out.push_str(name);
    out.push_str("=\"");
    push(out, value, PLACES);
    out.push('"');
}
