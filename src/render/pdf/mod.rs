//! Pages as PDF. `printpdf` makes the document: pages, their sizes and the parts that can be switched off; `lopdf`, the
//! library beneath it, takes the page streams and letters, which are written here in double precision to a thousandth of
//! a point (0.35 micrometres), and writes the file.
//!
//! The printer's correction is applied here and nowhere else. Same pages, same bytes: nothing random, no clock.

mod forms;
mod sheet;

use self::forms::{runs, Forms};
use self::sheet::{set_fill, PdfSheet, State};
use super::font::{self, Embedded};
use super::numbers::push;
use super::stream::packed;
use crate::paper::{Group, Ink, Mark, Page, Stamp, Words};
use crate::units::PT_PER_MM;
use lopdf::{dictionary, Dictionary, Document, Object, ObjectId};
use printpdf::{Layer, LayerInternalId, LayerSubtype, Op, PdfDocument, PdfPage, PdfSaveOptions, Pt, Rect};
use std::io::{self, Write};

/// Decimals of a point.
const PLACES: u32 = 3;

/// What a reader shows about the file.
#[derive(Debug, Clone, PartialEq)]
pub struct About {
    /// As a window's head.
    pub title: String,
    /// "en".
    pub language: String,
}

/// The whole file.
pub fn pdf(pages: &[&Page], about: &About) -> Vec<u8> {
    let mut bytes = Vec::new();
    match write(pages, about, &mut bytes) {
        Ok(()) => bytes,
        // Writing into memory does not fail; an empty file is caught by whoever writes it out.
        Err(_) => Vec::new(),
    }
}

/// Writes the file. Errors: those of `to`.
pub fn write(pages: &[&Page], about: &About, mut to: &mut dyn Write) -> io::Result<()> {
    let mut document = skeleton(pages, about);
    let used = font::used(pages.iter().flat_map(|p| p.words()));
    let mut fonts = Dictionary::new();
    let mut faces: [Option<Embedded>; 2] = [None, None];
    for (i, letters) in used.iter().enumerate() {
        if letters.is_empty() {
            continue;
        }
        if let Some((face, id)) = Embedded::add(&mut document, i == 1, letters) {
            fonts.set(format!("F{i}"), id);
            faces[i] = Some(face);
        }
    }
    let ids: Vec<ObjectId> = document.get_pages().into_values().collect();
    let mut stamp = FileStamp::default();
    let mut forms = Forms::of(pages);
    for (page, id) in pages.iter().zip(ids) {
        let content = content(page, &faces, &mut forms);
        stamp.take(content.as_bytes());
        let content = document.add_object(packed(Dictionary::new(), content.into_bytes()));
        let resources = resource_id(&document, id);
        if let Ok(dictionary) = document.get_dictionary_mut(id) {
            dictionary.set("Contents", content);
            dictionary.remove(b"Annots");
        }
        if let Some(Ok(dictionary)) = resources.map(|r| document.get_dictionary_mut(r)) {
            for empty in ["XObject", "ExtGState", "Shading"] {
                dictionary.remove(empty.as_bytes());
            }
            dictionary.set("Font", fonts.clone());
        }
        let used = forms.add_used(&mut document, &mut stamp);
        if let (Some(Ok(dictionary)), false) =
            (resources.map(|r| document.get_dictionary_mut(r)), used.is_empty())
        {
            dictionary.set("XObject", used);
        }
    }
    stamp.take(about.title.as_bytes());
    finish(&mut document, about, stamp);
    document.save_to(&mut to)
}

