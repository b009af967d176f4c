//! What to buy or cut for all pieces, and how the blanks lie on the sheet.

use super::measured::Measured;
use super::metal::{blank_size, HOLDING_MARGIN};
use crate::checks::{BenchFinding, Check, Level, Quantity, Verdict};
use crate::units::{plain, LengthUnit};

/// Saw cut and cleaning between blanks laid on one sheet, mm (estimate).
pub const SAW_GAP: f64 = 1.0;
/// Sheet to hold by, at one end, mm (estimate, the least).
pub const TO_HOLD: f64 = 5.0;

/// Blanks in rows on a sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Blanks side by side.
    pub across: u32,
    /// Rows of them.
    pub up: u32,
    /// Size the blanks take up, saw gaps included, mm.
    pub used: (f64, f64),
    /// Share of the sheet that the blanks cover, 0 to 1.
    pub used_share: f64,
}

/// The sheet in stock, and what the job makes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct OnStock {
    /// mm.
    pub size: (f64, f64),
    /// Blanks one such sheet holds.
    pub holds: u32,
    /// Sheets the job needs; 0 where none holds a blank.
    pub sheets: u32,
    /// How the blanks of the first sheet lie.
    pub layout: Layout,
    /// Left beside them to hold by, mm.
    pub spare: f64,
    /// Largest piece of this shape it holds, mm; for a single piece.
    pub largest: Option<(f64, f64)>,
}

impl OnStock {
    /// Whether every blank comes out of one sheet.
    pub fn is_enough(&self) -> bool {
        self.sheets == 1
    }
}

/// What metal the plates of the whole job need.
#[derive(Debug, Clone, PartialEq)]
pub struct Buying {
    /// Blanks: one for each piece.
    pub count: u32,
    /// One blank, mm.
    pub blank: (f64, f64),
    /// Blanks laid out for buying: size of sheet with a strip to hold by, mm.
    pub sheet: (f64, f64),
    /// The whole sheet to buy, g.
    pub sheet_grams: f64,
    /// The sheet really cut from for all pieces, g: of the stock where that holds them, else of the sheet to buy.
    pub taken: f64,
    /// The sheet that is there, where the job names one.
    pub stock: Option<OnStock>,
}

/// Most blanks along `length`, gaps between them.
fn fit(length: f64, blank: f64) -> u32 {
    let count = ((length + SAW_GAP) / (blank + SAW_GAP) + 1e-9).floor();
    count.clamp(0.0, 1e6) as u32
}

fn row(count: u32, blank: f64) -> f64 {
    f64::from(count) * blank + f64::from(count.saturating_sub(1)) * SAW_GAP
}

/// Rows of `blank` on a sheet, turned the way that holds more, and how many it holds.
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
    (holds, Layout { across, up, used: (row(across, w), row(up, h)), used_share: share })
}

/// What to buy or cut for all pieces.
pub(super) fn buying(bench: &Measured) -> Buying {
    let blank = blank_size(bench);
    let count = bench.pieces;
    // As near square as rows allow.
    let across = (f64::from(count) * blank.1 / blank.0).sqrt().round().clamp(1.0, f64::from(count)) as u32;
    let sheet = (row(across, blank.0) + TO_HOLD, row(count.div_ceil(across), blank.1));
    let per_mm2 = bench.grams_per_mm2();
    let sheet_grams = sheet.0 * sheet.1 * per_mm2;
    let stock = bench.job.sheet.stock.map(|(w, h)| on_stock(bench, blank, (w.get(), h.get())));
    let of_stock = stock.as_ref().filter(|s| s.sheets > 0).map(|s| s.taken(blank, count) * per_mm2);
    Buying { count, blank, sheet, sheet_grams, taken: of_stock.unwrap_or(sheet_grams), stock }
}

