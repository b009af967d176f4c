//! The whole piece: everything soldered or riveted together, what it weighs, how large it is, and what it is cut from.

use super::measured::{disc, Measured};
use super::metal::{Weights, HOLDING_MARGIN};
use super::part::{Part, PartName, CUT_LONG};
use super::strips::rim_outside;
use crate::job::{JumpRing, RimSits, Shape};
use crate::trade::fits;
use crate::units::plain;

/// Metal of one part of one piece, g. Every part is counted as of the sheet's own metal.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// "openwork", "rim strip"...
    pub part: &'static str,
    /// In the finished piece.
    pub finished: f64,
    /// Cut from sheet or wire for it, waste included.
    pub taken: f64,
    /// How `finished` was worked out, for the card.
    pub sum: String,
}

/// One finished piece.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Built {
    /// The openwork first.
    pub shares: Vec<Share>,
    /// Width and height over all, lugs and rim included, mm. A band's: across the outside, and its width.
    pub size: (f64, f64),
    /// From front to back, mm.
    pub deep: f64,
}

impl Built {
    /// Weight of the finished piece, g. Stone and solder are not in it.
    pub fn finished(&self) -> f64 {
        self.shares.iter().map(|s| s.finished).sum()
    }

    /// Metal cut from for it, g.
    pub fn taken(&self) -> f64 {
        self.shares.iter().map(|s| s.taken).sum()
    }

    /// Whether anything but the openwork is in it.
    pub fn is_more(&self) -> bool {
        self.shares.len() > 1
    }

    /// "openwork 4.18 + back plate 3.77".
    pub fn sum(&self) -> String {
        let parts: Vec<String> =
            self.shares.iter().map(|s| format!("{} {}", s.part, plain(s.finished, 2))).collect();
        parts.join(" + ")
    }
}

/// Everything in one piece; `sheet_each` is the sheet cut from for one plate, g.
pub(super) fn built(bench: &Measured, weights: &Weights, parts: &[Part], sheet_each: f64) -> Built {
    let mut shares = vec![Share {
        part: "openwork",
        finished: weights.piece,
        taken: sheet_each,
        sum: "as pierced".into(),
    }];
    shares.extend(strip(bench, parts, PartName::RimStrip));
    shares.extend(back(bench));
    shares.extend(strip(bench, parts, PartName::BezelStrip));
    shares.extend(rings(bench));
    Built { shares, size: size(bench), deep: deep(bench) }
}

fn grams(bench: &Measured, mm3: f64) -> f64 {
    mm3 * bench.job.sheet.metal.density * 1e-3
}

/// A strip as long as its part says, and what is cut long.
fn strip(bench: &Measured, parts: &[Part], name: PartName) -> Option<Share> {
    let part = parts.iter().find(|p| p.part == name)?;
    let (length, height, thickness) =
        (part.get("length_mm")?, part.get("height_mm")?, part.get("thickness_mm")?);
    Some(Share {
        part: name.words(),
        finished: grams(bench, length * height * thickness),
        taken: grams(bench, (length + CUT_LONG) * height * thickness),
        sum: format!(
            "{} × {} × {}, cut {} long",
            bench.number(length + CUT_LONG),
            bench.number(height),
            bench.mm(thickness),
            bench.job.units.says(CUT_LONG, 1)
        ),
    })
}

/// The back plate, trimmed flush with what it stands under; cut from its own blank with the overhang.
fn back(bench: &Measured) -> Option<Share> {
    let back = bench.job.construction.back?;
    let thickness = back.thickness.get();
    let flush = rim_outside(bench, 0.0).area();
    let rough = rim_outside(bench, back.overhang.get()).bounds().inflate(HOLDING_MARGIN, HOLDING_MARGIN);
    Some(Share {
        part: PartName::BackPlate.words(),
        finished: grams(bench, flush * thickness),
        taken: grams(bench, rough.area() * thickness),
        sum: format!(
            "a blank of {} × {} × {}, before it is trimmed",
            bench.number(rough.width()),
            bench.number(rough.height()),
            bench.mm(thickness)
        ),
    })
}

fn rings(bench: &Measured) -> Option<Share> {
    let rings = &bench.job.construction.jump_rings;
    let wire: f64 = rings
        .iter()
        .map(|r| f64::from(r.count) * disc(r.wire.get()) * fits::ring_cut(r.wire.get(), r.inside.get()))
        .sum();
    let weight = grams(bench, wire);
    let each = |r: &JumpRing| {
        let (length, wire) = (fits::ring_cut(r.wire.get(), r.inside.get()), r.wire.get());
        format!("{} × {} of {} wire", r.count, bench.number(length), bench.mm(wire))
    };
    let cut: Vec<String> = rings.iter().map(each).collect();
    (wire > 0.0).then(|| Share { part: "jump rings", finished: weight, taken: weight, sum: cut.join(" + ") })
}

/// Width and height of the finished piece.
fn size(bench: &Measured) -> (f64, f64) {
    match bench.job.outline.shape {
        Shape::Band { inside, width, .. } => (inside.get() + 2.0 * bench.thickness, width.get()),
        Shape::Cone { top, bottom, height } => (top.max(bottom).get() + bench.thickness, height.get()),
        _ => {
            let adds = match bench.job.construction.rim {
                Some(rim) if rim.sits == RimSits::RoundEdge => 2.0 * rim.thickness.get(),
                _ => 0.0,
            };
            let (w, h) = match &bench.domed {
                Some(domed) => *domed,
                None => bench.over_all,
            };
            (w + adds, h + adds)
        }
    }
}

/// From front to back: plate, wall and back, or the dome.
fn deep(bench: &Measured) -> f64 {
    let build = &bench.job.construction;
    let plate = bench.thickness;
    let under = match build.rim {
        Some(rim) if rim.sits == RimSits::UnderPlate => plate + rim.height.get(),
        Some(rim) => plate.max(rim.height.get()),
        None => plate,
    };
    under + build.back.map_or(0.0, |b| b.thickness.get()) + build.dome.get()
}
