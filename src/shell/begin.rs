//! `sawpierce begin`: a job file to start from, with a remark at every line.

use super::{files, say, Outcome};
use crate::catalogue;
use crate::checks::{Check, Level, Verdict};
use crate::error::Error;
use crate::job::{self, parse, LengthUnit, NamedFiles, Settings};
use crate::units::{length, short};
use crate::work::{work, Work};
use clap::Args;
use std::io::{BufRead, IsTerminal};
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
    /// Across a circle; of a band its inside, of a cone its top
    #[arg(long)]
    diameter: Option<String>,
    /// Width over all; of a cone its bottom
    #[arg(long)]
    width: Option<String>,
    /// Height over all
    #[arg(long)]
    height: Option<String>,
    /// Sides of a polygon
    #[arg(long)]
    sides: Option<String>,
    /// A polygon from corner to corner
    #[arg(long)]
    across: Option<String>,
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
    let text = match asking {
        true => job_text(&Wishes { file: wishes.file.clone(), ..ask()? })?,
        false => job_text(wishes)?,
    };
    let name = wishes.file.display().to_string();
    // The file has to be a job that works: what was asked for is refused here, before anything is written.
    let named = files::beside(&text, &wishes.file);
    let job = job::parse(&text, &name, &named, &Settings::default()).map_err(wish_refused)?;
    work(&job).map_err(wish_refused)?;
    super::output::write_new(&wishes.file, &text)?;
    say::answer(&format!("{name} is written; next: sawpierce check {name}\n"))?;
    Ok(Outcome::Good)
}

/// The problems without their lines, since no file with those lines was written.
pub(super) fn wish_refused(mut error: Error) -> Error {
    for problem in &mut error.problems {
        problem.place = Default::default();
    }
    error
}

/// Five questions at most; an empty answer takes what stands in brackets.
fn ask() -> Result<Wishes, Error> {
    let shape = question("Which shape? circle, ellipse, rectangle, polygon", "circle")?;
    let mut wishes = Wishes::default();
    match shape.as_str() {
        "circle" => wishes.diameter = Some(question("How far across, in mm?", "30")?),
        "polygon" => wishes.across = Some(question("How far from corner to corner, in mm?", "30")?),
        _ => {
            let size = question("How wide and how high, in mm?", "40 x 30")?;
            let (width, height) = size.split_once('x').unwrap_or((&size, &size));
            wishes.width = Some(width.trim().to_string());
            wishes.height = Some(height.trim().to_string());
        }
    }
    wishes.shape = Some(shape);
    wishes.metal = Some(question("Which metal?", "copper")?);
    wishes.thickness = Some(question("How thick is the sheet?", "0.8")?);
    wishes.skill = Some(question("Have you pierced before? first, practised, fine-work", "first")?);
    Ok(wishes)
}

