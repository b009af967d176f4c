//! The template on its paper. Lengths in mm.

use super::Phrasing;
use crate::units::LengthUnit;

/// How a template lies on its paper.
#[derive(Debug, Clone, PartialEq)]
pub enum PaperFinding {
    /// The templates go on the paper at true size.
    Fits {
        /// Name of the paper.
        paper: String,
        /// Pages of templates.
        pages: usize,
    },
    /// The template is laid over several pages, to be joined.
    Split {
        /// What the largest template needs, across and up, mm.
        size: (f64, f64),
        /// Name of the paper.
        paper: String,
        /// Pages it is laid over.
        pages: usize,
        /// By the maker; else because no desk printer takes it whole.
        asked: bool,
    },
    /// The template does not go on the paper and is not split.
    TooBig {
        /// What the largest template needs, across and up, mm.
        size: (f64, f64),
        /// Name of the paper.
        paper: String,
        /// What the paper leaves, across and up, mm.
        room: (f64, f64),
        /// A paper of a desk printer would do; the remedy names it.
        helped: bool,
    },
}

impl PaperFinding {
    pub(super) fn says(&self, w: &Phrasing) -> String {
        match self {
            PaperFinding::Fits { paper, pages: 1 } => {
                format!("the template fits one page of {paper} at true size")
            }
            PaperFinding::Fits { paper, pages } => {
                format!("the templates fill {pages} pages of {paper} at true size")
            }
            PaperFinding::Split { size, paper, pages, asked } => format!(
                "the piece needs {} of paper ({}): it is split over {pages} pages of {paper}. Join them at the crossed circles and \
                 check the diagonal before sticking",
                sized(w, *size),
                if *asked { "splitting was asked for" } else { "more than a desk printer takes" }
            ),
            PaperFinding::TooBig { size, paper, room, .. } => format!(
                "the template needs {} and {paper} leaves {}: it does not fit, and it is never shrunk to fit",
                sized(w, *size),
                sized(w, *room)
            ),
        }
    }

    pub(super) fn because(&self) -> &'static str {
        match self {
            PaperFinding::Fits { .. } => "",
            PaperFinding::Split { .. } => "the pages carry join marks, a bar each and a key plan",
            PaperFinding::TooBig { helped: true, .. } => "tried by laying the template out on it",
            PaperFinding::TooBig { helped: false, .. } => {
                "no paper of a desk printer holds it: make the piece smaller, or give a paper size that does"
            }
        }
    }
}

/// To the tenth of a millimetre, or the hundredth of an inch.
fn sized(w: &Phrasing, size: (f64, f64)) -> String {
    match w.units {
        LengthUnit::Mm => w.size(size, 1),
        LengthUnit::Inch => w.size(size, 0),
    }
}
