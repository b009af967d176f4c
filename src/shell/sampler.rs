//! `sawpierce sampler`: a card of all patterns at one sheet, blade and skill.

use super::files;
use super::output::{self, Output, Writer};
use super::progress::Progress;
use super::report::DOTS;
use super::{say, Outcome};
use crate::error::Error;
use crate::job::{Job, NamedFiles, Settings};
use crate::pipeline::begin::{value, without_lines};
use crate::pipeline::sampler::{choices, sample, Choice, Sampler};
use clap::Args;
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};

/// Discs of this many mm across: six stand side by side on A4, and the usual repeats show several times.
const ACROSS: &str = "28";
/// Strips, mm: three stand side by side on A4.
const STRIP: (&str, &str) = ("60", "18");

#[derive(Args)]
pub(super) struct SamplerAsked {
    /// A job of your own: every pattern in its outline, at its sheet, blade and skill
    #[arg(long, value_name = "JOB", conflicts_with_all = ["metal", "thickness", "skill", "blade", "drill", "bridge", "paper", "strip"])]
    job: Option<PathBuf>,
    /// Metal: see `sawpierce list metals`
    #[arg(long, default_value = "copper")]
    metal: String,
    /// Thickness of the sheet: 0.8, "20 ga"
    #[arg(long, value_name = "SIZE", default_value = "0.8")]
    thickness: String,
    /// Whose hand: first, practised or fine-work
    #[arg(long, default_value = "practised")]
    skill: String,
    /// Blade: see `sawpierce list blades`; else what the skill uses
    #[arg(long)]
    blade: Option<String>,
    /// Start-hole drill; else what the skill uses and the blade needs
    #[arg(long, value_name = "SIZE")]
    drill: Option<String>,
    /// Metal between openings, as drawn; else what the skill asks for
    #[arg(long, value_name = "SIZE")]
    bridge: Option<String>,
    /// Paper: see `sawpierce list papers`
    #[arg(long, default_value = "A4")]
    paper: String,
    /// Short strips instead of discs
    #[arg(long)]
    strip: bool,
    /// Folder for the card; else here, or beside the job
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

pub(super) fn run(asked: &SamplerAsked, settings: &Settings) -> Result<Outcome, Error> {
    let beside = asked.job.as_ref().and_then(|job| job.parent()).map(Path::to_path_buf);
    let folder = asked.out.clone().or(beside).unwrap_or_default();
    if let Some(folder) = &asked.out {
        output::folder(folder)?;
    }
    let (base, stem) = match &asked.job {
        Some(job) => {
            let stem = job.file_stem().unwrap_or_default().to_string_lossy().into_owned();
            (files::job(job, settings)?, format!("{stem}-sampler"))
        }
        None => {
            let read = files::read(&job_text(asked), "sampler", &NamedFiles::new(), settings);
            (read.map_err(without_lines)?, "sampler".to_string())
        }
    };
    let progress = Progress::start("drawing the sampler");
    let card = drawn(&base, asked.job.is_some());
    let outputs = outputs(&card, &folder, &stem);
    drop(progress);
    Writer::default().write(&outputs, Some("sampler"))?;
    let mut told: String = outputs.iter().map(|o| format!("written: {}\n", o.path.display())).collect();
    let refused: Vec<&str> =
        card.samples.iter().filter(|s| s.outcome.is_err()).map(|s| s.name.as_str()).collect();
    let against = card.samples.iter().find_map(|s| s.against.as_ref());
    told += &against.map_or(String::new(), |why| format!("true of every pattern: {why}\n"));
    told += &match refused.len() {
        0 if against.is_some() => format!("{} patterns, no other fault\n", card.samples.len()),
        0 => format!("{} patterns, all can be sawn so\n", card.samples.len()),
        n => format!("{} patterns; {n} cannot be sawn so: {}\n", card.samples.len(), refused.join(", ")),
    };
    say::answer(&told)?;
    Ok(Outcome::Good)
}

/// The card, with all the machine's hands at work: every pattern is tried in several sizes.
fn drawn(base: &Job, own: bool) -> Sampler {
    let choices = choices();
    let hands = std::thread::available_parallelism().map_or(1, |n| n.get());
    let share = |hand: usize| -> Vec<&Choice> { choices.iter().skip(hand).step_by(hands).collect() };
    let done: Vec<Vec<_>> = std::thread::scope(|scope| {
        let at_work: Vec<_> = (0..hands)
            .map(|hand| {
                let share = &share;
                scope.spawn(move || share(hand).into_iter().map(|c| sample(base, c)).collect::<Vec<_>>())
            })
            .collect();
        // A fault in one of them is a fault of the whole.
        at_work.into_iter().map(|hand| hand.join().unwrap_or_else(|why| resume_unwind(why))).collect()
    });
    let mut hands: Vec<_> = done.into_iter().map(Vec::into_iter).collect();
    let count = hands.len().max(1);
    let samples = (0..choices.len()).filter_map(|i| hands.get_mut(i % count)?.next()).collect();
    Sampler::new(base, samples, own)
}

fn outputs(card: &Sampler, folder: &Path, stem: &str) -> Vec<Output<'static>> {
    let named = |i: usize, ending: &str| match i {
        0 => folder.join(format!("{stem}.{ending}")),
        i => folder.join(format!("{stem}-{}.{ending}", i + 1)),
    };
    let drawn = card.svg().into_iter().enumerate().map(|(i, text)| (named(i, "svg"), text.into_bytes()));
    let pictures = card.png(DOTS).into_iter().enumerate().map(|(i, bytes)| (named(i, "png"), bytes));
    drawn
        .chain([(named(0, "pdf"), card.pdf())])
        .chain(pictures)
        .map(|(path, bytes)| Output::of_bytes(path, bytes))
        .collect()
}

/// The piece every pattern is laid on, as a job would say it.
fn job_text(asked: &SamplerAsked) -> String {
    let outline = match asked.strip {
        false => format!("shape = \"circle\"\ndiameter = \"{ACROSS} mm\""),
        true => format!("shape = \"rectangle\"\nwidth = \"{} mm\"\nheight = \"{} mm\"", STRIP.0, STRIP.1),
    };
    let size = |key: &str, said: &Option<String>| {
        said.as_ref().map_or(String::new(), |said| format!("{key} = {}\n", value(said)))
    };
    // A blade's name may look like a number.
    let name = |said: &str| crate::reader::quoted(said);
    let blade = asked.blade.as_ref().map_or(String::new(), |blade| format!("blade = {}\n", name(blade)));
    format!(
        "title = \"Sampler\"\nskill = {}\n[sheet]\nmetal = {}\nthickness = {}\n[outline]\n{outline}\n[pattern]\n\
         name = \"hexagon\"\n{}[saw]\n{}{}[paper]\nsize = {}\n",
        name(&asked.skill),
        name(&asked.metal),
        value(&asked.thickness),
        size("bridge", &asked.bridge),
        blade,
        size("drill", &asked.drill),
        name(&asked.paper),
    )
}
