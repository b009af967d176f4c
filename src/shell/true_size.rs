//! `sawpierce true-size`: a page to measure a printer with, and what its bars measured, kept by the printer's name.

use super::output::{self, Output, Writer};
use super::{say, settings, Outcome};
use crate::error::Error;
use crate::job::{suggestion, PaperSpec, Printer, Settings};
use crate::paper::true_size;
use crate::render::pdf;
use crate::trade;
use crate::units::limits::CORRECTION;
use clap::Args;
use std::path::PathBuf;

#[derive(Args)]
pub(super) struct TrueSize {
    /// What the 100 mm bar across measured
    #[arg(long, value_name = "MM", requires_all = ["up", "printer"])]
    across: Option<String>,
    /// What the 100 mm bar up measured
    #[arg(long, value_name = "MM", requires_all = ["across", "printer"])]
    up: Option<String>,
    /// A name of your own for this printer; alone: the page is corrected for it
    #[arg(long, value_name = "NAME")]
    printer: Option<String>,
    /// Paper of the test page
    #[arg(long, default_value = "A4")]
    paper: String,
    /// Folder for the page
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

pub(super) fn run(asked: &TrueSize, known: &Settings) -> Result<Outcome, Error> {
    match (&asked.across, &asked.up, &asked.printer) {
        (Some(across), Some(up), Some(name)) => {
            let printer = Printer { name: name.clone(), across: bar("across", across)?, up: bar("up", up)? };
            let path = settings::store(known, printer)?;
            say::answer(&format!(
                "stored in {}\nnow print the corrected page, its bars must read 100.0: sawpierce true-size --printer \
                 \"{name}\"\nand in a job write, under [paper]: printer = \"{name}\"\n",
                path.display()
            ))?;
        }
        (_, _, name) => page(asked, known, name.as_deref())?,
    }
    Ok(Outcome::Good)
}

/// What a bar measured, with point or comma.
fn bar(name: &'static str, said: &str) -> Result<f64, Error> {
    let unread = |unread: crate::units::Unread| Error::job(format!("{name}: {}", unread.wrong), unread.todo);
    let measured = crate::units::length(said, crate::units::LengthUnit::Mm).map_err(unread)?;
    CORRECTION.check(measured.0).map_err(unread)
}

fn page(asked: &TrueSize, known: &Settings, name: Option<&str>) -> Result<(), Error> {
    let sizes = || trade::papers().iter().map(|p| p.name.as_str()).collect::<Vec<_>>();
    let no_paper =
        || Error::job(format!("paper \"{}\" is not known", asked.paper), suggestion(&asked.paper, &sizes()));
    let mut paper = PaperSpec::plain(trade::paper(&asked.paper).ok_or_else(no_paper)?.clone());
    if let Some(name) = name {
        let names: Vec<&str> = known.printers.iter().map(|p| p.name.as_str()).collect();
        let stored = known.printers.iter().find(|p| p.name == name).ok_or_else(|| {
            let todo = match names.is_empty() {
                true => format!("measure the page first, then: --across 97.8 --up 98.1 --printer \"{name}\""),
                false => suggestion(name, &names),
            };
            Error::job(format!("printer \"{name}\" is not stored"), todo)
        })?;
        paper.correction = (stored.across, stored.up);
        paper.printer = Some(name.to_string());
    }
    let folder = match &asked.out {
        Some(folder) => {
            output::folder(folder)?;
            folder.clone()
        }
        None => PathBuf::new(),
    };
    let about = pdf::About { title: "True size".into(), language: "en".into() };
    let output =
        Output { path: folder.join("true-size.pdf"), bytes: pdf::pdf(&[&true_size(&paper)], &about) };
    let written = output.path.display().to_string();
    Writer::default().write(&[output], Some("true-size"))?;
    say::answer(&format!(
        "written: {written}\nprint it at 100 %, measure both bars, then: sawpierce true-size --across 97.8 --up 98.1 \
         --printer \"my printer\"\n"
    ))
}
