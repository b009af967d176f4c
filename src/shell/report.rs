//! `draw`, `check` and `plan`: jobs read, worked out, and answered for.

use super::files;
use super::output::{self, Output, Writer};
use super::progress::Progress;
use super::{card, say, table, verdicts, Outcome};
use crate::checks::{Level, Verdict};
use crate::error::{printable, Error};
use crate::job::{self, Job, Settings};
use crate::mend::{self, Wished};
use crate::pipeline::{self, Product, Session};
use crate::render::json as written;
use crate::units::{length, LengthUnit};
use crate::work::{work, Work};
use clap::Args;
use serde_json::{json, Value};
use std::path::{Path, PathBuf};

#[derive(Args)]
pub(super) struct Draw {
    /// Job files
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// Folder for the files; else beside each job
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// A picture as well: STEM.png
    #[arg(long)]
    png: bool,
    /// Bare outlines for a cutting service as well: STEM-outlines.svg and .pdf
    #[arg(long)]
    send_out: bool,
    /// With --send-out: width of the service's cut to allow for, if it asks for that
    #[arg(long, value_name = "SIZE", requires = "send_out")]
    cut_width: Option<String>,
    /// A map of the bridges as well, the thinnest numbered: STEM-bridges.svg
    #[arg(long)]
    bridges: bool,
    /// All jobs on the same pages, named after the first
    #[arg(long)]
    together: bool,
}

#[derive(Args)]
pub(super) struct CheckArgs {
    /// Job files
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// As JSON
    #[arg(long)]
    json: bool,
}

#[derive(Args)]
pub(super) struct PlanArgs {
    /// Job files
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// As JSON
    #[arg(long)]
    json: bool,
    /// Every bridge as well
    #[arg(long)]
    bridges: bool,
    /// What the bench found: outline=29.6, outline=40.1x29.8 or thickness=0.88; may be given several times
    #[arg(long, value_name = "WHAT=SIZE")]
    measured: Vec<String>,
}

#[derive(Args)]
pub(super) struct Mend {
    /// Job file
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// Clear the cautions too
    #[arg(long)]
    cautions_too: bool,
}

/// Dots to the inch of `draw --png`: enough to read the smallest number on a screen; more makes slow, large files.
pub(super) const DOTS: f64 = 300.0;

/// Ways to mend that are shown; the rest look worse still.
const WAYS: usize = 5;

/// Does one thing to every job; a job that cannot be used does not keep the others from being answered. The worst
/// outcome counts.
fn each(jobs: &[PathBuf], mut what: impl FnMut(&Path) -> Result<Outcome, Error>) -> Outcome {
    jobs.iter().fold(Outcome::Good, |worst, path| {
        let outcome = what(path).unwrap_or_else(|error| {
            say::problem(&error);
            Outcome::from(&error)
        });
        worst.max(outcome)
    })
}

/// Works out a job, findings and all, and no page of paper.
fn judged(job: Job) -> Result<(Session, Work), Error> {
    let _progress = Progress::start(format!("working out {}", job.file));
    let mut session = Session::new(job);
    let work = session.judged()?;
    Ok((session, work))
}

/// Several JSON answers as one: a single job's as it is, otherwise a list.
fn answer_json(mut all: Vec<Value>, jobs: usize) -> Result<(), Error> {
    let value = match (jobs, all.pop()) {
        (1, Some(one)) => one,
        (1, None) => return Ok(()),
        (_, last) => {
            all.extend(last);
            Value::Array(all)
        }
    };
    say::answer(&format!("{value:#}\n"))
}

pub(super) fn check(asked: &CheckArgs, settings: &Settings) -> Result<Outcome, Error> {
    let mut found = Vec::new();
    let outcome = each(&asked.jobs, |path| {
        let (mut session, work) = judged(files::job(path, settings)?)?;
        let (job, wished) = session.job()?;
        match asked.json {
            true => found.push(json!({
                "schema": written::SCHEMA,
                "title": job.title,
                "verdicts": work.verdicts.iter().map(|v| written::verdict(v, job.units)).collect::<Vec<_>>(),
            })),
            false => say::answer(&(verdicts::text(job, &work) + &wishes(wished)))?,
        }
        Ok(outcome_of(&work.verdicts))
    });
    if asked.json {
        answer_json(found, asked.jobs.len())?;
    }
    Ok(outcome)
}

