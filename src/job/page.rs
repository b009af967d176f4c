//! Paper: size, copies, labels and the printer's correction.

use super::read::Section;
use super::{keys, Settings};
use crate::trade::{self, Paper};
use crate::units::limits::{COPIES, CORRECTION, LABEL, LABEL_COUNT, LABEL_MARGIN, PAPER};
use crate::units::{short, Mm};

#[derive(Debug, Clone)]
pub struct PaperSpec {
    /// Portrait size; the paper room may turn it.
    pub size: Paper,
    pub copies: u32,
    pub mirror: bool,
    pub line: SawLine,
    pub shade: Shade,
    pub marks: MarksShown,
    pub transfer: Transfer,
    /// A piece that a larger paper would hold is split over pages of this one instead of being refused.
    pub split: bool,
    /// A line for a name, and a number, on every template.
    pub name_line: bool,
    pub labels: Option<LabelGrid>,
    /// Correction found on the maker's printer: what a 100 mm bar measured, across and up; (100, 100) for none.
    pub correction: (f64, f64),
    pub printer: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum SawLine {
    Waste,
    Split,
}

/// What is shaded on a template; never both.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shade {
    Waste,
    Metal,
    None,
}

/// How much is marked on a template.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarksShown {
    All,
    /// Lines and punch points only, for tired eyes; the numbers stand on the key map.
    Few,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Transfer {
    Label,
    Glue,
    Carbon,
    RubDown,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LabelGrid {
    pub across: u32,
    pub down: u32,
    pub width: Mm,
    pub height: Mm,
    pub left: Mm,
    pub top: Mm,
    pub gap_across: Mm,
    pub gap_up: Mm,
}

/// Paper of a job that names none.
const USUAL: &str = "A4";
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
            transfer: Transfer::Label,
            split: false,
            name_line: false,
            labels: None,
            correction: TRUE,
            printer: None,
        }
    }
}

pub(super) fn paper(section: Option<&Section>, settings: &Settings) -> Option<PaperSpec> {
    let usual = trade::paper(USUAL)?.clone();
    let Some(section) = section else {
        return Some(PaperSpec::plain(usual));
    };
    section.knows(keys::PAPER);
    let size = match section.has("size") {
        true => size(section),
        false => Some(usual),
    };
    let copies = section.whole("copies", &COPIES);
    let mirror = section.yes("mirror");
    let line = section.choice("line", &[("waste", SawLine::Waste), ("split", SawLine::Split)]);
    let marks = section.choice("marks", &[("all", MarksShown::All), ("few", MarksShown::Few)]);
    let shade =
        section.choice("shade", &[("waste", Shade::Waste), ("metal", Shade::Metal), ("none", Shade::None)]);
    let transfer = section.choice(
        "transfer",
        &[
            ("label", Transfer::Label),
            ("glue", Transfer::Glue),
            ("carbon", Transfer::Carbon),
            ("rub-down", Transfer::RubDown),
        ],
    );
    let (split, name_line) = (section.yes("split"), section.yes("name_line"));
    let labels = section.table("labels").and_then(|grid| labels(&grid));
    if let (Some(grid), Some(paper)) = (labels, &size) {
        lies_on(section, &grid, paper);
    }
    let marks = marks.unwrap_or(MarksShown::All);
    // Few marks are lines and punch points: shading comes with them only where it is asked for.
    let usual_shade = if marks == MarksShown::Few { Shade::None } else { Shade::Waste };
    let (correction, printer) = correction(section, settings)?;
    Some(PaperSpec {
        size: size?,
        copies: copies.unwrap_or(1),
        mirror: mirror.unwrap_or(false),
        line: line.unwrap_or(SawLine::Waste),
        shade: shade.unwrap_or(usual_shade),
        marks,
        transfer: transfer.unwrap_or(Transfer::Label),
        split: split.unwrap_or(false),
        // A label goes to one person: it has a line for the name unless that is refused.
        name_line: name_line.unwrap_or(labels.is_some()),
        labels,
        correction,
        printer,
    })
}

