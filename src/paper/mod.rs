//! Pages at true size: the template to stick on the metal with its enlarged view and legend, the parts, the job card, the
//! quote.
//!
//! Takes a job and its work, gives pages of marks in millimetres. Decides everything that is seen; draws nothing.

mod blank;
mod breaks;
mod bridge_map;
mod card;
mod card_rows;
mod class;
mod copies;
mod few;
mod fill;
mod fit;
mod hang;
mod header;
mod key_plan;
mod keymap;
mod labels;
mod legend;
mod look;
mod lower;
mod mark;
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
mod stamp;
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
pub use few::few_enough;
pub use page::{Anchor, CopyAt, Group, Ink, Mark, Page, PageKind, Pen, Words, SAW_LINE};
pub use place::Placement;
pub use room::paper_fit;
pub use sampler::{sampler, Figures, MadeFor, Sample};
pub use send_out::{send_out, send_out_for};
pub use stamp::{Stamp, StampPlace};
pub use true_size::true_size;

use crate::checks::Verdict;
use crate::geom::Rect;
use crate::job::{CardLength, Job, PaperSpec};
use crate::plan::card::{CardSection, CardStep, Row};
use crate::work::Work;
use signs::Sign;
use std::collections::BTreeSet;

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
    let mut arts = copies::arts(items);
    let boxes: Vec<Rect> = arts.iter().map(|a| a.all).collect();
    let room = room::PaperRoom::of(items, &boxes);
    sheets.verdicts.push(room.verdict(first));
    let several = items.len() > 1;
    let mut open = Leftover { numbers: false, legend: false, parts: true };
    let mut fill = if several {
        fill::Fill::new(items, &arts, &copies::numbered(items, &arts))
    } else {
        fill::Fill::nothing(items)
    };
    match room {
        room::PaperRoom::Pages(_) => {
            let set = match paper.labels {
                Some(grid) => labels::on_labels(items, &arts, paper, grid),
                None => copies::set_out(items, &arts, paper, several.then_some(&mut fill)),
            };
            if let Some(set) = set {
                sheets.pages = set.pages;
                open = Leftover { numbers: !set.numbers, legend: !set.legend, parts: !set.parts };
            }
        }
        room::PaperRoom::Split { .. } => {
            let set = split::pages(items, &mut arts);
            sheets.pages = set.pages;
            open = Leftover { numbers: !arts.iter().all(|a| a.numbered), legend: !set.legend, parts: true };
        }
        room::PaperRoom::TooBig { .. } => {
            sheets.oversize = Some(copies::oversize(items, &arts, paper));
            open.parts = false;
            fill = fill::Fill::nothing(items);
        }
    }
    let bars = sheets.pages.iter().find(|p| p.kind == PageKind::Template).map(header::bar_lengths);
    let stops: Vec<String> = sheets.verdicts.iter().filter_map(|v| stop(v, first)).collect();
    let signs: BTreeSet<Sign> = arts.iter().flat_map(|a| a.signs.iter().copied()).collect();
    let card = |(job, work): &(&Job, &Work), below: Below, unnumbered: bool| {
        card_pages((job, work), &Told { paper, bars, stops: &stops, below, unnumbered, narrow: several })
    };
    let mut cards: Vec<Vec<Page>> = Vec::new();
    if let [item] = items {
        let mut keys = keymap::Keys::default();
        if open.numbers || open.legend {
            keys = keymap::keys(items, &arts, (open.numbers, open.legend), open.parts);
            open.parts &= !keys.parts;
        }
        let unnumbered = open.numbers && !keys.numbers;
        let mut made = card(item, Below::Nothing, unnumbered).0;
        // A legend that would have a sheet to itself stands on the card, if there is room.
        if open.legend && (unnumbered || !open.numbers) {
            let (pages, explained) = card(item, Below::Legend(items, &signs), unnumbered);
            if explained {
                made = pages;
                keys.pages.clear();
            }
        }
        sheets.pages.extend(keys.pages);
        if open.parts {
            sheets.pages.extend(parts::pages(item.0, item.1));
        }
        cards.push(made);
    } else {
        // A sheet that is wanted for parts anyway has views as well; the others stand on the cards, if there is room.
        if fill.parts.contains(&true) {
            sheets.pages.extend(fill.page());
        }
        let bare: Vec<bool> = fill.numbers.iter().map(|wanted| !wanted).collect();
        for (i, item) in items.iter().enumerate() {
            let below = if fill.numbers[i] { Below::View } else { Below::Nothing };
            let (pages, shown) = card(item, below, false);
            fill.numbers[i] &= !shown;
            cards.push(pages);
        }
        while let Some(page) = fill.page() {
            sheets.pages.push(page);
        }
        for (i, item) in items.iter().enumerate() {
            if fill.numbers[i] {
                cards[i] = card(item, Below::Nothing, true).0;
            }
            if fill.parts[i] {
                sheets.pages.extend(parts::pages(item.0, item.1));
            }
        }
        // The legend stands on the first card that has room for it, before it takes a sheet of its own.
        let explained =
            (0..items.len()).filter(|i| open.legend && bare[*i] && !fill.numbers[*i]).find_map(|i| {
                let (pages, explained) = card(&items[i], Below::Legend(items, &signs), false);
                (explained && pages.len() <= cards[i].len()).then_some((i, pages))
            });
        match explained {
            Some((i, pages)) => cards[i] = pages,
            None if open.legend => {
                sheets.pages.extend(keymap::keys(items, &arts, (false, true), false).pages);
            }
            None => {}
        }
    }
    sheets.pages.extend(class::pages(items));
    sheets.pages.extend(cards.into_iter().flatten());
    sheets.pages.extend(items.iter().filter_map(|(job, work)| quote::page(job, work)));
    let count = sheets.pages.len();
    for (i, page) in sheets.pages.iter_mut().enumerate() {
        header::folio(page, i + 1, count);
    }
    sheets
}

