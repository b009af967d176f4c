//! Which file gets into each opening, and which shot would lodge in it.

use super::measured::{sharp_corners, Measured};
use crate::openings::Opening;
use std::collections::BTreeMap;

/// A needle file's way in, mm, and an escapement file's (estimate). Smaller openings are left as sawn.
const NEEDLE: f64 = 1.5;
const ESCAPEMENT: f64 = 0.8;
/// Round shot sold for tumblers, mm (common practice).
pub const SHOT: [f64; 5] = [1.2, 1.6, 2.4, 3.2, 4.0];
/// Shot lodges when it is between these shares of the widest circle of an opening: a little smaller and it sticks on
/// the burr, larger and it wedges in the edge.
const LODGES: [f64; 2] = [0.9, 1.25];

/// Openings that one file suits.
#[derive(Debug, Clone, PartialEq)]
pub struct FileUse {
    /// "half-round needle file", "saw-finish".
    pub file: &'static str,
    /// Numbers of the openings.
    pub openings: Vec<usize>,
}

/// Shot to keep away from the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Lodging {
    /// Diameter, mm.
    pub shot: f64,
    /// How many openings it lodges in.
    pub openings: usize,
    /// Widest circles of those openings, from and to, mm.
    pub from: f64,
    /// The same, mm.
    pub to: f64,
}

const FILES: [&str; 9] = [
    "three-square needle file",
    "square needle file",
    "half-round needle file",
    "round needle file",
    "three-square escapement file",
    "square escapement file",
    "half-round escapement file",
    "round escapement file",
    "saw-finish: no file gets in, use the finest blade",
];

/// Which file by the finished way in and the sharpest corner.
fn file_for(way_in: f64, sharpest: f64) -> usize {
    let set = if way_in >= NEEDLE {
        0
    } else if way_in >= ESCAPEMENT {
        4
    } else {
        return 8;
    };
    // An edge of the file must be sharper than the corner it cleans.
    set + match sharpest {
        a if a < 80.0 => 0,
        a if a < 100.0 => 1,
        a if a < 180.0 => 2,
        _ => 3,
    }
}

/// Files with the openings they suit, most used first in the fixed order of the list.
pub(super) fn files(bench: &Measured) -> Vec<FileUse> {
    let mut uses: Vec<FileUse> = FILES.iter().map(|file| FileUse { file, openings: Vec::new() }).collect();
    let suited = |opening: &Opening| {
        let sharpest = sharp_corners(&opening.ring)
            .iter()
            .map(|c| c.angle)
            .filter(|angle| *angle < 180.0)
            .fold(180.0, f64::min);
        let curved = opening.ring.vertices().any(|c| c.bulge > 0.0);
        let sharpest = if sharpest < 180.0 || curved { sharpest } else { 179.0 };
        file_for(opening.widest.get(), sharpest)
    };
    // Openings of one shape take one file.
    let mut known: BTreeMap<u32, usize> = BTreeMap::new();
    for opening in &bench.piece.openings {
        let file = match opening.shape {
            Some(shape) => *known.entry(shape).or_insert_with(|| suited(opening)),
            None => suited(opening),
        };
        uses[file].openings.push(opening.n);
    }
    uses.retain(|u| !u.openings.is_empty());
    uses
}

/// Shot that would lodge, smallest first.
pub(super) fn lodging(bench: &Measured) -> Vec<Lodging> {
    let grown = 2.0 * bench.job.saw.clean_up.get();
    let mut widths: Vec<f64> = bench.piece.openings.iter().map(|o| o.widest.get() + grown).collect();
    widths.sort_by(f64::total_cmp);
    SHOT.iter()
        .filter_map(|&shot| {
            let from = widths.partition_point(|w| shot > LODGES[1] * w);
            let to = widths.partition_point(|w| shot >= LODGES[0] * w);
            let caught = widths.get(from..to).filter(|w| !w.is_empty())?;
            Some(Lodging { shot, openings: caught.len(), from: caught[0], to: caught[caught.len() - 1] })
        })
        .collect()
}
