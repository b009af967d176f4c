//! `sawpierce minutes`: what a job really took, kept in a plain log that teaches the rates.

use super::log::{path_of_log, text, trouble};
use super::{files, say, Outcome};
use crate::error::{Error, Kind, Place};
use crate::job::{Settings, Skill};
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

pub(super) fn minutes(asked: &Minutes, known: &Settings) -> Result<Outcome, Error> {
    let path = path_of_log()?;
    let mut skill = Skill::Practised;
    if let (Some(file), Some(taken)) = (&asked.job, asked.minutes) {
        for (name, value) in [("MINUTES", Some(taken)), ("--filing", asked.filing)] {
            if let Some(value) = value {
                let named = crate::units::limits::Limit { name, ..MINUTES_TAKEN };
                named.check(value).map_err(|unread| Error::job(unread.wrong, unread.todo))?;
            }
        }
        let job = files::job(file, known)?;
        skill = job.skill;
        let work = work(&job)?;
        let most = work.piece.openings.len() as u32;
        if asked.openings.is_some_and(|n| n == 0 || n > most) {
            return Err(Error::job(
                format!("this job has {most} openings"),
                format!("time 1 to {most} of them"),
            ));
        }
        let done = entry(&job, &work.piece, &work.plan, asked.openings, taken, asked.filing);
        append(&path, &write(&done)).map_err(|why| trouble(&path, &say::reason(&why)))?;
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
