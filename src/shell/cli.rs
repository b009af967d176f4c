//! The command line: what can be asked for, and who answers.

use super::{begin, list, minutes, page, report, sampler, say, settings, sums, true_size, Outcome};
use crate::error::Error;
use clap::builder::Styles;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{ArgAction, Args, Parser, Subcommand};
use std::ffi::OsString;

/// What can hurt, in two lines: at the foot of the help of whatever sends somebody to the bench.
macro_rules! care {
    () => {
        "Glasses on, hair tied back, sheet clamped, no gloves at a drill, mask against dust. Local codes, makers' safety sheets and \
         qualified practice come first."
    };
}

/// From a job file to paper that can be sawn.
#[derive(Parser)]
#[command(
    name = "sawpierce",
    version,
    styles = Styles::plain(),
    disable_help_subcommand = true,
    disable_help_flag = true,
    disable_version_flag = true,
    about = "Openwork for the bench: true-size paper to stick on the metal, every bridge checked at its finished \
             width, and a job card with the numbers.",
    after_help = concat!(
        "A first piece:\n  sawpierce begin moth.toml --shape circle --diameter 30 --metal copper\n  sawpierce check moth.toml\n  \
         sawpierce draw moth.toml\n\nPrint at true size, measure the bars on the paper, then stick it down.\n",
        care!(),
        "\n\
         Exit status: 0 no stop; 1 at least one stop; 2 the job cannot be used; 3 a file cannot be read or \
         written."
    )
)]
struct Line {
    #[command(subcommand)]
    verb: Option<Verb>,
    /// Show this help, or the help of one command
    #[arg(short, long, action = ArgAction::Help, global = true)]
    help: Option<bool>,
    /// Show the version
    #[arg(long, action = ArgAction::Version)]
    version: Option<bool>,
}

#[derive(Subcommand)]
enum Verb {
    /// Write a job file to start from, with a comment at every line
    #[command(
        allow_negative_numbers = true,
        after_help = "Example:\n  sawpierce begin moth.toml --shape circle --diameter 30 --metal copper --skill first"
    )]
    Begin(Box<begin::Wishes>),
    /// Draw the template and the job card: STEM.svg, STEM.pdf and STEM.json beside each job
    #[command(after_help = concat!(
        "Example:\n  sawpierce draw moth.toml --out paper --png\n\nPaper is made even when a verdict says stop; it then carries a \
         banner.\n",
        care!()
    ))]
    Draw(report::Draw),
    /// Check bridges, borders, tools and fit; list the thinnest bridges first
    #[command(after_help = "Example:\n  sawpierce check moth.toml")]
    Check(report::CheckArgs),
    /// Work out the bench's numbers: holes, saw line, hours, metal, parts, each with its sum
    #[command(
        after_help = concat!(
            "Example, when the disc came out small:\n  sawpierce plan moth.toml --measured outline=29.6\n\n",
            care!()
        )
    )]
    Plan(report::PlanArgs),
    /// Find the least change to the drawing that clears every stop: STEM-mended.toml
    #[command(after_help = "Example:\n  sawpierce mend moth.toml")]
    Mend(report::Mend),
    /// Draw a card of all patterns for a sheet and a blade
    #[command(
        after_help = "Example:\n  sawpierce sampler --metal sterling-silver --thickness \"20 ga\" --blade 3/0 --out paper"
    )]
    Sampler(sampler::SamplerAsked),
    /// Print a test page, or store what its bars measured
    #[command(
        name = "true-size",
        after_help = "Example:\n  sawpierce true-size --across 97.8 --up 98.1 --printer \"hall inkjet\""
    )]
    TrueSize(true_size::TrueSize),
    /// Do one sum of the bench, without a job
    #[command(
        after_help = concat!(
            "Example:\n  sawpierce sums strip --across 28 --thickness 0.8 --sits under-plate\n\n",
            care!()
        )
    )]
    Sums(sums::Sums),
    /// Write down the minutes a job really took, so that the next hours are yours
    #[command(after_help = "Example:\n  sawpierce minutes moth.toml 95")]
    Minutes(minutes::Minutes),
    /// List what can be named in a job: patterns, outlines, metals, blades, drills, gauges, solders, papers, ring-sizes
    #[command(after_help = "Example:\n  sawpierce list blades")]
    List(List),
    /// Open the bench page: look, change, print; its address is printed first
    #[command(after_help = "Example:\n  sawpierce open moth.toml\n\n\
                            `sawpierce` alone opens it with a first piece. Only this machine can see it. Changes are kept beside \
                            the job file until they are saved; Ctrl+C ends it.")]
    Open(page::OpenArgs),
}

