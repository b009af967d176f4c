//! Pages at true size: the template to stick on the metal with its enlarged view and legend, the parts, the job card, the
//! quote.
//!
//! Takes a job and its work, gives pages of marks in millimetres. Decides everything that is seen; draws nothing.

mod blank;
mod breaks;
mod bridge_map;
mod card;
mod class;
mod copies;
mod fit;
mod hang;
mod header;
mod key_plan;
mod keymap;
mod legend;
mod look;
mod lower;
mod number;
mod numbers;
mod page;
mod parts;
mod place;
mod quote;
mod room;
mod sampler;
mod send_out;
mod signs;
mod split;
mod strip;
mod tab;
mod template;
mod thin;
mod tiling;
mod true_size;
mod view;
mod words;

pub mod letters;

pub use bridge_map::bridge_map;
pub use number::job_number;
pub use page::{Anchor, CopyAt, Group, Ink, Kind, Mark, Page, Pen, Words, SAW_LINE};
pub use place::Place;
pub use room::paper_fit;
pub use sampler::{sampler, Figures, MadeFor, Sample};
pub use send_out::{send_out, send_out_for};
pub use true_size::true_size;

use crate::checks::Verdict;
use crate::geom::Rect;
use crate::job::{CardLength, Job};
use crate::plan::card::{Section, Step};
use crate::work::Work;

/// All the paper of one run.
#[derive(Debug, Clone, Default)]
pub struct Sheets {
    /// What goes into the PDF, in order: templates, key maps, parts, the class sheet, then the job card.
    pub pages: Vec<Page>,
    /// A piece too big for its paper and not split: one template page as large as needed, for the SVG alone.
    pub oversize: Option<Page>,
    /// `paper-fit`, and nothing else.
    pub verdicts: Vec<Verdict>,
}

/// Lays out all the paper of one or several jobs: template pages with the enlarged view and the legend, parts, the class
/// sheet where names are written on the templates, job cards, quotes.
pub fn lay_out(items: &[(&Job, &Work)]) -> Sheets {
    let mut sheets = Sheets::default();
    let Some((first, _)) = items.first() else { return sheets };
    let paper = &first.paper;
    let arts = copies::arts(items);
    let boxes: Vec<Rect> = arts.iter().map(|a| a.all).collect();
    let room = room::Room::of(items, &boxes);
    sheets.verdicts.push(room.verdict(first));
    let (mut numbers, mut legend) = (true, true);
    match room {
        room::Room::Pages(_) => {
            if let Some(set) = copies::set_out(items, &arts, paper) {
                sheets.pages = set.pages;
                (numbers, legend) = (set.numbers, set.legend);
            }
        }
        room::Room::Split { .. } => {
            sheets.pages = split::pages(items, &arts);
            (numbers, legend) = (arts.iter().all(|a| a.numbered), false);
        }
        room::Room::TooBig { .. } => sheets.oversize = Some(copies::oversize(items, &arts, paper)),
    }
    if !(numbers && legend) {
        sheets.pages.extend(keymap::pages(items, &arts, !numbers, !legend));
    }
    if sheets.oversize.is_none() {
        for (job, work) in items {
            sheets.pages.extend(parts::pages(job, work));
        }
    }
    sheets.pages.extend(class::pages(items));
    for item in items {
        let mut head = strip::strip_for(&[*item], 1);
        head.banner.extend(sheets.verdicts.iter().filter(|v| v.level == crate::checks::Level::Stop).map(
            |v| {
                let remedy = v.remedy.as_ref().map_or(String::new(), |r| format!(" To clear it: {r}."));
                format!("STOP: {}{remedy}", v.says(item.0.units))
            },
        ));
        let sections = card_of(item.0, item.1);
        sheets.pages.extend(card::card(paper, "job card", &sections, &head, paper.card));
    }
    sheets.pages.extend(items.iter().filter_map(|(job, work)| quote::page(job, work)));
    let count = sheets.pages.len();
    for (i, page) in sheets.pages.iter_mut().enumerate() {
        header::folio(page, i + 1, count);
    }
    sheets
}

/// The card's sections; time and money only where there is a price, or the whole card is asked for. The quote is a sheet
/// of its own.
fn card_of(job: &Job, work: &Work) -> Vec<Section> {
    let money = work.plan.batch.price.is_some() || job.paper.card == CardLength::Full;
    let on_card = |s: &&Section| !s.step.is_own_sheet() || (money && s.step == Step::Maker);
    work.plan.card.iter().filter(on_card).cloned().collect()
}

impl Sheets {
    /// The pages that also become SVG files: true-size ones only.
    pub fn true_size_pages(&self) -> Vec<&Page> {
        self.pages
            .iter()
            .filter(|p| matches!(p.kind, Kind::Template | Kind::Parts))
            .chain(self.oversize.as_ref())
            .collect()
    }
}
