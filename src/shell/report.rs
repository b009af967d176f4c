//! `draw`, `check` and `plan`: jobs read, worked out, and answered for.

use super::cli::{Check, Draw, Plan};
use super::progress::Progress;
use super::{card, files, say, verdicts, Outcome};
use crate::error::Error;
use crate::job::{self, Job, Settings};
use crate::work::{work, Work};
use std::path::{Path, PathBuf};

/// Does one thing to every job; a job that cannot be used does not keep the others from being answered.
fn each(jobs: &[PathBuf], what: impl Fn(&Path) -> Result<Outcome, Error>) -> Result<Outcome, Error> {
    let mut worst = Outcome::Good;
    for path in jobs {
        let outcome = what(path).unwrap_or_else(|error| {
            say::problem(&error);
            Outcome::from(&error)
        });
        worst = worst.max(outcome);
    }
    Ok(worst)
}

fn worked(job: &Job) -> Result<Work, Error> {
    let _progress = Progress::start(format!("working out {}", job.file));
    work(job)
}

pub(super) fn check(asked: &Check, settings: &Settings) -> Result<Outcome, Error> {
    each(&asked.jobs, |path| {
        let job = files::job(path, settings)?;
        let work = worked(&job)?;
        say::answer(&verdicts::text(&job, work.piece.openings.len(), &work.verdicts, &work.graph))?;
        Ok(verdicts::outcome(&work.verdicts))
    })
}

pub(super) fn plan(asked: &Plan, settings: &Settings) -> Result<Outcome, Error> {
    each(&asked.jobs, |path| {
        let mut job = files::job(path, settings)?;
        job::measure(&mut job, &asked.measured)?;
        let work = worked(&job)?;
        say::answer(&card::text(&work.plan.card))?;
        Ok(verdicts::outcome(&work.verdicts))
    })
}

pub(super) fn draw(asked: &Draw, _settings: &Settings) -> Result<Outcome, Error> {
    let _ = asked;
    Err(Error::job("draw is not built yet", "wait"))
}
