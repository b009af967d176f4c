//! `sawpierce begin`: a job file to start from, with a comment at every line.

mod ask;
mod suit;
mod text;

use super::{files, say, Outcome};
use crate::catalogue;
use crate::error::Error;
use crate::job::{self, Settings};
use crate::units::short;
use clap::Args;
use std::io::IsTerminal;
use std::path::PathBuf;

/// What may be said beforehand; what is left open is asked at a terminal, and taken for granted elsewhere.
#[derive(Args, Default)]
pub(super) struct Wishes {
    /// The job file to write
    #[arg(value_name = "JOB", default_value = "piece.toml")]
    file: PathBuf,
    /// Shape of the piece: circle, ellipse, rectangle, polygon, heart, band...: see `sawpierce list outlines`
    #[arg(long)]
    shape: Option<String>,
    /// Across a circle; of a band its inside (or --ring-size), of a cone its top
    #[arg(long)]
    diameter: Option<String>,
    /// Overall width; of a band along the finger, of a cone its bottom
    #[arg(long)]
    width: Option<String>,
    /// Overall height
    #[arg(long)]
    height: Option<String>,
    /// Sides of a polygon
    #[arg(long)]
    sides: Option<String>,
    /// A polygon from corner to corner
    #[arg(long)]
    across: Option<String>,
    /// Ring size of a band: "US 7", "UK N", "EU 54", "JP 13"
    #[arg(long, value_name = "SIZE")]
    ring_size: Option<String>,
    /// An SVG file beside the job, for --shape file
    #[arg(long, value_name = "SVG")]
    drawing: Option<String>,
    /// Without the hole that a small piece gets to hang from
    #[arg(long)]
    no_hole: bool,
    /// Metal: see `sawpierce list metals`
    #[arg(long)]
    metal: Option<String>,
    /// Thickness of the sheet: 0.8, "20 ga"
    #[arg(long)]
    thickness: Option<String>,
    /// Have you pierced before? first, practised or fine-work
    #[arg(long)]
    skill: Option<String>,
    /// Pattern: see `sawpierce list patterns`; or a pattern file of your own beside the job, "mine.toml"
    #[arg(long)]
    pattern: Option<String>,
    /// Units of plain numbers: mm or in
    #[arg(long)]
    units: Option<String>,
}

impl Wishes {
    fn says_nothing(&self) -> bool {
        [
            &self.shape,
            &self.diameter,
            &self.width,
            &self.height,
            &self.sides,
            &self.across,
            &self.ring_size,
            &self.drawing,
            &self.metal,
            &self.thickness,
            &self.skill,
            &self.pattern,
            &self.units,
        ]
        .iter()
        .all(|said| said.is_none())
    }
}

pub(super) fn begin(wishes: &Wishes) -> Result<Outcome, Error> {
    let asking = wishes.says_nothing() && std::io::stdin().is_terminal();
    let asked;
    let wishes = match asking {
        true => {
            asked = Wishes { file: wishes.file.clone(), no_hole: wishes.no_hole, ..ask::ask()? };
            &asked
        }
        false => wishes,
    };
    let name = wishes.file.display().to_string();
    // The file has to be a job that works: what was asked for is refused here, before anything is written.
    let bare = text::bare(&typed(wishes));
    let named = files::beside(&bare, &wishes.file);
    let plain = job::parse(&bare, &name, &named, &Settings::default()).map_err(wish_refused)?;
    let suited = suit::suited(&plain, !wishes.no_hole, wishes.pattern.is_none()).map_err(wish_refused)?;
    let text = text::commented(&suited);
    job::parse(&text, &name, &named, &Settings::default()).map_err(wish_refused)?;
    crate::shell::output::write_new(&wishes.file, &text)?;
    say::answer(&format!("{name} is written: {}\nnext: sawpierce check {name}\n", suited.says()))?;
    Ok(Outcome::Good)
}

/// The problems without their lines, since no file with those lines was written.
pub(super) fn wish_refused(mut error: Error) -> Error {
    for problem in &mut error.problems {
        problem.place = Default::default();
    }
    error
}

