//! `sawpierce minutes`: what a job really took, kept in a plain log that teaches the rates.

use super::log::{entries, path_of_log, text, trouble};
use super::{files, output, say, Outcome};
use crate::error::{Error, Kind, Place};
use crate::job::{Job, Settings, Skill};
use crate::plan::{entry, skill_rates};
use crate::trade::pace::{refit, report};
use crate::trade::timed::{read, write};
use crate::units::limits::MINUTES_TAKEN;
use crate::work::work;
use clap::Args;
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::path::{Path, PathBuf};

#[derive(Args)]
pub(super) struct Minutes {
    /// The job that was done; without it, what the log has taught so far
    #[arg(value_name = "JOB", requires = "minutes")]
    job: Option<PathBuf>,
    /// Minutes at drill and saw, for one piece
    #[arg(value_name = "MINUTES")]
    minutes: Option<f64>,
    /// Minutes of filing, if they were timed apart
    #[arg(long, value_name = "MINUTES")]
    filing: Option<f64>,
    /// Only so many openings were timed
    #[arg(long, value_name = "COUNT")]
    openings: Option<u32>,
}

/// What a job took.
pub(super) struct Taken {
    /// At drill and saw, for one piece.
    pub(super) minutes: f64,
    /// Of filing, if they were timed apart.
    pub(super) filing: Option<f64>,
    /// Only so many openings were timed.
    pub(super) openings: Option<u32>,
}

impl Taken {
    /// Refuses minutes that nobody takes; the two names are those that the maker knows them by.
    pub(super) fn check(&self, minutes: &'static str, filing: &'static str) -> Result<(), Error> {
        for (name, value) in [(minutes, Some(self.minutes)), (filing, self.filing)] {
            if let Some(value) = value {
                let named = crate::units::limits::Limit { name, ..MINUTES_TAKEN };
                named.check(value).map_err(|unread| Error::job(unread.wrong, unread.todo))?;
            }
        }
        Ok(())
    }

    /// Writes them down in the log for a job.
    pub(super) fn note(&self, job: &Job) -> Result<(), Error> {
        let path = path_of_log()?;
        let work = work(job)?;
        let most = work.piece.openings.len() as u32;
        if self.openings.is_some_and(|n| n == 0 || n > most) {
            return Err(Error::job(
                format!("this job has {most} openings"),
                format!("time 1 to {most} of them"),
            ));
        }
        let done = entry(job, &work.piece, &work.plan, self.openings, self.minutes, self.filing);
        append(&path, &write(&done)).map_err(|why| trouble(&path, &say::reason(&why)))
    }
}

/// What the log has taught a hand of this skill, a line each; none while nothing is written down.
pub(super) fn learnt(skill: Skill) -> Vec<String> {
    let entries = entries();
    if entries.is_empty() {
        return Vec::new();
    }
    report(&refit(&entries, &skill_rates(skill)))
}

pub(super) fn minutes(asked: &Minutes, known: &Settings) -> Result<Outcome, Error> {
    let path = path_of_log()?;
    let mut skill = Skill::Practised;
    if let (Some(file), Some(minutes)) = (&asked.job, asked.minutes) {
        let taken = Taken { minutes, filing: asked.filing, openings: asked.openings };
        taken.check("MINUTES", "--filing")?;
        let job = files::job(file, known)?;
        skill = job.skill;
        taken.note(&job)?;
    }
    let (entries, bad) = read(&text(&path)?);
    for line in &bad {
        say::problem(&Error::at(
            Kind::Job,
            Place { file: path.display().to_string(), line: line.line, column: 1 },
            format!("this line cannot be read: {}", line.why),
            "mend it or take it out; the others are used",
        ));
    }
    if entries.is_empty() {
        say::answer("no minutes are written down yet; after a job: sawpierce minutes JOB 95\n")?;
        return Ok(Outcome::Good);
    }
    let lines = report(&refit(&entries, &skill_rates(skill)));
    say::answer(&format!("{}\nthe log: {}\n", lines.join("\n"), path.display()))?;
    Ok(Outcome::Good)
}

/// Adds one line and waits until it is on the disk; a line that could not be written whole is taken out again. A last
/// line that was cut short is ended first.
fn append(path: &Path, line: &str) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    // No other line may come between: taking out one that was cut short would take that one too.
    let _turn = output::turn_beside(path);
    let before = fs::read(path).unwrap_or_default();
    let cut_short = before.last().is_some_and(|last| *last != b'\n');
    let mut file = OpenOptions::new().create(true).append(true).open(path)?;
    let written = file
        .write_all(format!("{}{line}\n", if cut_short { "\n" } else { "" }).as_bytes())
        .and_then(|()| file.sync_all());
    if written.is_err() {
        let _ = file.set_len(before.len() as u64);
    }
    written
}