/// A paper by name, or its two sides; held upright.
fn size(section: &Section) -> Option<Paper> {
    if section.is_list("size") {
        let (a, b) = section.two("size", &PAPER)?;
        let (width, height) = (a.min(b), a.max(b));
        let name = format!("{} x {}", short(width.0, 1), short(height.0, 1));
        let title = format!("{name} mm");
        return Some(Paper { name, title, width: width.0, height: height.0, source: "as typed".into() });
    }
    let name = section.text("size")?;
    let found = trade::paper(name);
    if found.is_none() {
        let known: Vec<&str> = trade::papers().iter().map(|p| p.name.as_str()).collect();
        section.unknown("size", name, &known);
    }
    found.cloned()
}

fn labels(grid: &Section) -> Option<LabelGrid> {
    grid.knows(keys::LABELS);
    let count = |key: &'static str| grid.need(key, grid.whole(key, &LABEL_COUNT), &format!("add {key} = 3"));
    let side = |key: &'static str| grid.need(key, grid.length(key, &LABEL), &format!("add {key} = 63"));
    let margin = |key: &'static str| match grid.has(key) {
        true => grid.length(key, &LABEL_MARGIN),
        false => Some(Mm(0.0)),
    };
    let (across, down) = (count("across"), count("down"));
    let (width, height) = (side("width"), side("height"));
    let (left, top) = (margin("left"), margin("top"));
    let (gap_across, gap_up) = (margin("gap_across"), margin("gap_up"));
    Some(LabelGrid {
        across: across?,
        down: down?,
        width: width?,
        height: height?,
        left: left?,
        top: top?,
        gap_across: gap_across?,
        gap_up: gap_up?,
    })
}

/// Labels that reach beyond the paper were measured on another one.
fn lies_on(section: &Section, grid: &LabelGrid, paper: &Paper) {
    let reach = |start: Mm, count: u32, each: Mm, gap: Mm| {
        let gaps = f64::from(count.saturating_sub(1));
        start.get() + f64::from(count) * each.get() + gaps * gap.get()
    };
    let across = reach(grid.left, grid.across, grid.width, grid.gap_across);
    let down = reach(grid.top, grid.down, grid.height, grid.gap_up);
    // Label sheets are cut to a tenth of a millimetre or so, and typed as measured.
    const SLACK: f64 = 0.5;
    if across > paper.width + SLACK || down > paper.height + SLACK {
        let (w, h) = (short(paper.width, 1), short(paper.height, 1));
        section.refuse(
            "labels",
            format!("the labels reach to {} x {} mm, and {} is {w} x {h} mm", short(across, 1), short(down, 1), paper.name),
            "measure one label, the margins and the gaps again, or give the paper they are on: size = \"Letter\"",
        );
    }
}

/// The correction of a stored printer, or the one typed.
fn correction(section: &Section, settings: &Settings) -> Option<((f64, f64), Option<String>)> {
    if section.has("printer") && section.has("correction") {
        section.refuse("correction", "both printer and correction are given", "keep one of them");
        return None;
    }
    if section.has("correction") {
        let bar = section.table("correction")?;
        bar.knows(keys::CORRECTION);
        let across = bar.need("across", bar.number("across", &CORRECTION), "add across = 97.8");
        let up = bar.need("up", bar.number("up", &CORRECTION), "add up = 98.1");
        return Some(((across?, up?), None));
    }
    if !section.has("printer") {
        return Some((TRUE, None));
    }
    let name = section.text("printer")?;
    if let Some(why) = &settings.printers_unread {
        let todo = format!(
            "measure its test page again: sawpierce true-size, then --across, --up and --printer \"{name}\""
        );
        section.refuse("printer", format!("printer \"{name}\": {why}"), todo);
        return None;
    }
    let Some(stored) = settings.printers.iter().find(|p| p.name == name) else {
        let known: Vec<&str> = settings.printers.iter().map(|p| p.name.as_str()).collect();
        if known.is_empty() {
            section.refuse(
                "printer",
                format!("printer \"{name}\" is not stored"),
                "measure a test page first: `sawpierce true-size`, or write correction = { across = 97.8, up = 98.1 }",
            );
        } else {
            section.unknown("printer", name, &known);
        }
        return None;
    };
    let within = |value: f64| CORRECTION.check(value).is_ok();
    if !(within(stored.across) && within(stored.up)) {
        section.refuse(
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
