//! The parts a piece is built from, each with its own number and its sum.

use super::bench::Bench;
use super::{formed, strips};
use crate::trade::fits;
use crate::units::plain;

/// One size of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// Key in JSON: "length_mm".
    pub key: &'static str,
    /// On paper: "length".
    pub label: &'static str,
    pub value: f64,
    /// What was planned, where a measured size changed it.
    pub was: Option<f64>,
}

/// A part to cut, with how its sizes were worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    pub part: String,
    pub count: u32,
    pub sizes: Vec<Size>,
    pub sum: String,
    pub source: &'static str,
    /// Where bends fall, mm from the seam, for strips round corners.
    pub bends: Vec<f64>,
    pub notes: Vec<String>,
}

impl Part {
    pub(super) fn new(
        part: impl Into<String>,
        count: u32,
        sum: impl Into<String>,
        source: &'static str,
    ) -> Self {
        Self {
            part: part.into(),
            count,
            sizes: Vec::new(),
            sum: sum.into(),
            source,
            bends: Vec::new(),
            notes: Vec::new(),
        }
    }

    pub(super) fn size(mut self, key: &'static str, label: &'static str, value: f64) -> Self {
        self.sizes.push(Size { key, label, value, was: None });
        self
    }

    pub(super) fn note(mut self, note: impl Into<String>) -> Self {
        self.notes.push(note.into());
        self
    }

    /// The value under a key.
    pub fn get(&self, key: &str) -> Option<f64> {
        self.sizes.iter().find(|s| s.key == key).map(|s| s.value)
    }
}

pub(super) const STRIP: &str =
    "J. Burton, Accurately size rings, jewellers' forum: length at the middle of the thickness";
const BEZEL: &str = "supplier formula table: bezel length = (stone + strip) x pi; play: common practice";
pub(super) const PRACTICE: &str = "common practice";

/// Cut strips this much long and file to fit, mm (common practice 0.3 to 0.6).
pub const CUT_LONG: f64 = 0.5;

/// Every part, in the order they are made.
pub fn parts(bench: &Bench) -> Vec<Part> {
    let mut parts = Vec::new();
    parts.extend(formed::blanks(bench));
    parts.extend(strips::rim(bench));
    parts.extend(strips::back(bench));
    parts.extend(seat(bench));
    parts.extend(jump_rings(bench));
    for part in &mut parts {
        part.count = part.count.saturating_mul(bench.pieces);
    }
    parts
}

/// Bezel, pad and window from the stone.
fn seat(bench: &Bench) -> Vec<Part> {
    let Some(bezel) = bench.job.construction.bezel else { return Vec::new() };
    let (stone, t, play) = (bezel.stone.get(), bezel.thickness.get(), fits::BEZEL_PLAY);
    let length = fits::bezel_strip(stone, t, play);
    let outside = fits::bezel_outside(stone, t, play);
    let pad = fits::bezel_pad(stone, t, play);
    let window = fits::bezel_window(stone, bezel.ledge.get());
    let mut parts = vec![
        Part::new(
            "bezel strip",
            1,
            format!(
                "π × ({} + {} + {}) = {}",
                plain(stone, 2),
                plain(play, 2),
                plain(t, 2),
                plain(length, 2)
            ),
            BEZEL,
        )
        .size("length_mm", "length", length)
        .size("height_mm", "height", bezel.height.get())
        .size("thickness_mm", "thickness", t)
        .note(format!("cut {} mm, close it round the stone, trim at the seam", plain(length + CUT_LONG, 2))),
        Part::new(
            "bezel pad",
            1,
            format!(
                "outside of the bezel {} + {} + 2 × {} = {}; + 2 × {} = {} solid",
                plain(stone, 2),
                plain(play, 2),
                plain(t, 2),
                plain(outside, 2),
                fits::PAD_BEYOND_BEZEL,
                plain(pad, 2)
            ),
            PRACTICE,
        )
        .size("diameter_mm", "solid across, at least", pad)
        .size("scribe_mm", "scribe a ring at", outside),
    ];
    if bezel.window && window > 0.0 {
        parts.push(
            Part::new(
                "stone window",
                1,
                format!("{} − 2 × {} = {}", plain(stone, 2), plain(bezel.ledge.get(), 2), plain(window, 2)),
                PRACTICE,
            )
            .size("diameter_mm", "across, at most", window)
            .size("ledge_mm", "ledge the stone rests on", bezel.ledge.get())
            .note("leave it out behind a soft or backed stone"),
        );
    }
    parts
}

