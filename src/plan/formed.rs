//! Blanks that are bent or domed: bands, cones, domes.

use super::measured::Measured;
use super::part::{Part, PartName, STRIP};
use crate::checks::{BenchFinding, Finding};
use crate::job::Shape;
use crate::trade::{fits, ring_sizes};
use crate::units::{plain, LengthUnit};

const DOME: &str = "cap of a ball: the hypotenuse rule of sheet-metal handbooks, and the curve over the top";
const CONE: &str = "truncated-cone layout as published in sheet-metal handbooks";
const WIDE: &str = "B. G. Knuth, Jeweler's Resource, ring blank lengths: add 0.5 mm over 4 mm wide";

/// Band wider than this gets the wide-band allowance, mm.
pub(super) const WIDE_BAND: f64 = 4.0;
/// The allowance, mm of length.
pub(super) const WIDE_BAND_ADDS: f64 = 0.5;

/// Flat shapes that are bent: band, cone, dome.
pub(super) fn blanks(bench: &Measured) -> Vec<Part> {
    let mut parts = Vec::new();
    let units = bench.job.units;
    match bench.job.outline.shape {
        Shape::Band { inside, width, thickness, .. } => {
            let run = bench.piece.outline.run.map_or(0.0, |r| r.get());
            let repeats = &bench.piece.resolved.repeats;
            parts.push(band(inside.get(), thickness.get(), width.get(), (run, repeats), units));
        }
        Shape::Cone { top, bottom, height } => parts.push(cone(top.get(), bottom.get(), height.get(), units)),
        _ => {}
    }
    if let (Some(domed), Some((wide, high))) = (&bench.piece.outline.domed, bench.domed) {
        let least = domed.size.0.min(domed.size.1).get();
        let mut part = dome(least, domed.height.get(), units).size(
            "flat_mm",
            "flat as drawn, sawn and measured",
            bench.size.0,
        );
        if bench.across.is_none() {
            part = part.size("flat_height_mm", "and up", bench.size.1);
        }
        part = part.size("domed_mm", "across once domed, about", wide);
        if bench.across.is_none() {
            part = part.size("domed_height_mm", "and up, about", high);
        }
        parts.push(part);
    }
    parts
}

/// A band's blank with both faces and the other systems beside it. `run` is the length its
/// whole repeats fill.
pub fn band(
    inside: f64,
    thickness: f64,
    width: f64,
    (run, repeats): (f64, &[u32]),
    units: LengthUnit,
) -> Part {
    let length = fits::band_blank(inside, thickness);
    let (outer, inner) = ((inside + 2.0 * thickness) / (inside + thickness), inside / (inside + thickness));
    let mut part = Part::new(
        PartName::BandBlank,
        1,
        format!(
            "π × ({} + {}) = {}",
            units.plain(inside, 2),
            units.plain(thickness, 2),
            units.plain(length, 2)
        ),
        STRIP,
    )
    .size("length_mm", "length", length)
    .size("width_mm", "width", width)
    .size("outside_face_mm", "round the outside face", length * outer)
    .size("inside_face_mm", "round the inside face", length * inner);
    if width > WIDE_BAND {
        part = part.size("wide_band_adds_mm", "wide-band allowance, if wanted", WIDE_BAND_ADDS).note(format!(
            "over {} wide: many makers add {} of length, as plain metal at the seam; it is not in the length above ({WIDE})",
            units.says(WIDE_BAND, 0),
            units.says(WIDE_BAND_ADDS, 1)
        ));
    }
    if let Some(&count) = repeats.first().filter(|n| **n > 0) {
        let pitch = run / f64::from(count);
        part = part.note(format!(
            "{count} repeats of {} flat; {} on the outside face, {} on the inside",
            units.says(pitch, 2),
            units.says(pitch * outer, 2),
            units.says(pitch * inner, 2)
        ));
    }
    part.note("seam in a solid bridge: saw both ends outside the line and file them square to it; closed, it is this long")
        .note(sizes_near(inside, units))
}

/// What each system calls this inside, with how far off its nearest size is.
pub fn sizes_near(inside: f64, units: LengthUnit) -> String {
    let all = ring_sizes();
    let near = |system: &str| {
        all.iter()
            .filter(|s| s.system == system)
            .min_by(|a, b| (a.inside_mm - inside).abs().total_cmp(&(b.inside_mm - inside).abs()))
            .map(|s| {
                let off = s.inside_mm - inside;
                match off.abs() < 0.005 {
                    true => s.name.clone(),
                    false => {
                        format!("{} ({}{})", s.name, if off > 0.0 { "+" } else { "" }, units.says(off, 2))
                    }
                }
            })
    };
    let names: Vec<String> = ["US", "UK", "EU", "JP"].iter().filter_map(|s| near(s)).collect();
    format!(
        "{} inside; nearest sizes: {}. They are not the same ring",
        units.says(inside, 2),
        names.join(", ")
    )
}

/// A cone's blank, or the plain strip when its ends are alike.
pub fn cone(top: f64, bottom: f64, height: f64, units: LengthUnit) -> Part {
    match fits::cone(top, bottom, height) {
        Some(cone) => {
            let (small, large) = (top.min(bottom), top.max(bottom));
            Part::new(
                PartName::ConeBlank,
                1,
                format!(
                    "side √({}² + {}²) = {}; outer {} × {} / {} = {}; inner {}; turn 180 × {} / {} = {}°",
                    units.short(height, 2),
                    units.short((large - small) / 2.0, 2),
                    units.plain(cone.side, 2),
                    units.plain(cone.side, 2),
                    units.short(large, 2),
                    units.short(large - small, 2),
                    units.plain(cone.outer, 2),
                    units.plain(cone.inner, 2),
                    units.short(large - small, 2),
                    units.plain(cone.side, 2),
                    plain(cone.angle, 1)
                ),
                CONE,
            )
            .size("side_mm", "length up the side", cone.side)
            .size("inner_radius_mm", "radius of the inner curve", cone.inner)
            .size("outer_radius_mm", "radius of the outer curve", cone.outer)
            .size("angle_degrees", "turn of the blank, degrees", cone.angle)
        }
        None => {
            let length = std::f64::consts::PI * top;
            Part::new(
                PartName::ConeBlank,
                1,
                format!("π × {} = {}", units.short(top, 2), units.plain(length, 2)),
                CONE,
            )
            .size("length_mm", "length", length)
            .size("width_mm", "width", height)
        }
    }
}

/// The flat a dome is made from, as a range.
pub fn dome(across: f64, height: f64, units: LengthUnit) -> Part {
    let d = fits::dome(across, height);
    let a = across / 2.0;
    let domed = Finding::from(BenchFinding::Domed { closes: d.closes, stretch: d.stretch });
    Part::new(
        PartName::FlatForDome,
        1,
        format!(
            "2 × √({a}² + {h}²) = {} if the metal keeps its area; {} along the curve over the top",
            units.plain(d.flat_low, 1),
            units.plain(d.flat_high, 1),
            a = units.short(a, 2),
            h = units.short(height, 2)
        ),
        DOME,
    )
    .size("low_mm", "at least across", d.flat_low)
    .size("high_mm", "at most across", d.flat_high)
    .size("curve_radius_mm", "radius of block and punch", d.radius)
    .note(format!("about: cut {} across and trim; it depends on how hard the metal is driven", units.says(d.flat_high, 1)))
    .note(domed.says(1, units))
    .note("domed first: truer openings, harder sawing; slit the paper into petals so that it lies flat on the dome")
    .note("try a strip of the same sheet first and write down what it came out at")
}
