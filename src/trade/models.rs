//! Formulas of strength, heat and cut that the checks and the plan both lean on. Their constants are estimates that were
//! computed and compared with finer models, never measured at a bench: what they say may caution, never stop.
//!
//! Lengths mm, forces N, stresses MPa, temperatures C or differences in K.

use super::{Blade, Metal};
use std::f64::consts::PI;

/// Push of the saw on a bridge, N (estimated range 1.5 to 6, from the energy a cut takes). Larger calls more bridges
/// weak; smaller misses bridges that a firm hand bends.
pub const SAW_PUSH_N: f64 = 3.0;
/// A snagging blade, N (estimate): what a bridge should survive once.
pub const SNAG_N: f64 = 10.0;
/// Share of push x pitch that reaches one bridge as bending, at most, in a field of openings: the largest found over
/// fields of hexagons computed as a grid of beams (0.16 to 0.33).
pub const FIELD_SHARE: f64 = 0.30;
/// Spare strength before a bridge is called fine.
pub const SPARE: f64 = 1.5;
/// How much wider than its body a blade cuts when it turns, mm (estimate 0.03 to 0.08). Larger lets it turn tighter.
pub const PLAY_IN_CUT: f64 = 0.05;
/// Half-hard sheet holds at least this many times what annealed sheet holds (textbook range 2 to 4, from memory).
pub const HALF_HARD: f64 = 2.0;

/// How a stress stands to what the metal holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Strength {
    /// Under two thirds of the metal's strength.
    Fine,
    /// Between that and one and a half times its strength.
    Weak,
    /// Will bend under the saw.
    Bends,
}

/// Stress in a bridge of a pierced field under `push`: 6 x 0.30 x F x p / (w t2), MPa (bending of a flat bar, Roark; the
/// share from [`FIELD_SHARE`]). `pitch` from opening to opening.
pub fn bridge_stress(push: f64, pitch: f64, width: f64, thickness: f64) -> f64 {
    6.0 * FIELD_SHARE * push * pitch / (width * thickness * thickness)
}

/// Stress at the root of a tongue held at one end, pushed at its tip: F L / (w t2 / 6), MPa (Roark).
pub fn tongue_stress(push: f64, length: f64, width: f64, thickness: f64) -> f64 {
    6.0 * push * length / (width * thickness * thickness)
}

/// How far the tip of such a tongue gives way, mm: F L3 / 3 E I + F L / k G A with I = w t3 / 12, A = w t, k = 5/6 and
/// G = E / 2 (1 + v) (Timoshenko's beam, Roark).
pub fn tongue_give(push: f64, length: f64, width: f64, thickness: f64, youngs_mpa: f64, poisson: f64) -> f64 {
    let bent = 4.0 * push * length.powi(3) / (youngs_mpa * width * thickness.powi(3));
    let sheared = 2.4 * (1.0 + poisson) * push * length / (youngs_mpa * width * thickness);
    bent + sheared
}

/// Longest tongue that keeps [`SPARE`], mm.
pub fn longest_tongue(push: f64, width: f64, thickness: f64, yield_mpa: f64) -> f64 {
    yield_mpa * width * thickness * thickness / (6.0 * push * SPARE)
}

/// Least width that keeps [`SPARE`] in a pierced field, mm.
pub fn width_for_strength(push: f64, pitch: f64, thickness: f64, yield_mpa: f64) -> f64 {
    6.0 * FIELD_SHARE * push * pitch * SPARE / (thickness * thickness * yield_mpa)
}

/// Sag of a pierced field under `push` at `reach` mm from where the pin holds it, mm: 0.0489 F r2 / (0.9 s D),
/// D = E t3 / 12 (1 - v2) (round plate pushed at its middle, Timoshenko; `solid` is the share of metal left).
pub fn sag(push: f64, reach: f64, thickness: f64, solid: f64, youngs_mpa: f64, poisson: f64) -> f64 {
    let stiffness = youngs_mpa * thickness * thickness * thickness / (12.0 * (1.0 - poisson * poisson));
    0.0489 * push * reach * reach / (0.9 * solid * stiffness)
}

/// How a stress stands to the yield strength.
pub fn strength(stress: f64, yield_mpa: f64) -> Strength {
    if stress <= yield_mpa / SPARE {
        Strength::Fine
    } else if stress <= yield_mpa * SPARE {
        Strength::Weak
    } else {
        Strength::Bends
    }
}

/// Tightest curve of an opening's edge that the blade saws without stopping, radius in mm: about, since it hangs on
/// [`PLAY_IN_CUT`].
pub fn tightest_curve(blade: &Blade) -> f64 {
    curve_with_play(blade, PLAY_IN_CUT)
}

