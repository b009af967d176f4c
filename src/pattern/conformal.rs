//! Conformal map (a complex exponential) of a strip onto a cone's blank: cells shrink towards the narrow end, and both ends of
//! the blank meet as the ends of the strip did.

use crate::geom::{boolean, BooleanOp, LogPolar, Point, Rect, Region, Ring};
use crate::outline::{Outline, Seam};
use crate::units::LengthUnit;
use std::f64::consts::TAU;

/// How the strip lies on the blank. The strip's x runs along, its y = 0 on the curve half way between the borders, where
/// it keeps its size; up on the strip is up on the blank. mm, radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ConformalMap {
    /// The point the blank's curves are struck from.
    centre: Point,
    /// 1 when the blank's curves bow upwards, -1 when they hang down.
    side: f64,
    /// Radius of the curve half way between the borders.
    middle: f64,
    sweep: f64,
    /// Radii of the curves along which the borders run.
    near: f64,
    far: f64,
}

impl ConformalMap {
    /// That of a cone's blank; `None` for everything else, and when the border leaves nothing.
    pub(super) fn of(outline: &Outline) -> Option<ConformalMap> {
        let Some(Seam::Turn { degrees, centre, .. }) = outline.seam else { return None };
        let corners = outline.room.iter().flat_map(|r| r.outer().vertices());
        let (near, far) = corners
            .map(|c| (c.at - centre).hypot2().sqrt())
            .fold((f64::INFINITY, 0.0), |(near, far): (f64, f64), r| (near.min(r), far.max(r)));
        let side = if centre.y > 0.0 { -1.0 } else { 1.0 };
        let bend =
            ConformalMap { centre, side, middle: (near + far) / 2.0, sweep: degrees.to_radians(), near, far };
        (near > 0.0 && far > near).then_some(bend)
    }

    /// Length of the strip that goes once round.
    pub(super) fn run(&self) -> f64 {
        self.middle * self.sweep
    }

    /// The strip that is bent onto the field.
    pub(super) fn strip(&self) -> Rect {
        self.strip_beyond(0.0)
    }

    /// The strip that is bent onto the field and `by` mm more at both borders.
    pub(super) fn strip_beyond(&self, by: f64) -> Rect {
        let at = |r: f64| self.side * self.middle * libm::log(r / self.middle);
        let (a, b) = (at(self.near - by), at(self.far + by));
        Rect::new(-self.run() / 2.0, a.min(b), self.run() / 2.0, a.max(b))
    }

    /// The pitch half way between the borders and at both, for the job card.
    pub(super) fn note(&self, pitch: f64, units: LengthUnit) -> String {
        let (small, large) = self.sizes();
        format!(
            "bent onto the blank: {} is the pitch half way between the borders, {} at the narrow end, {} at the wide one",
            units.says(pitch, 2),
            units.says(pitch * small, 2),
            units.says(pitch * large, 2)
        )
    }

    /// Size at the narrow and the wide border over the size half way.
    pub(super) fn sizes(&self) -> (f64, f64) {
        (self.near / self.middle, self.far / self.middle)
    }

    /// A cell of the strip on the blank. What reaches so far over an end that on the flat it would come to lie at the other one
    /// is cut off half way between the two, where there is no metal.
    pub(super) fn cell(&self, ring: &Ring) -> Vec<Ring> {
        let (half, between) = (self.run() / 2.0, self.middle * (TAU - self.sweep).max(0.0) / 2.0);
        let b = ring.bounds();
        if (b.x1 - half).max(-half - b.x0) <= between {
            return vec![self.ring(ring)];
        }
        let strip = Rect::new(-half - between, b.y0 - 1.0, half + between, b.y1 + 1.0);
        let corners =
            [(strip.x0, strip.y0), (strip.x1, strip.y0), (strip.x1, strip.y1), (strip.x0, strip.y1)];
        let strip = Region::new(Ring::polygon(corners.map(Point::from)), Vec::new());
        let left = boolean(&[Region::new(ring.clone(), Vec::new())], BooleanOp::Intersection, &[strip]);
        left.iter().map(|region| self.ring(region.outer())).collect()
    }

    /// A ring of the strip on the blank.
    pub(super) fn ring(&self, ring: &Ring) -> Ring {
        let Self { centre, side, middle, .. } = *self;
        LogPolar { centre, side, radius: middle, unit: middle }.ring(ring)
    }
}
