//! What leaves the bench: pages to look at, the job card, and finished files.

use super::Answer;
use crate::error::Error;
use crate::paper::{Page, PageKind};
use crate::pipeline::sampler::sampler;
use crate::pipeline::{Product, Session};
use crate::plan::card::{Row, TableCell};
use crate::render::{pdf, svg};
use serde_json::{json, Value};

/// Dots to the inch of a picture: enough to read the smallest number on a screen.
const DOTS: f64 = 300.0;

/// A finished file: its name, what kind of file it is, its bytes.
#[derive(Debug, Clone, PartialEq)]
pub struct FileMade {
    /// As it is to be saved, without a folder.
    pub name: String,
    /// Media type for the browser.
    pub mime: &'static str,
    /// What stands in it.
    pub bytes: Vec<u8>,
}

fn kind_of(page: &Page) -> &'static str {
    match page.kind {
        PageKind::Template => "template",
        PageKind::Trial => "trial",
        PageKind::KeyPlan => "how the pages join",
        PageKind::KeyMap => "key map",
        PageKind::Parts => "parts",
        PageKind::Card => "job card",
        PageKind::Test => "test page",
        PageKind::Outlines => "outlines",
        PageKind::Sampler => "sampler",
    }
}

/// All pages as SVG, with what each is for.
pub(super) fn paper(session: &mut Session) -> Result<Answer, Error> {
    let title = session.job()?.0.title.clone();
    let sheets = session.sheets()?;
    let pages: Vec<String> = sheets.pages.iter().map(|page| svg::svg(page, &title)).collect();
    let names: Vec<&str> = sheets.pages.iter().map(kind_of).collect();
    Ok(Answer::from_iter([("pages".to_string(), json!(pages)), ("names".to_string(), json!(names))]))
}

/// The job card as sections of rows, each row told by its `kind`.
pub(super) fn card(session: &mut Session) -> Result<Value, Error> {
    let work = session.work()?;
    Ok(work
        .plan
        .card
        .iter()
        .map(|section| {
            let rows: Vec<Value> = section.all().map(row).collect();
            json!({ "title": section.title, "own_sheet": section.step.is_own_sheet(), "lines": rows })
        })
        .collect())
}

fn row(row: &Row) -> Value {
    match row {
        Row::Fact { label, value, sum } | Row::Numbered { label, value, sum, .. } => {
            json!({ "kind": "fact", "label": label, "value": value, "sum": sum })
        }
        Row::Measure { label, planned, sum } => {
            json!({ "kind": "measure", "label": label, "value": planned, "sum": sum })
        }
        Row::Changed { label, was, now, sum } => {
            json!({ "kind": "changed", "label": label, "was": was, "value": now, "sum": sum })
        }
        Row::Tick(says) => json!({ "kind": "tick", "says": says }),
        Row::Caution(says) => json!({ "kind": "caution", "says": says }),
        Row::Note(says) => json!({ "kind": "note", "says": says }),
        Row::Table { head, rows } => {
            json!({ "kind": "table", "head": head, "rows": rows.iter().map(|row| row.iter().map(TableCell::to_string).collect::<Vec<_>>()).collect::<Vec<_>>() })
        }
    }
}

/// A finished file of a job: `pdf`, `svg`, `svg-2`..., `json`, `job`, `card`, `quote`, `png`, `bridge-map` or `sampler`; the
/// same bytes as the command line writes.
pub fn file(session: &mut Session, kind: &str) -> Result<FileMade, Error> {
    let job = session.typed().clone();
    let stem = crate::reader::stem(&job.file).to_string();
    let made = |ending: &str, mime: &'static str, bytes: Vec<u8>| FileMade {
        name: format!("{stem}{ending}"),
        mime,
        bytes,
    };
    const PDF: &str = "application/pdf";
    const SVG: &str = "image/svg+xml";
    if kind == "job" {
        return Ok(made(".toml", "application/toml", job.source.text.as_bytes().to_vec()));
    }
    if kind == "sampler" {
        return Ok(FileMade {
            name: "sampler.pdf".into(),
            mime: PDF,
            bytes: sampler(&session.job()?.0, true).pdf(),
        });
    }
    let product = session.product()?;
    let too_large = || Error::job("this page is too large for a picture", "take the PDF or the SVG");
    if let Some(k) = page_of(kind) {
        let svg = product.svg().into_iter().nth(k - 1);
        let ending = if k == 1 { ".svg".to_string() } else { format!("-{k}.svg") };
        let svg =
            svg.ok_or_else(|| Error::job(format!("there is no page {k} at true size"), "take the PDF"))?;
        return Ok(made(&ending, SVG, svg.into_bytes()));
    }
    match kind {
        "pdf" => Ok(made(".pdf", PDF, product.pdf())),
        "json" => {
            let svgs = (1..=product.svg().len()).map(|k| match k {
                1 => format!("{stem}.svg"),
                k => format!("{stem}-{k}.svg"),
            });
            let names: Vec<String> = svgs.chain([format!("{stem}.pdf"), format!("{stem}.json")]).collect();
            Ok(made(".json", "application/json", product.json(0, &names).unwrap_or_default().into_bytes()))
        }
        "card" => Ok(made(
            "-card.pdf",
            PDF,
            some_pages(&product, |page, quote| page.kind == PageKind::Card && !quote),
        )),
        "quote" => {
            if product.works.iter().all(|w| w.plan.batch.price.is_none()) {
                let todo = "type a price for a gram of metal and for an hour of work first";
                return Err(Error::job("there is no price to quote", todo));
            }
            Ok(made("-quote.pdf", PDF, some_pages(&product, |_, quote| quote)))
        }
        "png" => Ok(made(".png", "image/png", product.png(DOTS).ok_or_else(too_large)?)),
        "bridge-map" => {
            let map = product.bridge_map(0, 1.0).map(|(svg, _)| svg).unwrap_or_default();
            Ok(made("-bridges.svg", SVG, map.into_bytes()))
        }
        other => Err(Error::job(format!("there is no file of the kind \"{other}\""), "load the page anew")),
    }
}

/// "svg" is page 1, "svg-2" page 2.
fn page_of(kind: &str) -> Option<usize> {
    match kind.strip_prefix("svg")? {
        "" => Some(1),
        rest => rest.strip_prefix('-')?.parse().ok().filter(|k| *k > 0),
    }
}

/// The pages that are wanted as a PDF of their own. The quote is the last page, where there is one.
fn some_pages(product: &Product, wanted: impl Fn(&Page, bool) -> bool) -> Vec<u8> {
    let pages = &product.sheets.pages;
    let priced = product.works.iter().any(|w| w.plan.batch.price.is_some());
    let chosen = pages.iter().enumerate().filter(|(i, page)| wanted(page, priced && i + 1 == pages.len()));
    let chosen: Vec<&Page> = chosen.map(|(_, page)| page).collect();
    let title = product.jobs.first().map_or(String::new(), |job| job.title.clone());
    pdf::pdf(&chosen, &pdf::About { title, language: "en".into() })
}
