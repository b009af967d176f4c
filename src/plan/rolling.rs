//! Own sheet from clean scrap: what to pour and how to roll it.

use crate::trade::Metal;

/// Own sheet from clean scrap: what to pour and how to roll it.
#[derive(Debug, Clone, PartialEq)]
pub struct Ingot {
    /// The finished sheet, g.
    pub net: f64,
    /// To melt, g.
    pub pour: f64,
    /// Width, thickness, length of the ingot, mm.
    pub ingot: [f64; 3],
    /// Roll across until this thick, then turn; the width it then has, mm.
    pub turn_at: f64,
    /// The same, mm.
    pub turn_width: f64,
    /// Rough sheet before trimming, length and width, mm.
    pub rough: (f64, f64),
    /// Thickness after each pass, mm; `true` where the metal is annealed after it.
    pub passes: Vec<(f64, bool)>,
    /// How often it is annealed on the way.
    pub anneals: usize,
}

/// Trimmed away as edges and ends (estimate): less and cracked edges stay in the sheet.
const TRIM: f64 = 0.25;
/// Lost in the melt (estimate, the high end).
const MELT_LOSS: f64 = 0.02;
/// Rough sheet is this much wider than the trimmed one.
const ROUGH_WIDTH: f64 = 1.25;
/// Ingot this many times as thick as the sheet: enough rolling to make the grain even.
const INGOT_TIMES: f64 = 5.0;
/// Each pass takes off this share of the thickness (estimate, for a hand mill). More stalls the mill.
const PASS: f64 = 0.10;

/// Sums for a sheet of `length` x `width` x `thickness` mm.
pub fn ingot(metal: &Metal, length: f64, width: f64, thickness: f64) -> Ingot {
    let density = metal.density * 1e-3;
    let net = length * width * thickness * density;
    let pour = net / (1.0 - TRIM) / (1.0 - MELT_LOSS);
    let rough_width = width * ROUGH_WIDTH;
    let rough_length = length * width / (1.0 - TRIM) / rough_width;
    let thick = thickness * INGOT_TIMES;
    let turn_at = thick / 2.0;
    let ingot_width = rough_width * turn_at / thick;
    let ingot_length = pour / density / thick / ingot_width;
    let most = metal.thinning;
    let mut passes = Vec::new();
    let (mut now, mut soft) = (thick, thick);
    while now > thickness + 1e-9 && passes.len() < 200 {
        let annealed_at = soft * (1.0 - most);
        let mut next = now * (1.0 - PASS);
        // Stop exactly at the turn, at an anneal and at the gauge.
        for stop in [turn_at, annealed_at, thickness] {
            if now > stop + 1e-9 && next < stop {
                next = stop;
            }
        }
        let anneal = next <= annealed_at + 1e-9 || next <= thickness + 1e-9;
        passes.push((next, anneal));
        if anneal {
            soft = next;
        }
        now = next;
    }
    let anneals = passes.iter().filter(|(_, anneal)| *anneal).count();
    Ingot {
        net,
        pour,
        ingot: [ingot_width, thick, ingot_length],
        turn_at,
        turn_width: rough_width,
        rough: (rough_length, rough_width),
        passes,
        anneals,
    }
}