fn question(what: &str, usual: &str) -> Result<String, Error> {
    say::answer(&format!("{what} [{usual}] "))?;
    let mut line = String::new();
    match std::io::stdin().lock().read_line(&mut line) {
        Ok(_) if !line.trim().is_empty() => Ok(line.trim().to_string()),
        _ => Ok(usual.to_string()),
    }
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

fn job_text(wishes: &Wishes) -> Result<String, Error> {
    let or = |said: &Option<String>, usual: &str| value(said.as_deref().unwrap_or(usual));
    let title = value(&title(&wishes.file));
    let units = or(&wishes.units, "mm");
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
    let unsized_yet = wishes.width.is_none() && wishes.height.is_none();
    let size = match shape {
        "drawn" if unsized_yet => LEAF.to_string(),
        "file" if unsized_yet => OF_A_FILE.to_string(),
        "circle" => format!("diameter = {}", or(&wishes.diameter, across)),
        "polygon" => format!("sides = {}\nacross = {}", or(&wishes.sides, "6"), or(&wishes.across, across)),
        "band" => match &wishes.diameter {
            Some(inside) => format!("inside = {}\nwidth = {}", value(inside), or(&wishes.width, "10 mm")),
            None => format!("ring_size = \"US 7\"\nwidth = {}", or(&wishes.width, "10 mm")),
        },
        "cone" => format!(
            "top = {}\nbottom = {}\nheight = {}",
            or(&wishes.diameter, "18 mm"),
            or(&wishes.width, "30 mm"),
            or(&wishes.height, "22 mm")
        ),
        _ => format!("width = {}\nheight = {}", or(&wishes.width, wide), or(&wishes.height, high)),
    };
    let top = half_height(wishes, inches);
    let pattern = wishes.pattern.as_deref().unwrap_or("hexagon");
    // Bricks and scales stand level at a turn of their own.
    let turn = catalogue::find(pattern).map_or(0.0, |p| p.upright);
    let from = if pattern.ends_with(".toml") { "file" } else { "name" };
    let text = TEMPLATE
        .replace("{title}", &title)
        .replace("{units}", &units)
        .replace("{skill}", &or(&wishes.skill, "first"))
        .replace("{metal}", &or(&wishes.metal, "copper"))
        .replace("{thickness}", &thickness)
        .replace("{shape}", &value(shape))
        .replace("{size}", &size)
        .replace("{pattern}", &format!("{from} = {}", value(pattern)))
        .replace("{turn}", &short(turn, 6))
        .replace("{tab}", &top);
    Ok(best_fit(&text, &files::beside(&text, &wishes.file)).written(&text))
}

/// How the pattern meets the border: the way at the edge, and a pitch if one is better than the chosen one.
struct Fit {
    at_border: &'static str,
    pitch: Option<f64>,
}

impl Fit {
    /// The job's text with this fit in it.
    fn written(&self, text: &str) -> String {
        let line = match self.pitch {
            Some(mm) => {
                let pitch = value(&format!("{} mm", short(mm, 1)));
                format!("pitch = {pitch:<24}  # one repeat; this one leaves no opening too small to clean up")
            }
            None => "# pitch = 7                       # one repeat; left out: chosen to suit the bridge and the drill".into(),
        };
        text.replace("{pitch}", &line).replace("{at_border}", self.at_border)
    }
}

/// The fit that nothing speaks against and that leaves the evenest edge row. Where it leaves openings too small to clean
/// up, larger pitches are tried, and the first that leaves none is taken.
fn best_fit(text: &str, named: &NamedFiles) -> Fit {
    let worked = |fit: &Fit| {
        let job = parse(&fit.written(text), "", named, &Settings::default()).ok()?;
        work(&job).ok()
    };
    let (plain, first) = best_at_border(worked);
    let free_of = |done: &Work, checks: &[Check]| {
        let matters = |v: &Verdict| v.level == Level::Stop || checks.contains(&v.check);
        done.verdicts.iter().all(|v| !v.level.is_fault() || !matters(v))
    };
    let small =
        |done: &Work| !free_of(done, &[Check::OpeningSize]) && done.piece.openings.len() < MOST_REFITTED;
    let Some(first) = first.filter(small) else { return plain };
    let least = first.piece.resolved.pitch.get();
    let fits = |done: &Work| {
        free_of(done, &[Check::OpeningSize, Check::SolidPatch]) && done.piece.openings.len() >= FEWEST
    };
    for k in 1..=PITCHES {
        let pitch = Some((least * (1.0 + PITCH_STEP * f64::from(k)) * 10.0).ceil() / 10.0);
        for at_border in ["trim", "join"] {
            let fit = Fit { at_border, pitch };
            if worked(&fit).is_some_and(|done| fits(&done)) {
                return fit;
            }
        }
    }
    plain
}

/// The way with the border that nothing speaks against and that leaves the evenest edge row; `trim` when none is
/// better or the job does not read yet.
fn best_at_border(worked: impl Fn(&Fit) -> Option<Work>) -> (Fit, Option<Work>) {
    let look = |at_border: &'static str| {
        let fit = Fit { at_border, pitch: None };
        let done = worked(&fit);
        (fit, done)
    };
    let mark = |done: &Work| (done.verdicts.iter().all(|v| v.level != Level::Stop), done.piece.evenness());
    let mut best = look("trim");
    let Some(mut best_mark) = best.1.as_ref().map(mark) else { return best };
    for how in ["ease", "join", "whole"] {
        let next = look(how);
        let Some((sound, even)) = next.1.as_ref().map(mark) else { continue };
        let (is_sound, is_even) = best_mark;
        if (sound && !is_sound) || (sound == is_sound && even > is_even + CLEARLY) {
            (best, best_mark) = (next, (sound, even));
        }
    }
    best
}

