//! `sawpierce true-size`: a page to measure a printer with, and what its bars measured, kept by the printer's name.

use super::output::{self, Output, Writer};
use super::settings::{self, ReadOn, StoredReading};
use super::{say, Outcome};
use crate::error::Error;
use crate::job::{suggestion, PaperSpec, Printer, Settings};
use crate::paper::true_size;
use crate::render::pdf;
use crate::trade;
use crate::units::limits::CORRECTION;
use crate::units::{plain, short};
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
    /// The page was printed corrected for this printer: multiply what is stored
    #[arg(long, requires = "across")]
    corrected: bool,
    /// The page was printed uncorrected: forget what is stored
    #[arg(long, requires = "across", conflicts_with = "corrected")]
    afresh: bool,
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
            let read_on = match (asked.corrected, asked.afresh) {
                (true, _) => ReadOn::Corrected,
                (_, true) => ReadOn::Uncorrected,
                _ => ReadOn::NotSaid,
            };
            say::answer(&stored(name, across, up, read_on)?)?;
            say::answer(&next(name))?;
        }
        (_, _, name) => written(asked, known, name.as_deref())?,
    }
    Ok(Outcome::Good)
}

/// Keeps what both bars of a printer's page measured, and says what that makes of it.
pub(super) fn stored(name: &str, across: &str, up: &str, read_on: ReadOn) -> Result<String, Error> {
    if name.chars().any(char::is_control) {
        let todo = "give it a plain name, as it will stand in your jobs";
        return Err(Error::job("this printer's name holds a sign that cannot be printed", todo));
    }
    let printer = Printer { name: name.to_string(), across: bar("across", across)?, up: bar("up", up)? };
    Ok(kept(name, &settings::keep(&printer, read_on)?))
}

/// Old and new, and how the new came about.
fn kept(name: &str, kept: &StoredReading) -> String {
    let pair = |(across, up): (f64, f64)| format!("{} across, {} up", plain(across, 2), plain(up, 2));
    let mut text = String::new();
    if let Some(aside) = &kept.aside {
        text += &format!("the stored printers could not be read; they are kept in {}\n", aside.display());
    }
    match kept.before {
        Some(before) => text += &format!("\"{name}\" was {}; now {}\n", pair(before), pair(kept.now)),
        None => text += &format!("\"{name}\": {}\n", pair(kept.now)),
    }
    if kept.readings.len() > 1 {
        let product = |k: usize| {
            let all: Vec<String> = kept.readings.iter().map(|r| short(r[k], 2)).collect();
            all.join(" × ")
        };
        text += &format!(
            "  readings, each on a page corrected by those before: across {}, up {}\n",
            product(0),
            product(1)
        );
    }
    text + &format!("stored in {}\n", kept.path.display())
}

/// What to do with it.
fn next(name: &str) -> String {
    format!(
        "now print the corrected page, its bars must read 100.0 within 0.1: sawpierce true-size --printer \
         \"{name}\"\nif they do not, type what they read the same way: it is multiplied onto what is stored\nand in a job write, \
         under [paper]: printer = \"{name}\"\n"
    )
}

/// What a bar measured, with point or comma.
fn bar(name: &'static str, said: &str) -> Result<f64, Error> {
    let unread = |unread: crate::units::Unread| Error::job(format!("{name}: {}", unread.wrong), unread.todo);
    let measured = crate::units::length(said, crate::units::LengthUnit::Mm).map_err(unread)?;
    CORRECTION.check(measured.0).map_err(unread)
}

/// The test page as PDF, corrected for a stored printer if one is named.
pub(super) fn page(paper: &str, known: &Settings, name: Option<&str>) -> Result<Vec<u8>, Error> {
    let sizes = || trade::papers().iter().map(|p| p.name.as_str()).collect::<Vec<_>>();
    let no_paper = || Error::job(format!("paper \"{paper}\" is not known"), suggestion(paper, &sizes()));
    let mut paper = PaperSpec::plain(trade::paper(paper).ok_or_else(no_paper)?.clone());
    if let (Some(name), Some(why)) = (name, &known.printers_unread) {
        let todo = format!("measure an uncorrected page, then: --across 97.8 --up 98.1 --printer \"{name}\"");
        return Err(Error::job(why.clone(), todo));
    }
    if let Some(name) = name {
        let names: Vec<&str> = known.printers.iter().map(|p| p.name.as_str()).collect();
        let stored = known.printers.iter().find(|p| p.name == name).ok_or_else(|| {
            let todo = match names.is_empty() {
                true => format!("measure the page first, then: --across 97.8 --up 98.1 --printer \"{name}\""),
                false => suggestion(name, &names),
            };
            Error::job(format!("printer \"{name}\" is not stored"), todo)
        })?;
        let again = |unread: crate::units::Unread| {
            let wrong =
                format!("printer \"{name}\" is stored with {} across and {} up", stored.across, stored.up);
            Error::job(wrong, format!("measure an uncorrected page again: {}", unread.todo))
        };
        for value in [stored.across, stored.up] {
            CORRECTION.check(value).map_err(again)?;
        }
        paper.correction = (stored.across, stored.up);
        paper.printer = Some(name.to_string());
    }
    let about = pdf::About { title: "True size".into(), language: "en".into() };
    Ok(pdf::pdf(&[&true_size(&paper)], &about))
}

fn written(asked: &TrueSize, known: &Settings, name: Option<&str>) -> Result<(), Error> {
    let bytes = page(&asked.paper, known, name)?;
    let folder = match &asked.out {
        Some(folder) => {
            output::folder(folder)?;
            folder.clone()
        }
        None => PathBuf::new(),
    };
    let output = Output::of_bytes(folder.join("true-size.pdf"), bytes);
    let written = output.path.display().to_string();
    Writer::default().write(&[output], Some("true-size"))?;
    let named = name.unwrap_or("my printer");
    let corrected = if name.is_some() {
        "corrected for it: both bars must read 100.0 within 0.1; if not"
    } else {
        "then"
    };
    say::answer(&format!(
        "written: {written}\nprint it at 100 %, measure both bars, {corrected}: sawpierce true-size --across 97.8 --up 98.1 \
         --printer \"{named}\"\n"
    ))
}
