//! The complex exponential as a map of the plane, which keeps angles: a strip becomes a sector, its rows arcs.

use super::{biarcs, Point, Ring, Vec2};
use std::f64::consts::FRAC_PI_2;

/// (x, y) goes to the angle x / `unit` clockwise from straight up and the radius `radius` exp(y / `unit`).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LogPolar {
    /// The point that no point of the strip goes to.
    pub centre: Point,
    /// Where y = 0 goes to, mm from the centre.
    pub radius: f64,
    /// Length along the strip that becomes one radian.
    pub unit: f64,
    /// 1, or -1 for the same turned upside down: straight down, anticlockwise, y growing towards the centre.
    pub side: f64,
}

impl LogPolar {
    /// Where a point goes, and where a step `d` from it.
    fn place(&self, p: Point, d: Vec2) -> (Point, Vec2) {
        let radius = self.radius * libm::exp(self.side * p.y / self.unit);
        let angle = self.side * (FRAC_PI_2 - p.x / self.unit);
        let out = Vec2::new(libm::cos(angle), libm::sin(angle));
        let (right, up) = (Vec2::new(out.y, -out.x) * self.side, out * self.side);
        (self.centre + out * radius, (right * d.x + up * d.y) * (radius / self.unit))
    }

    /// A ring under the map; its edges become arcs within the twentieth of a micrometre.
    pub fn ring(&self, ring: &Ring) -> Ring {
        let bent = |e: super::Edge| biarcs(&|t| self.place(e.point(t), e.direction(t)), 0.0, 1.0);
        Ring::new(ring.edges().flat_map(bent).collect())
    }
}
