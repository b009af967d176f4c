//! Which way round the page lies, and what to say when a piece is too big for it. Nothing is ever shrunk.

use super::header::{self, Strip};
use super::page::{Page, PageKind, STRIP};
use crate::checks::{Check, Level, PaperFinding, Quantity, Verdict};
use crate::geom::Rect;
use crate::job::{Job, LengthUnit, PaperSpec};
use crate::trade::{self, Paper};

/// Free paper between the bars' strips and a template, mm.
const AIR: f64 = 2.0;
/// The longest side of paper an ordinary desk printer takes, mm (Tabloid, A3); larger sizes are not offered as a
/// remedy, a bigger piece is split instead.
const DESK_PAPER: f64 = 432.0;

/// An empty page of the job's paper, corrected for its printer.
pub(super) fn page(kind: PageKind, paper: &PaperSpec, (width, height): (f64, f64)) -> Page {
    let mut page = Page::new(kind, (width, height));
    // `across` is the paper's short edge: on a page laid wide it runs up.
    let (across, up) = correction(paper);
    page.correction = if width <= height { (across, up) } else { (up, across) };
    page
}

/// The correction that is applied: only one that a printer can have. Others are asked about, not applied.
pub(super) fn correction(paper: &PaperSpec) -> (f64, f64) {
    let (across, up) = paper.correction;
    if (90.0..=110.0).contains(&across) && (90.0..=110.0).contains(&up) {
        (across, up)
    } else {
        (100.0, 100.0)
    }
}

/// Upright first, then laid wide.
pub(super) fn both_ways(paper: &PaperSpec) -> [(f64, f64); 2] {
    let (a, b) = (paper.size.width, paper.size.height);
    [(a.min(b), a.max(b)), (a.max(b), a.min(b))]
}

/// The room left for templates under a header that ends at `top`.
pub(super) fn body(page: &Page, top: f64) -> Rect {
    let room = header::printable(page);
    Rect::new(room.x0 + STRIP + AIR, top + AIR, room.x1, room.y1 - STRIP - AIR)
}

/// Header and bars of a template page; gives the room for templates.
pub(super) fn frame(page: &mut Page, strip: &Strip) -> Rect {
    let top = header::strip(page, strip);
    let room = header::printable(page);
    header::bars(page, room, (top, 0.0), strip.units);
    body(page, top)
}

/// Whether a box of this size fits the room; a thousandth of a millimetre is forgiven.
pub(super) fn holds(room: Rect, size: (f64, f64)) -> bool {
    size.0 <= room.width() + 0.001 && size.1 <= room.height() + 0.001
}

fn verdict(level: Level, found: PaperFinding) -> Verdict {
    Verdict::new(Check::PaperFit, level, found)
}

/// Nothing to say.
pub(super) fn good(paper: &str, pages: usize) -> Verdict {
    verdict(Level::Good, PaperFinding::Fits { paper: paper.into(), pages })
}

/// A piece split over pages, because no desk paper would hold it or because that was asked for.
pub(super) fn split(paper: &PaperSpec, pages: usize, size: (f64, f64)) -> Verdict {
    let (name, asked) = (paper.size.name.clone(), paper.split);
    verdict(Level::Caution, PaperFinding::Split { size, paper: name, pages, asked })
}

/// A piece that does not fit, with the paper that would do, tried by laying it out.
/// `splits`: this paper would hold it in several pages.
pub(super) fn too_big(
    job: &Job,
    size: (f64, f64),
    room: Rect,
    fits: impl Fn(&PaperSpec) -> bool,
    splits: bool,
) -> Verdict {
    let over_across = size.0 - room.width();
    let over_up = size.1 - room.height();
    let (measured, limit) =
        if over_across >= over_up { (size.0, room.width()) } else { (size.1, room.height()) };
    let remedy = desk_paper(job, fits).map(|name| {
        let or = if splits {
            ", or write split = true under [paper]: this paper then takes it in pages to tape"
        } else {
            ""
        };
        format!("print it on {name} paper{or}")
    });
    let (paper, helped) = (job.paper.size.name.clone(), remedy.is_some());
    let found = PaperFinding::TooBig { size, paper, room: (room.width(), room.height()), helped };
    let mut told = verdict(Level::Stop, found).numbers(Quantity::Length(measured), Quantity::Length(limit));
    told.remedy = remedy;
    told
}

/// The smallest paper of a desk printer that would do.
pub(super) fn desk_paper(job: &Job, fits: impl Fn(&PaperSpec) -> bool) -> Option<String> {
    let mut papers: Vec<_> = trade::papers().iter().filter(|p| p.width.max(p.height) <= DESK_PAPER).collect();
    // The maker's own family of sizes first: someone who prints on A4 has A3 nearer at hand than Tabloid.
    let metric = |p: &Paper| p.width.fract() == 0.0 && p.height.fract() == 0.0;
    let own = trade::paper(&job.paper.size.name).map_or(job.units == LengthUnit::Mm, metric);
    papers.sort_by(|a, b| {
        let far = |p: &Paper| metric(p) != own;
        far(a).cmp(&far(b)).then((a.width * a.height).total_cmp(&(b.width * b.height)))
    });
    papers
        .into_iter()
        .find(|p| fits(&PaperSpec { size: (*p).clone(), ..job.paper.clone() }))
        .map(|p| p.name.clone())
}
