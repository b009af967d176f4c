//! A new job from a few answers: what was not said is chosen for the piece, and the text says so at every line.

mod small;
mod sturdy;
mod suit;
mod text;
mod tried;

use crate::catalogue;
use crate::error::Error;
use crate::job::{self, NamedFiles, Settings};
use crate::units::{length, short, LengthUnit};
pub use text::is_shown;

/// What a maker says of a new piece, as typed; anything may be left open.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Answers {
    /// One of the outlines; a circle if left open.
    pub shape: Option<String>,
    /// Across a circle; of a band its inside, of a cone its top.
    pub diameter: Option<String>,
    /// Overall width; of a band along the finger, of a cone its bottom.
    pub width: Option<String>,
    /// Overall height.
    pub height: Option<String>,
    /// Of a polygon.
    pub sides: Option<String>,
    /// A polygon from corner to corner.
    pub across: Option<String>,
    /// Of a band.
    pub ring_size: Option<String>,
    /// The SVG file of an outline from a file.
    pub drawing: Option<String>,
    /// Without the hole that a small piece gets to hang from.
    pub no_hole: bool,
    /// A name of `sawpierce list metals`.
    pub metal: Option<String>,
    /// Of the sheet, as a person writes it.
    pub thickness: Option<String>,
    /// first, practised or fine-work.
    pub skill: Option<String>,
    /// A pattern's name, or a pattern file's.
    pub pattern: Option<String>,
    /// Units of plain numbers.
    pub units: Option<String>,
}

/// A job file begun.
#[derive(Debug, Clone, PartialEq)]
pub struct Begun {
    /// The job file.
    pub text: String,
    /// Openings and hours, in a few words.
    pub says: String,
}

/// Begins a job. `name` is the file's, for its title and for messages; `files` gives the bytes of the files its text
/// names. Errors when what was answered makes no job, or none that can be worked out.
pub fn begin(answers: &Answers, name: &str, files: impl FnOnce(&str) -> NamedFiles) -> Result<Begun, Error> {
    let bare = text::bare(&typed(answers, name));
    let files = files(&bare);
    let plain = job::parse(&bare, name, &files, &Settings::default()).map_err(without_lines)?;
    let suited = suit::suited(&plain, !answers.no_hole, answers.pattern.is_none()).map_err(without_lines)?;
    let text = text::commented(&suited);
    job::parse(&text, name, &files, &Settings::default()).map_err(without_lines)?;
    let remark = suited.remark.as_ref().map_or(String::new(), |r| format!("; {r}"));
    Ok(Begun { text, says: suited.says() + &remark })
}

/// The problems without their lines, where no file with those lines is there for anyone to read.
pub fn without_lines(mut error: Error) -> Error {
    for problem in &mut error.problems {
        problem.place = Default::default();
    }
    error
}

/// A value as a job file writes it: a plain number as it is, anything else as a text.
pub fn value(said: &str) -> String {
    let number = said.parse::<f64>().is_ok_and(f64::is_finite)
        && said.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    match number && said.starts_with(|c: char| c.is_ascii_digit()) && !said.ends_with('.') {
        true => said.to_string(),
        false => crate::reader::quoted(said),
    }
}