/// Where a bail tab would stand in the remarks: a little below the top, in the job's units.
fn half_height(wishes: &Wishes, inches: bool) -> String {
    let plain = if inches { LengthUnit::Inch } else { LengthUnit::Mm };
    let said = wishes.diameter.as_ref().or(wishes.height.as_ref()).or(wishes.across.as_ref());
    let high = said.and_then(|text| length(text, plain).ok()).map_or(30.0, |mm| mm.0);
    let at = (high / 2.0 - 3.5).max(0.0);
    match inches {
        true => crate::units::short(at / crate::units::MM_PER_INCH, 2),
        false => crate::units::short(at, 1),
    }
}

/// "reed-lantern.toml" is called "Reed lantern".
fn title(file: &std::path::Path) -> String {
    let stem = file.file_stem().map_or(String::new(), |s| s.to_string_lossy().replace(['-', '_'], " "));
    let mut letters = stem.chars();
    letters.next().map_or("Piece".to_string(), |first| first.to_uppercase().chain(letters).collect())
}

/// Larger pitches tried, each by this share of the chosen one more. Finer steps find a pitch nearer to it.
const PITCHES: u32 = 16;
const PITCH_STEP: f64 = 0.04;
/// Fewer openings than this are no pattern.
const FEWEST: usize = 5;
/// Pieces of more openings keep the chosen pitch: each try takes time, and the person waits.
const MOST_REFITTED: usize = 400;

/// An edge row is called evener when it is by this much (1 is as even as can be): less is not seen at arm's length.
const CLEARLY: f64 = 0.02;

/// A line to start from for an outline that is drawn.
const LEAF: &str = r#"d = "M 0 -20 C 16 -12 16 12 0 20 C -16 12 -16 -12 0 -20 Z"   # SVG path data in mm, y down as a drawing shows it"#;

/// And for one from a file.
const OF_A_FILE: &str =
    r#"file = "outline.svg"              # a drawing beside this job: its largest shape is the outline"#;

const TEMPLATE: &str = r##"# A job for Sawpierce. Lines that begin with # are remarks; take the # away to use one.
# A plain number is in the units below; a text may bring its own: "0.8 mm", "20 ga", "1/32 in", "0,8".

title = {title}
units = {units}                      # mm or in
skill = {skill}                   # first, practised or fine-work: sets limits, clean-up and hours
# pieces = 1                      # how many to make

[sheet]
metal = {metal}                  # sawpierce list metals
thickness = {thickness}
# temper = "soft"                 # soft or half-hard

[outline]
shape = {shape}                  # sawpierce list outlines
{size}
# border = 3                      # solid metal inside the edge; left out: what your skill asks for

[pattern]
{pattern}                 # sawpierce list patterns
{pitch}
# bridge = 1.9                    # metal between openings, as drawn; left out: what your skill asks for
# bridge_to = 2.6                 # graded: bridges grow from "bridge" in the middle to this at the border...
# along = 90                      # ...or along a line in this direction: 90 from the foot to the top
turn = {turn}                          # degrees, anticlockwise; this one stands the pattern upright
# centre = "opening"              # opening, joint, bridge or best: what stands in the middle
at_border = "{at_border}"                # trim, whole, join or ease: this one looks best here

# [[keep_solid]]                  # a place the pattern flows round: a bail tab, a signature
# name = "bail tab"
# shape = "circle"
# diameter = "5 mm"
# at = [0, {tab}]                     # from the middle of the piece: to the right, up

# [[hole]]                        # drilled to size, never sawn
# name = "bail hole"
# diameter = "1.8 mm"
# at = [0, {tab}]

# [saw]
# blade = "2/0"                   # sawpierce list blades
# drill = "1.0 mm"                # or "#60"

# [measured]                      # once the disc is cut: what it really came out as
# outline = 29.6

# [paper]
# size = "A4"                     # sawpierce list papers
# copies = 1
# shade = "waste"                 # waste, metal or none: what is shaded
# marks = "all"                   # few: lines and punch points only, the numbers on a map of their own
# transfer = "label"              # label, glue, carbon or rub-down: how the paper comes onto the metal
# split = true                    # a piece larger than this paper goes over several pages to tape together
# name_line = true                # a line for a name on every copy
"##;
