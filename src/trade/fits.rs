//! Plain sums of the bench that several modules use: strips, seats, rings, domes, cones. All lengths mm.

use std::f64::consts::PI;

/// Room left between a stone and its bezel, across, mm (estimate). Larger and the stone rattles, smaller and a
/// stone that is not quite round will not go in.
pub const BEZEL_PLAY: f64 = 0.1;
/// Solid metal kept outside a bezel's wall, mm each side (estimate). Less and solder floods the openings; more
/// leaves a heavy spot.
pub const PAD_BEYOND_BEZEL: f64 = 0.8;
/// Play a jump ring needs round the metal it hangs from, mm (estimate).
pub const RING_PLAY: f64 = 0.3;

/// Strip that stands under a round plate, its outside flush with the edge: pi (D - t), round the middle of its thickness.
pub fn strip_under(across: f64, thickness: f64) -> f64 {
    PI * (across - thickness)
}

/// Strip that goes round the edge of a plate: pi (D + t).
pub fn strip_round(across: f64, thickness: f64) -> f64 {
    PI * (across + thickness)
}

/// Blank of a band: pi (inside + thickness).
pub fn band_blank(inside: f64, thickness: f64) -> f64 {
    PI * (inside + thickness)
}

/// Strip of a bezel: pi (stone + play + t).
pub fn bezel_strip(stone: f64, thickness: f64, play: f64) -> f64 {
    PI * (stone + play + thickness)
}

/// Outside of a bezel, across.
pub fn bezel_outside(stone: f64, thickness: f64, play: f64) -> f64 {
    stone + play + 2.0 * thickness
}

/// Solid pad a bezel stands on, across.
pub fn bezel_pad(stone: f64, thickness: f64, play: f64) -> f64 {
    bezel_outside(stone, thickness, play) + 2.0 * PAD_BEYOND_BEZEL
}

/// How far the solid pad of a bezel reaches beyond the stone, on each side.
pub fn bezel_beyond(thickness: f64, play: f64) -> f64 {
    play / 2.0 + thickness + PAD_BEYOND_BEZEL
}

/// Window behind a stone that rests on a ledge, across; 0 when the ledges meet.
pub fn bezel_window(stone: f64, ledge: f64) -> f64 {
    (stone - 2.0 * ledge).max(0.0)
}

/// Wire for one jump ring: pi (inside + wire).
pub fn ring_cut(wire: f64, inside: f64) -> f64 {
    PI * (inside + wire)
}

/// A dome of a given width over its base and height, and the flat it is made from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dome {
    /// Flat across if the metal keeps its area: 2 sqrt(a2 + h2).
    pub flat_low: f64,
    /// Flat across if the curve over the top keeps its length: 2 R theta.
    pub flat_high: f64,
    /// Radius of the curve, for block and punch.
    pub radius: f64,
    /// Share by which the edge closes up when pierced flat, 0 to 1: width over the base against the longer flat.
    pub closes: f64,
    /// An opening at the edge, long way over short way, from an even raising: 1 + (h / a)2.
    pub stretch: f64,
}

/// Dome sums (cap of a ball; the equal-area flat is the hypotenuse rule of sheet-metal handbooks). `across` over the
/// base and `height` to the middle of the thickness; height at most half of across.
pub fn dome(across: f64, height: f64) -> Dome {
    let a = across / 2.0;
    let radius = (a * a + height * height) / (2.0 * height);
    let angle = 2.0 * libm::atan(height / a);
    let flat_high = 2.0 * radius * angle;
    Dome {
        flat_low: 2.0 * libm::hypot(a, height),
        flat_high,
        radius,
        closes: 1.0 - across / flat_high,
        stretch: 1.0 + (height / a) * (height / a),
    }
}

/// A cone's blank: a piece of a flat ring.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cone {
    /// Length up the side.
    pub side: f64,
    /// Radius of the shorter arc, from the point the cone would run to.
    pub inner: f64,
    /// Radius of the longer arc.
    pub outer: f64,
    /// Degrees the blank runs through.
    pub angle: f64,
}

/// Cone sums from its two diameters (at the middle of the thickness) and height: s, R2 = s d2 / (d2 - d1), 180 (d2 - d1) / s
/// (published as the truncated-cone layout). `None` when the two ends are alike: that is a plain strip.
pub fn cone(one: f64, other: f64, height: f64) -> Option<Cone> {
    let (small, large) = (one.min(other), one.max(other));
    let side = libm::hypot(height, (large - small) / 2.0);
    if large - small < 1e-6 {
        return None;
    }
    let outer = side * large / (large - small);
    Some(Cone { side, inner: outer - side, outer, angle: 180.0 * (large - small) / side })
}
