//! Metal in, out, scrap and filings; what to buy and how it lies on the sheet; pouring and rolling one's own.

use super::bench::Bench;
use crate::trade::Metal;
use crate::units::{plain, short};

/// Metal left all round a piece to saw it from its blank, mm. More costs metal; less and the saw runs off the sheet.
/// Common practice: a 22 mm disc is sawn from a 24 mm square.
pub const HOLDING_MARGIN: f64 = 1.0;
/// Saw cut and cleaning between blanks laid on one sheet, mm (common practice).
pub const SAW_GAP: f64 = 1.0;
/// Sheet to hold by, at one end, mm (common practice, the least).
pub const TO_HOLD: f64 = 5.0;

/// Weights of one piece, g. `blank` is the sum of the other three.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Weights {
    pub blank: f64,
    pub piece: f64,
    pub scrap: f64,
    pub filings: f64,
}

/// Size of the blank of one piece, mm.
pub fn blank_size(bench: &Bench) -> (f64, f64) {
    let bounds = bench.piece.outline.edge.bounds();
    (bounds.width() + 2.0 * HOLDING_MARGIN, bounds.height() + 2.0 * HOLDING_MARGIN)
}

/// Weights from the drawn lines: the saw's cut lies in the waste and becomes filings with the drilled holes that stay;
/// chips of the start holes are counted with the scrap.
pub fn weights(bench: &Bench, line: f64) -> Weights {
    let per_mm2 = bench.grams_per_mm2();
    let (width, height) = blank_size(bench);
    let holes: f64 = bench.piece.outline.holes.iter().map(|h| super::bench::disc(h.diameter.get())).sum();
    let blank = width * height * per_mm2;
    let piece = bench.metal_area() * per_mm2;
    let filings = (bench.job.saw.blade.kerf * line + holes) * per_mm2;
    // Openings closer than a saw cut would make more dust than there is waste.
    let filings = filings.min((blank - piece).max(0.0));
    Weights { blank, piece, scrap: blank - piece - filings, filings }
}

/// Blanks in rows on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    pub across: u32,
    pub up: u32,
    /// Size the blanks take up, saw gaps included, mm.
    pub used: (f64, f64),
    /// Share of the sheet that becomes finished metal, 0 to 1.
    pub used_share: f64,
}

/// What metal the whole job needs.
#[derive(Debug, Clone, PartialEq)]
pub struct Buying {
    /// One blank, mm.
    pub blank: (f64, f64),
    /// Blanks laid out for buying: size of sheet with a strip to hold by, mm.
    pub sheet: (f64, f64),
    pub sheet_grams: f64,
    /// Price of that sheet, where a price was typed.
    pub price: Option<f64>,
    /// How many pieces the sheet in stock holds, and how they lie.
    pub on_stock: Option<(u32, Layout)>,
    pub notes: Vec<String>,
}

/// Most blanks along `length`, gaps between them.
fn fit(length: f64, blank: f64) -> u32 {
    let count = ((length + SAW_GAP) / (blank + SAW_GAP) + 1e-9).floor();
    count.clamp(0.0, 1e6) as u32
}

fn taken(count: u32, blank: f64) -> f64 {
    f64::from(count) * blank + f64::from(count.saturating_sub(1)) * SAW_GAP
}

/// Rows of `blank` on a sheet, turned the way that holds more.
pub fn lay_out(blank: (f64, f64), sheet: (f64, f64), wanted: u32) -> (u32, Layout) {
    let ways = [(blank.0, blank.1), (blank.1, blank.0)];
    let best = ways.into_iter().map(|(w, h)| (fit(sheet.0, w), fit(sheet.1, h), w, h)).reduce(|best, way| {
        if way.0 * way.1 > best.0 * best.1 {
            way
        } else {
            best
        }
    });
    let (across, up, w, h) = best.unwrap_or((0, 0, blank.0, blank.1));
    let holds = across.saturating_mul(up);
    // Only as many rows as the job needs.
    let (across, up) = if wanted < holds && across > 0 {
        (across.min(wanted), wanted.div_ceil(across.min(wanted).max(1)))
    } else {
        (across, up)
    };
    let share = f64::from(holds.min(wanted)) * blank.0 * blank.1 / (sheet.0 * sheet.1);
    (holds, Layout { across, up, used: (taken(across, w), taken(up, h)), used_share: share })
}

