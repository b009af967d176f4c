//! The number that names a print.

use crate::job::Job;
use crate::openings::Piece;

/// Bits that stand for one drawing: FNV-1a, 64 bits (from memory, believed Fowler, Noll and Vo).
struct Stamp(u64);
/// Its factor.
const PRIME: u64 = 0x0000_0100_0000_01b3;

impl Stamp {
    fn text(&mut self, text: &str) {
        text.bytes().chain([0]).for_each(|b| self.byte(b));
    }
    /// A length to a micrometre, a size to a thousandth.
    fn size(&mut self, value: f64) {
        let value = (value * 1000.0).round() as i64;
        // Most sizes end in bytes that are 0, and each of those is no more than a factor.
        let empty = value.leading_zeros() / 8;
        (0..8 - empty).for_each(|i| self.byte((value >> (8 * i)) as u8));
        self.0 = self.0.wrapping_mul(PRIME.wrapping_pow(empty));
    }
    fn byte(&mut self, byte: u8) {
        self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(PRIME);
    }
}

/// A short number that stays the same as long as the drawing does: six letters and figures that cannot be mistaken for
/// each other. It stands for the title, the metal, the drill and every line to be sawn; not for the file's name, the
/// paper, the rates, prices or what was measured.
pub(super) fn number(job: &Job, piece: &Piece) -> String {
    let outline = &piece.outline;
    let mut stamp = Stamp(0xcbf2_9ce4_8422_2325);
    stamp.text(&job.title);
    stamp.text(&job.sheet.metal.name);
    stamp.size(job.sheet.thickness.get());
    stamp.size(job.saw.drill.get());
    stamp.size(if job.pair { 2.0 } else { 1.0 });
    let lines =
        outline.allowance.iter().chain([&outline.edge]).chain(outline.windows.iter().map(|w| &w.ring));
    for c in lines.flat_map(|ring| ring.vertices()) {
        [c.at.x, c.at.y, c.bulge].into_iter().for_each(|v| stamp.size(v));
    }
    for h in &outline.holes {
        [h.at.x, h.at.y, h.diameter.get()].into_iter().for_each(|v| stamp.size(v));
    }
    for o in &piece.openings {
        [o.drill_at.x, o.drill_at.y, o.widest.get(), o.area].into_iter().for_each(|v| stamp.size(v));
    }
    const LETTERS: &[u8; 30] = b"23456789ABCDEFGHJKLMNPQRSTVWXZ";
    let mut bits = stamp.0;
    let mut number = String::new();
    for place in 0..6 {
        if place == 3 {
            number.push('-');
        }
        number.push(char::from(LETTERS[(bits % 30) as usize]));
        bits /= 30;
    }
    number
}
