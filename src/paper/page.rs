//! A page as marks in millimetres: x to the right, y DOWN, origin at the page's top left corner, as one reads it.
//!
//! Everything a page says is here; `render` only writes it out. Ink is in percent of black (0 paper, 100 black):
//! there is no colour anywhere.

use super::place::Placement;
use super::stamp::Stamp;
use crate::geom::{Point, Rect};

pub(super) use super::mark::FINE;
pub use super::mark::{Anchor, Group, Ink, Mark, Pen, Words, SAW_LINE};

/// What a page is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PageKind {
    /// True-size template, goes on the metal.
    Template,
    /// Plain-paper trial of a label grid.
    Trial,
    /// How the pages of a big piece join.
    KeyPlan,
    /// Enlarged picture with every number.
    KeyMap,
    /// Strips, blanks and plates at true size.
    Parts,
    /// The job card.
    Card,
    /// Printer test page.
    Test,
    /// Bare outlines for a cutting service.
    Outlines,
    /// A card of patterns to choose from.
    Sampler,
}

/// One page.
#[derive(Debug, Clone)]
pub struct Page {
    /// What it is for: decides where it may be printed and how it is numbered.
    pub kind: PageKind,
    /// mm.
    pub width: f64,
    /// mm.
    pub height: f64,
    /// The copies that stand on this page, in order of number.
    pub copies: Vec<CopyAt>,
    /// The copy here is the only one there is: its groups carry no number.
    pub alone: bool,
    /// Everything on it but the stamps, undermost first.
    pub marks: Vec<Mark>,
    /// Openings drawn alike at many places, where there are more than can be numbered.
    pub stamps: Vec<Stamp>,
    /// Where "Sheet 2 of 5" ends on its baseline; `None` where no words of the page's own stand.
    pub folio: Option<Point>,
    /// What belongs to a copy shows only inside this, where a big piece is split over pages.
    pub window: Option<Rect>,
    /// What 100 mm of this page's x and y come out as on the maker's printer; `render::pdf` makes up for it.
    pub correction: (f64, f64),
}

/// Where a copy stands: its number from 1 and how the piece was laid down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CopyAt {
    /// From 1.
    pub k: usize,
    /// Where and how on the page.
    pub place: Placement,
}

/// Nothing is printed in this outer edge of a page, mm: printers cannot reach it.
pub(super) const NO_INK: f64 = 6.0;
/// Width of the strips at left and foot that hold the bars, mm.
pub(super) const STRIP: f64 = 8.0;

impl Page {
    /// An empty page of so many mm.
    pub fn new(kind: PageKind, (width, height): (f64, f64)) -> Self {
        Self {
            kind,
            width,
            height,
            copies: Vec::new(),
            alone: false,
            marks: Vec::new(),
            stamps: Vec::new(),
            folio: None,
            window: None,
            correction: (100.0, 100.0),
        }
    }

    /// Every run of words on the page.
    pub fn words(&self) -> impl Iterator<Item = &Words> {
        self.marks.iter().filter_map(|m| match &m.ink {
            Ink::Words(words) => Some(words),
            _ => None,
        })
    }
}
