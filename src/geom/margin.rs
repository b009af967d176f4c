//! Rectangles made larger or smaller by the same width all round.

use kurbo::Rect;

/// A rectangle with every side moved by the same width.
pub trait Margin {
    /// Every side moved outwards by `by` mm.
    fn grow(self, by: f64) -> Self;
    /// Every side moved inwards by `by` mm.
    fn shrink(self, by: f64) -> Self;
}

impl Margin for Rect {
    fn grow(self, by: f64) -> Rect {
        self.inflate(by, by)
    }

    fn shrink(self, by: f64) -> Rect {
        self.inflate(-by, -by)
    }
}
