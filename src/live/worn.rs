//! A piece as it is worn: a ring rolled up, earrings side by side. Flat drawings, no solid model.

use super::drawing::path;
use super::Answer;
use crate::error::Error;
use crate::geom::{Point, Ring, Vertex};
use crate::job::Shape;
use crate::openings::Piece;
use crate::pipeline::Session;
use crate::render::numbers::push;
use serde_json::json;
use std::f64::consts::TAU;

/// The axis of a ring is tipped towards the eye by this, radians: enough to see into it, little enough to judge the openwork.
const TIPPED: f64 = 0.42;
/// The eye stands so many ring diameters away: nearer bends the picture, farther flattens it.
const AWAY: f64 = 7.0;
/// Chords of the openings' edges lie so near to them as drawn, mm: coarser, and a drilled hole shows corners.
const CHORD: f64 = 0.004;
/// Longest step along the ring, mm: longer straight lines would cut across its roundness.
const STEP: f64 = 0.6;
/// Points round the edge of a ring. Fewer show corners at a large view.
const ROUND: usize = 144;
/// Between two earrings, of their width.
const APART: f64 = 0.7;

/// `svg` of a band or a pair, or null for a piece that is worn as it lies.
pub(super) fn worn(session: &mut Session) -> Result<Answer, Error> {
    let piece = session.piece()?;
    let job = &session.job()?.0;
    let svg = match &job.outline.shape {
        Shape::Band { inside, width, thickness, .. } => {
            Some(rolled(&piece, inside.get() / 2.0, width.get(), thickness.get()))
        }
        _ if job.pair => Some(side_by_side(&piece)),
        _ => None,
    };
    Ok(Answer::from_iter([("svg".to_string(), json!(svg))]))
}

/// A picture with its own view, y down; colours are the page's, by class.
fn picture((x0, y0, x1, y1): (f64, f64, f64, f64), parts: &[(&str, String)]) -> String {
    let view: Vec<String> = [x0, y0, x1 - x0, y1 - y0].iter().map(|v| crate::units::short(*v, 3)).collect();
    let mut svg = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{}\">", view.join(" "));
    for (class, d) in parts {
        svg += &format!("<path class=\"{class}\" fill-rule=\"evenodd\" d=\"{d}\"/>");
    }
    svg + "</svg>"
}

/// Left and right, mirrored, hanging side by side.
fn side_by_side(piece: &Piece) -> String {
    let edge = &piece.outline.edge;
    let b = edge.bounds();
    let away = b.width() * (1.0 + APART) / 2.0;
    let both = |rings: Vec<&Ring>| -> String {
        let left = rings.iter().map(|r| r.translated((-away, 0.0).into()));
        let right = rings.iter().map(|r| r.mirrored().translated((away, 0.0).into()));
        let all: Vec<Ring> = left.chain(right).collect();
        path(&all)
    };
    let holes: Vec<Ring> =
        piece.outline.holes.iter().map(|h| Ring::circle(h.at, h.diameter.get() / 2.0)).collect();
    let metal = std::iter::once(edge)
        .chain(piece.outline.windows.iter().map(|w| &w.ring))
        .chain(&holes)
        .chain(piece.openings.iter().map(|o| &o.ring));
    let margin = b.height() * 0.08;
    let wide = away + b.width() / 2.0 + margin;
    picture((-wide, -b.y1 - margin, wide, -b.y0 + margin), &[("metal", both(metal.collect()))])
}

/// How a place on a flat strip is seen once it is rolled up: the middle of the strip faces the eye.
struct Eye {
    /// Length of the strip that goes once round.
    length: f64,
    distance: f64,
}

impl Eye {
    /// Where a place of the strip is seen, x right and y up.
    fn sees(&self, at: Point, radius: f64) -> Point {
        let angle = at.x / self.length * TAU;
        let (s, c) = (libm::sin(TIPPED), libm::cos(TIPPED));
        // x to the right, z towards the eye, y along the ring's axis; then the axis is tipped.
        let (x, y, z) = (radius * libm::sin(angle), at.y, radius * libm::cos(angle));
        let (y, z) = (y * c - z * s, y * s + z * c);
        let scale = self.distance / (self.distance - z);
        Point::new(x * scale, y * scale)
    }
}