/// What the template pages did not hold.
struct Leftover {
    numbers: bool,
    legend: bool,
    parts: bool,
}

/// What a stop says on the card.
fn stop(verdict: &Verdict, first: &Job) -> Option<String> {
    let remedy = verdict.remedy.as_ref().map_or(String::new(), |r| format!(" To clear it: {r}."));
    let text = format!("STOP: {}.{remedy}", verdict.says(first.units).trim_end_matches('.'));
    Some(text).filter(|_| verdict.level == crate::checks::Level::Stop)
}

/// What stands below the columns of a card.
#[derive(Clone, Copy)]
enum Below<'a> {
    Nothing,
    /// The enlarged view with the numbers.
    View,
    /// The legend of these signs, of these jobs.
    Legend(&'a [(&'a Job, &'a Work)], &'a BTreeSet<Sign>),
}

/// What the cards of a run have to tell beside the plan.
struct Told<'a> {
    paper: &'a PaperSpec,
    /// The bars of the template's page.
    bars: Option<header::BarLengths>,
    stops: &'a [String],
    below: Below<'a>,
    /// No sheet shows the numbers.
    unnumbered: bool,
    /// One sheet is worth a narrow column: many cards come together.
    narrow: bool,
}

/// The card of one job. Tells whether what is to stand below its columns does.
fn card_pages((job, work): (&Job, &Work), told: &Told) -> (Vec<Page>, bool) {
    let mut head = strip::strip_for(&[(job, work)], 1);
    head.banner.extend(told.stops.iter().cloned());
    let mut sections = card_of(job, work, told.bars);
    if told.unnumbered && !work.piece.openings.is_empty() {
        let larger = fit::desk_paper(job, |paper| keymap::holds(job, work, paper));
        let note = words::no_numbers(&told.paper.size.name, larger.as_deref());
        for section in &mut sections {
            let rows = std::mem::take(&mut section.rows).into_iter().map(Row::without_numbers);
            let said = (section.step == CardStep::Saw).then(|| Row::Note(note.clone()));
            section.rows = said.into_iter().chain(rows).collect();
        }
    }
    let view = |room: (f64, f64)| lower::picture(job, work, room);
    let legend = |(width, height): (f64, f64)| {
        let Below::Legend(items, signs) = told.below else { return None };
        let block = legend::legend(items, signs, legend::Saying::All, width);
        Some(block).filter(|b| b.height <= height)
    };
    let picture: Option<card::Picture> = match told.below {
        Below::Nothing => None,
        Below::View => Some(&view),
        Below::Legend(..) => Some(&legend),
    };
    let asked = card::Asked { length: told.paper.card, narrow: told.narrow || picture.is_some(), picture };
    card::card(told.paper, "job card", &sections, &head, asked)
}

/// The card's sections; time and money only where there is a price, or the whole card is asked for. The quote is a sheet
/// of its own. The bars to measure are those of the template's page.
fn card_of(job: &Job, work: &Work, bars: Option<header::BarLengths>) -> Vec<CardSection> {
    let money = work.plan.batch.price.is_some() || job.paper.card == CardLength::Full;
    let on_card = |s: &&CardSection| !s.step.is_own_sheet() || (money && s.step == CardStep::Maker);
    let mut sections: Vec<CardSection> = work.plan.card.iter().filter(on_card).cloned().collect();
    if let Some(bars) = bars {
        for section in sections.iter_mut().filter(|s| s.step == CardStep::Paper) {
            section.rows.retain(|row| !matches!(row, Row::Measure { .. }));
            section.rows.splice(0..0, bars.rows());
        }
    }
    sections
}

impl Sheets {
    /// The pages that also become SVG files: true-size ones only.
    pub fn true_size_pages(&self) -> Vec<&Page> {
        self.pages
            .iter()
            .filter(|p| matches!(p.kind, PageKind::Template | PageKind::Parts))
            .chain(self.oversize.as_ref())
            .collect()
    }
}
