//! A page as SVG at true size: one unit is one millimetre, groups named as `paper` names them.
//!
//! Never corrected for a printer. Words keep their measured width whatever font the reader has.

use super::numbers::{push, walk};
use crate::geom::{Point, Ring};
use crate::paper::letters::MM_PER_PT;
use crate::paper::{Anchor, CopyAt, Group, Ink, Mark, Page, Pen, Words};
use std::collections::HashMap;
use svg::node::element::{ClipPath, Definitions, Element, Rectangle, Text, Title};
use svg::node::{Blob, Node};
use svg::Document;

/// Decimals of a millimetre: a tenth of a micrometre.
const PLACES: u32 = 4;
/// The last of them, mm.
const UNIT: f64 = 1e-4;

/// The whole file.
pub fn svg(page: &Page, title: &str) -> String {
    let mm = |v: f64| format!("{}mm", number(v));
    let mut document = Document::new()
        .set("width", mm(page.width))
        .set("height", mm(page.height))
        .set("viewBox", format!("0 0 {} {}", number(page.width), number(page.height)))
        .set("lang", "en")
        .add(Title::new(title));
    if let Some(w) = page.window {
        let rect = Rectangle::new()
            .set("x", number(w.x0))
            .set("y", number(w.y0))
            .set("width", number(w.width()))
            .set("height", number(w.height()));
        document = document.add(Definitions::new().add(ClipPath::new().set("id", "window").add(rect)));
    }
    let window = page.window.is_some();
    let own: Vec<&Mark> = page.marks.iter().filter(|m| m.copy == 0).collect();
    if let (true, [copy]) = (page.alone, &page.copies[..]) {
        let theirs: Vec<&Mark> = page.marks.iter().filter(|m| m.copy != 0).collect();
        let mut holder = placed("copy".to_string(), copy);
        for group in Group::ALL {
            if let Some(g) = one_group(group.id().to_string(), group, &theirs, &own, window) {
                holder.append(g);
            }
        }
        document = document.add(holder);
    } else {
        for group in Group::ALL {
            if let Some(g) = one_group(group.id().to_string(), group, &[], &own, false) {
                document = document.add(g);
            }
        }
        for copy in &page.copies {
            let theirs: Vec<&Mark> = page.marks.iter().filter(|m| m.copy == copy.k).collect();
            let mut holder = placed(format!("copy-{}", copy.k), copy);
            for group in Group::ALL {
                let id = format!("{}-{}", group.id(), copy.k);
                if let Some(g) = one_group(id, group, &theirs, &[], window) {
                    holder.append(g);
                }
            }
            document = document.add(holder);
        }
    }
    let mut out = document.to_string();
    out.push('\n');
    out
}

fn placed(id: String, copy: &CopyAt) -> Element {
    let mut g = element("g");
    let attributes = g.get_attributes_mut();
    let middle = copy.place.middle;
    attributes.insert("id".into(), id.into());
    attributes.insert("data-middle".into(), format!("{} {}", number(middle.x), number(middle.y)).into());
    attributes.insert("data-turn".into(), number(copy.place.turn).into());
    attributes.insert("data-mirrored".into(), copy.place.mirrored.to_string().into());
    g
}

/// A group of the copy's marks (inside the window, if the piece is split) and the page's own.
fn one_group(id: String, group: Group, theirs: &[&Mark], own: &[&Mark], window: bool) -> Option<Element> {
    fn of<'a>(group: Group, marks: &[&'a Mark]) -> Vec<&'a Mark> {
        marks.iter().copied().filter(|m| m.group == group).collect()
    }
    let (theirs, own) = (of(group, theirs), of(group, own));
    if theirs.is_empty() && own.is_empty() {
        return None;
    }
    let mut g = element("g");
    g.get_attributes_mut().insert("id".into(), id.into());
    let usual = usual_look(&theirs, &own);
    if let Some(look) = &usual {
        g.get_attributes_mut().insert("style".into(), look.style().into());
    }
    let mut shapes = Shapes { usual, drawn: HashMap::new() };
    if window && !theirs.is_empty() {
        let mut inner = element("g");
        inner.get_attributes_mut().insert("clip-path".into(), "url(#window)".into());
        shapes.fill(&mut inner, &theirs);
        g.append(inner);
    } else {
        shapes.fill(&mut g, &theirs);
    }
    shapes.fill(&mut g, &own);
    Some(g)
}

fn element(name: &str) -> Element {
    Element::new(name)
}

