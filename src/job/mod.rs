//! The job: everything the maker decided, resolved to millimetres, with no defaults, strings or mixed units left.

mod bench;
mod braces;
mod construct;
pub mod edit;
pub mod fields;
mod found;
mod page;
mod part;
mod pattern;
mod places;
mod pointer;
mod repeat;
mod resolve;
mod rows;
mod shape;
mod stage;
mod values;
mod walk;

pub use crate::reader::{nearest, suggestion, suggestion_of};
pub use bench::{Limits, Measured, MeasuredOutline, Rates, Saw, Sheet, Temper, Wish};
pub use construct::{Back, Bezel, Construction, JumpRing, Rim, RimSits};
pub use edit::Edit;
pub use fields::usual::bridge_rule;
pub use fields::{outlines, ShapeSection};
pub use found::measure;
pub use page::{CardLength, LabelGrid, MarksShown, PaperSpec, SawLine, Shade, Transfer};
pub use pattern::{AtBorder, CentreChoice, GrownSettings, PatternSource, PatternSpec};
pub use places::{Alteration, HoleSpec, KeepSolid, LugSpec, OpeningChange, WindowSpec};
pub use resolve::{needs, parse};
pub use rows::{Along, Element, MiddleSpec, Motif, RowSpec, Spacing};
pub use shape::{OutlineSpec, Shape};
pub use stage::Stage;
pub use values::{Known, Origin, Value, Values};

use crate::error::Error;
use std::collections::BTreeMap;
use std::sync::Arc;

pub use crate::units::LengthUnit;

/// The bytes of the files a job names, under the names it gives them.
pub type NamedFiles = BTreeMap<String, Vec<u8>>;

/// How sure the hand is: sets limits, clean-up and rates.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Skill {
    /// A first piece.
    First,
    /// Some years at the bench.
    Practised,
    /// A hand for the finest work.
    FineWork,
}

impl Skill {
    /// By its word in a job file.
    pub fn named(word: &str) -> Option<Self> {
        match word {
            "first" => Some(Skill::First),
            "practised" => Some(Skill::Practised),
            "fine-work" => Some(Skill::FineWork),
            _ => None,
        }
    }
}

/// A resolved job. Lengths in mm; points in mm, y up, origin at the middle of the outline's bounding box.
#[derive(Debug, Clone)]
pub struct Job {
    /// File name as the user gave it, for messages.
    pub file: String,
    /// What the piece is called.
    pub title: String,
    /// What the maker reads lengths in.
    pub units: LengthUnit,
    /// The maker's hand.
    pub skill: Skill,
    /// Single pieces to make: a pair is two of them.
    pub pieces: u32,
    /// Left and right, mirrored.
    pub pair: bool,
    /// The metal.
    pub sheet: Sheet,
    /// The edge and its border.
    pub outline: OutlineSpec,
    /// The openwork.
    pub pattern: PatternSpec,
    /// Rows of openings along the border.
    pub rows: Vec<RowSpec>,
    /// A motif in the middle.
    pub middle: Option<MiddleSpec>,
    /// Places that stay solid.
    pub keep_solid: Vec<KeepSolid>,
    /// Openings beside the pattern.
    pub windows: Vec<WindowSpec>,
    /// Drilled holes that stay.
    pub holes: Vec<HoleSpec>,
    /// Ears on the edge.
    pub lugs: Vec<LugSpec>,
    /// Single openings altered.
    pub changes: Vec<OpeningChange>,
    /// The least widths asked for.
    pub limits: Limits,
    /// Blade, drill and frame.
    pub saw: Saw,
    /// What the bench found.
    pub measured: Measured,
    /// What is built from the piece.
    pub construction: Construction,
    /// How it is printed.
    pub paper: PaperSpec,
    /// Minutes and money.
    pub rates: Rates,
    /// What is wished for in place of a pitch.
    pub wish: Option<Wish>,
    /// What it was read from.
    pub source: Source,
}

/// What a job was read from: enough to say where each value comes from, and to read it again after an edit.
#[derive(Clone)]
pub struct Source {
    /// The job file, with the edits made so far.
    pub text: Arc<str>,
    /// The files it names.
    pub files: Arc<NamedFiles>,
    /// What it was read with.
    pub settings: Arc<Settings>,
    /// Every value by its path.
    pub values: Arc<Values>,
}

impl Source {
    /// A typed value as it stands in the text.
    pub fn typed_text(&self, path: &str) -> Option<String> {
        edit::typed_text(&self.text, path)
    }
}

impl std::fmt::Debug for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Source").finish_non_exhaustive()
    }
}

impl Job {
    /// The job after edits to its text: the one way to change it. Errors are those of reading a job.
    pub fn with(&self, edits: &[Edit]) -> Result<Job, Error> {
        let text = edit::written(&self.source.text, edits)
            .map_err(|wrong| Error::job(wrong, "edit the job file by hand").in_file(&self.file))?;
        resolve::resolve(&text, &self.file, &self.source.files, &self.source.settings, Some(self))
    }

    /// Where the value of a key comes from: `limits.bridge`, `window[0].border`.
    pub fn origin(&self, path: &str) -> Origin {
        self.source.values.origin(path)
    }
}

/// What the shell knows beyond the job file: stored printers and learnt rates.
#[derive(Debug, Clone, Default)]
pub struct Settings {
    /// Printers whose bars were measured.
    pub printers: Vec<Printer>,
    /// Why the stored printers cannot be read, where they cannot: it matters to jobs that name one.
    pub printers_unread: Option<String>,
    /// Rates learnt from minutes really taken, used where the job types none.
    pub rates: Rates,
}

/// A printer's stored correction: what its 100 mm bar measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Printer {
    /// As a job names it.
    pub name: String,
    /// What 100 mm along the paper's short edge come out as, mm.
    pub across: f64,
    /// What 100 mm along the paper's long edge come out as, mm.
    pub up: f64,
}
