//! Marks as the operators of a page stream, in points.

use super::super::numbers::{push, walk};
use super::PLACES;
use crate::geom::{Point, Ring};
use crate::paper::{Ink, Page, Pen};
use crate::units::PT_PER_MM;

/// From page mm (y down) to points (y up), stretched about the page's middle to make up for the printer.
pub(super) struct PdfSheet {
    /// A point of the page, and where it lies, mm from the lower left corner.
    from: Point,
    to: (f64, f64),
    pub(super) stretch: (f64, f64),
}

impl PdfSheet {
    pub(super) fn new(page: &Page) -> Self {
        let half = (page.width / 2.0, page.height / 2.0);
        let stretch = (100.0 / page.correction.0, 100.0 / page.correction.1);
        Self { from: Point::new(half.0, half.1), to: half, stretch }
    }
    /// The same with a point of the page in the corner.
    pub(super) fn about(&self, from: Point) -> Self {
        Self { from, to: (0.0, 0.0), ..*self }
    }
    pub(super) fn x(&self, x: f64) -> f64 {
        (self.to.0 + (x - self.from.x) * self.stretch.0) * PT_PER_MM
    }
    pub(super) fn y(&self, y: f64) -> f64 {
        (self.to.1 - (y - self.from.y) * self.stretch.1) * PT_PER_MM
    }
    pub(super) fn point(&self, out: &mut String, p: Point) {
        push(out, self.x(p.x), PLACES);
        out.push(' ');
        push(out, self.y(p.y), PLACES);
        out.push(' ');
    }
    fn ring(&self, out: &mut String, ring: &Ring) {
        walk(ring, |letter, points| {
            points.iter().for_each(|p| self.point(out, *p));
            out.push_str(match letter {
                'M' => "m\n",
                'L' => "l\n",
                'C' => "c\n",
                _ => "h\n",
            });
        });
    }
}

impl PdfSheet {
    /// A circle as four curves while that stays within half a micrometre of it, else as a ring.
    fn circle(&self, out: &mut String, at: Point, r: f64) {
        /// Handle length that spreads the fault evenly, 1.96e-4 of the radius (from memory, believed common
        /// knowledge among type designers; the fault is checked in `tests/render.rs`).
        const HANDLE: f64 = 0.551_915_024_5;
        const LARGEST: f64 = 2.5;
        if r > LARGEST {
            return self.ring(out, &Ring::circle(at, r));
        }
        let h = HANDLE * r;
        let p = |x: f64, y: f64| Point::new(at.x + x, at.y + y);
        self.point(out, p(r, 0.0));
        out.push_str("m\n");
        for [a, b, c] in [
            [p(r, h), p(h, r), p(0.0, r)],
            [p(-h, r), p(-r, h), p(-r, 0.0)],
            [p(-r, -h), p(-h, -r), p(0.0, -r)],
            [p(h, -r), p(r, -h), p(r, 0.0)],
        ] {
            [a, b, c].into_iter().for_each(|q| self.point(out, q));
            out.push_str("c\n");
        }
        out.push_str("h\n");
    }
}

impl PdfSheet {
    /// A mark drawn with the pen and shade in use; of words nothing.
    pub(super) fn shape(&self, out: &mut String, ink: &Ink) {
        match ink {
            Ink::Area { rings, pen, .. } => {
                rings.iter().for_each(|r| self.ring(out, r));
                out.push_str(if pen.is_some() { "B*\n" } else { "f*\n" });
            }
            Ink::Closed { rings, .. } => {
                rings.iter().for_each(|r| self.ring(out, r));
                out.push_str("S\n");
            }
            Ink::Line { points, .. } => {
                for (i, p) in points.iter().enumerate() {
                    self.point(out, *p);
                    out.push_str(if i == 0 { "m\n" } else { "l\n" });
                }
                out.push_str("S\n");
            }
            Ink::Circle { at, radius, fill, pen } => {
                self.circle(out, *at, *radius);
                out.push_str(match (fill, pen) {
                    (Some(_), Some(_)) => "B\n",
                    (Some(_), None) => "f\n",
                    (None, Some(_)) => "S\n",
                    (None, None) => "n\n",
                });
            }
            Ink::Words(_) => {}
        }
    }
}

/// The shade and the pen a mark is drawn with.
pub(super) fn look(ink: &Ink) -> (Option<u8>, Option<Pen>) {
    match ink {
        Ink::Area { shade, pen, .. } => (Some(*shade), *pen),
        Ink::Closed { pen, .. } | Ink::Line { pen, .. } => (None, Some(*pen)),
        Ink::Circle { fill, pen, .. } => (*fill, *pen),
        Ink::Words(words) => (Some(words.shade), None),
    }
}

/// The pen and shades in use, so that each is said once.
#[derive(Default)]
pub(super) struct State {
    pen: Option<Pen>,
    fill: Option<u8>,
}

impl State {
    /// Takes up the shade and the pen that a mark is drawn with.
    pub(super) fn take(&mut self, out: &mut String, ink: &Ink) {
        let (fill, pen) = look(ink);
        fill.iter().for_each(|shade| set_fill(out, self, *shade));
        pen.iter().for_each(|pen| set_pen(out, self, pen));
    }
}

pub(super) fn set_fill(out: &mut String, state: &mut State, shade: u8) {
    if state.fill != Some(shade) {
        push(out, 1.0 - f64::from(shade) / 100.0, PLACES);
        out.push_str(" g\n");
        state.fill = Some(shade);
    }
}

fn set_pen(out: &mut String, state: &mut State, pen: &Pen) {
    if state.pen == Some(*pen) {
        return;
    }
    push(out, 1.0 - f64::from(pen.shade) / 100.0, PLACES);
    out.push_str(" G ");
    push(out, pen.width * PT_PER_MM, PLACES);
    out.push_str(" w ");
    let dash = pen.dash.or(state.pen.and_then(|p| p.dash).map(|_| (0.0, 0.0)));
    match dash {
        Some((on, off)) if on > 0.0 => {
            out.push('[');
            push(out, on * PT_PER_MM, PLACES);
            out.push(' ');
            push(out, off * PT_PER_MM, PLACES);
            out.push_str("] 0 d\n");
        }
        Some(_) => out.push_str("[] 0 d\n"),
        None => out.push('\n'),
    }
    state.pen = Some(*pen);
}