/// What is typed, and what has to be, as paths and values of a job file.
fn typed(answers: &Answers, name: &str) -> Vec<(String, String)> {
    let or = |said: &Option<String>, usual: &str| value(said.as_deref().unwrap_or(usual));
    let inches = answers.units.as_deref() == Some("in");
    let shape = answers.shape.as_deref().unwrap_or("circle");
    let units = if inches { LengthUnit::Inch } else { LengthUnit::Mm };
    let in_units = |mm: &'static str, inch: &'static str| if inches { inch } else { mm };
    let across = in_units("30", "1.25");
    let (wide, high) = match (shape, inches) {
        ("teardrop" | "marquise" | "crescent", false) => ("30", "40"),
        ("teardrop" | "marquise" | "crescent", true) => ("1.25", "1.5"),
        ("heart", false) => ("36", "34"),
        ("heart", true) => ("1.4", "1.3"),
        (_, false) => ("40", "30"),
        (_, true) => ("1.5", "1.25"),
    };
    let thickness = match (&answers.thickness, inches) {
        (None, true) => value("20 ga"),
        (said, _) => or(said, "0.8"),
    };
    let pattern = answers.pattern.as_deref().unwrap_or("hexagon");
    let mut all: Vec<(String, String)> = Vec::new();
    let mut add = |path: &str, value: String| all.push((path.to_string(), value));
    let text = |said: &str| crate::reader::quoted(said);
    add("title", text(&title(name)));
    add("units", text(answers.units.as_deref().unwrap_or("mm")));
    add("skill", text(answers.skill.as_deref().unwrap_or("first")));
    add("sheet.metal", text(answers.metal.as_deref().unwrap_or("copper")));
    add("sheet.thickness", thickness);
    add("outline.shape", text(shape));
    match shape {
        "drawn" => add("outline.d", LEAF.into()),
        "file" => add("outline.file", text(answers.drawing.as_deref().unwrap_or("outline.svg"))),
        "circle" => add("outline.diameter", or(&answers.diameter, across)),
        "polygon" => {
            add("outline.sides", or(&answers.sides, "6"));
            add("outline.across", or(&answers.across, across));
        }
        "band" => {
            match (&answers.ring_size, &answers.diameter) {
                (None, Some(inside)) => add("outline.inside", value(inside)),
                (size, _) => add("outline.ring_size", text(size.as_deref().unwrap_or("US 7"))),
            }
            add("outline.width", or(&answers.width, in_units("10", "0.4")));
            // Taken out again once one is chosen: the usual one may leave nothing of a narrow band.
            add("outline.border", value(in_units("0.3", "0.012")));
        }
        "cone" => {
            add("outline.top", or(&answers.diameter, in_units("18", "0.7")));
            add("outline.bottom", or(&answers.width, in_units("30", "1.2")));
            add("outline.height", or(&answers.height, in_units("22", "0.85")));
        }
        _ => {
            let (width, height) = (&answers.width, &answers.height);
            add("outline.width", width.as_deref().map_or_else(|| beside(height, high, wide, units), value));
            add("outline.height", height.as_deref().map_or_else(|| beside(width, wide, high, units), value));
            // A moon's horns run out to points that catch and bend.
            if shape == "crescent" {
                add("outline.tip_radius", value(in_units("0.5", "0.02")));
            }
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

/// What was not said of width and height: the shape's usual proportion beside the other, or its `usual` size. `other_usual`:
/// the other's usual size, both in plain numbers of `units`.
fn beside(other: &Option<String>, other_usual: &str, usual: &str, units: LengthUnit) -> String {
    let said = other.as_deref().and_then(|said| length(said, units).ok());
    let ratio = |(own, other): (f64, f64)| own / other;
    match (said, usual.parse().ok().zip(other_usual.parse().ok()).map(ratio)) {
        (Some(said), Some(ratio)) => units.short(said.get() * ratio, 1),
        _ => value(usual),
    }
}

/// A line to start from for an outline that is drawn.
const LEAF: &str = r#""M 0 -20 C 16 -12 16 12 0 20 C -16 12 -16 -12 0 -20 Z""#;

/// "folder/reed-lantern.toml" is called "Reed lantern".
fn title(name: &str) -> String {
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    // What cannot be printed in a name is a gap in a title.
    let gap = |c: char| c == '-' || c == '_' || c.is_control();
    let stem = file.strip_suffix(".toml").unwrap_or(file).replace(gap, " ");
    let mut letters = stem.trim_start().chars();
    letters.next().map_or("Piece".to_string(), |first| first.to_uppercase().chain(letters).collect())
}
