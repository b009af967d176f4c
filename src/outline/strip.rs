//! Blanks that are bent to meet themselves: the flat strip of a band and the sector of a cone.

use crate::error::{fault, Error};
use crate::geom::{arc_about, sin_cos_degrees, Point, Ring, Vec2};
use crate::units::Mm;
use std::f64::consts::PI;

/// Metal left on each end to be filed away until the two meet, mm (assumed; less leaves nothing to true up, more only
/// costs filing).
pub const FILING: f64 = 0.1;

/// Farthest round a cone's blank may go, degrees. Beyond it the two ends touch on the flat and cannot be sawn apart.
const FLATTEST: f64 = 359.0;

/// Length of a band's blank along the middle of its thickness: pi (inside + thickness) (the trade's usual rule).
pub fn band_length(inside: Mm, thickness: Mm) -> Mm {
    (inside + thickness) * PI
}

/// The flat blank of an open cone, a piece of a ring round `apex`. Sizes at the middle of the thickness.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConeBlank {
    /// Radii of the two arcs on the flat, mm.
    pub inner: f64,
    /// Radius of the outer arc, mm.
    pub outer: f64,
    /// Angle between the two straight ends, degrees.
    pub angle: f64,
    /// Direction of its middle from the apex, degrees: down when the top is the narrow end, else up.
    pub middle: f64,
    /// Centre of both arcs, with the middle of the blank's size over all at the origin.
    pub apex: Point,
}

impl ConeBlank {
    /// The blank of a cone `top` and `bottom` across and `height` tall: slant s = sqrt(H^2 + ((d2 - d1) / 2)^2), radii
    /// R2 = s d2 / (d2 - d1) and R1 = R2 - s, angle 180 (d2 - d1) / s degrees (the sheet-metal worker's layout of a
    /// frustum; common practice). Errors when both ends are the same size, or a size is nothing.
    pub fn new(top: Mm, bottom: Mm, height: Mm) -> Result<ConeBlank, Error> {
        let (d1, d2) = (top.min(bottom).get(), top.max(bottom).get());
        if d1 <= 0.0 || height.get() <= 0.0 {
            return Err(Error::job(
                "a cone needs a top, a bottom and a height of some size",
                "give all three",
            ));
        }
        if d2 - d1 < 1e-3 * d2 {
            return Err(Error::job(
                "the top and the bottom of this cone are the same size",
                "use shape = \"band\", or make them differ",
            ));
        }
        let s = libm::hypot(height.get(), (d2 - d1) / 2.0);
        let angle = 180.0 * (d2 - d1) / s;
        if angle > FLATTEST {
            return Err(Error::job(
                format!("this cone is almost flat: its blank goes {angle:.0} degrees round"),
                "make it taller, or use shape = \"circle\" with a window",
            ));
        }
        let outer = s * d2 / (d2 - d1);
        let middle = if top <= bottom { 270.0 } else { 90.0 };
        let blank =
            ConeBlank { inner: outer - s, outer, angle: 180.0 * (d2 - d1) / s, middle, apex: Point::ORIGIN };
        let apex = -blank.ring().bounds().center().to_vec2();
        Ok(ConeBlank { apex: apex.to_point(), ..blank })
    }

    /// The drawn edge.
    pub fn ring(&self) -> Ring {
        self.part(0.0, 0.0).unwrap_or_else(|| fault("the flat blank of a cone has no line"))
    }

    /// The blank with its arcs drawn in by `border` and each straight end by `end` mm (let out when negative), the
    /// ends staying parallel to where they were. `None` if nothing is left.
    pub fn part(&self, border: f64, end: f64) -> Option<Ring> {
        let (inner, outer) = (self.inner + border, self.outer - border);
        let half = self.angle / 2.0;
        // A line `end` beside the ray meets a circle of radius r at an angle asin(end / r) from it.
        let lean = |r: f64| libm::asin((end / r).clamp(-1.0, 1.0)).to_degrees();
        if inner >= outer || inner <= end || lean(inner) >= half || half - lean(inner) >= 180.0 {
            return None;
        }
        let at = |r: f64, degrees: f64| {
            let (s, c) = sin_cos_degrees(degrees);
            self.apex + Vec2::new(c, s) * r
        };
        let [a, b] = [-1.0, 1.0].map(|side| at(outer, self.middle + side * (half - lean(outer))));
        let [d, c] = [-1.0, 1.0].map(|side| at(inner, self.middle + side * (half - lean(inner))));
        let mut corners = arc_about(self.apex, outer, a, b, true);
        corners.push(crate::geom::Vertex { at: b, bulge: 0.0 });
        corners.extend(arc_about(self.apex, inner, c, d, false));
        corners.push(crate::geom::Vertex { at: d, bulge: 0.0 });
        Some(Ring::new(corners))
    }
}
