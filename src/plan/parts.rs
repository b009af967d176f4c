//! The parts a piece is built from, each with its own number and its sum.

use super::measured::Measured;
use super::part::{Part, PartName, BEZEL, CUT_LONG, PRACTICE};
use super::{formed, rings, strips};
use crate::geom::Ring;
use crate::job::{Bezel, Shape};
use crate::outline::Seat;
use crate::trade::fits;
use crate::units::LengthUnit;

/// Every part, in the order they are made.
pub(super) fn parts(bench: &Measured) -> Vec<Part> {
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
fn seat(bench: &Measured) -> Vec<Part> {
    let Some(bezel) = &bench.job.construction.bezel else { return Vec::new() };
    let units = bench.job.units;
    let Shape::Circle { diameter } = bezel.stone else { return shaped_seat(bezel, units) };
    let (stone, t, play) = (diameter.get(), bezel.thickness.get(), fits::BEZEL_PLAY);
    let length = fits::bezel_strip(stone, t, play);
    let outside = fits::bezel_outside(stone, t, play);
    let pad = fits::bezel_pad(stone, t, play);
    let window = fits::bezel_window(stone, bezel.ledge.get());
    let mut parts = vec![
        Part::new(
            PartName::BezelStrip,
            1,
            format!(
                "π × ({} + {} + {}) = {}",
                units.plain(stone, 2),
                units.plain(play, 2),
                units.plain(t, 2),
                units.plain(length, 2)
            ),
            BEZEL,
        )
        .size("length_mm", "length", length)
        .size("height_mm", "height", bezel.height.get())
        .size("thickness_mm", "thickness", t)
        .note(format!(
            "cut {}, close it round the stone, trim at the seam",
            units.says(length + CUT_LONG, 2)
        )),
        Part::new(
            PartName::BezelPad,
            1,
            format!(
                "outside of the bezel {} + {} + 2 × {} = {}; + 2 × {} = {} solid",
                units.plain(stone, 2),
                units.plain(play, 2),
                units.plain(t, 2),
                units.plain(outside, 2),
                units.short(fits::PAD_BEYOND_BEZEL, 2),
                units.plain(pad, 2)
            ),
            PRACTICE,
        )
        .size("diameter_mm", "solid across, at least", pad)
        .size("scribe_mm", "scribe a ring at", outside),
    ];
    if bezel.window && window > 0.0 {
        parts.push(
            Part::new(
                PartName::StoneWindow,
                1,
                format!(
                    "{} − 2 × {} = {}",
                    units.plain(stone, 2),
                    units.plain(bezel.ledge.get(), 2),
                    units.plain(window, 2)
                ),
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
fn shaped_seat(bezel: &Bezel, units: LengthUnit) -> Vec<Part> {
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
            PartName::BezelStrip,
            1,
            format!(
                "round the stone's outline let out by ({} + {}) / 2 to the middle of the wall: {}",
                units.plain(play, 2),
                units.plain(t, 2),
                units.plain(length, 2)
            ),
            PRACTICE,
        )
        .size("length_mm", "length", length)
        .size("height_mm", "height", bezel.height.get())
        .size("thickness_mm", "thickness", t)
        .note(format!(
            "cut {}, bend it round the stone, put the seam on a long side, trim at the seam",
            units.says(length + CUT_LONG, 2)
        )),
        Part::new(
            PartName::BezelPad,
            1,
            format!(
                "outside of the bezel {} × {}; + {} solid all round",
                units.plain(outside.0, 2),
                units.plain(outside.1, 2),
                units.short(fits::PAD_BEYOND_BEZEL, 2)
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
                PartName::StoneWindow,
                1,
                format!("the stone's outline, {} drawn in all round", units.plain(bezel.ledge.get(), 2)),
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