fn on_stock(bench: &Measured, blank: (f64, f64), size: (f64, f64)) -> OnStock {
    let count = bench.pieces;
    let (holds, layout) = lay_out(blank, size, count);
    let (w, h) = (bench.over_all.0 + 2.0 * HOLDING_MARGIN, bench.over_all.1 + 2.0 * HOLDING_MARGIN);
    let room = |length: f64, up: f64| ((length - TO_HOLD) / w).min(up / h);
    let share = room(size.0, size.1).max(room(size.1, size.0));
    let largest = (w * share - 2.0 * HOLDING_MARGIN, h * share - 2.0 * HOLDING_MARGIN);
    OnStock {
        size,
        holds,
        sheets: if holds == 0 { 0 } else { count.div_ceil(holds) },
        spare: (size.0 - layout.used.0).max(size.1 - layout.used.1),
        layout,
        largest: (count == 1 && largest.0 > 0.0 && largest.1 > 0.0).then_some(largest),
    }
}

impl OnStock {
    /// Area really cut into for `count` blanks, mm2: whole sheets, and of the last the rows its blanks take with a strip to
    /// hold them by. The rest of it stays an off-cut.
    fn taken(&self, blank: (f64, f64), count: u32) -> f64 {
        let whole = f64::from(self.sheets - 1) * self.size.0 * self.size.1;
        let last = count - (self.sheets - 1) * self.holds;
        let (_, layout) = lay_out(blank, self.size, last);
        // The strip to hold by lies along the shorter way that has room for it.
        let held = [
            ((layout.used.0 + TO_HOLD).min(self.size.0), layout.used.1),
            (layout.used.0, (layout.used.1 + TO_HOLD).min(self.size.1)),
        ];
        whole + held.map(|(w, h)| w * h).into_iter().fold(f64::INFINITY, f64::min)
    }
}

impl Buying {
    /// How the sheet to buy is made up.
    pub fn sum(&self, units: LengthUnit) -> String {
        format!(
            "{} × blank {}, {} saw gaps and {} to hold by: {}",
            self.count,
            units.size(self.blank, 1),
            units.says(SAW_GAP, 0),
            units.says(TO_HOLD, 0),
            units.size(self.sheet, 1)
        )
    }

    /// What to say of the sheet in stock.
    pub fn stock_notes(&self, units: LengthUnit) -> Vec<String> {
        let Some(stock) = &self.stock else { return Vec::new() };
        let mut notes = vec![match stock.is_enough() {
            false => stock_fit(self).says(units),
            true => format!(
                "{} across × {} up take {} of the sheet in stock, {}: {} %",
                stock.layout.across,
                stock.layout.up,
                units.size(stock.layout.used, 1),
                units.size(stock.size, 1),
                plain(100.0 * stock.layout.used_share, 0)
            ),
        }];
        if let Some(largest) = stock.largest {
            notes.push(format!(
                "largest of this shape it holds, with {} to hold by: {}",
                units.says(TO_HOLD, 0),
                units.size(largest, 1)
            ));
        }
        if stock.holds > 0 && stock.spare < TO_HOLD {
            notes.push(format!(
                "only {} left to hold by: drill and pierce before cutting apart",
                units.says(stock.spare, 1)
            ));
        }
        notes
    }
}

/// The sheet in stock against the blanks.
pub(super) fn stock_fit(buying: &Buying) -> Verdict {
    let told = |level, found| Verdict::new(Check::StockFit, level, found);
    let Some(stock) = &buying.stock else { return told(Level::Unchecked, BenchFinding::NoStock) };
    let count = |n: u32| Quantity::Count(f64::from(n), "blanks");
    let pieces = buying.count;
    match stock.sheets {
        0 => {
            let found = BenchFinding::StockTooSmall { blank: buying.blank, stock: stock.size };
            told(Level::Caution, found).numbers(count(0), count(1))
        }
        1 => told(Level::Good, BenchFinding::StockHolds { pieces, share: stock.layout.used_share }),
        sheets => {
            let found = BenchFinding::StockHoldsSome { holds: stock.holds, pieces, more: sheets - 1 };
            told(Level::Caution, found).numbers(count(stock.holds), count(pieces))
        }
    }
}
