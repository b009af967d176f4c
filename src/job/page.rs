//! Paper: size, copies, labels and the printer's correction.

use super::part::SectionReader;
use super::values::{pair, Value};
use super::walk::Walk;
use super::Printer;
use crate::trade::{self, Paper};
use crate::units::limits::CORRECTION;
use crate::units::{short, Mm};

/// How a piece is printed.
#[derive(Debug, Clone)]
pub struct PaperSpec {
    /// Portrait size; `paper` may turn it.
    pub size: Paper,
    /// Templates to print.
    pub copies: u32,
    /// Printed left to right.
    pub mirror: bool,
    /// Where the printed line runs.
    pub line: SawLine,
    /// What is tinted.
    pub shade: Shade,
    /// How much stands on the template.
    pub marks: MarksShown,
    /// How long the job card is.
    pub card: CardLength,
    /// How the paper comes onto the metal.
    pub transfer: Transfer,
    /// A piece that a larger paper would hold is split over pages of this one instead of being refused.
    pub split: bool,
    /// A line for a name, and a number, on every template.
    pub name_line: bool,
    /// Sheets of labels.
    pub labels: Option<LabelGrid>,
    /// Correction found on the maker's printer: what a 100 mm bar measured, across and up; (100, 100) for none.
    pub correction: (f64, f64),
    /// The printer whose correction is used.
    pub printer: Option<String>,
}

/// Where the printed line runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SawLine {
    /// In the waste.
    Waste,
    /// Half and half.
    Split,
}

/// What is shaded on a template; never both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shade {
    /// In the waste.
    Waste,
    /// The metal.
    Metal,
    /// Nothing.
    None,
}

/// How much stands on the job card.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum CardLength {
    /// What the bench needs.
    Brief,
    /// Every number with its sum, and the maker's time and money whether or not an hour is priced.
    Full,
}

/// How much is marked on a template.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarksShown {
    /// Everything.
    All,
    /// Lines and punch points only, for tired eyes; the numbers stand on the key map.
    Few,
}

/// How the paper comes onto the metal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Transfer {
    /// As a label.
    Label,
    /// Glued on.
    Glue,
    /// Traced through carbon.
    Carbon,
    /// Rubbed down face to face.
    RubDown,
}

/// How labels lie on their sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelGrid {
    /// In a row.
    pub across: u32,
    /// Rows.
    pub down: u32,
    /// Of one label.
    pub width: Mm,
    /// Of one label.
    pub height: Mm,
    /// Margin of the sheet.
    pub left: Mm,
    /// Margin of the sheet.
    pub top: Mm,
    /// Between two of a row.
    pub gap_across: Mm,
    /// Between two rows.
    pub gap_up: Mm,
}

/// What a true 100 mm bar measures.
const TRUE: (f64, f64) = (100.0, 100.0);

impl PaperSpec {
    /// One copy on this paper, with everything else as it usually is.
    pub fn plain(size: Paper) -> Self {
        Self {
            size,
            copies: 1,
            mirror: false,
            line: SawLine::Waste,
            shade: Shade::Waste,
            marks: MarksShown::All,
            card: CardLength::Brief,
            transfer: Transfer::Label,
            split: false,
            name_line: false,
            labels: None,
            correction: TRUE,
            printer: None,
        }
    }
}

pub(super) fn paper(walk: &Walk) -> Option<PaperSpec> {
    let p = walk.part("paper");
    let size = size(&p);
    let grid = walk.part("paper.labels");
    let labels = if grid.is_there() { labels(&grid) } else { None };
    if let (Some(grid), Some(paper)) = (labels, &size) {
        lies_on(&p, &grid, paper);
    }
    let (correction, printer) = correction(&p, walk)?;
    Some(PaperSpec {
        size: size?,
        copies: p.whole("copies")?,
        mirror: p.yes("mirror")?,
        line: p.choice("line", &[("waste", SawLine::Waste), ("split", SawLine::Split)])?,
        shade: p
            .choice("shade", &[("waste", Shade::Waste), ("metal", Shade::Metal), ("none", Shade::None)])?,
        card: p.choice("card", &[("brief", CardLength::Brief), ("full", CardLength::Full)])?,
        marks: p.choice("marks", &[("all", MarksShown::All), ("few", MarksShown::Few)])?,
        transfer: p.choice(
            "transfer",
            &[
                ("label", Transfer::Label),
                ("glue", Transfer::Glue),
                ("carbon", Transfer::Carbon),
                ("rub-down", Transfer::RubDown),
            ],
        )?,
        split: p.yes("split")?,
        name_line: p.yes("name_line")?,
        labels,
        correction,
        printer,
    })
}

