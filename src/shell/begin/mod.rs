//! `sawpierce begin`: a job file to start from, with a comment at every line.

mod ask;

use super::{files, say, Outcome};
use crate::error::Error;
use crate::pipeline::begin as engine;
use crate::pipeline::begin::Answers;
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
    fn answers(&self) -> Answers {
        let said = self;
        Answers {
            shape: said.shape.clone(),
            diameter: said.diameter.clone(),
            width: said.width.clone(),
            height: said.height.clone(),
            sides: said.sides.clone(),
            across: said.across.clone(),
            ring_size: said.ring_size.clone(),
            drawing: said.drawing.clone(),
            no_hole: said.no_hole,
            metal: said.metal.clone(),
            thickness: said.thickness.clone(),
            skill: said.skill.clone(),
            pattern: said.pattern.clone(),
            units: said.units.clone(),
        }
    }

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
    let begun = engine::begin(&wishes.answers(), &name, |text| files::beside(text, &wishes.file))?;
    crate::shell::output::write_new(&wishes.file, &begun.text)?;
    let typed = say::typed(&wishes.file);
    say::answer(&format!("{name} is written: {}\nnext: sawpierce check {typed}\n", begun.says))?;
    Ok(Outcome::Good)
}
