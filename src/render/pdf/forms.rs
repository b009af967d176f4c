//! Form XObjects: what is drawn alike at many places, the marks of openings of one shape above all, stands in the file once
//! and is placed. A page of ten thousand openings takes a sixth of the bytes and of the time.

use super::sheet::{look, PdfSheet, State};
use super::{by_group, FileStamp};
use crate::geom::{Grow, Mixed, Point, Rect, Vec2};
use crate::paper::{Group, Ink, Mark, Page, Pen, Stamp, StampPlace};
use crate::render::numbers::push_scaled;
use lopdf::{dictionary, Dictionary, Document, Object, ObjectId, Stream};
use std::collections::{BTreeMap, HashMap};
use std::hash::BuildHasherDefault;

/// Fewer places than this are drawn one by one. Smaller makes forms that save nothing; larger writes more.
const MANY: usize = 64;
/// Marks are drawn alike when their points differ by no more than about this, mm: the rounding of the page is 3,500 times coarser.
const ALIKE: f64 = 1e-7;
/// The same for the bulge of an edge.
const BULGE_ALIKE: f64 = 1e-9;

/// Marks that follow each other and belong to one opening; others one by one.
pub(super) fn runs<'a, 'b>(marks: &'a [&'b Mark]) -> impl Iterator<Item = &'a [&'b Mark]> {
    marks.chunk_by(|a, b| a.opening > 0 && a.opening == b.opening && a.copy == b.copy)
}

/// All forms of a file.
pub(super) struct Forms {
    /// What the runs of all pages look like, in the order they are drawn in: a place in `drawn`, and where they stand.
    runs: std::vec::IntoIter<Option<(usize, Point)>>,
    drawn: Vec<DrawnAlike>,
    made: Vec<MadeForm>,
    /// Those of stamps.
    stamped: BTreeMap<StampKey, usize>,
}

/// How often runs of marks occur that look alike, and their form once it is made.
#[derive(Default)]
struct DrawnAlike {
    count: usize,
    made: Option<usize>,
}

/// Which form a row of a stamp's places takes.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct StampKey {
    /// Where the stamp's marks lie in memory: pages share them.
    marks: usize,
    /// Which of them.
    part: (Group, usize),
    stretch: [u64; 2],
    count: usize,
    step: [i64; 2],
}

/// So many places at even steps are one form. Larger saves less and less, and leaves more places at the ends of rows.
const ROW: usize = 8;

/// How many places from the first on are taken together, and the step between them: a row of even steps, or one.
fn even_steps(places: &[StampPlace]) -> (usize, Vec2) {
    let Some(row) = places.get(..ROW) else { return (1, Vec2::ZERO) };
    let step = row[1].at - row[0].at;
    let in_step = |(i, place): (usize, &StampPlace)| {
        let off = place.at - (row[0].at + step * i as f64);
        off.x.abs().max(off.y.abs()) <= ALIKE
    };
    match row.iter().enumerate().all(in_step) {
        true => (ROW, step),
        false => (1, Vec2::ZERO),
    }
}

struct MadeForm {
    content: String,
    bounds: [f64; 4],
    id: Option<ObjectId>,
    /// Placed on the page that is being written.
    used: bool,
}

impl Forms {
    /// Counts what is drawn alike on these pages.
    pub(super) fn of(pages: &[&Page]) -> Forms {
        // Looked up only, never walked.
        let mut known: HashMap<Vec<i64>, usize, BuildHasherDefault<Mixed>> = HashMap::default();
        let (mut drawn, mut looks): (Vec<DrawnAlike>, Vec<i64>) = (Vec::new(), Vec::new());
        let mut all = Vec::new();
        for page in pages {
            let sheet = PdfSheet::new(page);
            for marks in by_group(page).flat_map(|part| [part.theirs, part.own]) {
                all.extend(runs(&marks).map(|run| {
                    let at = looks_of(&mut looks, &sheet, run)?;
                    let alike = known.get(&looks).copied().unwrap_or_else(|| {
                        known.insert(looks.clone(), drawn.len());
                        drawn.push(DrawnAlike::default());
                        drawn.len() - 1
                    });
                    drawn[alike].count += 1;
                    Some((alike, at))
                }));
            }
        }
        Forms { runs: all.into_iter(), drawn, made: Vec::new(), stamped: BTreeMap::new() }
    }