pub(super) fn plan(asked: &PlanArgs, settings: &Settings) -> Result<Outcome, Error> {
    let mut found = Vec::new();
    let outcome = each(&asked.jobs, |path| {
        let mut job = files::job(path, settings)?;
        job::measure(&mut job, &asked.measured)?;
        let (mut session, work) = judged(job)?;
        let pages = if asked.json { session.sheets()?.pages.len() } else { 0 };
        let (job, wished) = session.job()?;
        if asked.json {
            found.push(written::plan_json(job, &work, pages, asked.bridges));
            return Ok(outcome_of(&work.verdicts));
        }
        let mut text = format!("{}{}", verdicts::head(job, &work), card::text(&work.plan.card));
        if asked.bridges {
            text +=
                &format!("\nAll bridges\n{}", verdicts::bridges(&work.graph, usize::MAX, job.units).text(2));
        }
        say::answer(&(text + &wishes(wished)))?;
        Ok(outcome_of(&work.verdicts))
    });
    if asked.json {
        answer_json(found, asked.jobs.len())?;
    }
    Ok(outcome)
}

/// What came of the wishes, one a line.
fn wishes<'a>(wishes: impl IntoIterator<Item = &'a Wished>) -> String {
    wishes.into_iter().map(|wished| format!("{}\n", wished.says)).collect()
}

fn outcome_of<'a>(verdicts: impl IntoIterator<Item = &'a Verdict>) -> Outcome {
    match verdicts.into_iter().any(|v| v.level == Level::Stop) {
        true => Outcome::Stop,
        false => Outcome::Good,
    }
}

pub(super) fn draw(asked: &Draw, settings: &Settings) -> Result<Outcome, Error> {
    if let Some(folder) = &asked.out {
        output::folder(folder)?;
    }
    let mut writer = Writer::new(asked.jobs.iter().flat_map(|path| files::kept(path)).collect());
    if !asked.together {
        return Ok(each(&asked.jobs, |path| {
            let job = files::job(path, settings)?;
            drawn(asked, &[path.to_path_buf()], &[job], &mut writer)
        }));
    }
    // On the same pages: all jobs have to be usable, and every one's problems are told.
    let mut jobs = Vec::new();
    let outcome = each(&asked.jobs, |path| {
        jobs.push(files::job(path, settings)?);
        Ok(Outcome::Good)
    });
    match outcome {
        Outcome::Good => drawn(asked, &asked.jobs, &jobs, &mut writer),
        bad => Ok(bad),
    }
}

/// Looks for the least change that clears every stop, and writes it as a job of its own.
pub(super) fn mend(asked: &Mend, settings: &Settings) -> Result<Outcome, Error> {
    let job = files::job(&asked.job, settings)?;
    if job.wish.is_some() {
        let todo = "take [wish] out and write the pitch and bridge that `check` names";
        return Err(Error::job(format!("{}: a wish sets pitch and bridge anew each time", job.file), todo));
    }
    let path = beside(&asked.job, None, "-mended.toml");
    output::must_be_new(&path)?;
    let mended = {
        let _progress = Progress::start(format!("trying changes to {}", job.file));
        mend::mend(&job, &work(&job)?, asked.cautions_too)
    };
    let mut text = format!("{}: {}\n", job.file, mended.says);
    for (i, candidate) in mended.candidates.iter().take(WAYS).enumerate() {
        let left = if candidate.clears { "" } else { " (does not clear everything)" };
        text += &table::wrapped(&format!("  {}  {}{left}", i + 1, candidate.says), 5);
    }
    text += &mended
        .finer_hand
        .iter()
        .map(|hand| table::wrapped(&format!("  without redrawing: {hand}"), 5))
        .collect::<String>();
    let Some(best) = &mended.best else {
        say::answer(&text)?;
        return Ok(match mended.sound || !job_stops(&job)? {
            true => Outcome::Good,
            false => Outcome::Stop,
        });
    };
    let mended = mend::changed(&job, &best.changes)?;
    output::write_new(&path, &mended.source.text)?;
    say::answer(&format!("{text}written: {}\n", path.display()))?;
    Ok(Outcome::Good)
}

/// Whether a stop remains on a job as it stands.
fn job_stops(job: &Job) -> Result<bool, Error> {
    Ok(work(job)?.verdicts.iter().any(|v| v.level == Level::Stop))
}

