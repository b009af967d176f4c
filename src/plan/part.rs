//! One part to cut: its sizes, and how they were worked out.

use crate::units::LengthUnit;
use std::fmt;

/// One size of a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Size {
    /// Key in JSON: "length_mm".
    pub key: &'static str,
    /// On paper: "length".
    pub label: &'static str,
    /// In the unit that the key ends with: mm, g or degrees.
    pub value: f64,
    /// What was planned, where a measured size changed it.
    pub was: Option<f64>,
}

/// Which part of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartName {
    /// A strip bent to a ring.
    BandBlank,
    /// A piece of a flat ring, rolled to a cone.
    ConeBlank,
    /// What is hammered into a dome.
    FlatForDome,
    /// The wall round a plate.
    RimStrip,
    /// The sheet behind the openwork.
    BackPlate,
    /// The wall round a stone.
    BezelStrip,
    /// What a stone's wall stands on.
    BezelPad,
    /// What is sawn out under a stone.
    StoneWindow,
    /// Wire wound, sawn and closed.
    JumpRing,
}

impl PartName {
    /// As it stands on paper and in JSON.
    pub fn words(self) -> &'static str {
        match self {
            PartName::BandBlank => "band blank",
            PartName::ConeBlank => "cone blank",
            PartName::FlatForDome => "flat for the dome",
            PartName::RimStrip => "rim strip",
            PartName::BackPlate => "back plate",
            PartName::BezelStrip => "bezel strip",
            PartName::BezelPad => "bezel pad",
            PartName::StoneWindow => "stone window",
            PartName::JumpRing => "jump ring",
        }
    }

    /// It belongs to forming the piece.
    pub(super) fn is_formed(self) -> bool {
        matches!(self, PartName::BandBlank | PartName::ConeBlank | PartName::FlatForDome)
    }

    /// It belongs to the stone's seat.
    pub(super) fn is_seat(self) -> bool {
        matches!(self, PartName::BezelStrip | PartName::BezelPad | PartName::StoneWindow)
    }
}

impl fmt::Display for PartName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// A part to cut, with how its sizes were worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Which it is.
    pub part: PartName,
    /// How many of it one piece needs.
    pub count: u32,
    /// The one that matters most first.
    pub sizes: Vec<Size>,
    /// How the first size was worked out.
    pub sum: String,
    /// By whose rule.
    pub source: &'static str,
    /// Where bends fall, mm from the seam, for strips round corners.
    pub bends: Vec<f64>,
    /// Advice, one sentence each.
    pub notes: Vec<String>,
}

impl Part {
    pub(super) fn new(part: PartName, count: u32, sum: impl Into<String>, source: &'static str) -> Self {
        Self { part, count, sizes: Vec::new(), sum: sum.into(), source, bends: Vec::new(), notes: Vec::new() }
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

/// Marks in `found` what each size was in `planned`, part by part.
pub(super) fn mark_changes(found: &mut [Part], planned: &[Part], units: LengthUnit) {
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
                        "strip already cut at {}: {} too long, saw out {} at the seam",
                        units.plain(was, 2),
                        units.says(off, 2),
                        units.plain(off, 2)
                    )
                } else {
                    format!(
                        "strip already cut at {}: {} too short; soft metal stretches by about 1 or 2 % under the planishing hammer ({} here; estimate), else cut a new one",
                        units.plain(was, 2),
                        units.says(-off, 2),
                        units.says(was * 0.015, 2)
                    )
                });
            }
        }
    }
}