/// Jump rings: wire to cut, and whether they go round the wall they hang from.
fn jump_rings(bench: &Bench) -> Vec<Part> {
    let hole = super::hang::top_hole(bench);
    bench
        .job
        .construction
        .jump_rings
        .iter()
        .map(|ring| {
            let (wire, inside) = (ring.wire.get(), ring.inside.get());
            let length = fits::ring_cut(wire, inside);
            let ratio = inside / wire;
            let mut part = Part::new(
                "jump ring",
                ring.count,
                format!(
                    "π × ({} + {}) = {} of wire each; inside / wire = {}",
                    plain(inside, 2),
                    plain(wire, 2),
                    plain(length, 2),
                    plain(ratio, 2)
                ),
                "How to control the fit of your chain mail weave, jewellery magazine (2017): inside / wire",
            )
            .size("length_mm", "wire for each", length)
            .size("wire_mm", "wire", wire)
            .size("inside_mm", "inside", inside)
            .size("inside_over_wire", "inside / wire", ratio);
            if ratio < 3.0 {
                part = part.note("inside / wire under 3: stiff to open and close, and tight on a bail");
            }
            if let Some(hole) = &hole {
                let wall = bench.piece.outline.edge.signed_distance(hole.at) - hole.diameter / 2.0;
                let need = wall + bench.thickness + fits::RING_PLAY;
                let goes_in = wire + 0.1 <= hole.diameter;
                part = part.note(match (goes_in, inside + 1e-9 >= need) {
                    (false, _) => format!(
                        "does not fit: wire {} mm is too thick for the {} mm hole {}",
                        plain(wire, 2),
                        plain(hole.diameter, 2),
                        hole.name
                    ),
                    (true, false) => format!(
                        "does not fit: {} mm inside, but the wall at {} ({} mm), the sheet and {} mm of play need {} mm",
                        plain(inside, 2),
                        hole.name,
                        plain(wall, 2),
                        fits::RING_PLAY,
                        plain(need, 2)
                    ),
                    (true, true) => format!(
                        "fits {}: wall {} + sheet {} + play {} = {} mm",
                        hole.name,
                        plain(wall, 2),
                        plain(bench.thickness, 2),
                        fits::RING_PLAY,
                        plain(need, 2)
                    ),
                });
            }
            part
        })
        .collect()
}

/// Marks in `found` what each size was in `planned`, part by part.
pub fn mark_changes(found: &mut [Part], planned: &[Part]) {
    for (now, before) in found.iter_mut().zip(planned) {
        if now.part != before.part {
            continue;
        }
        for size in &mut now.sizes {
            let was = before.get(size.key).filter(|was| (was - size.value).abs() >= 0.005);
            size.was = was;
            if let (Some(was), "length_mm") = (was, size.key) {
                let off = was - size.value;
                now.notes.push(if off > 0.0 {
                    format!(
                        "strip already cut at {}: {} mm too long, saw out {} at the seam",
                        plain(was, 2),
                        plain(off, 2),
                        plain(off, 2)
                    )
                } else {
                    format!(
                        "strip already cut at {}: {} mm too short; soft metal stretches by 1 or 2 % under the planishing hammer ({} mm here), else cut a new one",
                        plain(was, 2),
                        plain(-off, 2),
                        plain(was * 0.015, 2)
                    )
                });
            }
        }
    }
}