/// A value as a job file writes it: a plain number as it is, anything else as a text.
pub(super) fn value(said: &str) -> String {
    let number = said.parse::<f64>().is_ok_and(f64::is_finite)
        && said.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    match number && said.starts_with(|c: char| c.is_ascii_digit()) && !said.ends_with('.') {
        true => said.to_string(),
        false => toml::Value::String(said.to_string()).to_string(),
    }
}

/// What is typed, and what has to be, as paths and values of a job file.
fn typed(wishes: &Wishes) -> Vec<(String, String)> {
    let or = |said: &Option<String>, usual: &str| value(said.as_deref().unwrap_or(usual));
    let inches = wishes.units.as_deref() == Some("in");
    let shape = wishes.shape.as_deref().unwrap_or("circle");
    let across = if inches { "1.25" } else { "30" };
    let (wide, high) = match (shape, inches) {
        ("teardrop" | "marquise" | "crescent", false) => ("30", "40"),
        ("teardrop" | "marquise" | "crescent", true) => ("1.25", "1.5"),
        ("heart", false) => ("36", "34"),
        ("heart", true) => ("1.4", "1.3"),
        (_, false) => ("40", "30"),
        (_, true) => ("1.5", "1.25"),
    };
    let thickness = match (&wishes.thickness, inches) {
        (None, true) => value("20 ga"),
        (said, _) => or(said, "0.8"),
    };
    let pattern = wishes.pattern.as_deref().unwrap_or("hexagon");
    let mut all: Vec<(String, String)> = Vec::new();
    let mut add = |path: &str, value: String| all.push((path.to_string(), value));
    let text = |said: &str| toml::Value::String(said.to_string()).to_string();
    add("title", text(&title(&wishes.file)));
    add("units", text(wishes.units.as_deref().unwrap_or("mm")));
    add("skill", text(wishes.skill.as_deref().unwrap_or("first")));
    add("sheet.metal", text(wishes.metal.as_deref().unwrap_or("copper")));
    add("sheet.thickness", thickness);
    add("outline.shape", text(shape));
    match shape {
        "drawn" => add("outline.d", LEAF.into()),
        "file" => add("outline.file", text(wishes.drawing.as_deref().unwrap_or("outline.svg"))),
        "circle" => add("outline.diameter", or(&wishes.diameter, across)),
        "polygon" => {
            add("outline.sides", or(&wishes.sides, "6"));
            add("outline.across", or(&wishes.across, across));
        }
        "band" => {
            match (&wishes.ring_size, &wishes.diameter) {
                (None, Some(inside)) => add("outline.inside", value(inside)),
                (size, _) => add("outline.ring_size", text(size.as_deref().unwrap_or("US 7"))),
            }
            add("outline.width", or(&wishes.width, "10 mm"));
            // Taken out again once one is chosen: the usual one may leave nothing of a narrow band.
            add("outline.border", value("0.3 mm"));
        }
        "cone" => {
            add("outline.top", or(&wishes.diameter, "18 mm"));
            add("outline.bottom", or(&wishes.width, "30 mm"));
            add("outline.height", or(&wishes.height, "22 mm"));
        }
        _ => {
            add("outline.width", or(&wishes.width, wide));
            add("outline.height", or(&wishes.height, high));
        }
    }
    add(if pattern.ends_with(".toml") { "pattern.file" } else { "pattern.name" }, text(pattern));
    // Bricks and scales stand level at a turn of their own.
    let turn = catalogue::find(pattern).map_or(0.0, |p| p.upright);
    if turn != 0.0 {
        add("pattern.turn", short(turn, 6));
    }
    all
}

/// A line to start from for an outline that is drawn.
const LEAF: &str = r#""M 0 -20 C 16 -12 16 12 0 20 C -16 12 -16 -12 0 -20 Z""#;

/// "reed-lantern.toml" is called "Reed lantern".
fn title(file: &std::path::Path) -> String {
    let stem = file.file_stem().map_or(String::new(), |s| s.to_string_lossy().replace(['-', '_'], " "));
    let mut letters = stem.chars();
    letters.next().map_or("Piece".to_string(), |first| first.to_uppercase().chain(letters).collect())
}
