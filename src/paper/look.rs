//! How a template is to look: which piece of a pair, which way round, what stands on its tab.

use crate::job::{PaperSpec, Transfer};

/// The trim line runs this far outside the outline, mm: enough to press down, little enough to keep the paper flat.
pub(super) const TRIM: f64 = 3.0;

/// Which piece of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hand {
    One,
    Left,
    Right,
}

/// How this copy is to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TemplateLook {
    pub hand: Hand,
    /// The print is mirrored because of the way it goes onto the metal.
    pub mirrored: bool,
    /// And the template says so.
    pub says_mirrored: bool,
    /// What stands below the short bar.
    pub foot: BelowBar,
    /// The job's title stands on the tab: several jobs share the page.
    pub titled: bool,
    /// Inches stand beside the millimetres of the short bar.
    pub inches: bool,
}

/// What stands below the short bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BelowBar {
    /// Nothing: the only copy.
    Bare,
    /// "3 of 12".
    Counted,
    /// The copy's number and a line to write a name on.
    Named,
}

impl BelowBar {
    /// Height it adds, mm. A name is written by hand: it needs air above its line.
    pub(super) fn height(self) -> f64 {
        match self {
            BelowBar::Bare => 0.0,
            BelowBar::Counted => 2.8,
            BelowBar::Named => 5.4,
        }
    }
}

/// Whether the print is mirrored because of how it goes onto the metal.
pub(super) fn print_mirrored(paper: &PaperSpec) -> bool {
    paper.mirror || paper.transfer == Transfer::RubDown
}

/// Rubbed down, the print comes out the right way round: on the metal the word would be wrong.
pub(super) fn says_mirrored(paper: &PaperSpec) -> bool {
    paper.mirror && paper.transfer != Transfer::RubDown
}
