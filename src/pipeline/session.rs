//! One job worked out step by step: each step when it is asked for, and kept until an edit touches what it reads.

use super::stage::first_reader;
use super::Product;
use crate::catalogue::CentreKind;
use crate::checks::{graph, BridgeGraph, Verdict};
use crate::error::{guarded, Error, Kind, Place};
use crate::geom::{sin_cos_degrees, Point, Vec2};
use crate::job::{AtBorder, CentreChoice, Edit, Job, PatternSource, Stage};
use crate::mend::{changed, wish, Change, Remedies, Wished};
use crate::openings::Piece;
use crate::outline::Outline;
use crate::paper::{few_enough, lay_out, paper_fit, Sheets};
use crate::pattern::Cells;
use crate::work::{celled, judged, outlined, pierced, Work};
use std::sync::Arc;

/// A job and what has been worked out of it so far.
#[derive(Debug, Clone)]
pub struct Session {
    /// As the maker's file says.
    typed: Job,
    kept: KeptSteps,
    /// How the pattern lay when it was last worked out: what stood in its middle, and where that lay.
    lay: Option<(CentreChoice, Option<Point>)>,
}

/// What is kept, a field a step.
#[derive(Debug, Clone, Default)]
struct KeptSteps {
    /// The job with its wish met, and what came of the wish.
    job: Option<(Job, Option<Wished>)>,
    outline: Option<Outline>,
    cells: Option<Arc<Cells>>,
    piece: Option<Arc<Piece>>,
    bridges: Option<Arc<BridgeGraph>>,
    work: Option<Work>,
    remedies: Option<Remedies>,
    paper_fit: Option<Verdict>,
    sheets: Option<Arc<Sheets>>,
}

impl KeptSteps {
    /// Forgets a step and all that follow it.
    fn forget(&mut self, from: Stage) {
        let kept = std::mem::take(self);
        *self = KeptSteps {
            job: kept.job,
            outline: kept.outline.filter(|_| from > Stage::Outline),
            cells: kept.cells.filter(|_| from > Stage::Cells),
            piece: kept.piece.filter(|_| from > Stage::Openings),
            bridges: kept.bridges.filter(|_| from > Stage::Bridges),
            work: kept.work.filter(|_| from > Stage::Findings),
            remedies: kept.remedies.filter(|_| from > Stage::Findings),
            paper_fit: None,
            sheets: None,
        };
    }
}

/// What stands in the middle of a pattern that repeats, and where; the place is left out on a blank that goes round.
fn lay_of(job: &Job, piece: &Piece) -> Option<(CentreChoice, Option<Point>)> {
    let PatternSource::Repeat(pattern) = &job.pattern.source else { return None };
    let resolved = &piece.resolved;
    let (kind, choice) = match resolved.centre.as_str() {
        "opening" => (CentreKind::Opening, CentreChoice::Opening),
        "crossing" => (CentreKind::Crossing, CentreChoice::Crossing),
        _ => (CentreKind::Bridge, CentreChoice::Bridge),
    };
    let goes_round = piece.outline.seam.is_some();
    let origin = resolved.origin.filter(|_| !goes_round);
    let at = origin.zip(pattern.centre(kind)).map(|(origin, centre)| {
        let (sin, cos) = sin_cos_degrees(resolved.turn);
        let Point { x, y } = centre.at;
        origin + Vec2::new(x * cos - y * sin, x * sin + y * cos) * resolved.pitch.get()
    });
    Some((choice, at))
}

impl Session {
    /// Nothing is worked out yet.
    pub fn new(job: Job) -> Self {
        Self { typed: job, kept: KeptSteps::default(), lay: None }
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
        let after = guarded(|| self.typed.with(edits))?;
        Ok(self.replace(after))
    }

