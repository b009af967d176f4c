//! The one call both shells use: jobs in; work, pages and finished files out, all in memory.

pub mod begin;
pub mod sampler;
mod session;
mod stage;

pub use crate::job::Stage;
pub use session::Session;

use crate::checks::Level;
use crate::error::{guarded, Error};
use crate::job::{parse, Job, NamedFiles, Settings};
use crate::mend::Wished;
use crate::paper::{bridge_map, few_enough, lay_out, send_out_for, Sheets};
use crate::plan::{learnt_rates, skill_rates};
use crate::render::{json, pdf, png, svg};
use crate::trade::pace::refit;
use crate::trade::timed::Entry;
use crate::work::Work;
use std::io::{self, Write};

/// Everything made from one job, or from several laid out together.
#[derive(Debug, Clone)]
pub struct Product {
    /// With their wishes met.
    pub jobs: Vec<Job>,
    /// What came of each job's wish, where it has one.
    pub wishes: Vec<Option<Wished>>,
    /// One for each job; its verdicts include `paper-fit`.
    pub works: Vec<Work>,
    /// The paper of all of them together.
    pub sheets: Sheets,
}

/// Reads a job's text with the rates that the log of minutes teaches a hand of its skill.
pub fn read(
    text: &str,
    name: &str,
    files: &NamedFiles,
    settings: &Settings,
    log: &[Entry],
) -> Result<Job, Error> {
    let job = parse(text, name, files, settings)?;
    if log.is_empty() {
        return Ok(job);
    }
    // What the log teaches depends on the job's skill, so it is known only now.
    let rates = learnt_rates(&refit(log, &skill_rates(job.skill)));
    parse(text, name, files, &Settings { rates, ..settings.clone() })
}

/// Works out one job and lays out its paper.
pub fn run(job: &Job) -> Result<Product, Error> {
    Session::new(job.clone()).product()
}

/// Works out several jobs and lays them out on the same pages, on the first one's paper.
pub fn run_together(jobs: &[Job]) -> Result<Product, Error> {
    let mut sessions: Vec<Session> = jobs.iter().cloned().map(Session::new).collect();
    let (mut jobs, mut wishes, mut works) = (Vec::new(), Vec::new(), Vec::new());
    for session in &mut sessions {
        works.push(session.work()?.clone());
        let (job, wished) = session.job()?.clone();
        jobs.push(job);
        wishes.push(wished);
    }
    let items: Vec<_> = jobs.iter().zip(&works).collect();
    few_enough(&items)?;
    let sheets = guarded(|| Ok(lay_out(&items)))?;
    for (session, work) in sessions.iter_mut().zip(&mut works) {
        work.verdicts = session.remedied()?;
        work.verdicts.extend(sheets.verdicts.iter().cloned());
    }
    Ok(Product { jobs, wishes, works, sheets })
}

impl Product {
    /// Whether any verdict says stop.
    pub fn stops(&self) -> bool {
        self.works.iter().flat_map(|w| &w.verdicts).any(|v| v.level == Level::Stop)
    }

    fn title(&self) -> String {
        self.jobs.iter().map(|j| j.title.as_str()).collect::<Vec<_>>().join(", ")
    }

    fn about(&self) -> pdf::About {
        pdf::About { title: self.title(), language: "en".into() }
    }

    /// The true-size pages, each as SVG.
    pub fn svg(&self) -> Vec<String> {
        self.sheets.true_size_pages().into_iter().map(|p| svg::svg(p, &self.title())).collect()
    }

    /// Writes the true-size page `i` as SVG, piece by piece; nothing if there is no such page. Errors: those of `to`.
    pub fn write_svg(&self, i: usize, to: &mut dyn Write) -> io::Result<()> {
        self.sheets.true_size_pages().get(i).map_or(Ok(()), |page| svg::write(page, &self.title(), to))
    }

    /// Writes all pages as PDF. Errors: those of `to`.
    pub fn write_pdf(&self, to: &mut dyn Write) -> io::Result<()> {
        pdf::write(&self.sheets.pages.iter().collect::<Vec<_>>(), &self.about(), to)
    }

    /// Writes what [`Product::json`] gives. Errors: those of `to`.
    pub fn write_json(&self, i: usize, files: &[String], to: &mut dyn Write) -> io::Result<()> {
        let (Some(job), Some(work)) = (self.jobs.get(i), self.works.get(i)) else { return Ok(()) };
        json::write_plan(job, work, self.sheets.pages.len(), files, to)
    }

    /// All pages as PDF.
    pub fn pdf(&self) -> Vec<u8> {
        pdf::pdf(&self.sheets.pages.iter().collect::<Vec<_>>(), &self.about())
    }

    /// The first true-size page as a picture of `dpi` dots to the inch; `None` if it would be too large to hold.
    pub fn png(&self, dpi: f64) -> Option<Vec<u8>> {
        self.sheets.true_size_pages().first().and_then(|p| png::png(p, dpi))
    }

    /// The plan of job `i` as JSON text, with the names of the files written with it; `None` if there is no such job.
    pub fn json(&self, i: usize, files: &[String]) -> Option<String> {
        let (job, work) = (self.jobs.get(i)?, self.works.get(i)?);
        Some(json::plan_text(job, work, self.sheets.pages.len(), files))
    }

    /// The bridge map of job `i`, as SVG and as a picture of `dpi` dots to the inch, which is `None` if too large to hold;
    /// `None` if there is no such job.
    pub fn bridge_map(&self, i: usize, dpi: f64) -> Option<(String, Option<Vec<u8>>)> {
        let (job, work) = (self.jobs.get(i)?, self.works.get(i)?);
        let page = bridge_map(job, work);
        Some((svg::svg(&page, &job.title), png::png(&page, dpi)))
    }

    /// Bare outlines of job `i` for a cutting service, as SVG pages and one PDF; `None` if there is no such job. `cut_width`
    /// is the width of its cut to allow for, mm; 0 leaves that to the service.
    pub fn send_out(&self, i: usize, cut_width: f64) -> Option<(Vec<String>, Vec<u8>)> {
        let pages = send_out_for(self.jobs.get(i)?, self.works.get(i)?, cut_width);
        let drawn = pages.iter().map(|p| svg::svg(p, &self.title())).collect();
        Some((drawn, pdf::pdf(&pages.iter().collect::<Vec<_>>(), &self.about())))
    }
}