/// Draws jobs that share their pages, and says what was written.
fn drawn(asked: &Draw, paths: &[PathBuf], jobs: &[Job], writer: &mut Writer) -> Result<Outcome, Error> {
    let (names, product) = {
        let _progress = Progress::start(format!("drawing {}", jobs.first().map_or("", |job| &job.file)));
        let product = pipeline::run_together(jobs)?;
        let outputs = outputs(asked, paths, &product)?;
        writer.write(&outputs, paths.first().map(|path| named_after(path)).as_deref())?;
        let name = |output: &Output| printable(&output.path.display().to_string());
        let names: Vec<String> = outputs.iter().map(name).collect();
        drop(outputs);
        (names, product)
    };
    let mut text = format!("written: {}\n", names.join(", "));
    for (job, work) in product.jobs.iter().zip(&product.works) {
        text += &format!("{}: {}\n", job.title, verdicts::summary(&work.verdicts));
        text += &verdicts::stops(&work.verdicts, job.units);
    }
    text += &wishes(product.wishes.iter().flatten());
    text += "print at 100 %, measure the bars before you glue\n";
    // The files are there: an answer that finds no room takes nothing back.
    say::answer(&text).unwrap_or_else(|why| say::problem(&why));
    Ok(outcome_of(product.works.iter().flat_map(|w| &w.verdicts)))
}

/// A file named after a job, beside it or in a folder of its own.
fn beside(job: &Path, folder: Option<&Path>, ending: &str) -> PathBuf {
    let mut name = job.file_stem().unwrap_or(job.as_os_str()).to_os_string();
    name.push(ending);
    folder.or(job.parent()).unwrap_or(Path::new("")).join(name)
}

/// What the files of a job are named after.
fn named_after(job: &Path) -> String {
    job.file_stem().unwrap_or(job.as_os_str()).to_string_lossy().into_owned()
}

/// Every file of these jobs, ready to be written.
fn outputs<'a>(asked: &Draw, paths: &[PathBuf], product: &'a Product) -> Result<Vec<Output<'a>>, Error> {
    let cut_width = match &asked.cut_width {
        Some(text) => length(text, LengthUnit::Mm)
            .map_err(|u| Error::job(format!("--cut-width: {}", u.wrong), u.todo))?
            .get(),
        None => 0.0,
    };
    // The files of each job, its plan last: that lists them all.
    let mut files: Vec<Vec<Output<'a>>> = paths.iter().map(|_| Vec::new()).collect();
    let file = |job: usize, ending: &str| beside(&paths[job], asked.out.as_deref(), ending);
    for i in 0..product.sheets.true_size_pages().len() {
        let ending = if i == 0 { ".svg".to_string() } else { format!("-{}.svg", i + 1) };
        files[0].push(Output::new(file(0, &ending), move |to| product.write_svg(i, to)));
    }
    files[0].push(Output::new(file(0, ".pdf"), |to| product.write_pdf(to)));
    let mut add = |job: usize, ending: &str, bytes: Vec<u8>| {
        files[job].push(Output::of_bytes(file(job, ending), bytes));
    };
    if asked.png {
        let too_large = || Error::job("this page is too large for a picture", "leave --png away");
        add(0, ".png", product.png(DOTS).ok_or_else(too_large)?);
    }
    for i in 0..paths.len() {
        if let Some((map, picture)) = asked.bridges.then(|| product.bridge_map(i, DOTS)).flatten() {
            add(i, "-bridges.svg", map.into_bytes());
            picture.into_iter().filter(|_| asked.png).for_each(|png| add(i, "-bridges.png", png));
        }
        if let Some((drawn, pdf)) = asked.send_out.then(|| product.send_out(i, cut_width)).flatten() {
            for (k, svg) in drawn.into_iter().enumerate() {
                let ending =
                    if k == 0 { "-outlines.svg".to_string() } else { format!("-outlines-{}.svg", k + 1) };
                add(i, &ending, svg.into_bytes());
            }
            add(i, "-outlines.pdf", pdf);
        }
    }
    for (i, path) in paths.iter().enumerate() {
        let plan = beside(path, asked.out.as_deref(), ".json");
        let written = files[i].iter().map(|file| &file.path).chain([&plan]);
        let names: Vec<String> =
            written.filter_map(|p| Some(p.file_name()?.to_string_lossy().into_owned())).collect();
        files[i].push(Output::new(plan, move |to| product.write_json(i, &names, to)));
    }
    Ok(files.into_iter().flatten().collect())
}
