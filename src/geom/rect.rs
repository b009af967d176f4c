//! Boxes made larger and smaller by the same amount on every side, under names that say which.

use kurbo::Rect;

/// `kurbo::Rect::inset` grows for positive values; these two cannot be mistaken.
pub trait Grow {
    /// Every side moved outwards by `by`.
    #[must_use]
    fn grow(self, by: f64) -> Self;
    /// Every side moved inwards by `by`; a box that is too small for that comes out turned over, with a negative size.
    #[must_use]
    fn shrink(self, by: f64) -> Self;
}

impl Grow for Rect {
    fn grow(self, by: f64) -> Self {
        Rect { x0: self.x0 - by, y0: self.y0 - by, x1: self.x1 + by, y1: self.y1 + by }
    }
    fn shrink(self, by: f64) -> Self {
        self.grow(-by)
    }
}
