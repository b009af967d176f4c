//! A page as SVG at true size: one unit is one millimetre, groups named as `paper` names them.
//!
//! Never corrected for a printer. Words keep their measured width whatever font the reader has.

mod look;
mod shapes;
mod words;

use self::look::usual_look;
use self::shapes::Shapes;
use super::numbers::push;
use super::outflow::Outflow;
use crate::paper::{CopyAt, Group, Mark, Page, Stamp};
use std::io::{self, Write};
use svg::node::element::{ClipPath, Definitions, Rectangle, Title};

/// Decimals of a millimetre: a tenth of a micrometre.
const PLACES: u32 = 4;
/// The last of them, mm.
const UNIT: f64 = 1e-4;

/// The whole file as text.
pub fn svg(page: &Page, title: &str) -> String {
    let mut bytes = Vec::new();
    // Writing into memory does not fail, and nothing but text is written.
    match write(page, title, &mut bytes) {
        Ok(()) => String::from_utf8(bytes).unwrap_or_default(),
        Err(_) => String::new(),
    }
}

/// Writes the file piece by piece. Errors: those of `to`.
pub fn write(page: &Page, title: &str, to: &mut dyn Write) -> io::Result<()> {
    let mut out = Outflow::new(to);
    let (width, height) = (number(page.width), number(page.height));
    out.text.push_str(&format!(
        "<svg height=\"{height}mm\" lang=\"en\" viewBox=\"0 0 {width} {height}\" width=\"{width}mm\" \
         xmlns=\"http://www.w3.org/2000/svg\">\n{}\n",
        Title::new(title)
    ));
    if let Some(w) = page.window {
        let rect = Rectangle::new()
            .set("x", number(w.x0))
            .set("y", number(w.y0))
            .set("width", number(w.width()))
            .set("height", number(w.height()));
        let window = Definitions::new().add(ClipPath::new().set("id", "window").add(rect));
        out.text.push_str(&format!("{window}\n"));
    }
    let window = page.window.is_some();
    let own: Vec<&Mark> = page.marks.iter().filter(|m| m.copy == 0).collect();
    let none = Theirs::default();
    if let (true, [copy]) = (page.alone, &page.copies[..]) {
        let theirs = Theirs::of(page, |k| k != 0);
        begin_copy(&mut out, "copy", copy);
        for group in Group::ALL {
            one_group(&mut out, (group.id(), group), &theirs, &own, window);
        }
        out.text.push_str("</g>\n");
    } else {
        for group in Group::ALL {
            one_group(&mut out, (group.id(), group), &none, &own, false);
        }
        for copy in &page.copies {
            let theirs = Theirs::of(page, |k| k == copy.k);
            begin_copy(&mut out, &format!("copy-{}", copy.k), copy);
            for group in Group::ALL {
                one_group(&mut out, (&format!("{}-{}", group.id(), copy.k), group), &theirs, &[], window);
            }
            out.text.push_str("</g>\n");
        }
    }
    out.text.push_str("</svg>\n");
    out.finish()
}

/// What belongs to copies.
#[derive(Default)]
struct Theirs<'a> {
    marks: Vec<&'a Mark>,
    stamps: Vec<&'a Stamp>,
}

impl<'a> Theirs<'a> {
    fn of(page: &'a Page, copy: impl Fn(usize) -> bool) -> Self {
        Self {
            marks: page.marks.iter().filter(|m| copy(m.copy)).collect(),
            stamps: page.stamps.iter().filter(|s| copy(s.copy)).collect(),
        }
    }
}

fn begin_copy(out: &mut Outflow, id: &str, copy: &CopyAt) {
    let (middle, turn, mirrored) = (copy.place.middle, number(copy.place.turn), copy.place.mirrored);
    let (x, y) = (number(middle.x), number(middle.y));
    out.text.push_str(&format!(
        "<g data-middle=\"{x} {y}\" data-mirrored=\"{mirrored}\" data-turn=\"{turn}\" id=\"{id}\">\n"
    ));
}

/// A group of the copy's marks (inside the window, if the piece is split) and the page's own.
fn one_group(out: &mut Outflow, (id, group): (&str, Group), theirs: &Theirs, own: &[&Mark], window: bool) {
    fn of<'a>(group: Group, marks: &[&'a Mark]) -> Vec<&'a Mark> {
        marks.iter().copied().filter(|m| m.group == group).collect()
    }
    let (marks, own) = (of(group, &theirs.marks), of(group, own));
    let stamps: Vec<&Stamp> =
        theirs.stamps.iter().copied().filter(|stamp| stamp.of(group).next().is_some()).collect();
    let theirs = !marks.is_empty() || !stamps.is_empty();
    if !theirs && own.is_empty() {
        return;
    }
    let usual = usual_look(marks.iter().chain(&own).copied(), &stamps, group);
    let style = usual.as_ref().map_or(String::new(), |look| format!(" style=\"{}\"", look.style()));
    out.text.push_str(&format!("<g id=\"{id}\"{style}>\n"));
    let mut shapes = Shapes::new(usual);
    let clipped = window && theirs;
    if clipped {
        out.text.push_str("<g clip-path=\"url(#window)\">\n");
    }
    shapes.marks(out, &marks);
    stamps.iter().for_each(|stamp| shapes.stamp(out, group, stamp));
    if clipped {
        out.text.push_str("</g>\n");
    }
    shapes.marks(out, &own);
    out.text.push_str("</g>\n");
}

fn number(value: f64) -> String {
    let mut out = String::new();
    push(&mut out, value, PLACES);
    out
}
