//! The job card as plain sections: what stands on it is decided here, how it is set on paper in `paper`.

/// Which step of the work a section is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CardStep {
    /// What is made, of what, how large.
    Piece,
    /// What the checks say against it.
    Findings,
    /// Cutting or pouring the sheet.
    Sheet,
    /// How the template comes onto the metal.
    Paper,
    /// Punch marks, start holes, holes that stay.
    Drill,
    /// Blade, tension, order of the openings.
    Saw,
    /// Which file goes into which opening.
    File,
    /// The outer edge last, then measuring.
    Edge,
    /// Rounding a band, rolling a cone, doming.
    Form,
    /// Sizes of what else is cut.
    Parts,
    /// Seams in order, grades, pallions, where to heat.
    Solder,
    /// Seams of metals that no bench solders.
    Cold,
    /// Acid, rinsing, what stood over.
    Clean,
    /// Setting, after all heat.
    Stone,
    /// Polishing, tumbling, patina.
    Finish,
    /// Balance point, tilt, the ring through the hole.
    Hang,
    /// What was weighed and how long it took, for the next piece.
    Record,
    /// Time and money: a sheet of its own.
    Maker,
    /// What is handed to the buyer: a sheet of its own.
    Quote,
    /// What a teacher needs.
    Class,
}

impl CardStep {
    /// As it is headed.
    pub fn title(self) -> &'static str {
        match self {
            CardStep::Piece => "The piece",
            CardStep::Findings => "Look at this first",
            CardStep::Sheet => "The sheet",
            CardStep::Paper => "Paper on the metal",
            CardStep::Drill => "Punch and drill",
            CardStep::Saw => "Saw the openings",
            CardStep::File => "File the openings",
            CardStep::Edge => "Saw the outer edge and measure",
            CardStep::Form => "Form",
            CardStep::Parts => "Strips, back plate and rings",
            CardStep::Solder => "Solder",
            CardStep::Cold => "Join cold",
            CardStep::Clean => "Pickle and trim",
            CardStep::Stone => "Stone",
            CardStep::Finish => "Finish",
            CardStep::Hang => "How it hangs",
            CardStep::Record => "Weigh and write down",
            CardStep::Maker => "Time and money: the maker's sheet",
            CardStep::Quote => "Quote: the buyer's sheet",
            CardStep::Class => "The class",
        }
    }

    /// Whether it stands on a sheet of its own, not on the card at the bench.
    pub fn is_own_sheet(self) -> bool {
        matches!(self, CardStep::Maker | CardStep::Quote)
    }
}

/// One step of the job with what is needed at it.
#[derive(Debug, Clone, PartialEq)]
pub struct CardSection {
    /// Which step of the work.
    pub step: CardStep,
    /// The step's, or its own where the step comes twice.
    pub title: String,
    /// What the bench needs every time.
    pub rows: Vec<Row>,
    /// What a long card adds after it: sums, further advice.
    pub more: Vec<Row>,
}

/// A line of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Row {
    /// A named number, with its sum where it has one.
    Fact {
        /// What it is.
        label: String,
        /// With its unit.
        value: String,
        /// How it was worked out.
        sum: Option<String>,
    },
    /// A fact told by the openings' numbers; `unnumbered` is said instead where no sheet of paper shows them.
    Numbered {
        /// What it is.
        label: String,
        /// Told by numbers.
        value: String,
        /// The same without them.
        unnumbered: UnnumberedFact,
        /// How it was worked out.
        sum: Option<String>,
    },
    /// A size planned here and measured at the bench: printed with an empty column for what was found.
    Measure {
        /// What is measured.
        label: String,
        /// As drawn or worked out, with its unit.
        planned: String,
        /// How it was worked out.
        sum: Option<String>,
    },
    /// A size that changed because something was measured: the old one is struck through.
    Changed {
        /// What changed.
        label: String,
        /// Before it was measured, with its unit.
        was: String,
        /// Now, with its unit.
        now: String,
        /// How it was worked out.
        sum: Option<String>,
    },
    /// Something to do, with a box to tick.
    Tick(String),
    /// The trade's usual caution at this step.
    Caution(String),
    /// Advice that asks for no tick.
    Note(String),
    /// Rows of cells under a head.
    Table {
        /// One word or two for each column.
        head: Vec<String>,
        /// Each as long as the head.
        rows: Vec<Vec<TableCell>>,
    },
}

/// Label and value of a fact that would be told by numbers, told without them.
#[derive(Debug, Clone, PartialEq)]
pub struct UnnumberedFact {
    /// What it is.
    pub label: String,
    /// Told without a number.
    pub value: String,
}

impl Row {
    /// The row as it stands on paper whose sheets show no numbers.
    pub fn without_numbers(self) -> Self {
        match self {
            Self::Numbered { unnumbered, sum, .. } => {
                Self::Fact { label: unnumbered.label, value: unnumbered.value, sum }
            }
            row => row,
        }
    }
}

/// A cell of a table.
#[derive(Debug, Clone, PartialEq)]
pub enum TableCell {
    /// Printed as it stands.
    Text(String),
    /// Left open for the pencil, so many letters wide.
    Open(usize),
}

