//! The only room with files, a clock, the environment and threads: the command line, and later the bench page.

mod begin;
mod card;
mod cli;
mod faults;
mod files;
mod list;
mod log;
mod minutes;
mod output;
mod page;
mod progress;
mod report;
mod sampler;
mod say;
mod settings;
mod sums;
mod table;
mod true_size;
mod verdicts;

pub use settings::stored_printers;

use crate::error::{Error, Kind};
use std::panic::{catch_unwind, set_hook, take_hook, UnwindSafe};
use std::process::ExitCode;
use std::sync::{Mutex, PoisonError};

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
    /// Sawpierce itself failed.
    Fault,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        ExitCode::from(match outcome {
            Outcome::Good => 0,
            Outcome::Stop => 1,
            Outcome::Unusable => 2,
            Outcome::NoFile => 3,
            Outcome::Fault => 70,
        })
    }
}

impl From<&Error> for Outcome {
    fn from(error: &Error) -> Self {
        match error.kind {
            Kind::Job => Outcome::Unusable,
            Kind::File => Outcome::NoFile,
            Kind::Inside => Outcome::Fault,
        }
    }
}

/// Reads the command line and does what it says.
pub fn run() -> ExitCode {
    let outcome = guarded(|| cli::run(std::env::args_os())).unwrap_or_else(|error| {
        say::problem(&error);
        Outcome::from(&error)
    });
    outcome.into()
}

/// Does something; a fault of our own on the way comes back as an error like any other.
fn guarded(work: impl FnOnce() -> Result<Outcome, Error> + UnwindSafe) -> Result<Outcome, Error> {
    static FIRST: Mutex<Option<String>> = Mutex::new(None);
    let first = || FIRST.lock().unwrap_or_else(PoisonError::into_inner);
    // Said by us, in one line, not by the language.
    set_hook(Box::new(move |fault| {
        let place = fault.location().map(|at| format!(" ({}:{})", at.file(), at.line())).unwrap_or_default();
        let said = fault.payload();
        let text = said.downcast_ref::<String>().map(String::as_str);
        let what = text.or_else(|| said.downcast_ref::<&str>().copied()).unwrap_or("unknown");
        first().get_or_insert(format!("{what}{place}"));
    }));
    let done = catch_unwind(work);
    let _ = take_hook();
    match (done, first().take()) {
        // A fault that the engine has made an error of: here its place is known.
        (Ok(Err(Error { kind: Kind::Inside, .. })) | Err(_), Some(what)) => Err(Error::inside(what)),
        (Ok(done), _) => done,
        (Err(_), None) => Err(Error::inside("unknown")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_of_our_own_asks_for_the_job_file() {
        let error = guarded(|| crate::error::fault("no such thing")).expect_err("an error");
        let said = error.to_string();
        assert!(said.starts_with("Sawpierce itself failed: no such thing (src/error.rs:"), "{said}");
        assert!(said.ends_with("please send the job file to those who make Sawpierce"), "{said}");
        assert!(matches!(Outcome::from(&error), Outcome::Fault));
    }
}