/// How a shape is inked.
#[derive(Debug, Clone, Copy, PartialEq)]
struct PathLook {
    fill: Option<u8>,
    pen: Option<Pen>,
    evenodd: bool,
}

/// Groups of fewer marks say at each how it is inked.
const FEW: usize = 8;

/// How most of a group's marks are inked, so that it is said once; `None` where words or few marks stand in it.
fn usual_look(theirs: &[&Mark], own: &[&Mark]) -> Option<PathLook> {
    let mut looks: Vec<(PathLook, usize)> = Vec::new();
    for mark in theirs.iter().chain(own) {
        let look = PathLook::of(mark)?;
        match looks.iter_mut().find(|(known, _)| *known == look) {
            Some((_, count)) => *count += 1,
            None => looks.push((look, 1)),
        }
    }
    let (look, count) = looks.into_iter().rev().max_by_key(|(_, count)| *count)?;
    (count >= FEW).then_some(look)
}

impl PathLook {
    /// Of words there is none.
    fn of(mark: &Mark) -> Option<PathLook> {
        Some(match &mark.ink {
            Ink::Area { rings, shade } => {
                PathLook { fill: Some(*shade), pen: None, evenodd: rings.len() > 1 }
            }
            Ink::Closed { pen, .. } | Ink::Line { pen, .. } => {
                PathLook { fill: None, pen: Some(*pen), evenodd: false }
            }
            Ink::Circle { fill, pen, .. } => PathLook { fill: *fill, pen: *pen, evenodd: false },
            Ink::Words(_) => return None,
        })
    }

    /// Each property with its value; those that are as they are without a word are left out unless `usual` says otherwise.
    fn properties(&self, usual: Option<&PathLook>) -> Vec<(&'static str, String)> {
        let pen = |pen: &Pen| (grey(pen.shade), number(pen.width), pen.dash);
        let dash = |(on, off): (f64, f64)| format!("{} {}", number(on), number(off));
        let mut all = Vec::new();
        if usual.is_none_or(|u| u.fill != self.fill) {
            all.push(("fill", self.fill.map_or("none".to_string(), grey)));
        }
        match (self.pen.as_ref().map(pen), usual.and_then(|u| u.pen.as_ref()).map(pen)) {
            (None, None) => {}
            (None, Some(_)) => all.push(("stroke", "none".into())),
            (Some((ink, width, dashes)), theirs) => {
                let (their_ink, their_width, their_dashes) = theirs.unwrap_or_default();
                if ink != their_ink {
                    all.push(("stroke", ink));
                }
                if width != their_width {
                    all.push(("stroke-width", width));
                }
                if dashes != their_dashes {
                    all.push(("stroke-dasharray", dashes.map_or("none".into(), dash)));
                }
            }
        }
        if self.evenodd && usual.is_none_or(|u| !u.evenodd) {
            all.push(("fill-rule", "evenodd".into()));
        }
        all
    }

    fn style(&self) -> String {
        let properties = self.properties(None).into_iter().map(|(name, value)| format!("{name}:{value}"));
        properties.collect::<Vec<_>>().join(";")
    }
}

/// Most shapes remembered while a group is written; patterns that are grown have no two alike.
const MOST_DRAWN: usize = 4000;
/// Rings are drawn alike when their corners differ by no more than about this, mm.
const ALIKE: f64 = 1e-7;

/// Writes the shapes of one group.
struct Shapes {
    usual: Option<PathLook>,
    /// The steps of rings drawn before, all but the first point: of rings that differ only in place they are the same.
    drawn: HashMap<Vec<i64>, String>,
}

impl Shapes {
    /// Shapes go in as ready text, words as elements so that they are escaped.
    fn fill(&mut self, g: &mut Element, marks: &[&Mark]) {
        let mut text = String::new();
        let mut marks = marks.iter().peekable();
        while let Some(mark) = marks.next() {
            match &mark.ink {
                Ink::Words(words) => g.append(self::text(words)),
                Ink::Line { points, pen } if points.len() == 2 && mark.opening > 0 => {
                    text.push_str("<path d=\"");
                    rule(&mut text, points);
                    // Ticks of one mark are one path.
                    let goes_on = |next: &&&Mark| match &next.ink {
                        Ink::Line { points, pen: its } => {
                            points.len() == 2 && its == pen && next.opening == mark.opening
                        }
                        _ => false,
                    };
                    while let Some(next) = marks.next_if(goes_on) {
                        if let Ink::Line { points, .. } = &next.ink {
                            rule(&mut text, points);
                        }
                    }
                    text.push('"');
                    self.end(&mut text, mark);
                }
                _ => self.shape(&mut text, mark),
            }
        }
        if !text.is_empty() {
            g.append(Blob::new(text.trim_end()));
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
            Ink::Circle { at, radius, .. } => {
                out.push_str("<circle");
                for (name, v) in [("cx", at.x), ("cy", at.y), ("r", *radius)] {
                    attribute(out, name, v);
                }
            }
            Ink::Words(_) => return,
        }
        self.end(out, mark);
    }