/// Points along a ring, close enough together to be bent.
fn close_points(ring: &Ring) -> Vec<Point> {
    let points = ring.flatten(CHORD);
    let mut close = Vec::with_capacity(points.len() * 2);
    for (i, a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        let n = ((b - *a).hypot2().sqrt() / STEP).ceil().max(1.0) as usize;
        close.extend((0..n).map(|k| a.lerp(b, k as f64 / n as f64)));
    }
    close
}

/// A band rolled up: the far half seen through the near half.
fn rolled(piece: &Piece, inside: f64, width: f64, thickness: f64) -> String {
    let radius = inside + thickness;
    let b = piece.outline.edge.bounds();
    let eye = Eye { length: b.width(), distance: AWAY * 2.0 * radius };
    let metal: Vec<&Ring> =
        piece.openings.iter().map(|o| &o.ring).chain(piece.outline.windows.iter().map(|w| &w.ring)).collect();
    // Each half of the strip as a shape of its own with its openings cut out of it; what crosses from one to the other is
    // drawn in both, clipped by which way it faces.
    let half = |near: bool, radius: f64| -> String {
        let mut d = String::new();
        let middle = if near { 0.0 } else { eye.length / 2.0 };
        let strip = strip(&eye, middle, width);
        trace(&mut d, strip.iter().map(|p| eye.sees(*p, radius)));
        for ring in &metal {
            let points = close_points(ring);
            for shift in [-eye.length, 0.0, eye.length] {
                let moved: Vec<Point> = points.iter().map(|p| Point::new(p.x + shift, p.y)).collect();
                let kept: Vec<Point> = moved
                    .into_iter()
                    .map(|p| Point::new(p.x.clamp(middle - eye.length / 4.0, middle + eye.length / 4.0), p.y))
                    .collect();
                let area = area(&kept);
                if area.abs() > 1e-3 {
                    trace(&mut d, kept.iter().map(|p| eye.sees(*p, radius)));
                }
            }
        }
        d
    };
    let (far, near) = (half(false, inside), half(true, radius));
    // The upper edge of the metal, as wide as it is thick.
    let mut rim = String::new();
    for radius in [radius, inside] {
        let round = (0..ROUND).map(|k| Point::new(k as f64 / ROUND as f64 * eye.length, width / 2.0));
        trace(&mut rim, round.map(|p| eye.sees(p, radius)));
    }
    let reach = radius * 1.22;
    let high = width * 0.75 + radius * libm::sin(TIPPED) * 1.2;
    picture((-reach, -high, reach, high), &[("far", far), ("far", rim), ("metal", near)])
}

/// Half of the strip as a closed line, from a quarter round to the left of its middle to a quarter to the right.
fn strip(eye: &Eye, middle: f64, width: f64) -> Vec<Point> {
    const PIECES: usize = 48;
    let x = |k: usize| middle + (k as f64 / PIECES as f64 - 0.5) * eye.length / 2.0;
    let lower = (0..=PIECES).map(|k| Point::new(x(k), -width / 2.0));
    let upper = (0..=PIECES).rev().map(|k| Point::new(x(k), width / 2.0));
    lower.chain(upper).collect()
}

fn area(points: &[Point]) -> f64 {
    Ring::new(points.iter().map(|p| Vertex::new(p.x, p.y, 0.0)).collect()).area()
}

fn trace(d: &mut String, points: impl Iterator<Item = Point>) {
    for (i, p) in points.enumerate() {
        d.push(if i == 0 { 'M' } else { 'L' });
        push(d, p.x, 3);
        d.push(' ');
        push(d, -p.y, 3);
    }
    d.push('Z');
}