/// What to buy or cut for all pieces.
pub fn buying(bench: &Bench, weights: &Weights) -> Buying {
    let blank = blank_size(bench);
    let count = bench.pieces;
    // As near square as rows allow.
    let across = (f64::from(count) * blank.1 / blank.0).sqrt().round().clamp(1.0, f64::from(count)) as u32;
    let up = count.div_ceil(across);
    let sheet = (taken(across, blank.0) + TO_HOLD, taken(up, blank.1));
    let sheet_grams = sheet.0 * sheet.1 * bench.grams_per_mm2();
    let mut notes = vec![format!(
        "{count} × blank {} × {} mm = {} g; with {SAW_GAP:.0} mm saw gaps and {TO_HOLD:.0} mm to hold by: {} × {} mm",
        plain(blank.0, 1),
        plain(blank.1, 1),
        plain(weights.blank * f64::from(count), 1),
        plain(sheet.0, 0),
        plain(sheet.1, 0)
    )];
    let on_stock = bench.job.sheet.stock.map(|(w, h)| {
        let stock = (w.get(), h.get());
        let (holds, layout) = lay_out(blank, stock, count);
        notes.push(match holds {
            0 => format!(
                "the sheet in stock, {} × {} mm, does not hold one blank",
                short(stock.0, 1),
                short(stock.1, 1)
            ),
            n if n < count => {
                format!("the sheet in stock holds {n} of {count}: {} more sheets", (count - 1) / n)
            }
            _ => format!(
                "{} across × {} up take {} × {} mm of the sheet in stock ({} %)",
                layout.across,
                layout.up,
                plain(layout.used.0, 0),
                plain(layout.used.1, 0),
                plain(100.0 * layout.used_share, 0)
            ),
        });
        if count == 1 {
            let (w, h) = (bench.size.0 + 2.0 * HOLDING_MARGIN, bench.size.1 + 2.0 * HOLDING_MARGIN);
            let room = |length: f64, up: f64| ((length - TO_HOLD) / w).min(up / h);
            let share = room(stock.0, stock.1).max(room(stock.1, stock.0));
            if share > 0.0 {
                notes.push(format!(
                    "largest of this shape it holds, with {TO_HOLD:.0} mm to hold by: {} × {} mm",
                    plain(w * share - 2.0 * HOLDING_MARGIN, 1),
                    plain(h * share - 2.0 * HOLDING_MARGIN, 1)
                ));
            }
        }
        let spare = (stock.0 - layout.used.0).max(stock.1 - layout.used.1);
        if holds > 0 && spare < TO_HOLD {
            notes.push(format!(
                "only {} mm left to hold by: drill and pierce before cutting apart",
                plain(spare, 1)
            ));
        }
        (holds, layout)
    });
    Buying {
        blank,
        sheet,
        sheet_grams,
        price: bench.job.sheet.price_per_gram.filter(|p| *p > 0.0).map(|p| p * sheet_grams),
        on_stock,
        notes,
    }
}

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
    pub turn_width: f64,
    /// Rough sheet before trimming, length and width, mm.
    pub rough: (f64, f64),
    /// Thickness after each pass, mm; `true` where the metal is annealed after it.
    pub passes: Vec<(f64, bool)>,
    pub anneals: usize,
}

/// Trimmed away as edges and ends (common practice): less and cracked edges stay in the sheet.
const TRIM: f64 = 0.25;
/// Lost in the melt (common practice, the high end).
const MELT_LOSS: f64 = 0.02;
/// Rough sheet is this much wider than the trimmed one.
const ROUGH_WIDTH: f64 = 1.25;
/// Ingot this many times as thick as the sheet: enough rolling to make the grain even.
const INGOT_TIMES: f64 = 5.0;
/// Each pass takes off this share of the thickness (common practice for hand mills). More stalls the mill.
const PASS: f64 = 0.10;

/// Share a metal may be thinned between anneals (sterling 50 %: common practice; tarnish-resistant silvers 70 %:
/// fabricator's product guidance).
fn thinning(metal: &Metal) -> f64 {
    match metal.name.as_str() {
        "silver-935" | "silver-960" => 0.70,
        _ => 0.50,
    }
}

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
    let most = thinning(metal);
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