/// A paper by name, or its two sides; held upright.
fn size(p: &SectionReader) -> Option<Paper> {
    match p.value("size")? {
        Value::List(sides) => {
            let (a, b) = pair(&sides)?;
            let (width, height) = (a.min(b), a.max(b));
            let name = format!("{} × {}", short(width.0, 1), short(height.0, 1));
            let title = format!("{name} mm");
            Some(Paper { name, title, width: width.0, height: height.0, source: "as typed".into() })
        }
        Value::Word(name) => trade::paper(&name).cloned(),
        _ => None,
    }
}

fn labels(grid: &SectionReader) -> Option<LabelGrid> {
    Some(LabelGrid {
        across: grid.whole("across")?,
        down: grid.whole("down")?,
        width: grid.mm("width")?,
        height: grid.mm("height")?,
        left: grid.mm("left")?,
        top: grid.mm("top")?,
        gap_across: grid.mm("gap_across")?,
        gap_up: grid.mm("gap_up")?,
    })
}

/// Labels that reach beyond the paper were measured on another one.
fn lies_on(part: &SectionReader, grid: &LabelGrid, paper: &Paper) {
    let reach = |start: Mm, count: u32, each: Mm, gap: Mm| {
        let gaps = f64::from(count.saturating_sub(1));
        start.get() + f64::from(count) * each.get() + gaps * gap.get()
    };
    let across = reach(grid.left, grid.across, grid.width, grid.gap_across);
    let down = reach(grid.top, grid.down, grid.height, grid.gap_up);
    // Label sheets are cut to a tenth of a millimetre or so, and typed as measured.
    const SLACK: f64 = 0.5;
    if across > paper.width + SLACK || down > paper.height + SLACK {
        part.refuse(
            "labels",
            format!(
                "the labels reach to {}, and {} is {}",
                part.units().size((across, down), 1),
                paper.name,
                part.units().size((paper.width, paper.height), 1)
            ),
            "measure one label, the margins and the gaps again, or give the paper they are on: size = \"Letter\"",
        );
    }
}

/// The correction of a stored printer, or the one typed.
fn correction(p: &SectionReader, walk: &Walk) -> Option<((f64, f64), Option<String>)> {
    let bar = walk.part("paper.correction");
    if p.has("printer") && bar.is_there() {
        p.refuse("correction", "both printer and correction are given", "keep one of them");
        return None;
    }
    if bar.is_there() {
        return Some(((bar.number("across")?, bar.number("up")?), None));
    }
    let Some(name) = p.word("printer") else { return Some((TRUE, None)) };
    if let Some(why) = &walk.settings.printers_unread {
        let todo = format!(
            "measure its test page again: sawpierce true-size, then --across, --up and --printer \"{name}\""
        );
        p.refuse("printer", format!("printer \"{name}\": {why}"), todo);
        return None;
    }
    let printers: &[Printer] = &walk.settings.printers;
    let Some(stored) = printers.iter().find(|p| p.name == name) else {
        let known: Vec<&str> = printers.iter().map(|p| p.name.as_str()).collect();
        if known.is_empty() {
            p.refuse(
                "printer",
                format!("printer \"{name}\" is not stored"),
                "measure a test page first: `sawpierce true-size`, or write correction = { across = 97.8, up = 98.1 }",
            );
        } else {
            p.unknown("printer", &name, &known);
        }
        return None;
    };
    let within = |value: f64| CORRECTION.check(value).is_ok();
    if !(within(stored.across) && within(stored.up)) {
        p.refuse(
            "printer",
            format!(
                "printer \"{name}\" is stored with {} across and {} up",
                short(stored.across, 2),
                short(stored.up, 2)
            ),
            format!("measure its test page again: {}", CORRECTION.why),
        );
        return None;
    }
    Some(((stored.across, stored.up), Some(name.to_string())))
}
