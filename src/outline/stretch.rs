//! The measured size against the drawn one: the one place where anything is stretched to it.

use crate::geom::Ring;
use crate::units::Mm;

/// How much wider and higher the bench found the outer edge than it was drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    across: f64,
    up: f64,
}

impl Stretch {
    /// As drawn.
    pub const NONE: Stretch = Stretch { across: 1.0, up: 1.0 };

    /// What takes a drawn edge to a measured one, by their bounding boxes.
    pub(super) fn between(drawn: &Ring, found: &Ring) -> Self {
        let (now, drawn) = (found.bounds(), drawn.bounds());
        Self { across: now.width() / drawn.width(), up: now.height() / drawn.height() }
    }

    /// A drawn line as it was found, stretched about the outline's middle.
    pub fn ring(self, drawn: &Ring) -> Ring {
        if self == Self::NONE {
            drawn.clone()
        } else {
            drawn.stretched(self.across, self.up)
        }
    }

    /// A drawn width and height as they were found.
    pub fn size(self, (width, height): (Mm, Mm)) -> (Mm, Mm) {
        (width * self.across, height * self.up)
    }
}