#[derive(Args)]
pub(super) struct List {
    /// What to list
    #[arg(value_name = "KIND")]
    pub(super) kind: list::ListKind,
    /// As JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Of keys: as the page docs/job-file.md
    #[arg(long, hide = true)]
    pub(super) page: bool,
    /// Of keys: lengths in mm or in
    #[arg(long, value_name = "UNITS", value_parser = ["mm", "in"])]
    pub(super) units: Option<String>,
}

/// Reads the words of the command line and does what they say.
pub(super) fn run(words: impl IntoIterator<Item = OsString>) -> Result<Outcome, Error> {
    let line = match Line::try_parse_from(words) {
        Ok(line) => line,
        Err(told) if matches!(told.kind(), ErrorKind::DisplayHelp | ErrorKind::DisplayVersion) => {
            say::answer(&told.render().to_string())?;
            return Ok(Outcome::Good);
        }
        Err(refused) => return Err(explain(&refused)),
    };
    match line.verb {
        Some(Verb::Begin(wishes)) => begin::begin(&wishes),
        Some(Verb::Draw(asked)) => report::draw(&asked, &settings::load()),
        Some(Verb::Check(asked)) => report::check(&asked, &settings::load()),
        Some(Verb::Plan(asked)) => report::plan(&asked, &settings::load()),
        Some(Verb::List(asked)) => list::list(asked.kind, asked.json, asked.page, asked.units.as_deref()),
        Some(Verb::Mend(asked)) => report::mend(&asked, &settings::load()),
        Some(Verb::Sampler(asked)) => sampler::run(&asked, &settings::load()),
        Some(Verb::TrueSize(asked)) => true_size::run(&asked, &settings::load()),
        Some(Verb::Sums(asked)) => sums::sums(&asked),
        Some(Verb::Minutes(asked)) => minutes::minutes(&asked, &settings::load()),
        Some(Verb::Open(asked)) => page::open(&asked),
        None => page::open(&page::OpenArgs::default()),
    }
}

/// What the argument reader complains of, in the bench's words.
fn explain(refused: &clap::Error) -> Error {
    let told = |kind: ContextKind| match refused.get(kind) {
        Some(ContextValue::String(text)) => Some(text.clone()),
        Some(ContextValue::Strings(texts)) => Some(texts.join(", ")),
        _ => None,
    };
    let word =
        told(ContextKind::InvalidArg).or_else(|| told(ContextKind::InvalidSubcommand)).unwrap_or_default();
    let near = told(ContextKind::SuggestedArg).or_else(|| told(ContextKind::SuggestedSubcommand));
    let meant = near.map_or("see `sawpierce --help`".to_string(), |near| format!("did you mean \"{near}\"?"));
    match refused.kind() {
        ErrorKind::InvalidSubcommand => Error::job(format!("there is no verb \"{word}\""), meant),
        ErrorKind::UnknownArgument => Error::job(format!("\"{word}\" is not known here"), meant),
        ErrorKind::MissingRequiredArgument => {
            Error::job(format!("{word} is missing"), "see the example of this verb with --help")
        }
        ErrorKind::InvalidValue => {
            let value = told(ContextKind::InvalidValue).unwrap_or_default();
            let known = told(ContextKind::ValidValue).map(|known| format!("use one of: {known}"));
            if value.is_empty() {
                return Error::job(format!("{word} has no value"), known.unwrap_or(meant));
            }
            Error::job(format!("{word} does not take \"{value}\""), known.unwrap_or(meant))
        }
        ErrorKind::ArgumentConflict => Error::job(format!("{word} is given twice"), "keep one of them"),
        _ => Error::job("this line is not understood", "see `sawpierce --help`"),
    }
}
