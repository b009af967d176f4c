//! `sawpierce minutes`: what a job really took, kept in a plain log that teaches the rates.

use super::{files, say, settings, Outcome};
use crate::error::{Error, Kind, Place};
use crate::job::{Settings, Skill};
use crate::plan::minutes::{entry, read, refit, report, write, Entry};
use crate::units::limits::MINUTES_TAKEN;
use crate::work::work;
use clap::Args;
use std::fs::{self, OpenOptions};
use std::io::{ErrorKind, Write};
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

/// The log, if the system has a place for it.
fn log() -> Result<PathBuf, Error> {
    Ok(settings::folder().ok_or_else(settings::homeless)?.join("minutes.txt"))
}

fn trouble(path: &Path, why: &std::io::Error) -> Error {
    let place = Place { file: path.display().to_string(), ..Place::default() };
    let wrong = format!("the log of minutes cannot be used: {}", say::reason(why));
    Error::at(Kind::File, place, wrong, "mend its folder")
}

/// The log's text; bytes that are no letters spoil their own line only.
fn text(path: &Path) -> Result<String, Error> {
    match fs::read(path) {
        Ok(bytes) => Ok(String::from_utf8_lossy(&bytes).into_owned()),
        Err(why) if why.kind() == ErrorKind::NotFound => Ok(String::new()),
        Err(why) => Err(trouble(path, &why)),
    }
}

/// Every entry that reads.
pub(super) fn entries() -> Result<Vec<Entry>, Error> {
    match settings::folder() {
        Some(_) => Ok(read(&text(&log()?)?).0),
        None => Ok(Vec::new()),
    }
}

pub(super) fn minutes(asked: &Minutes, known: &Settings) -> Result<Outcome, Error> {
    let path = log()?;
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
        append(&path, &write(&done)).map_err(|why| trouble(&path, &why))?;
    }
    let (entries, bad) = read(&text(&path)?);
    for line in &bad {
        say::problem(&Error::at(
            Kind::Job,
            Place { file: path.display().to_string(), line: line.line, column: 1 },
            format!("this line does not read: {}", line.why),
            "mend it or take it out; the others are used",
        ));
    }
    if entries.is_empty() {
        say::answer("no minutes are written down yet; after a job: sawpierce minutes JOB 95\n")?;
        return Ok(Outcome::Good);
    }
    let lines = report(&refit(&entries, skill));
    say::answer(&format!("{}\nthe log: {}\n", lines.join("\n"), path.display()))?;
    Ok(Outcome::Good)
}

/// Adds one line and waits until it is on the disk. A last line that was cut short is ended first.
fn append(path: &Path, line: &str) -> std::io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    let cut_short = fs::read(path).is_ok_and(|bytes| bytes.last().is_some_and(|last| *last != b'\n'));
    let mut file = OpenOptions::new().create(true).append(true).open(path)?;
    file.write_all(format!("{}{line}\n", if cut_short { "\n" } else { "" }).as_bytes())?;
    file.sync_all()
}
