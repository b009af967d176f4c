//! The shapes an outline, a window or a kept place may have, each round the middle of its size over all.

use crate::error::Error;
use crate::geom::{ellipse, Corner, Point, Ring, Vec2};
use crate::job::Shape;

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
            sharp.rounded(corner_radius.get()).into_iter().next().unwrap_or_default()
        }
        _ => {
            return Err(Error::job(
                "this outline is not built yet",
                "use circle, ellipse, rectangle or polygon",
            ))
        }
    };
    if ring.is_empty() || ring.area() <= 0.0 {
        return Err(Error::job(
            "these sizes leave no shape",
            "make the outline bigger or its corners less round",
        ));
    }
    let middle = ring.bounds().center().to_vec2();
    Ok(vec![if middle.hypot() > 1e-12 { ring.shifted(-middle) } else { ring }])
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
        corners.push(Corner { at: Point::from(a), bulge: quarter });
        corners.push(Corner { at: Point::from(b), bulge: 0.0 });
    }
    let n = corners.len();
    let kept = (0..n).filter(|&i| (corners[i].at - corners[(i + 1) % n].at).hypot() > 1e-12);
    Ring::new(kept.map(|i| corners[i]).collect())
}
