//! A quick hash for tables that are looked up only, never walked.

use std::hash::Hasher;

/// A quick hash of a few whole numbers; no stranger chooses them.
#[derive(Default)]
pub struct Mixed(u64);

impl Hasher for Mixed {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 32)
    }
    fn write(&mut self, bytes: &[u8]) {
        let (words, rest) = bytes.as_chunks();
        words.iter().for_each(|word| self.write_u64(u64::from_le_bytes(*word)));
        rest.iter().for_each(|b| self.write_u64(u64::from(*b)));
    }
    fn write_u32(&mut self, n: u32) {
        self.write_u64(u64::from(n));
    }
    fn write_i64(&mut self, n: i64) {
        self.write_u64(n as u64);
    }
    fn write_u64(&mut self, n: u64) {
        self.0 = (self.0.rotate_left(29) ^ n).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
}
