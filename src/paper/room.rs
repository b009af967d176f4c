//! Whether the templates find room on their paper: told by their sizes, before any page is laid out.

use super::copies;
use super::fit;
use super::split;
use crate::checks::Verdict;
use crate::geom::Rect;
use crate::job::{Job, PaperSpec};
use crate::work::Work;

/// How the templates of one run lie on their paper.
pub(super) enum PaperRoom {
    /// On so many pages.
    Pages(usize),
    /// Over so many pages, to be joined: `size` is what the largest needs, mm.
    Split { size: (f64, f64), pages: usize },
    /// Not at all; the verdict says what would help.
    TooBig(Box<Verdict>),
}

/// The `paper-fit` verdict of one or several jobs on the first one's paper; `None` for no jobs.
pub fn paper_fit(items: &[(&Job, &Work)]) -> Option<Verdict> {
    let (job, _) = items.first()?;
    Some(PaperRoom::of(items, &copies::boxes(items)).verdict(job))
}

impl PaperRoom {
    /// Of the paper that each template takes.
    pub(super) fn of(items: &[(&Job, &Work)], boxes: &[Rect]) -> PaperRoom {
        let Some((job, _)) = items.first() else { return PaperRoom::Pages(0) };
        let paper = &job.paper;
        let (need, room) = match copies::count(items, boxes, paper) {
            Ok(pages) => return PaperRoom::Pages(pages),
            Err(needs) => needs,
        };
        let pages = if paper.labels.is_none() { split::count(items, boxes) } else { None };
        // Most papers are too small before anything is laid on them.
        let may_hold = |p: &PaperSpec| {
            let sheets = fit::both_ways(p).map(|(width, height)| Rect::new(0.0, 0.0, width, height));
            p.labels.is_some() || sheets.iter().any(|sheet| fit::holds(*sheet, need))
        };
        let holds = |p: &PaperSpec| may_hold(p) && copies::count(items, boxes, p).is_ok();
        let stop = fit::too_big(job, need, room, holds, pages.is_some());
        // What a larger desk paper would hold is split only if that is asked for.
        match pages.filter(|_| paper.split || stop.remedy.is_none()) {
            Some(pages) => PaperRoom::Split { size: copies::largest(boxes), pages },
            None => PaperRoom::TooBig(Box::new(stop)),
        }
    }

    /// What is said of it; `job` is the first.
    pub(super) fn verdict(&self, job: &Job) -> Verdict {
        match self {
            PaperRoom::Pages(pages) => fit::good(&job.paper.size.name, *pages),
            PaperRoom::Split { size, pages } => fit::split(&job.paper, *pages, *size),
            PaperRoom::TooBig(stop) => (**stop).clone(),
        }
    }
}
