//! The only room with files, a clock, the environment and threads: the command line, and later the bench page.

mod begin;
mod card;
mod cli;
mod files;
mod list;
mod minutes;
mod output;
mod progress;
mod report;
mod sampler;
mod say;
mod settings;
mod sums;
mod table;
mod true_size;
mod verdicts;

use crate::error::{Error, Kind};
use std::process::ExitCode;

/// How the program ended, as other programs see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Outcome {
    /// Nothing stops the work.
    Good,
    /// Paper is made, and a verdict says stop.
    Stop,
    /// The job cannot be used.
    Unusable,
    /// A file cannot be read or written.
    NoFile,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        ExitCode::from(match outcome {
            Outcome::Good => 0,
            Outcome::Stop => 1,
            Outcome::Unusable => 2,
            Outcome::NoFile => 3,
        })
    }
}

impl From<&Error> for Outcome {
    fn from(error: &Error) -> Self {
        match error.kind {
            Kind::Job => Outcome::Unusable,
            Kind::File => Outcome::NoFile,
        }
    }
}

/// Reads the command line and does what it says.
pub fn run() -> ExitCode {
    let outcome = cli::run(std::env::args_os()).unwrap_or_else(|error| {
        say::problem(&error);
        Outcome::from(&error)
    });
    outcome.into()
}
