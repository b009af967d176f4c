//! The job card as plain sections: what stands on it is decided here, how it is set on paper in `paper`.

/// One step of the job with what is needed at it.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    pub title: String,
    pub rows: Vec<Row>,
}

/// A line of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Row {
    /// A named number, with its sum where it has one.
    Fact {
        label: String,
        value: String,
        sum: Option<String>,
    },
    /// A size planned here and measured at the bench: printed with an empty column for what was found.
    Measure {
        label: String,
        planned: String,
        sum: Option<String>,
    },
    /// A size that changed because something was measured: the old one is struck through.
    Changed {
        label: String,
        was: String,
        now: String,
        sum: Option<String>,
    },
    /// Something to do, with a box to tick.
    Tick(String),
    /// The trade's usual caution at this step.
    Caution(String),
    Note(String),
    Table {
        head: Vec<String>,
        rows: Vec<Vec<String>>,
    },
}

mod building;
mod class;
mod cutting;
mod record;

pub use class::{class, Course};

use super::bench::Bench;
use super::parts::Part;
use super::quote::Line;
use super::Plan;
use crate::checks::BridgeGraph;
use crate::units::plain;

/// What stands over everything else on the card.
pub const FIRST: &str =
    "Local codes, the makers' safety sheets and qualified practice come first; this card does not replace them.";

impl Section {
    fn new(title: &str) -> Self {
        Self { title: title.into(), rows: Vec::new() }
    }

    fn fact(&mut self, label: impl Into<String>, value: impl Into<String>) {
        self.rows.push(Row::Fact { label: label.into(), value: value.into(), sum: None });
    }

    fn summed(&mut self, label: impl Into<String>, value: impl Into<String>, sum: impl Into<String>) {
        self.rows.push(Row::Fact { label: label.into(), value: value.into(), sum: Some(sum.into()) });
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

    fn lines(&mut self, lines: &[Line]) {
        for line in lines {
            self.rows.push(Row::Fact {
                label: line.label.clone(),
                value: line.value.clone(),
                sum: line.sum.clone(),
            });
        }
    }

    /// A part with its sizes, changed ones marked, and its notes.
    fn part(&mut self, part: &Part) {
        let name =
            if part.count > 1 { format!("{} × {}", part.count, part.part) } else { part.part.clone() };
        for (i, size) in part.sizes.iter().enumerate() {
            let unit = match size.key {
                key if key.ends_with("_mm") => " mm",
                key if key.ends_with("_g") => " g",
                key if key.ends_with("_degrees") => "°",
                _ => "",
            };
            let show = |value: f64| format!("{}{unit}", plain(value, 2));
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

/// The card in working order. Empty sections are left out.
pub(super) fn card(bench: &Bench, graph: &BridgeGraph, plan: &Plan) -> Vec<Section> {
    let mut sections = vec![
        cutting::piece(bench, plan),
        cutting::sheet(bench, plan),
        cutting::paper(bench),
        cutting::drill(bench, plan),
        cutting::saw(bench, graph, plan),
        cutting::file(bench, plan),
        cutting::outline(bench),
        building::form(bench, plan),
        building::parts(bench, plan),
        building::solder(bench, plan),
        building::cold_joins(bench, plan),
        building::clean(bench),
        building::stone(bench, plan),
        building::finish(bench, plan),
        record::hang(bench, plan),
        record::record(bench, plan),
        record::maker(plan),
        record::buyer(plan),
    ];
    sections.retain(|s| !s.rows.is_empty());
    sections
}
