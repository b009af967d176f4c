//! A page as pixels, for a screen or a printed notice: `draw --png`.
//!
//! Drawn straight from the page model with `tiny-skia`, so that no font of the reader's machine is needed.

use super::numbers::walk;
use crate::geom::{Point, Ring};
use crate::paper::letters::{self, MM_PER_PT};
use crate::paper::{Ink, Mark, Page, Pen, Stamp, Words};
use crate::units::limits::PIXELS;
use crate::units::MM_PER_INCH;
use tiny_skia::{FillRule, Paint, PathBuilder, Pixmap, PixmapPaint, Stroke, StrokeDash, Transform};

/// The picture at `dpi` dots to the inch, or nothing if the page has no size.
pub fn png(page: &Page, dpi: f64) -> Option<Vec<u8>> {
    let most = (PIXELS / (page.width * page.height)).sqrt();
    let scale = (dpi / MM_PER_INCH).min(most);
    let (w, h) = ((page.width * scale).round() as u32, (page.height * scale).round() as u32);
    let mut picture = Pixmap::new(w.max(1), h.max(1))?;
    picture.fill(tiny_skia::Color::WHITE);
    let whole = Transform::from_scale(scale as f32, scale as f32);
    let stamped: Vec<Mark> = page.stamps.iter().flat_map(Stamp::each).collect();
    let mut marks: Vec<_> = page.marks.iter().chain(&stamped).collect();
    marks.sort_by_key(|m| (m.group, m.copy == 0));
    // A split piece is drawn apart and only its window is laid on.
    if let Some(window) = page.window {
        let mut inner = Pixmap::new(w.max(1), h.max(1))?;
        marks.iter().filter(|m| m.copy != 0).for_each(|m| draw(&mut inner, &m.ink, whole));
        let (x, y) = ((window.x0 * scale).ceil() as i32, (window.y0 * scale).ceil() as i32);
        let rect = tiny_skia::IntRect::from_xywh(
            x,
            y,
            (window.width() * scale).floor() as u32,
            (window.height() * scale).floor() as u32,
        )?;
        let cut = inner.clone_rect(rect)?;
        picture.draw_pixmap(x, y, cut.as_ref(), &PixmapPaint::default(), Transform::identity(), None);
        marks.retain(|m| m.copy == 0);
    }
    marks.iter().for_each(|m| draw(&mut picture, &m.ink, whole));
    picture.encode_png().ok()
}

fn draw(picture: &mut Pixmap, ink: &Ink, whole: Transform) {
    match ink {
        Ink::Area { rings, shade, pen } => {
            fill(picture, outline(rings), *shade, whole);
            pen.iter().for_each(|pen| line(picture, outline(rings), pen, whole));
        }
        Ink::Closed { rings, pen } => line(picture, outline(rings), pen, whole),
        Ink::Line { points, pen } => {
            let mut path = PathBuilder::new();
            for (i, p) in points.iter().enumerate() {
                if i == 0 {
                    path.move_to(p.x as f32, p.y as f32);
                } else {
                    path.line_to(p.x as f32, p.y as f32);
                }
            }
            line(picture, path.finish(), pen, whole);
        }
        Ink::Circle { at, radius, fill: shade, pen } => {
            let ring = [Ring::circle(*at, *radius)];
            if let Some(shade) = shade {
                fill(picture, outline(&ring), *shade, whole);
            }
            if let Some(pen) = pen {
                line(picture, outline(&ring), pen, whole);
            }
        }
        Ink::Words(words) => letters_of(picture, words, whole),
    }
}

fn outline(rings: &[Ring]) -> Option<tiny_skia::Path> {
    let mut path = PathBuilder::new();
    for ring in rings {
        walk(ring, |letter, p: &[Point]| match (letter, p) {
            ('M', [a]) => path.move_to(a.x as f32, a.y as f32),
            ('L', [a]) => path.line_to(a.x as f32, a.y as f32),
            ('C', [a, b, c]) => {
                path.cubic_to(a.x as f32, a.y as f32, b.x as f32, b.y as f32, c.x as f32, c.y as f32)
            }
            _ => path.close(),
        });
    }
    path.finish()
}

fn paint(shade: u8) -> Paint<'static> {
    let v = 255 - (u32::from(shade.min(100)) * 255 / 100) as u8;
    let mut paint = Paint::default();
    paint.set_color_rgba8(v, v, v, 255);
    paint.anti_alias = true;
    paint
}

fn fill(picture: &mut Pixmap, path: Option<tiny_skia::Path>, shade: u8, whole: Transform) {
    if let Some(path) = path {
        picture.fill_path(&path, &paint(shade), FillRule::EvenOdd, whole, None);
    }
}

fn line(picture: &mut Pixmap, path: Option<tiny_skia::Path>, pen: &Pen, whole: Transform) {
    let Some(path) = path else { return };
    let dash = pen.dash.and_then(|(on, off)| StrokeDash::new(vec![on as f32, off as f32], 0.0));
    let stroke = Stroke { width: pen.width as f32, dash, ..Stroke::default() };
    picture.stroke_path(&path, &paint(pen.shade), &stroke, whole, None);
}

/// Letters as shapes, from the same face the widths were measured with.
fn letters_of(picture: &mut Pixmap, words: &Words, whole: Transform) {
    let Some(face) = letters::face(words.bold) else { return };
    let unit = words.size * MM_PER_PT / f64::from(face.units_per_em());
    let mut start = words.start();
    if words.mirrored {
        start.x += words.width();
    }
    let mut x = 0.0;
    for (c, step) in letters::steps(&words.text, words.bold) {
        let Some(glyph) = face.glyph_index(c).or_else(|| face.glyph_index('?')) else { continue };
        let mut pen = Tracer {
            path: PathBuilder::new(),
            start,
            x,
            unit,
            upward: words.upward,
            mirrored: words.mirrored,
        };
        if face.outline_glyph(glyph, &mut pen).is_some()
            && let Some(path) = pen.path.finish()
        {
            picture.fill_path(&path, &paint(words.shade), FillRule::Winding, whole, None);
        }
        x += f64::from(step) * unit;
    }
}

struct Tracer {
    path: PathBuilder,
    start: Point,
    x: f64,
    unit: f64,
    upward: bool,
    mirrored: bool,
}

impl Tracer {
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        let (along, up) = (self.x + f64::from(x) * self.unit, f64::from(y) * self.unit);
        if self.upward {
            ((self.start.x - up) as f32, (self.start.y - along) as f32)
        } else if self.mirrored {
            ((self.start.x - along) as f32, (self.start.y - up) as f32)
        } else {
            ((self.start.x + along) as f32, (self.start.y - up) as f32)
        }
    }
}

impl ttf_parser::OutlineBuilder for Tracer {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.path.move_to(x, y);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.path.line_to(x, y);
    }
    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ((x1, y1), (x, y)) = (self.at(x1, y1), self.at(x, y));
        self.path.quad_to(x1, y1, x, y);
    }
    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.path.cubic_to(x1, y1, x2, y2, x, y);
    }
    fn close(&mut self) {
        self.path.close();
    }
}
