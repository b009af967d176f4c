//! What one pierced plate weighs, and what its blank leaves behind.

use super::measured::{disc, Measured};

/// Metal left all round a piece to saw it from its blank, mm. More costs metal; less and the saw runs off the sheet.
/// Common practice: a 22 mm disc is sawn from a 24 mm square.
pub const HOLDING_MARGIN: f64 = 1.0;

/// Weights of one plate, g: the openwork alone, without rim, back or bezel. `blank` is the sum of the next three.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Weights {
    /// The sheet sawn from: the outline's bounding box and `HOLDING_MARGIN` all round.
    pub blank: f64,
    /// Filed to the line: the drawn size, or the measured one.
    pub piece: f64,
    /// What falls out or off in pieces.
    pub scrap: f64,
    /// Turned to dust and chips: kerf times line, and the holes that stay.
    pub filings: f64,
    /// Up to this much less where saw and file run over the line by the margin allowed for the hand.
    pub overrun: f64,
}

/// Size of the blank of one piece, lugs included, mm.
pub(super) fn blank_size(bench: &Measured) -> (f64, f64) {
    let bounds = bench.piece.outline.edge.bounds();
    (bounds.width() + 2.0 * HOLDING_MARGIN, bounds.height() + 2.0 * HOLDING_MARGIN)
}

/// Weights from the drawn lines, the outer edge as measured where it was: the saw's cut lies in the waste and becomes
/// filings with the drilled holes that stay; chips of the start holes are counted with the scrap.
pub(super) fn weights(bench: &Measured, line: f64) -> Weights {
    let per_mm2 = bench.grams_per_mm2();
    let (width, height) = blank_size(bench);
    let holes: f64 = bench.piece.outline.holes.iter().map(|h| disc(h.diameter.get())).sum();
    let blank = width * height * per_mm2;
    let piece = bench.metal_area() * per_mm2;
    let filings = (bench.job.saw.blade.kerf * line + holes) * per_mm2;
    // Openings closer than a saw cut would make more dust than there is waste.
    let filings = filings.min((blank - piece).max(0.0));
    // A measured edge has been filed: nothing more comes off it.
    let edge = if bench.edge_found { 0.0 } else { bench.piece.outline.edge.perimeter() };
    let inner: f64 = bench.piece.openings.iter().map(|o| o.perimeter.get()).sum();
    let overrun = (edge + inner + bench.windows_line()) * bench.job.saw.clean_up.get() * per_mm2;
    Weights { blank, piece, scrap: blank - piece - filings, filings, overrun: overrun.min(piece) }
}