/// Pages of the right size and the parts that can be switched off, still empty.
fn skeleton(pages: &[&Page], about: &About) -> Document {
    let mut document = PdfDocument::new(&about.title);
    for (i, group) in Group::ALL.iter().enumerate() {
        let layer = Layer {
            name: group.title().to_string(),
            creator: "Sawpierce".to_string(),
            intent: printpdf::LayerIntent::View,
            usage: LayerSubtype::Artwork,
        };
        document.resources.layers.map.insert(LayerInternalId(layer_name(i)), layer);
    }
    let empty = pages
        .iter()
        .map(|page| {
            let pt = |mm: f64| Pt((mm * PT_PER_MM) as f32);
            let mut ops = Vec::new();
            for (i, group) in Group::ALL.iter().enumerate() {
                let stamped = page.stamps.iter().any(|stamp| stamp.of(*group).next().is_some());
                if stamped || page.marks.iter().any(|m| m.group == *group) {
                    ops.push(Op::BeginLayer { layer_id: LayerInternalId(layer_name(i)) });
                    ops.push(Op::EndLayer);
                }
            }
            let whole = || Rect::from_wh(pt(page.width), pt(page.height));
            PdfPage { media_box: whole(), trim_box: whole(), crop_box: whole(), ops }
        })
        .collect();
    document.with_pages(empty);
    let options =
        PdfSaveOptions { optimize: false, subset_fonts: false, secure: true, image_optimization: None };
    printpdf::to_lopdf_doc(&document, &options, &mut Vec::new())
}

fn layer_name(i: usize) -> String {
    format!("P{i}")
}

fn resource_id(document: &Document, page: ObjectId) -> Option<ObjectId> {
    document.get_dictionary(page).ok()?.get(b"Resources").ok()?.as_reference().ok()
}

/// Language, title, printing at true size, fixed ids.
fn finish(document: &mut Document, about: &About, stamp: FileStamp) {
    document.version = "1.6".to_string();
    if let Ok(catalog) = document.catalog_mut() {
        catalog.set("Lang", Object::string_literal(about.language.as_str()));
        catalog.set("ViewerPreferences", dictionary! { "DisplayDocTitle" => true, "PrintScaling" => "None" });
        catalog.set("PageLayout", "SinglePage");
        if let Ok(Object::Dictionary(parts)) = catalog.get_mut(b"OCProperties")
            && let Ok(Object::Dictionary(shown)) = parts.get_mut(b"D")
        {
            shown.set("Name", Object::string_literal("Parts of the page"));
        }
    }
    let info = document.add_object(dictionary! {
        "Title" => text_string(&about.title),
        "Creator" => Object::string_literal("Sawpierce"),
        "Producer" => Object::string_literal("Sawpierce"),
    });
    document.trailer.set("Info", info);
    let id = Object::String(stamp.bytes(), lopdf::StringFormat::Hexadecimal);
    document.trailer.set("ID", vec![id.clone(), id]);
    document.prune_objects();
    document.renumber_objects();
}

/// Text for a reader's title bar: plain if it is ASCII, else with the mark of 16-bit letters.
fn text_string(text: &str) -> Object {
    if text.is_ascii() {
        return Object::string_literal(text);
    }
    let mut bytes = vec![0xfe, 0xff];
    bytes.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, lopdf::StringFormat::Hexadecimal)
}

/// A sixteen-byte stamp of what the file holds, for its id: two FNV-1a runs with different starts.
#[derive(Clone, Copy)]
struct FileStamp(u64, u64);

impl Default for FileStamp {
    fn default() -> Self {
        FileStamp(0xcbf2_9ce4_8422_2325, 0x6c62_272e_07bb_0142)
    }
}

impl FileStamp {
    fn take(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut eight = [0u8; 8];
            eight[..chunk.len()].copy_from_slice(chunk);
            let v = u64::from_le_bytes(eight);
            self.0 = (self.0 ^ v).wrapping_mul(0x0000_0100_0000_01b3).rotate_left(23);
            self.1 = (self.1 ^ v).wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(31);
        }
    }
    fn bytes(self) -> Vec<u8> {
        [self.0.to_be_bytes(), self.1.to_be_bytes()].concat()
    }
}

