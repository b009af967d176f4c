//! Text on its way out, handed on in pieces: a file that is long is never whole in memory.

use std::io::{self, Write};

/// So many bytes are gathered before they are handed on. Smaller asks the writer more often; larger only takes memory.
const PIECE: usize = 1 << 16;

/// Gathers text and hands it on.
pub(super) struct Outflow<'w> {
    /// What is not handed on yet: appended to by whoever writes.
    pub(super) text: String,
    to: &'w mut dyn Write,
    handed: io::Result<()>,
}

impl<'w> Outflow<'w> {
    pub(super) fn new(to: &'w mut dyn Write) -> Self {
        Self { text: String::with_capacity(PIECE + PIECE / 4), to, handed: Ok(()) }
    }

    /// To be called between one thing and the next: hands on what is long enough.
    pub(super) fn pass(&mut self) {
        if self.text.len() >= PIECE {
            self.hand_on();
        }
    }

    /// Hands on the rest. Errors: the first that handing on met.
    pub(super) fn finish(mut self) -> io::Result<()> {
        self.hand_on();
        self.handed
    }

    fn hand_on(&mut self) {
        if self.handed.is_ok() {
            self.handed = self.to.write_all(self.text.as_bytes());
        }
        self.text.clear();
    }
}