impl From<String> for TableCell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl fmt::Display for TableCell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            TableCell::Text(text) => f.write_str(text),
            TableCell::Open(letters) => f.write_str(&"_".repeat(*letters)),
        }
    }
}

mod building;
mod class;
mod cutting;
mod findings;
mod record;
mod safety;

pub use class::{class, Course};
pub use findings::findings;
pub use safety::{onto_metal, Hazard, FIRST, SAFETY};

use super::measured::Measured;
use super::part::Part;
use super::quote::QuoteLine;
use super::Plan;
use crate::checks::BridgeGraph;
use crate::units::{plain, LengthUnit};
use std::fmt;

impl CardSection {
    fn new(step: CardStep) -> Self {
        Self::titled(step, step.title())
    }

    fn titled(step: CardStep, title: &str) -> Self {
        Self { step, title: title.into(), rows: Vec::new(), more: Vec::new() }
    }

    /// Everything, the long card's rows last.
    pub fn all(&self) -> impl Iterator<Item = &Row> {
        self.rows.iter().chain(&self.more)
    }

    /// What only a long card has.
    fn longer(&mut self, rows: impl FnOnce(&mut CardSection)) {
        let mut long = Self::new(self.step);
        rows(&mut long);
        self.more.extend(long.rows);
    }

    fn hazard(&mut self, hazard: Hazard) {
        self.caution(hazard.says());
    }

    fn fact(&mut self, label: impl Into<String>, value: impl Into<String>) {
        self.rows.push(Row::Fact { label: label.into(), value: value.into(), sum: None });
    }

    fn summed(&mut self, label: impl Into<String>, value: impl Into<String>, sum: impl Into<String>) {
        self.rows.push(Row::Fact { label: label.into(), value: value.into(), sum: Some(sum.into()) });
    }

    /// A fact told by the openings' numbers, and the same without them.
    fn numbered(&mut self, told: [String; 2], without: [String; 2], sum: Option<String>) {
        let ([label, value], [plain_label, plain_value]) = (told, without);
        let unnumbered = UnnumberedFact { label: plain_label, value: plain_value };
        self.rows.push(Row::Numbered { label, value, unnumbered, sum });
    }

    fn measure(&mut self, label: impl Into<String>, planned: impl Into<String>) {
        self.rows.push(Row::Measure { label: label.into(), planned: planned.into(), sum: None });
    }

    fn changed(&mut self, label: impl Into<String>, was: String, now: String, sum: Option<String>) {
        self.rows.push(Row::Changed { label: label.into(), was, now, sum });
    }

    fn tick(&mut self, what: impl Into<String>) {
        self.rows.push(Row::Tick(what.into()));
    }

    fn caution(&mut self, what: impl Into<String>) {
        self.rows.push(Row::Caution(what.into()));
    }

    fn note(&mut self, what: impl Into<String>) {
        self.rows.push(Row::Note(what.into()));
    }

    fn lines(&mut self, lines: &[QuoteLine]) {
        for line in lines {
            self.rows.push(Row::Fact {
                label: line.label.clone(),
                value: line.value.clone(),
                sum: line.sum.clone(),
            });
        }
    }

    /// A part with its sizes, changed ones marked, and its notes.
    fn part(&mut self, part: &Part, units: LengthUnit) {
        let name =
            if part.count > 1 { format!("{} × {}", part.count, part.part) } else { part.part.to_string() };
        for (i, size) in part.sizes.iter().enumerate() {
            let show = |value: f64| match size.key {
                key if key.ends_with("_mm") => units.says(value, 2),
                key if key.ends_with("_g") => format!("{} g", plain(value, 2)),
                key if key.ends_with("_degrees") => format!("{}°", plain(value, 2)),
                _ => plain(value, 2),
            };
            let label = format!("{name}: {}", size.label);
            let sum = (i == 0).then(|| part.sum.clone());
            match size.was {
                Some(was) => self.changed(label, show(was), show(size.value), sum),
                None => self.rows.push(Row::Fact { label, value: show(size.value), sum }),
            }
        }
        for note in &part.notes {
            self.note(note.clone());
        }
    }
}

/// The card in working order, the sheets of money last. Empty sections are left out.
pub(super) fn card(bench: &Measured, graph: &BridgeGraph, plan: &Plan) -> Vec<CardSection> {
    let mut sections = vec![
        cutting::piece(bench, plan),
        cutting::sheet(bench, plan),
        cutting::paper(bench),
        cutting::drill(bench, plan),
        cutting::saw(bench, graph, plan),
        cutting::file(bench, plan),
        cutting::edge(bench),
        building::form(bench, plan),
        building::parts(bench, plan),
        building::solder(bench, plan),
        building::cold_joins(bench, plan),
        building::clean(bench),
        building::stone(bench, plan),
        building::finish(bench, plan),
        record::hang(bench, plan),
        record::record(bench, plan),
        record::maker(bench, plan),
        record::buyer(bench, plan),
    ];
    sections.retain(|s| !s.rows.is_empty());
    sections
}
