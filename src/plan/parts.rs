//! The parts a piece is built from, each with its own number and its sum.

use super::bench::Bench;
use super::{formed, rings, strips};
use crate::geom::Ring;
use crate::job::{Bezel, Shape};
use crate::outline::Seat;
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

pub(super) const STRIP: &str = "length at the middle of the thickness: common practice";
pub(super) const BEZEL: &str =
    "length at the middle of the strip's thickness: common practice; play: estimate";
pub(super) const PRACTICE: &str = "common practice";

/// Cut strips this much long and file to fit, mm (estimate, 0.3 to 0.6).
pub(super) const CUT_LONG: f64 = 0.5;

/// Every part, in the order they are made.
pub(super) fn parts(bench: &Bench) -> Vec<Part> {
    let mut parts = Vec::new();
    parts.extend(formed::blanks(bench));
    parts.extend(strips::rim(bench));
    parts.extend(strips::back(bench));
    parts.extend(seat(bench));
    parts.extend(rings::jump_rings(bench));
    for part in &mut parts {
        part.count = part.count.saturating_mul(bench.pieces);
    }
    parts
}

/// Bezel, pad and window from the stone.
fn seat(bench: &Bench) -> Vec<Part> {
    let Some(bezel) = &bench.job.construction.bezel else { return Vec::new() };
    let Shape::Circle { diameter } = bezel.stone else { return shaped_seat(bezel) };
    let (stone, t, play) = (diameter.get(), bezel.thickness.get(), fits::BEZEL_PLAY);
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

/// The same for a stone that is not round: measured round its outline, let out to the middle of the wall.
fn shaped_seat(bezel: &Bezel) -> Vec<Part> {
    let Ok(seat) = Seat::of(bezel) else { return Vec::new() };
    let (t, play) = (bezel.thickness.get(), fits::BEZEL_PLAY);
    let flat = seat.wall.rotated(-bezel.turn);
    let length = flat.perimeter();
    let size = |ring: &Ring| {
        let b = ring.rotated(-bezel.turn).bounds();
        (b.width(), b.height())
    };
    let (pad, outside) = (size(&seat.pad), size(&seat.outside));
    let mut parts = vec![
        Part::new(
            "bezel strip",
            1,
            format!(
                "round the stone's outline let out by ({} + {}) / 2 to the middle of the wall: {}",
                plain(play, 2),
                plain(t, 2),
                plain(length, 2)
            ),
            PRACTICE,
        )
        .size("length_mm", "length", length)
        .size("height_mm", "height", bezel.height.get())
        .size("thickness_mm", "thickness", t)
        .note(format!(
            "cut {} mm, bend it round the stone, put the seam on a long side, trim at the seam",
            plain(length + CUT_LONG, 2)
        )),
        Part::new(
            "bezel pad",
            1,
            format!(
                "outside of the bezel {} × {}; + {} solid all round",
                plain(outside.0, 2),
                plain(outside.1, 2),
                fits::PAD_BEYOND_BEZEL
            ),
            PRACTICE,
        )
        .size("width_mm", "solid, wide at least", pad.0)
        .size("height_mm", "solid, high at least", pad.1),
    ];
    if let Some(window) = seat.window.as_ref().filter(|_| bezel.window) {
        let (wide, high) = size(window);
        parts.push(
            Part::new(
                "stone window",
                1,
                format!("the stone's outline, {} drawn in all round", plain(bezel.ledge.get(), 2)),
                PRACTICE,
            )
            .size("width_mm", "wide, at most", wide)
            .size("height_mm", "high, at most", high)
            .size("ledge_mm", "ledge the stone rests on", bezel.ledge.get())
            .note("leave it out behind a soft or backed stone"),
        );
    }
    parts
}

/// Marks in `found` what each size was in `planned`, part by part.
pub(super) fn mark_changes(found: &mut [Part], planned: &[Part]) {
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
                        "strip already cut at {}: {} mm too short; soft metal stretches by about 1 or 2 % under the planishing hammer ({} mm here; estimate), else cut a new one",
                        plain(was, 2),
                        plain(-off, 2),
                        plain(was * 0.015, 2)
                    )
                });
            }
        }
    }
}
