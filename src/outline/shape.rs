//! The shapes an outline, a window or a kept place may have, each round the middle of its size over all.

use super::curved::{crescent, cushion, heart, marquise, teardrop};
use super::strip::{band_length, ConeBlank};
use crate::error::Error;
use crate::geom::{ellipse, Point, Ring, Vec2, Vertex};
use crate::job::Shape;
use crate::units::Mm;

/// The outer line of a shape, as [`rings`].
pub fn outer(shape: &Shape) -> Result<Ring, Error> {
    rings(shape)?.into_iter().next().ok_or_else(no_line)
}

/// What cannot be: a shape is read with at least one line.
pub(super) fn no_line() -> Error {
    Error::inside("an outline came out without a line")
}

/// The ring of a shape, anticlockwise, with the middle of its size over all at the origin; for drawn shapes the inner
/// lines follow, which are windows. Errors when the sizes leave no shape.
pub fn rings(shape: &Shape) -> Result<Vec<Ring>, Error> {
    let ring = match *shape {
        Shape::Circle { diameter } => Ring::circle(Point::ORIGIN, diameter.get() / 2.0),
        Shape::Ellipse { width, height } => ellipse(width.get(), height.get()),
        Shape::Rectangle { width, height, corner_radius } => {
            rectangle(width.get(), height.get(), corner_radius.get())
        }
        Shape::Polygon { sides, across, corner_radius } => {
            let corners = (0..sides).map(|k| {
                let (s, c) = crate::geom::sin_cos_degrees(90.0 + 360.0 * f64::from(k) / f64::from(sides));
                Point::new(c, s) + Vec2::ZERO
            });
            let sharp = Ring::polygon(corners).scaled(across.get() / 2.0);
            sharp.rounded(corner_radius.get()).into_iter().next().ok_or_else(|| {
                no_shape("the corners are too round for this polygon", "give a smaller corner_radius")
            })?
        }
        Shape::Teardrop { width, height, tip_radius } => tipped(width, height, tip_radius, teardrop)
            .ok_or_else(|| no_shape("a teardrop is taller than it is wide", "make it taller or narrower"))?,
        Shape::Heart { width, height, tip_radius } => tipped(width, height, tip_radius, heart)
            .ok_or_else(|| no_shape("this heart is too flat for its lobes", "make it taller or narrower"))?,
        Shape::Marquise { width, height, tip_radius } => {
            tipped(width, height, tip_radius, |w, h| Some(marquise(w, h))).ok_or_else(|| {
                no_shape("the tips are too round for this pointed oval", "give a smaller tip_radius")
            })?
        }
        Shape::Cushion { width, height, corner_radius } => {
            cushion(width.get(), height.get(), corner_radius.get()).ok_or_else(|| {
                no_shape("the corners are too round for this cushion", "give a smaller corner_radius")
            })?
        }
        Shape::Crescent { width, height, thick, tip_radius } => {
            let thin = thick.get() - 2.0 * tip_radius.get();
            tipped(width, height, tip_radius, |w, h| crescent(w, h, thin)).ok_or_else(|| {
                no_shape(
                    "these sizes leave no crescent: one size must be smaller than the other, and thick smaller than both",
                    "make it narrower, or thick smaller",
                )
            })?
        }
        Shape::Band { inside, width, thickness, .. } => {
            rectangle(band_length(inside, thickness).get(), width.get(), 0.0)
        }
        Shape::Cone { top, bottom, height } => ConeBlank::new(top, bottom, height)?.ring(),
        Shape::Drawn { ref rings } => return centred(rings),
    };
    centred(&[ring])
}

/// Anticlockwise rings moved together so that the first one's size over all has its middle at the origin.
fn centred(rings: &[Ring]) -> Result<Vec<Ring>, Error> {
    let rings: Vec<Ring> = rings.iter().map(|r| r.clone().anticlockwise()).collect();
    let Some(first) = rings.first().filter(|r| r.area() > 0.0) else {
        return Err(no_shape(
            "these sizes leave no shape",
            "make the outline bigger or its corners less round",
        ));
    };
    let middle = first.bounds().center().to_vec2();
    Ok(if middle.hypot2().sqrt() > 1e-12 {
        rings.iter().map(|r| r.translated(-middle)).collect()
    } else {
        rings
    })
}

fn no_shape(wrong: &str, todo: &str) -> Error {
    Error::job(wrong, todo)
}

/// A shape with its tips rounded, its size over all kept: the sharp shape drawn smaller by the radius all round, then
/// let out again.
fn tipped(width: Mm, height: Mm, radius: Mm, sharp: impl Fn(f64, f64) -> Option<Ring>) -> Option<Ring> {
    let r = radius.get().max(0.0);
    let (w, h) = (width.get() - 2.0 * r, height.get() - 2.0 * r);
    if w <= 0.0 || h <= 0.0 {
        return None;
    }
    Some(sharp(w, h)?.grow(r))
}

/// A rectangle with its corners rounded by quarter circles; a radius past half the shorter side is held there.
pub fn rectangle(width: f64, height: f64, corner_radius: f64) -> Ring {
    let (x, y) = (width / 2.0, height / 2.0);
    let r = corner_radius.min(x).min(y);
    if r <= 0.0 {
        return Ring::polygon([(-x, -y), (x, -y), (x, y), (-x, y)].map(Point::from));
    }
    let quarter = std::f64::consts::SQRT_2 - 1.0; // tan(90 degrees / 4)
    let mut corners = Vec::with_capacity(8);
    for (a, b) in [
        ((x - r, -y), (x, -y + r)),
        ((x, y - r), (x - r, y)),
        ((-x + r, y), (-x, y - r)),
        ((-x, -y + r), (-x + r, -y)),
    ] {
        corners.push(Vertex { at: Point::from(a), bulge: quarter });
        corners.push(Vertex { at: Point::from(b), bulge: 0.0 });
    }
    let n = corners.len();
    let kept = (0..n).filter(|&i| (corners[i].at - corners[(i + 1) % n].at).hypot2().sqrt() > 1e-12);
    Ring::new(kept.map(|i| corners[i]).collect())
}
