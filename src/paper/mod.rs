//! Pages at true size: the template to stick on the metal, its bars and boxes, the key map, the parts, the job card.
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
mod look;
mod marks;
mod number;
mod numbers;
mod page;
mod parts;
mod place;
mod sampler;
mod send_out;
mod split;
mod strip;
mod tab;
mod template;
mod tiling;
mod true_size;
mod words;

pub mod letters;

pub use bridge_map::bridge_map;
pub use number::job_number;
pub use page::{Anchor, CopyAt, Group, Ink, Kind, Mark, Page, Pen, Words, SAW_LINE};
pub use place::Place;
pub use sampler::{sampler, Figures, MadeFor, Sample};
pub use send_out::{send_out, send_out_for};
pub use true_size::true_size;

use crate::checks::Verdict;
use crate::job::Job;
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

/// Lays out all the paper of one or several jobs: template pages, key maps, parts, the class sheet where names are
/// written on the templates, job cards.
pub fn lay_out(items: &[(&Job, &Work)]) -> Sheets {
    let mut sheets = Sheets::default();
    let Some((first, _)) = items.first() else { return sheets };
    let paper = &first.paper;
    let mut arts = copies::arts(items, true);
    let mut set = copies::set_out(items, &arts, paper);
    // Numbers beside the template may be what does not fit: then a key map has them.
    let close = matches!(set, copies::SetOut::TooBig { .. }).then(|| copies::arts(items, false));
    if let Some(close) = &close {
        let closer = copies::set_out(items, close, paper);
        if matches!(closer, copies::SetOut::Pages(_)) {
            (arts, set) = (close.clone(), closer);
        }
    }
    let size = arts.iter().fold((0.0_f64, 0.0_f64), |s, a| (s.0.max(a.all.width()), s.1.max(a.all.height())));
    match set {
        copies::SetOut::Pages(pages) => {
            let count = pages.iter().filter(|p| p.kind == Kind::Template).count();
            sheets.verdicts.push(fit::good(&paper.size.name, count));
            sheets.pages = pages;
        }
        copies::SetOut::TooBig { size: need, room } => {
            let fits = |p: &crate::job::PaperSpec| {
                matches!(copies::set_out(items, close.as_ref().unwrap_or(&arts), p), copies::SetOut::Pages(_))
            };
            let tiles = if paper.labels.is_none() { split::pages(items, &arts) } else { None };
            let stop = fit::too_big(first, need, room, fits, tiles.is_some());
            // What a larger desk paper would hold is split only if that is asked for.
            let tiles = tiles.filter(|_| paper.split || stop.remedy.is_none());
            match tiles {
                Some(pages) => {
                    sheets.verdicts.push(fit::split(
                        paper,
                        pages.iter().filter(|p| p.kind == Kind::Template).count(),
                        size,
                    ));
                    sheets.pages = pages;
                }
                None => {
                    sheets.oversize = Some(copies::oversize(items, &arts, paper));
                    sheets.verdicts.push(stop);
                }
            }
        }
    }
    if sheets.oversize.is_none() {
        for i in copies::in_need_of_map(items, &arts) {
            sheets.pages.extend(keymap::pages(items[i].0, items[i].1));
        }
        for (job, work) in items {
            sheets.pages.extend(parts::pages(job, work));
        }
    }
    sheets.pages.extend(class::pages(items));
    for item in items {
        let mut head = strip::strip_for(&[*item], 1);
        head.banner.extend(sheets.verdicts.iter().filter(|v| v.level == crate::checks::Level::Stop).map(
            |v| {
                format!(
                    "STOP: {}{}",
                    v.says(item.0.units),
                    v.remedy.as_ref().map_or(String::new(), |r| format!(" What would do: {r}."))
                )
            },
        ));
        sheets.pages.extend(card::card(paper, "job card", &item.1.plan.card, &head));
    }
    let count = sheets.pages.iter().filter(|p| p.kind != Kind::Card).count();
    for (i, page) in sheets.pages.iter_mut().filter(|p| p.kind != Kind::Card).enumerate() {
        copies::page_number(page, i + 1, count);
    }
    sheets
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