/// One group of a page's marks.
struct PageGroup<'a> {
    /// Its place among the groups.
    layer: usize,
    group: Group,
    /// What belongs to copies, which shows inside the window alone.
    theirs: Vec<&'a Mark>,
    stamps: Vec<&'a Stamp>,
    /// What is the page's own.
    own: Vec<&'a Mark>,
}

/// The groups of a page that hold something, as they are drawn.
fn by_group(page: &Page) -> impl Iterator<Item = PageGroup<'_>> {
    Group::ALL.into_iter().enumerate().filter_map(|(layer, group)| {
        let marks = page.marks.iter().filter(|m| m.group == group);
        let (theirs, own): (Vec<&Mark>, Vec<&Mark>) = marks.partition(|m| m.copy != 0);
        let stamps: Vec<&Stamp> = page.stamps.iter().filter(|s| s.of(group).next().is_some()).collect();
        let empty = theirs.is_empty() && stamps.is_empty() && own.is_empty();
        (!empty).then_some(PageGroup { layer, group, theirs, stamps, own })
    })
}

fn content(page: &Page, faces: &[Option<Embedded>; 2], forms: &mut Forms) -> String {
    let sheet = PdfSheet::new(page);
    let mut out = String::with_capacity(page.marks.len() * 40 + 256);
    for PageGroup { layer, group, theirs, stamps, own } in by_group(page) {
        out.push_str(&format!("/OC /{} BDC\n", layer_name(layer)));
        out.push_str("q\n");
        if let (Some(w), false) = (page.window, theirs.is_empty() && stamps.is_empty()) {
            let (x0, y0, x1, y1) = (sheet.x(w.x0), sheet.y(w.y1), sheet.x(w.x1), sheet.y(w.y0));
            for v in [x0, y0, x1 - x0, y1 - y0] {
                push(&mut out, v, PLACES);
                out.push(' ');
            }
            out.push_str("re W n\n");
        }
        let mut state = State::default();
        draw(&mut out, &sheet, &mut state, &theirs, faces, forms);
        stamps.iter().for_each(|stamp| forms.stamp(&mut out, &sheet, &mut state, stamp, group));
        out.push_str("Q\nq\n");
        draw(&mut out, &sheet, &mut State::default(), &own, faces, forms);
        out.push_str("Q\nEMC\n");
    }
    out
}

fn draw(
    out: &mut String,
    sheet: &PdfSheet,
    state: &mut State,
    marks: &[&Mark],
    faces: &[Option<Embedded>; 2],
    forms: &mut Forms,
) {
    for together in runs(marks) {
        if let Some((first, at)) = forms.placed(sheet, together) {
            state.take(out, &first.ink);
            out.push_str(&at);
            continue;
        }
        for mark in together {
            match &mark.ink {
                Ink::Words(words) => self::words(out, sheet, state, words, faces),
                ink => {
                    state.take(out, ink);
                    sheet.shape(out, ink);
                }
            }
        }
    }
}

fn words(
    out: &mut String,
    sheet: &PdfSheet,
    state: &mut State,
    words: &Words,
    faces: &[Option<Embedded>; 2],
) {
    let Some(face) = &faces[words.bold as usize] else { return };
    set_fill(out, state, words.shade);
    let mut at = words.start();
    let (sx, sy) = sheet.stretch;
    let matrix = match (words.upward, words.mirrored) {
        (true, _) => [0.0, sy, -sx, 0.0],
        (false, true) => [-sx, 0.0, 0.0, sy],
        (false, false) => [sx, 0.0, 0.0, sy],
    };
    if words.mirrored {
        at.x += words.width();
    }
    out.push_str(&format!("BT /F{} ", words.bold as usize));
    push(out, words.size, PLACES);
    out.push_str(" Tf ");
    for v in matrix {
        push(out, v, 6);
        out.push(' ');
    }
    sheet.point(out, at);
    out.push_str("Tm ");
    face.push(out, &words.text);
    out.push_str(" ET\n");
}
