//! One job worked out step by step: each step when it is asked for, and kept until an edit touches what it reads.

use super::stage::{first_reader, Stage};
use super::Product;
use crate::checks::{graph, BridgeGraph, Verdict};
use crate::error::{Error, Kind, Place};
use crate::job::{Edit, Job};
use crate::mend::{changed, wish, with_remedies, Wished};
use crate::openings::Piece;
use crate::outline::Outline;
use crate::paper::{lay_out, Sheets};
use crate::work::{judged, outlined, pierced, Work};
use std::sync::Arc;

/// A job and what has been worked out of it so far.
#[derive(Debug, Clone)]
pub struct Session {
    /// As the maker's file says.
    typed: Job,
    kept: Kept,
}

/// What is kept, a field a step.
#[derive(Debug, Clone, Default)]
struct Kept {
    /// The job with its wish met, and what came of the wish.
    job: Option<(Job, Option<Wished>)>,
    outline: Option<Outline>,
    piece: Option<Arc<Piece>>,
    bridges: Option<Arc<BridgeGraph>>,
    work: Option<Work>,
    remedied: Option<Vec<Verdict>>,
    sheets: Option<Sheets>,
}

impl Kept {
    /// Forgets a step and all that follow it.
    fn forget(&mut self, from: Stage) {
        let kept = std::mem::take(self);
        *self = Kept {
            job: kept.job,
            outline: kept.outline.filter(|_| from > Stage::Outline),
            piece: kept.piece.filter(|_| from > Stage::Openings),
            bridges: kept.bridges.filter(|_| from > Stage::Bridges),
            work: kept.work.filter(|_| from > Stage::Findings),
            remedied: kept.remedied.filter(|_| from > Stage::Findings),
            sheets: None,
        };
    }
}

impl Session {
    pub fn new(job: Job) -> Self {
        Self { typed: job, kept: Kept::default() }
    }

    /// The job file with the edits made so far.
    pub fn text(&self) -> &str {
        &self.typed.source.text
    }

    /// The job as the maker's text says it, its wish not yet met.
    pub fn typed(&self) -> &Job {
        &self.typed
    }

    /// Makes edits: the one way to change the job. Gives the first step that has to be taken again, if any. Errors are
    /// those of reading a job; then nothing is changed.
    pub fn edit(&mut self, edits: &[Edit]) -> Result<Option<Stage>, Error> {
        let after = self.typed.with(edits)?;
        Ok(self.replace(after))
    }

    /// Puts another reading of the job in place of this one, its text typed over for example.
    pub fn replace(&mut self, after: Job) -> Option<Stage> {
        let from = first_reader(&self.typed, &after);
        let wished = self.typed.wish.is_some() || after.wish.is_some();
        self.typed = after;
        let from = from?;
        // What a wish chose hangs on every value of the job.
        self.kept.forget(if wished && from < Stage::Paper { Stage::Outline } else { from });
        match &mut self.kept.job {
            Some((job, None)) if !wished => *job = self.typed.clone(),
            job => *job = None,
        }
        Some(from)
    }

    /// The job with its wish met, and what came of the wish. An error if nothing comes near it.
    pub fn job(&mut self) -> Result<&(Job, Option<Wished>), Error> {
        let job = match self.kept.job.take() {
            Some(job) => job,
            None => meet(&self.typed)?,
        };
        Ok(self.kept.job.insert(job))
    }

    pub fn outline(&mut self) -> Result<&Outline, Error> {
        let outline = match self.kept.outline.take() {
            Some(outline) => outline,
            None => outlined(&self.job()?.0)?,
        };
        Ok(self.kept.outline.insert(outline))
    }

    pub fn piece(&mut self) -> Result<Arc<Piece>, Error> {
        if let Some(piece) = &self.kept.piece {
            return Ok(piece.clone());
        }
        let outline = self.outline()?.clone();
        let piece = pierced(&self.job()?.0, outline)?;
        Ok(self.kept.piece.insert(piece).clone())
    }

    pub fn bridges(&mut self) -> Result<Arc<BridgeGraph>, Error> {
        if let Some(bridges) = &self.kept.bridges {
            return Ok(bridges.clone());
        }
        let piece = self.piece()?;
        let bridges = Arc::new(graph(&self.job()?.0, &piece));
        Ok(self.kept.bridges.insert(bridges).clone())
    }

    /// Piece, bridges, findings and plan.
    pub fn work(&mut self) -> Result<&Work, Error> {
        let work = match self.kept.work.take() {
            Some(work) => work,
            None => {
                let (piece, bridges) = (self.piece()?, self.bridges()?);
                judged(&self.job()?.0, piece, bridges)
            }
        };
        Ok(self.kept.work.insert(work))
    }

    /// All findings, with a remedy tried for each fault, and whether the paper fits.
    pub fn findings(&mut self) -> Result<Vec<Verdict>, Error> {
        let mut findings = match self.kept.remedied.take() {
            Some(findings) => findings,
            None => {
                let work = self.work()?.clone();
                with_remedies(&self.job()?.0, &work)
            }
        };
        self.kept.remedied = Some(findings.clone());
        findings.extend(self.sheets()?.verdicts.iter().cloned());
        Ok(findings)
    }

    /// Everything made from this job, ready to be written out.
    pub fn product(&mut self) -> Result<Product, Error> {
        let mut work = self.work()?.clone();
        work.verdicts = self.findings()?;
        let (job, wished) = self.job()?.clone();
        Ok(Product {
            jobs: vec![job],
            wishes: vec![wished],
            works: vec![work],
            sheets: self.sheets()?.clone(),
        })
    }

    /// The paper of this job alone.
    pub fn sheets(&mut self) -> Result<&Sheets, Error> {
        let sheets = match self.kept.sheets.take() {
            Some(sheets) => sheets,
            None => {
                let work = self.work()?.clone();
                lay_out(&[(&self.job()?.0, &work)])
            }
        };
        Ok(self.kept.sheets.insert(sheets))
    }
}

/// The job with the pattern that comes nearest to its wish.
fn meet(job: &Job) -> Result<(Job, Option<Wished>), Error> {
    let Some(wished) = wish(job)? else { return Ok((job.clone(), None)) };
    let Some(nearest) = wished.solutions.first() else {
        let place = Place { file: job.file.clone(), ..Place::default() };
        let todo = "wish for something else, or take [wish] out and set pitch and bridge yourself";
        return Err(Error::at(Kind::Job, place, wished.says.clone(), todo));
    };
    Ok((changed(job, &nearest.changes)?, Some(wished)))
}