/// The same in a cut wider than the blade's body by `c`, mm: b2 / 8c + c / 2, never under the cut itself (derived from
/// the blade's body turning in its own cut).
pub fn curve_with_play(blade: &Blade, c: f64) -> f64 {
    (blade.depth * blade.depth / (8.0 * c) + c / 2.0).max(blade.thickness + c)
}

/// How far from a corner sharper than a right angle the waste stays when it is sawn in from both sides, mm along each
/// line: k / tan(angle). `angle` between the two lines, degrees.
pub fn left_in_corner(blade: &Blade, angle: f64) -> f64 {
    if angle >= 90.0 {
        0.0
    } else {
        blade.thickness / libm::tan(angle.to_radians())
    }
}

/// What a seam round the edge asks of a pierced piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RimHeat {
    /// Where the solder flows, C.
    pub flow_c: f64,
    /// Distance round the edge, mm.
    pub round: f64,
    /// Solid border, mm.
    pub border: f64,
    /// Height of the strip, mm; 0 without one.
    pub wall_height: f64,
    /// Metal of border and strip together, mm3.
    pub rim_volume: f64,
    /// Thickness of the pierced sheet, mm.
    pub thickness: f64,
    /// Share of metal left inside the border, 0 to 1.
    pub solid: f64,
}

/// Seconds a seam is brought up to heat in, as the formula was worked out.
const HEATING_S: f64 = 45.0;
/// Stefan-Boltzmann constant, W/m2K4.
const STEFAN: f64 = 5.670_374e-8;
/// Emissivity where the table has none: between bright and oxidised metal.
const DULL: f64 = 0.5;

/// Heat the rim takes to reach flow in that time and what it loses meanwhile, W.
pub fn rim_power(metal: &Metal, case: &RimHeat) -> Option<f64> {
    let heat = metal.specific_heat?;
    let emissivity = metal.emissivity.unwrap_or(DULL);
    let grams = case.rim_volume * metal.density * 1e-3;
    let gain = grams * heat * 1e-3 * (case.flow_c - 20.0) / HEATING_S;
    let hot = 0.8 * (case.flow_c + 273.0);
    let lost = emissivity * STEFAN * (hot * hot * hot * hot - 293.0f64.powi(4)) + 15.0 * 0.75 * case.flow_c;
    let area = case.round * 1.5 * (case.border + case.wall_height) * 1e-6;
    Some(gain + area * lost)
}

/// How far the openwork runs ahead of the rim if it is the only road for the rim's heat, K:
/// X = P (2 - s) / (4 pi k s t). Explains 0.7 to 0.8 of the overshoot of 165 computed designs.
pub fn overshoot(metal: &Metal, case: &RimHeat) -> Option<f64> {
    let power = rim_power(metal, case)?;
    let k = metal.conductivity? * 1e-3;
    let solid = case.solid.clamp(0.05, 1.0);
    Some(power * (2.0 - solid) / (4.0 * PI * k * solid * case.thickness))
}

/// How much care a seam asks, from the room H between solder flow and the start of melting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HeatWindow {
    /// H at least 47 + 0.36 X: even heat from beneath will do; keep the flame moving.
    Wide,
    /// H at least 28 + 0.15 X: heat the strip and the border only, never rest on the openwork.
    RimOnly,
    /// Less: take a solder that flows lower, or a lighter strip.
    Closed,
}

/// Room needed for a wide window, K.
pub fn wide_window(overshoot: f64) -> f64 {
    47.0 + 0.36 * overshoot
}

/// Room needed when only the rim is heated, K.
pub fn rim_window(overshoot: f64) -> f64 {
    28.0 + 0.15 * overshoot
}

/// The window that `headroom` = solidus - flow leaves.
pub fn heat_window(headroom: f64, overshoot: f64) -> HeatWindow {
    if headroom >= wide_window(overshoot) {
        HeatWindow::Wide
    } else if headroom >= rim_window(overshoot) {
        HeatWindow::RimOnly
    } else {
        HeatWindow::Closed
    }
}

/// Flame on the metal, W/m2 (order of magnitude, 100 to 500 kW/m2).
const FLAME: f64 = 100e3;
/// A narrow strip takes up more heat for its face than a sheet does (estimate 1 to 3).
const NARROW_GAIN: f64 = 1.5;

/// How much hotter than its root the tip of a free tongue gets, K: g L2 / 2k, g = q x 1.5 (1 + t / w) / t.
pub fn tongue_rise(metal: &Metal, length: f64, width: f64, thickness: f64) -> Option<f64> {
    let source = FLAME * NARROW_GAIN * (1.0 + thickness / width) / (thickness * 1e-3);
    Some(source * length * length * 1e-6 / (2.0 * metal.conductivity?))
}