    fn end(&self, out: &mut String, mark: &Mark) {
        opening(out, mark);
        if let Some(look) = PathLook::of(mark).filter(|look| self.usual != Some(*look)) {
            for (name, value) in look.properties(self.usual.as_ref()) {
                out.push_str(&format!(" {name}=\"{value}\""));
            }
        }
        out.push_str("/>\n");
    }

    /// A ring from its first point in steps. Each step leads from one rounded place to the next, so that no fault grows.
    fn ring(&mut self, out: &mut String, ring: &Ring) {
        let Some(first) = ring.vertices().first().map(|v| v.at) else { return };
        out.push('M');
        point(out, first);
        let key: Vec<i64> = ring.shape(ALIKE).collect();
        if let Some(steps) = self.drawn.get(&key) {
            out.push_str(steps);
            return;
        }
        let mut steps = String::new();
        let place = |p: &Point| [p.x - first.x, p.y - first.y].map(|v| (v / UNIT).round() as i64);
        let (mut at, mut last) = ([0, 0], 'M');
        walk(ring, |letter, points| {
            if letter == 'M' {
                return;
            }
            if letter != last {
                steps.push(letter.to_ascii_lowercase());
            }
            for (i, p) in points.iter().enumerate() {
                for (k, (to, from)) in place(p).iter().zip(at).enumerate() {
                    let step = (to - from) as f64 * UNIT;
                    if step >= 0.0 && (k > 0 || i > 0 || letter == last) {
                        steps.push(' ');
                    }
                    push(&mut steps, step, PLACES);
                }
            }
            last = letter;
            if let Some(end) = points.last() {
                at = place(end);
            }
        });
        out.push_str(&steps);
        if self.drawn.len() < MOST_DRAWN {
            self.drawn.insert(key, steps);
        }
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

fn text(words: &Words) -> Text {
    let anchor = match words.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let mut text = Text::new(words.text.as_str())
        .set("font-family", "'DejaVu Sans Condensed', 'DejaVu Sans', sans-serif")
        .set("font-stretch", "condensed")
        .set("font-size", number(words.size * MM_PER_PT))
        .set("textLength", number(words.width()))
        .set("lengthAdjust", "spacingAndGlyphs")
        .set("x", number(words.at.x))
        .set("y", number(words.at.y));
    if words.text.contains("  ") {
        text = text.set("xml:space", "preserve");
    }
    if words.anchor != Anchor::Start {
        text = text.set("text-anchor", anchor);
    }
    if words.bold {
        text = text.set("font-weight", "bold");
    }
    if words.shade != 100 {
        text = text.set("fill", grey(words.shade));
    }
    if words.mirrored {
        let b = words.bounds();
        text = text.set("transform", format!("matrix(-1 0 0 1 {} 0)", number(b.x0 + b.x1)));
    }
    if words.upward {
        text = text.set("transform", format!("rotate(-90 {} {})", number(words.at.x), number(words.at.y)));
    }
    text
}

fn opening(out: &mut String, mark: &Mark) {
    if mark.opening > 0 {
        out.push_str(" data-opening=\"");
        out.push_str(&mark.opening.to_string());
        out.push('"');
    }
}

fn attribute(out: &mut String, name: &str, value: f64) {
    out.push(' ');
    out.push_str(name);
    out.push_str("=\"");
    push(out, value, PLACES);
    out.push('"');
}

fn number(value: f64) -> String {
    let mut out = String::new();
    push(&mut out, value, PLACES);
    out
}

/// Percent of black as a hexadecimal grey.
fn grey(shade: u8) -> String {
    let v = 255 - (u32::from(shade.min(100)) * 255 + 50) / 100;
    match v {
        0 => "#000".to_string(),
        255 => "#fff".to_string(),
        _ => format!("#{v:02x}{v:02x}{v:02x}"),
    }
}
