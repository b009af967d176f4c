//! A page as SVG at true size: one unit is one millimetre, groups named as `paper` names them.
//!
//! Never corrected for a printer. Words keep their measured width whatever font the reader has.

use super::numbers::{push, walk};
use crate::geom::{Point, Ring};
use crate::paper::letters::MM_PER_PT;
use crate::paper::{Anchor, CopyAt, Group, Ink, Mark, Page, Pen, Words};
use svg::node::element::{ClipPath, Definitions, Element, Rectangle, Text, Title};
use svg::node::{Blob, Node};
use svg::Document;

/// Decimals of a millimetre: a tenth of a micrometre.
const PLACES: u32 = 4;

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
    if window && !theirs.is_empty() {
        let mut inner = element("g");
        inner.get_attributes_mut().insert("clip-path".into(), "url(#window)".into());
        fill_group(&mut inner, &theirs);
        g.append(inner);
    } else {
        fill_group(&mut g, &theirs);
    }
    fill_group(&mut g, &own);
    Some(g)
}

fn element(name: &str) -> Element {
    Element::new(name)
}

/// Shapes go in as ready text, words as elements so that they are escaped.
fn fill_group(g: &mut Element, marks: &[&Mark]) {
    let mut shapes = String::new();
    for mark in marks {
        if let Ink::Words(words) = &mark.ink {
            g.append(text(words));
        } else {
            shape(&mut shapes, mark);
        }
    }
    if !shapes.is_empty() {
        g.append(Blob::new(shapes.trim_end()));
    }
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

fn shape(out: &mut String, mark: &Mark) {
    match &mark.ink {
        Ink::Area { rings, shade } => {
            out.push_str("<path d=\"");
            path(out, rings);
            out.push('"');
            opening(out, mark);
            out.push_str(" fill=\"");
            out.push_str(&grey(*shade));
            out.push('"');
            if rings.len() > 1 {
                out.push_str(" fill-rule=\"evenodd\"");
            }
        }
        Ink::Closed { rings, pen } => {
            out.push_str("<path d=\"");
            path(out, rings);
            out.push('"');
            opening(out, mark);
            out.push_str(" fill=\"none\"");
            stroke(out, pen);
        }
        Ink::Line { points, pen } => {
            if let [a, b] = points[..] {
                out.push_str("<line");
                for (name, v) in [("x1", a.x), ("y1", a.y), ("x2", b.x), ("y2", b.y)] {
                    attribute(out, name, v);
                }
            } else {
                out.push_str("<path d=\"");
                for (i, p) in points.iter().enumerate() {
                    step(out, if i == 0 { 'M' } else { 'L' }, &[*p]);
                }
                out.push_str("\" fill=\"none\"");
            }
            opening(out, mark);
            stroke(out, pen);
        }
        Ink::Circle { at, radius, fill, pen } => {
            out.push_str("<circle");
            for (name, v) in [("cx", at.x), ("cy", at.y), ("r", *radius)] {
                attribute(out, name, v);
            }
            opening(out, mark);
            out.push_str(" fill=\"");
            out.push_str(&fill.map_or("none".to_string(), grey));
            out.push('"');
            if let Some(pen) = pen {
                stroke(out, pen);
            }
        }
        Ink::Words(_) => return,
    }
    out.push_str("/>\n");
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

fn stroke(out: &mut String, pen: &Pen) {
    out.push_str(" stroke=\"");
    out.push_str(&grey(pen.shade));
    out.push('"');
    attribute(out, "stroke-width", pen.width);
    if let Some((on, off)) = pen.dash {
        out.push_str(" stroke-dasharray=\"");
        push(out, on, PLACES);
        out.push(' ');
        push(out, off, PLACES);
        out.push('"');
    }
}

fn path(out: &mut String, rings: &[Ring]) {
    for ring in rings {
        walk(ring, |letter, points| step(out, letter, points));
    }
}

fn step(out: &mut String, letter: char, points: &[Point]) {
    out.push(letter);
    for (i, p) in points.iter().enumerate() {
        if i > 0 {
            out.push(' ');
        }
        push(out, p.x, PLACES);
        out.push(' ');
        push(out, p.y, PLACES);
    }
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