    /// Places the form of the run that is drawn next, and gives the mark whose pen and shade it is drawn with; `None` if it
    /// has none. Asked once for every run of every page, in their order.
    pub(super) fn placed<'a>(&mut self, sheet: &PdfSheet, run: &[&'a Mark]) -> Option<(&'a Mark, String)> {
        let (alike, at) = self.runs.next()??;
        let alike = &mut self.drawn[alike];
        if alike.count < MANY {
            return None;
        }
        let form = *alike.made.get_or_insert_with(|| {
            self.made.push(MadeForm::of(&sheet.about(at), run));
            self.made.len() - 1
        });
        let mut out = String::new();
        self.place(&mut out, sheet, form, at);
        Some((*run.first()?, out))
    }

    /// Places a made form with what it was drawn about at a point of the page.
    fn place(&mut self, out: &mut String, sheet: &PdfSheet, form: usize, at: Point) {
        self.made[form].used = true;
        out.push_str("q 1 0 0 1 ");
        sheet.point(out, at);
        out.push_str("cm /S");
        push_scaled(out, form as i64, 0);
        out.push_str(" Do Q\n");
    }

    /// What a stamp holds of a group. Places in a row at even steps are placed several at a time: their form has all of their
    /// paths, since readers are slow at forms within forms.
    pub(super) fn stamp(
        &mut self,
        out: &mut String,
        sheet: &PdfSheet,
        state: &mut State,
        stamp: &Stamp,
        group: Group,
    ) {
        let marks: Vec<&Mark> = stamp.of(group).collect();
        for (part, alike) in marks.chunk_by(|a, b| look(&a.ink) == look(&b.ink)).enumerate() {
            state.take(out, &alike[0].ink);
            let mut places = &stamp.places[..];
            while let Some(first) = places.first() {
                let (count, step) = even_steps(places);
                let key = StampKey {
                    marks: stamp.marks.as_ptr() as usize,
                    part: (group, part),
                    stretch: [sheet.stretch.0, sheet.stretch.1].map(f64::to_bits),
                    count,
                    step: [step.x, step.y].map(|v| (v / ALIKE).round() as i64),
                };
                let form = match self.stamped.get(&key) {
                    Some(form) => *form,
                    None => {
                        self.made.push(MadeForm::of_row(sheet, alike, (count, step)));
                        self.stamped.insert(key, self.made.len() - 1);
                        self.made.len() - 1
                    }
                };
                self.place(out, sheet, form, first.at);
                places = &places[count..];
            }
        }
    }

    /// The forms placed on the page that was written last, as its resources name them.
    pub(super) fn add_used(&mut self, document: &mut Document, stamp: &mut FileStamp) -> Dictionary {
        let mut used = Dictionary::new();
        for (place, form) in self.made.iter_mut().enumerate() {
            if !std::mem::take(&mut form.used) {
                continue;
            }
            let id = *form.id.get_or_insert_with(|| {
                stamp.take(form.content.as_bytes());
                let dictionary = dictionary! {
                    "Type" => "XObject",
                    "Subtype" => "Form",
                    "BBox" => form.bounds.map(|v| Object::Real(v as f32)).to_vec(),
                    "Resources" => Dictionary::new(),
                };
                let content = std::mem::take(&mut form.content).into_bytes();
                document.add_object(Stream::new(dictionary, content).with_compression(false))
            });
            used.set(format!("S{place}"), id);
        }
        used
    }
}

impl MadeForm {
    fn of(sheet: &PdfSheet, run: &[&Mark]) -> MadeForm {
        let mut content = String::new();
        run.iter().for_each(|mark| sheet.shape(&mut content, &mark.ink));
        MadeForm::around(sheet, content, run.iter().map(|mark| mark.bounds()))
    }

    /// Marks about the origin, so many times at even steps.
    fn of_row(sheet: &PdfSheet, marks: &[&Mark], (count, step): (usize, Vec2)) -> MadeForm {
        let mut content = String::new();
        let offs = (0..count).map(|i| step * i as f64);
        for off in offs.clone() {
            let sheet = sheet.about(Point::ORIGIN - off);
            marks.iter().for_each(|mark| sheet.shape(&mut content, &mark.ink));
        }
        let bounds = offs.flat_map(|off| marks.iter().map(move |mark| mark.bounds() + off));
        MadeForm::around(&sheet.about(Point::ORIGIN), content, bounds)
    }

    fn around(sheet: &PdfSheet, content: String, bounds: impl Iterator<Item = Rect>) -> MadeForm {
        let around = bounds.reduce(|a, b| a.union(b)).unwrap_or_default();
        // A millimetre more: nothing is cut off by it.
        let b = around.grow(1.0);
        let bounds = [sheet.x(b.x0), sheet.y(b.y1), sheet.x(b.x1), sheet.y(b.y0)].map(f64::round);
        MadeForm { content, bounds, id: None, used: false }
    }
}

/// What a run of marks looks like wherever it stands, and the point it stands at; `None` for words, for marks of several
/// looks and for a single line, which a form would not make shorter.
fn looks_of(looks: &mut Vec<i64>, sheet: &PdfSheet, run: &[&Mark]) -> Option<Point> {
    looks.clear();
    let (fill, pen) = look(&run.first()?.ink);
    let pen_looks = |pen: &Pen| {
        let (on, off) = pen.dash.unwrap_or_default();
        [pen.width, f64::from(pen.shade), on, off].map(|v| v.to_bits() as i64)
    };
    looks.extend([sheet.stretch.0, sheet.stretch.1].map(|v| v.to_bits() as i64));
    looks.push(fill.map_or(-1, i64::from));
    looks.extend(pen.iter().flat_map(pen_looks));
    let mut at: Option<Point> = None;
    let mut point = |looks: &mut Vec<i64>, p: Point| {
        let from = *at.get_or_insert(p);
        looks.extend([p.x - from.x, p.y - from.y].map(|v| (v / ALIKE).round() as i64));
    };
    for mark in run {
        if look(&mark.ink) != (fill, pen) {
            return None;
        }
        match &mark.ink {
            Ink::Area { rings, .. } | Ink::Closed { rings, .. } => {
                looks.push(-2);
                for ring in rings {
                    looks.push(ring.vertices().len() as i64);
                    for v in ring.vertices() {
                        point(looks, v.at);
                        looks.push((v.bulge / BULGE_ALIKE).round() as i64);
                    }
                }
            }
            Ink::Line { .. } if run.len() == 1 => return None,
            Ink::Line { points, .. } => {
                looks.extend([-3, points.len() as i64]);
                points.iter().for_each(|p| point(looks, *p));
            }
            Ink::Circle { at, radius, .. } => {
                looks.extend([-4, (radius / ALIKE).round() as i64]);
                point(looks, *at);
            }
            Ink::Words(_) => return None,
        }
    }
    at
}