    /// Puts another reading of the job in place of this one, its text typed over for example.
    pub fn replace(&mut self, after: Job) -> Option<Stage> {
        let from = first_reader(&self.typed, &after);
        if let (Some(piece), Some((job, _))) = (&self.kept.piece, &self.kept.job) {
            self.lay = lay_of(job, piece);
        }
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
            None => guarded(|| meet(&self.typed))?,
        };
        Ok(self.kept.job.insert(job))
    }

    /// The blank with everything that is fixed before the pattern is laid.
    pub fn outline(&mut self) -> Result<&Outline, Error> {
        let outline = match self.kept.outline.take() {
            Some(outline) => outline,
            None => {
                let job = &self.job()?.0;
                guarded(|| outlined(job))?
            }
        };
        Ok(self.kept.outline.insert(outline))
    }

    /// The cells of the pattern, bridges still on.
    pub fn cells(&mut self) -> Result<Arc<Cells>, Error> {
        if let Some(cells) = &self.kept.cells {
            return Ok(cells.clone());
        }
        self.outline()?;
        self.job()?;
        let (Some(outline), Some((job, _))) = (&self.kept.outline, &self.kept.job) else {
            return Err(Error::inside("a step that was taken is not there"));
        };
        let cells = Arc::new(guarded(|| celled(job, outline))?);
        Ok(self.kept.cells.insert(cells).clone())
    }

    /// The openings in their outline.
    pub fn piece(&mut self) -> Result<Arc<Piece>, Error> {
        if let Some(piece) = &self.kept.piece {
            return Ok(piece.clone());
        }
        let cells = self.cells()?;
        let outline = self.outline()?.clone();
        let job = &self.job()?.0;
        let piece = guarded(|| pierced(job, outline, &cells))?;
        Ok(self.kept.piece.insert(piece).clone())
    }

    /// Every bridge measured.
    pub fn bridges(&mut self) -> Result<Arc<BridgeGraph>, Error> {
        if let Some(bridges) = &self.kept.bridges {
            return Ok(bridges.clone());
        }
        let piece = self.piece()?;
        let job = &self.job()?.0;
        let bridges = Arc::new(guarded(|| Ok(graph(job, &piece)))?);
        Ok(self.kept.bridges.insert(bridges).clone())
    }

    /// Piece, bridges, findings without their remedies, and plan.
    pub fn work(&mut self) -> Result<&Work, Error> {
        let work = match self.kept.work.take() {
            Some(work) => work,
            None => {
                let (piece, bridges) = (self.piece()?, self.bridges()?);
                let job = &self.job()?.0;
                guarded(|| Ok(judged(job, piece, bridges)))?
            }
        };
        Ok(self.kept.work.insert(work))
    }

    /// What can be shown at once: the piece if it is worked out or takes no fitting; else its cells where they lay last,
    /// trimmed at the border and not yet bent to it. Whether it is the piece itself.
    pub fn at_once(&mut self) -> Result<(Arc<Piece>, bool), Error> {
        let bends = self.job()?.0.pattern.at_border == AtBorder::Fit;
        if self.kept.piece.is_some() || !bends {
            return Ok((self.piece()?, true));
        }
        let outline = self.outline()?.clone();
        let mut job = self.job()?.0.clone();
        job.pattern.at_border = AtBorder::Trim;
        if let (CentreChoice::Best, Some((centre, at))) = (job.pattern.centre, &self.lay) {
            (job.pattern.centre, job.pattern.at) = (*centre, job.pattern.at.or(*at));
        }
        let trimmed = guarded(|| pierced(&job, outline.clone(), &celled(&job, &outline)?));
        match trimmed {
            Ok(piece) => Ok((piece, false)),
            Err(_) => Ok((self.piece()?, true)),
        }
    }

    /// Works out one job more in search of remedies for the faults found; false when there is nothing left to try. Whoever
    /// waits may stop between two: [`Session::findings_so_far`] has what was found up to then.
    pub fn step_remedies(&mut self) -> Result<bool, Error> {
        let remedies = self.remedies()?;
        guarded(|| Ok(remedies.step()))
    }

    fn remedies(&mut self) -> Result<&mut Remedies, Error> {
        let remedies = match self.kept.remedies.take() {
            Some(remedies) => remedies,
            None => {
                let work = self.work()?.clone();
                Remedies::new(&self.job()?.0, &work)
            }
        };
        Ok(self.kept.remedies.insert(remedies))
    }

    /// The changes that the remedies found up to now are made of, each with the place of its verdict among the findings.
    pub fn remedies_found(&self) -> Vec<(usize, &[Change])> {
        self.kept.remedies.as_ref().map_or_else(Vec::new, Remedies::found)
    }

    /// All findings, with the remedies found up to now, and whether the paper fits.
    pub fn findings_so_far(&mut self) -> Result<Vec<Verdict>, Error> {
        let mut findings = self.remedies()?.verdicts();
        findings.extend(self.paper_fit()?);
        Ok(findings)
    }

    /// All findings, with a remedy tried for each fault, and whether the paper fits. No page is laid out for it.
    pub fn findings(&mut self) -> Result<Vec<Verdict>, Error> {
        while self.step_remedies()? {}
        self.findings_so_far()
    }

    /// The same without the paper's.
    pub(super) fn remedied(&mut self) -> Result<Vec<Verdict>, Error> {
        while self.step_remedies()? {}
        Ok(self.remedies()?.verdicts())
    }

    fn paper_fit(&mut self) -> Result<Option<Verdict>, Error> {
        if self.kept.paper_fit.is_none() {
            let work = self.work()?.clone();
            let job = &self.job()?.0;
            few_enough(&[(job, &work)])?;
            self.kept.paper_fit = guarded(|| Ok(paper_fit(&[(job, &work)])))?;
        }
        Ok(self.kept.paper_fit.clone())
    }

    /// The paper of this job alone.
    pub fn sheets(&mut self) -> Result<&Sheets, Error> {
        let sheets = match self.kept.sheets.take() {
            Some(sheets) => sheets,
            None => {
                let work = self.work()?.clone();
                let job = &self.job()?.0;
                few_enough(&[(job, &work)])?;
                Arc::new(guarded(|| Ok(lay_out(&[(job, &work)])))?)
            }
        };
        Ok(self.kept.sheets.insert(sheets))
    }

    /// The work with all its findings.
    pub fn judged(&mut self) -> Result<Work, Error> {
        let verdicts = self.findings()?;
        Ok(Work { verdicts, ..self.work()?.clone() })
    }

    /// Everything made from this job, ready to be written out.
    pub fn product(&mut self) -> Result<Product, Error> {
        let work = self.judged()?;
        let (job, wished) = self.job()?.clone();
        let sheets = self.sheets()?.clone();
        Ok(Product { jobs: vec![job], wishes: vec![wished], works: vec![work], sheets })
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
